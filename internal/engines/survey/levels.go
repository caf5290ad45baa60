package survey

import (
	"fmt"
	"math"
)

// Sight says what a reading of the level rod is for.
type Sight string

// The sights.
const (
	Back         Sight = "back"         // the first reading of a set-up, on a point of known height
	Intermediate Sight = "intermediate" // a point wanted by the way
	Fore         Sight = "fore"         // the last reading of a set-up
)

// RodReading is one reading of the rod, metres. A rod held upside down on an underside is booked negative.
type RodReading struct {
	Point    string
	Sight    Sight
	Reading  float64
	Distance float64 // from the level, metres; zero: not booked
}

// LevelBook is a run of levels in the order they were read: each set-up opens with a back sight and closes with a fore sight,
// and the next back sight is on the point of that fore sight.
type LevelBook struct {
	Start    float64 // height of the first back sight's point, metres
	End      float64 // known height of the last fore sight's point, metres
	EndKnown bool
	Readings []RodReading
}

// LeveledPoint is one reading's point.
type LeveledPoint struct {
	Point      string
	Setup      int     // 1 for the first
	Rise       float64 // from the reading before, by rise and fall; negative: a fall. Zero for a back sight
	HI         float64 // height of the line of sight
	Z          float64 // as booked
	Adjusted   float64 // with the misclosure spread over the set-ups
	Correction float64
}

// Levels is a reduced level book.
type Levels struct {
	Points           []LeveledPoint // one per reading
	BackSum, ForeSum float64        // ΣBS, ΣFS
	RiseSum, FallSum float64        // Σrise, Σfall
	Setups           int
	Length           float64 // of sights to back and fore points, metres; 0 when a distance is missing
	Misclosure       float64 // computed minus known height of the end; 0 when that is not known
	Closed           bool
	ArithmeticAgrees bool    // ΣBS − ΣFS = Σrise − Σfall = last − first
	Unbalanced       float64 // greatest difference of back and fore distance in a set-up, metres
}

// Reduce computes heights both ways and checks the page.
//
//	height of instrument:  HI = z_known + BS,   z = HI − reading
//	rise and fall:         z_i = z_{i−1} + (reading_{i−1} − reading_i)
//	check:                 ΣBS − ΣFS = Σrise − Σfall = z_last − z_first
//
// A misclosure e is spread as −e·k/n over the n set-ups, or in proportion to distance when every back and fore sight has
// one; an intermediate sight takes the correction of its set-up. Errors: sights out of order, readings that are not
// numbers. Source: level-booking lecture pages. Checked: SITE-07.
func (b LevelBook) Reduce() (Levels, error) {
	out := Levels{Closed: b.EndKnown}
	if err := b.check(); err != nil {
		return out, err
	}
	hi, riseFall, last := 0.0, b.Start, b.Start
	previous := 0.0
	for _, r := range b.Readings {
		p := LeveledPoint{Point: r.Point}
		if r.Sight == Back {
			out.Setups++
			hi = last + r.Reading
			out.BackSum += r.Reading
			p.Z = last
		} else {
			p.Rise = previous - r.Reading
			riseFall += p.Rise
			out.RiseSum += max(p.Rise, 0)
			out.FallSum += max(-p.Rise, 0)
			p.Z = hi - r.Reading
		}
		if r.Sight == Fore {
			out.ForeSum += r.Reading
			last = p.Z
		}
		previous = r.Reading
		p.Setup, p.HI = out.Setups, hi
		out.Points = append(out.Points, p)
	}
	out.ArithmeticAgrees = math.Abs(out.BackSum-out.ForeSum-(last-b.Start)) < pageRounding &&
		math.Abs(riseFall-last) < pageRounding
	if b.EndKnown {
		out.Misclosure = last - b.End
	}
	b.measure(&out)
	b.spread(&out)
	return out, nil
}

// pageRounding is what adding up a page may lose, metres.
const pageRounding = 1e-9

func (b LevelBook) check() error {
	if len(b.Readings) < 2 || b.Readings[0].Sight != Back || b.Readings[len(b.Readings)-1].Sight != Fore {
		return fmt.Errorf("survey: a level book opens with a back sight and closes with a fore sight: %d readings given", len(b.Readings))
	}
	if err := finite("a known height", b.Start, b.End); err != nil {
		return err
	}
	for i, r := range b.Readings {
		if err := finite("reading "+fmt.Sprint(i+1), r.Reading, r.Distance); err != nil {
			return err
		}
		switch r.Sight {
		case Back:
			if i > 0 && b.Readings[i-1].Sight != Fore {
				return fmt.Errorf("survey: reading %d (%s) is a back sight, but the set-up before it has no fore sight", i+1, r.Point)
			}
		case Intermediate, Fore:
			if i > 0 && b.Readings[i-1].Sight == Fore {
				return fmt.Errorf("survey: reading %d (%s) follows a fore sight: open the new set-up with a back sight", i+1, r.Point)
			}
		default:
			return fmt.Errorf("survey: reading %d (%s) is a %q sight: say back, intermediate or fore", i+1, r.Point, r.Sight)
		}
	}
	return nil
}

