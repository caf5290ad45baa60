// Package terrain describes ground as a surface of triangles between measured shots, and answers how much lies between
// two such surfaces, where water stands and which way it runs.
//
// x east, y north, z up, metres. Depth is existing minus design: cut where it is above zero, fill where below.
// Triangulation is constrained Delaunay with exact predicates; volumes are exact integrals over the overlay of both
// triangulations, accurate to rounding: they are the volume of the model, and the model is as good as the shots.
package terrain

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// Shot is one measured place on the ground, metres.
type Shot struct {
	Name string  `json:"name,omitempty" yaml:"name,omitempty"` // as booked; empty: it is called by its number
	X    float64 `json:"x" yaml:"x"`
	Y    float64 `json:"y" yaml:"y"`
	Z    float64 `json:"z" yaml:"z"`
}

// Point is the shot's place in plan.
func (s Shot) Point() geometry.Point { return geometry.Point{X: s.X, Y: s.Y} }

// FaultKind says what is wrong with the shots or breaklines.
type FaultKind string

// The faults of a survey that no surface can be made of.
const (
	NotANumber     FaultKind = "not a number"
	TooFarOff      FaultKind = "too far off"
	TooFewShots    FaultKind = "too few shots"
	OnOneLine      FaultKind = "on one line"
	TwoHeights     FaultKind = "two heights"
	NoSuchShot     FaultKind = "no such shot"
	BreaklineCross FaultKind = "breaklines cross"
)

// Fault is one reason why the shots make no surface.
type Fault struct {
	Kind  FaultKind
	Says  string // a sentence with the remedy
	Shots []int  // positions of the shots at fault
	At    geometry.Point
}

// Error makes the fault an error; its text is the sentence.
func (f *Fault) Error() string { return f.Says }

// MergeHeight is the largest difference in height at which two shots at the same place count as one, metres: a difference
// that no level reads.
const MergeHeight = 1e-6

// Triangulate lays triangles between the shots. Each breakline is a chain of shot positions (0 for the first shot) whose
// links become edges of triangles. The rest is the constrained Delaunay triangulation; where four shots lie on one
// circle the diagonal from the lowest-numbered shot is taken, and [Surface.Warnings] tells when that choice matters.
//
// Shots at the same place and height are merged. Errors are [Fault] values, all joined into one: fewer than three shots,
// all on one line, a place with two heights, coordinates that are not numbers, breaklines that name no shot or cross
// between shots. n shots take about n log n time.
func Triangulate(shots []Shot, breaklines [][]int) (*Surface, error) {
	if err := inputFaults(shots, breaklines); err != nil {
		return nil, err
	}
	shots = measurable(shots)
	points := make([]geometry.Point, len(shots))
	for i, s := range shots {
		points[i] = s.Point()
	}
	m, ok := newMesh(points)
	if !ok {
		return nil, &Fault{Kind: OnOneLine, At: points[0],
			Says: "All shots lie on one line; take some to the side of it, or there is no surface."}
	}
	alias, err := mergeSame(m, shots)
	if err != nil {
		return nil, err
	}
	m.prepare()
	if err := enterBreaklines(m, shots, alias, breaklines); err != nil {
		return nil, err
	}
	return newSurface(m, shots, m.breakTies()), nil
}

// Range of the coordinates in which the predicates are exact, metres: further out their products lose their last bits in
// the end of the float64 range, nearer to zero they vanish.
const (
	farthest = 1e9
	nearest  = 1e-50
)

// measurable returns the shots with coordinates too small to be anything but zero set to it.
func measurable(shots []Shot) []Shot {
	copied := false
	for i, s := range shots {
		p := settle(s.Point())
		if p == s.Point() {
			continue
		}
		if !copied {
			shots, copied = slices.Clone(shots), true
		}
		shots[i].X, shots[i].Y = p.X, p.Y
	}
	return shots
}

func settle(p geometry.Point) geometry.Point {
	if math.Abs(p.X) < nearest {
		p.X = 0
	}
	if math.Abs(p.Y) < nearest {
		p.Y = 0
	}
	return p
}

func inputFaults(shots []Shot, breaklines [][]int) error {
	var faults []error
	for i, s := range shots {
		if !s.Point().IsFinite() || math.IsNaN(s.Z) || math.IsInf(s.Z, 0) {
			faults = append(faults, &Fault{Kind: NotANumber, Shots: []int{i},
				Says: fmt.Sprintf("%s has no usable coordinates; type x, y and height as numbers.", shotName(shots, i))})
		} else if max(math.Abs(s.X), math.Abs(s.Y), math.Abs(s.Z)) > farthest {
			faults = append(faults, &Fault{Kind: TooFarOff, Shots: []int{i}, At: s.Point(),
				Says: fmt.Sprintf("%s lies at (%g, %g), %g m up; check its unit, or measure from a mark on the site.", shotName(shots, i), s.X, s.Y, s.Z)})
		}
	}
	if len(shots) < 3 {
		faults = append(faults, &Fault{Kind: TooFewShots,
			Says: fmt.Sprintf("%d shots make no surface; take at least three that are not on one line.", len(shots))})
	}
	for k, line := range breaklines {
		for _, i := range line {
			if i < 0 || i >= len(shots) {
				faults = append(faults, &Fault{Kind: NoSuchShot,
					Says: fmt.Sprintf("Breakline %d names shot %d; there are %d shots.", k+1, i+1, len(shots))})
			}
		}
	}
	return errors.Join(faults...)
}

// shotName is how a sentence calls a shot.
func shotName(shots []Shot, i int) string {
	if shots[i].Name != "" {
		return "Shot " + shots[i].Name
	}
	return fmt.Sprintf("Shot %d", i+1)
}

// mergeSame maps each vertex to the one that stands for it, and refuses two heights at one place.
func mergeSame(m *mesh, shots []Shot) (alias map[int]int, err error) {
	alias = map[int]int{}
	var faults []error
	for _, pair := range m.same {
		i, j := int(pair[0]), int(pair[1])
		alias[i] = j
		if gap := math.Abs(shots[i].Z - shots[j].Z); gap > MergeHeight {
			i, j = min(i, j), max(i, j)
			faults = append(faults, &Fault{Kind: TwoHeights, Shots: []int{i, j}, At: shots[i].Point(), Says: fmt.Sprintf(
				"%s and %s stand at the same place (%.3f, %.3f) with heights %.3f apart; drop one, or for a kerb or wall set top and foot 10 mm apart in plan.",
				shotName(shots, i), lowerFirst(shotName(shots, j)), shots[i].X, shots[i].Y, gap)})
		}
	}
	return alias, errors.Join(faults...)
}

func lowerFirst(s string) string { return "s" + s[1:] }

func enterBreaklines(m *mesh, shots []Shot, alias map[int]int, breaklines [][]int) error {
	stand := func(i int) int32 {
		if j, ok := alias[i]; ok {
			i = j
		}
		return int32(i)
	}
	var faults []error
	for _, line := range breaklines {
		for k := 1; k < len(line); k++ {
			err := m.require(stand(line[k-1]), stand(line[k]))
			var c crossing
			if errors.As(err, &c) {
				err = crossingFault(shots, c)
			}
			if err != nil {
				faults = append(faults, err)
			}
		}
	}
	return errors.Join(faults...)
}

// crossingFault tells where two breaklines cross and how far apart their heights are there.
func crossingFault(shots []Shot, c crossing) *Fault {
	one, two := spaceLine{shots[c.a], shots[c.b]}, spaceLine{shots[c.c], shots[c.d]}
	at, _ := geometry.LineCrossing(one.plan(), two.plan())
	gap := math.Abs(one.heightAt(at) - two.heightAt(at))
	ids := []int{int(c.a), int(c.b), int(c.c), int(c.d)}
	slices.Sort(ids)
	return &Fault{Kind: BreaklineCross, Shots: ids, At: at, Says: fmt.Sprintf(
		"The breaklines %s–%s and %s–%s cross at (%.3f, %.3f) with heights %.3f apart; put one shot there and lead both through it.",
		lowerFirst(shotName(shots, int(c.a))), lowerFirst(shotName(shots, int(c.b))),
		lowerFirst(shotName(shots, int(c.c))), lowerFirst(shotName(shots, int(c.d))), at.X, at.Y, gap)}
}

// spaceLine is a straight line in space between two shots.
type spaceLine struct{ from, to Shot }

func (l spaceLine) plan() geometry.Segment {
	return geometry.Segment{A: l.from.Point(), B: l.to.Point()}
}

func (l spaceLine) heightAt(p geometry.Point) float64 {
	_, t := l.plan().Nearest(p)
	return l.from.Z + t*(l.to.Z-l.from.Z)
}