// measure adds up the sight distances and finds the set-up whose back and fore distances differ most.
func (b LevelBook) measure(out *Levels) {
	back := 0.0
	missing := false
	for _, r := range b.Readings {
		if r.Sight == Intermediate {
			continue
		}
		missing = missing || !(r.Distance > 0)
		out.Length += r.Distance
		if r.Sight == Back {
			back = r.Distance
		} else if !missing {
			out.Unbalanced = max(out.Unbalanced, math.Abs(back-r.Distance))
		}
	}
	if missing {
		out.Length, out.Unbalanced = 0, 0
	}
}

func (b LevelBook) spread(out *Levels) {
	walked, share := 0.0, 0.0
	for i := range out.Points {
		p, r := &out.Points[i], b.Readings[i]
		if r.Sight == Back {
			p.Correction = -out.Misclosure * share // the height it stands on closed the set-up before
			share = float64(p.Setup) / float64(out.Setups)
			if out.Length > 0 {
				walked += r.Distance + b.foreDistance(i)
				share = walked / out.Length
			}
		} else {
			p.Correction = -out.Misclosure * share
		}
		p.Adjusted = p.Z + p.Correction
	}
}

// foreDistance is the distance of the fore sight that closes the set-up opened by reading i.
func (b LevelBook) foreDistance(i int) float64 {
	for _, r := range b.Readings[i:] {
		if r.Sight == Fore {
			return r.Distance
		}
	}
	return 0
}

// AllowableMisclosure returns the misclosure allowed to a run of levels, metres.
//
//	|e| ≤ c √K       c in mm, K in km
//
// c 12 for third order, 8 for second order class II, 10 to 15 in construction. Source: US federal geodetic control
// standards (recalled). Checked: SITE-09.
func AllowableMisclosure(millimetres, length float64) (float64, error) {
	return millimetres / 1000 * math.Sqrt(length/1000), aboveZero("constant or length", millimetres, length)
}

// shortLoop is the misclosure allowed per root of set-ups on a small site, and the least asked, metres.
// Source: common practice.
const shortLoop = 0.003

// ShortLoopMisclosure returns the misclosure allowed to a short loop on a site, metres: 3 mm √set-ups, never under 3 mm.
// Source: common practice.
func ShortLoopMisclosure(setups int) (float64, error) {
	if setups < 1 {
		return 0, fmt.Errorf("survey: %d set-ups: a loop has at least one", setups)
	}
	return shortLoop * math.Sqrt(float64(setups)), nil
}

// TwoPeg returns the collimation error of a level by the two-peg test, metres per metre of sight: positive when the line of
// sight rises.
//
//	c = (Δ − Δ')/(d_B − d_A)
//
// Δ reading on A less reading on B with the level midway (the true difference), Δ' the same with it near A, m; d distances
// from there to the rods, m. A rising line of sight reads c·d too high, so Δ' comes out c (d_B − d_A) too small.
// Source: elementary surveying texts. Error when the distances are equal.
func TwoPeg(midway, nearA, distanceA, distanceB float64) (float64, error) {
	if err := finite("reading or distance", midway, nearA, distanceA, distanceB); err != nil {
		return 0, err
	}
	if distanceA == distanceB {
		return 0, fmt.Errorf("survey: both pegs are %g m away: set the level close to one of them", distanceA)
	}
	return (midway - nearA) / (distanceB - distanceA), nil
}

// CollimationLimit is the error of a level above which it should be adjusted: 3 mm in 30 m. Source: common practice.
const CollimationLimit = 0.003 / 30

// curvature is the fall of a level sight below the curved line of sight, m per m²: 0.0675 m at 1 km, with normal refraction.
// Source: elementary surveying texts.
const curvature = 0.0675e-6

// CurvatureAndRefraction returns by how much a rod reads too high at a distance, metres: 0.0675 K², K in km. It cancels when
// back and fore sights are equally long, and is under 0.3 mm below 60 m. Source: elementary surveying texts.
func CurvatureAndRefraction(distance float64) float64 { return curvature * distance * distance }

// RodFor returns the reading at which the foot of the rod is at the design height, metres.
//
//	R = HI − z
//
// A larger reading means lower ground. Source: definition. Checked: SITE-08.
func RodFor(hi, design float64) float64 { return hi - design }

// CutAtRod returns how far the ground must go down at a stake, metres (negative: come up): R_design − R_ground.
// Source: definition.
func CutAtRod(designReading, groundReading float64) float64 { return designReading - groundReading }
