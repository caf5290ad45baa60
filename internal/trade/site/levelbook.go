package site

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/survey"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Sight says what a reading of the rod is for.
type Sight string

// The sights.
const (
	BackSight    Sight = "back"         // opens a set-up, on a point whose level is known
	Intermediate Sight = "intermediate" // a level wanted by the way
	ForeSight    Sight = "fore"         // closes a set-up, on the next turning point
)

// Choices are the words a file may use.
func (Sight) Choices() []string {
	return []string{string(BackSight), string(Intermediate), string(ForeSight)}
}

// Reading is one line of the level book, in the order it was read. A rod held upside down on an underside reads below zero.
type Reading struct {
	Point    string       `yaml:"point" says:"where the rod stood"`
	Sight    Sight        `yaml:"sight" says:"back, intermediate or fore"`
	Rod      known.Length `yaml:"rod" says:"rod reading" unit:"ft|m" show:"elevation"`
	At       string       `yaml:"at" says:"corner it stood at, where the level counts as ground"`
	X        known.Length `yaml:"x" says:"or distance to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Y        known.Length `yaml:"y" says:"and distance up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Distance known.Length `yaml:"distance" says:"from the level to the rod" unit:"ft|m" usual:"3..300|1..100" show:"distance"`
}

// TwoPegs is the test of the level: both rods read from midway, then from close to the first.
type TwoPegs struct {
	MidwayA known.Length `yaml:"midway_a" says:"rod on the first peg, read from midway" unit:"ft|m" show:"elevation"`
	MidwayB known.Length `yaml:"midway_b" says:"rod on the second peg, read from midway" unit:"ft|m" show:"elevation"`
	NearA   known.Length `yaml:"near_a" says:"rod on the first peg, read from close to it" unit:"ft|m" show:"elevation"`
	NearB   known.Length `yaml:"near_b" says:"rod on the second peg, read from there" unit:"ft|m" show:"elevation"`
	ToA     known.Length `yaml:"to_a" says:"from there to the first peg" unit:"ft|m" usual:"3..100|1..30" show:"distance"`
	ToB     known.Length `yaml:"to_b" says:"from there to the second peg" unit:"ft|m" usual:"30..400|10..120" show:"distance"`
}

func (t TwoPegs) readings() []known.Length {
	return []known.Length{t.MidwayA, t.MidwayB, t.NearA, t.NearB, t.ToA, t.ToB}
}

// RodKind says which way a rod counts.
type RodKind string

// The rods.
const (
	Standard RodKind = "standard" // more on the rod is lower ground
	Direct   RodKind = "direct"   // more on the rod is higher ground: it reads the level itself
)

// Choices are the words a file may use.
func (RodKind) Choices() []string { return []string{string(Standard), string(Direct)} }

// sign turns a reading into one of a standard rod, up to a constant that falls out.
func (k RodKind) sign() float64 {
	if k == Direct {
		return -1
	}
	return 1
}

// book is the level book as the engine takes it.
func (in Input) book() survey.LevelBook {
	b := survey.LevelBook{Start: in.Bench.Elevation.Value.Metres(), End: in.ClosesOn.Value.Metres(), EndKnown: in.ClosesOn.Given()}
	for _, r := range in.Book {
		b.Readings = append(b.Readings, survey.RodReading{Point: r.Point, Sight: survey.Sight(r.Sight), Reading: in.Rod.sign() * r.Rod.Value.Metres(), Distance: r.Distance.Value.Metres()})
	}
	return b
}

func (in Input) bookFaults(corners []string) check.Faults {
	var faults check.Faults
	if in.Rod != "" && in.Rod != Standard && in.Rod != Direct {
		faults = append(faults, check.Fault{Field: "site.rod", Given: string(in.Rod), Why: "is no rod known here.", Type: "Type standard (more is lower) or direct (more is higher)."})
	}
	if given := slices.ContainsFunc(in.TwoPegs.readings(), known.Length.Given); given {
		if slices.ContainsFunc(in.TwoPegs.readings(), func(k known.Length) bool { return !k.Given() || !quantity.Finite(float64(k.Value)) }) || in.TwoPegs.ToA.Value == in.TwoPegs.ToB.Value {
			faults = append(faults, check.Fault{Field: "site.two_peg", Why: "wants four readings and two different distances.", Type: "Give midway_a, midway_b, near_a, near_b, to_a and to_b."})
		}
	}
	if len(in.Book) == 0 {
		return faults
	}
	if !in.Bench.Elevation.Given() {
		faults = append(faults, check.Fault{Field: "site.bench_mark.elevation", Why: "is missing; the level book opens on it.", Type: "Type a level like 100.00 ft."})
	}
	for i, r := range in.Book {
		f := check.Fault{Field: fmt.Sprintf("site.level_book[%d]", i+1), Given: r.Point}
		switch {
		case !r.Rod.Given() || math.Abs(r.Rod.Value.Metres()) > longestRod || !quantity.Finite(float64(r.Rod.Value)):
			f.Why, f.Type = "has no rod reading that can be.", "Give `rod`, like 4.62."
		case r.At != "" && len(corners) > 0 && !slices.Contains(corners, r.At):
			f.Why, f.Type = "stood at no corner of this slab.", "The corners are "+strings.Join(corners, ", ")+"."
		default:
			continue
		}
		faults = append(faults, f)
	}
	if len(faults) > 0 {
		return faults
	}
	if _, err := in.book().Reduce(); err != nil {
		return check.Faults{{Field: "site.level_book", Why: "cannot be reduced: " + strings.TrimPrefix(err.Error(), "survey: ") + ".", Type: "Each set-up opens with a back sight and closes with a fore sight."}}
	}
	return nil
}

// longestRod is the longest level rod, m, with room for a direct rod that reads the level itself.
const longestRod = 10000

// readBook reduces the level book, spreads its misclosure and takes the levels that have a place as ground.
func (r *Result) readBook(in Input) {
	if len(in.Book) == 0 {
		return
	}
	levels, err := in.book().Reduce()
	if err != nil {
		return // Validate has refused it
	}
	s := &r.Working
	bench := working.Given(s, "bench_mark", "BM", "bench mark the book opens on", in.Bench.Elevation, quantity.AsElevation)
	formula := "z = HI − reading, HI = z + back sight"
	spread := levels.Closed && math.Abs(levels.Misclosure) <= allowedMisclosure(levels).most
	if spread {
		formula += "; − e · share of the way, or of the set-ups"
	}
	for i, p := range levels.Points {
		if !spread {
			p.Adjusted, p.Correction = p.Z, 0
		}
		reading := in.Book[i]
		rod := working.Given(s, fmt.Sprintf("rod_%d", i+1), "", fmt.Sprintf("%s sight on %s", reading.Sight, reading.Point), reading.Rod, quantity.AsElevation)
		z := fmt.Sprintf("level_%d", i+1)
		s.Show(working.Step{Name: z, Symbol: "z", Says: fmt.Sprintf("level of %s, %s from the reading before", reading.Point, riseWords(p.Rise, in.Units)), Formula: formula, Value: quantity.Plain(p.Adjusted, quantity.AsElevation), From: []string{bench, rod}, Source: sources.LevelBooking})
		if at, ok := r.readAt(reading); ok {
			r.addGround(in, Spot{Name: spotTitle(reading), At: at, Elevation: quantity.Length(p.Adjusted)}, "as the level book", z)
		}
	}
	s.Show(working.Step{Name: "page_check", Says: "ΣBS − ΣFS = Σrise − Σfall = last − first", Formula: fmt.Sprintf("%.3f − %.3f = %.3f − %.3f m", levels.BackSum, levels.ForeSum, levels.RiseSum, levels.FallSum),
		Value: quantity.Words(map[bool]string{true: "agrees", false: "does not agree"}[levels.ArithmeticAgrees]), From: []string{bench}, Source: sources.LevelBooking})
	if in.Rod != Direct {
		last := levels.Points[len(levels.Points)-1]
		hi := quantity.Length(last.HI)
		if spread {
			hi += quantity.Length(last.Correction)
		}
		s.Answer(working.Step{Name: "height_of_instrument", Symbol: "HI", Says: "height of the instrument at the last set-up", Formula: "level of the turning point + back sight", Value: quantity.Show(hi, quantity.AsElevation), From: []string{bench}, Source: sources.LevelBooking})
		r.Height = known.From(hi, "site.height_of_instrument")
	}
	r.Check(r.closure(in, levels)...)
}

// riseWords says a step of the rise-and-fall book.
func riseWords(rise float64, units quantity.System) string {
	word := "rise"
	if rise < 0 {
		word = "fall"
	}
	return word + " " + quantity.Plain(math.Abs(rise), quantity.AsElevation).String(units)
}

func spotTitle(r Reading) string {
	if r.Point != "" {
		return r.Point
	}
	return r.At
}

func (r *Result) readAt(b Reading) (geometry.Point, bool) {
	for _, c := range r.Corners {
		if b.At != "" && c.Name == b.At {
			return c.At, true
		}
	}
	return point(b.X, b.Y), b.X.Given() && b.Y.Given()
}

// closure holds the book's misclosure against what a careful crew allows.
func (r *Result) closure(in Input, levels survey.Levels) []check.Check {
	if !levels.Closed {
		return []check.Check{{ID: "site.levels-close", Level: check.Care, Source: sources.LevelBooking, Says: "The level book does not come back to a known level: nothing checks it.",
			Then: []string{"End on the bench mark it started from and type its level as closes_on."}}}
	}
	allowed := allowedMisclosure(levels)
	off := math.Abs(levels.Misclosure)
	r.Working.Answer(working.Step{Name: "misclosure", Symbol: "e", Says: "by how much the level book misses its closing level", Formula: "last level − known level; spread where it is small enough", Value: quantity.Plain(levels.Misclosure, quantity.AsDrop), From: []string{"page_check"}, Source: sources.LevelBooking})
	show := func(v float64) string { return quantity.Plain(v, quantity.AsDrop).String(in.Units) }
	return []check.Check{check.AtMost("site.levels-close", quantity.Plain(off, quantity.AsDrop), quantity.Plain(allowed.most, quantity.AsDrop), check.Stop,
		fmt.Sprintf("The level book closes within %s; %s is allowed (%s).", show(off), show(allowed.most), allowed.rule),
		fmt.Sprintf("The level book is off by %s; %s is allowed (%s): read it again, do not spread that.", show(off), show(allowed.most), allowed.rule),
		allowed.source, "Run the levels again with equal back and fore sights.")}
}

// allowance is the misclosure a run of levels may have, m.
type allowance struct {
	most   float64
	rule   string
	source sources.Key
}

// allowedMisclosure is 3 mm·√set-ups, never under 3 mm, or 12 mm·√km over a run whose distances are known, if that is more.
func allowedMisclosure(levels survey.Levels) allowance {
	short, _ := survey.ShortLoopMisclosure(levels.Setups)
	a := allowance{max(short, rodMark.Metres()), "3 mm·√set-ups, the rod's finest mark at least", sources.CommonPractice}
	if levels.Length > 0 {
		if long, err := survey.AllowableMisclosure(thirdOrder, levels.Length); err == nil && long > a.most {
			a = allowance{long, "12 mm·√km", sources.LevelClosure}
		}
	}
	return a
}

// rodMark is the finest mark of a rod in feet: two readings cannot agree better.
var rodMark = quantity.Feet(0.01)

// thirdOrder is the constant of third-order levelling, mm per √km.
const thirdOrder = 12

// testLevel judges the instrument by the two-peg test and the bench mark read again.
func (r *Result) testLevel(in Input) {
	if in.TwoPegs.MidwayA.Given() {
		t := in.TwoPegs
		c, err := survey.TwoPeg((t.MidwayA.Value - t.MidwayB.Value).Metres(), (t.NearA.Value - t.NearB.Value).Metres(), t.ToA.Value.Metres(), t.ToB.Value.Metres())
		if err == nil {
			c *= in.Rod.sign()
			r.Working.Answer(working.Step{Name: "collimation", Symbol: "c", Says: "error of the line of sight, per 100 of distance", Formula: "(Δ − Δ′)/(d_B − d_A)", Value: quantity.Plain(c, quantity.AsSlope), Source: sources.TapeCorrections})
			r.Check(check.AtMost("site.level-true", quantity.Plain(math.Abs(c), quantity.AsSlope), quantity.Plain(survey.CollimationLimit, quantity.AsSlope), check.Care,
				"The level passes the two-peg test.",
				fmt.Sprintf("The level is off by %.1f mm in 30 m (two-peg test).", math.Abs(c)*30e3),
				sources.TapeCorrections, "Have it adjusted; until then keep back and fore sights equally long."))
		}
	}
	if in.Bench.Again.Given() && in.Bench.Backsight.Given() {
		drift := math.Abs((in.Bench.Again.Value - in.Bench.Backsight.Value).Metres())
		r.Check(check.AtMost("site.level-drift", quantity.Plain(drift, quantity.AsDrop), quantity.Plain(driftLimit, quantity.AsDrop), check.Stop,
			"The bench mark reads the same at the end: the instrument did not move.",
			fmt.Sprintf("The bench mark reads %s off at the end: the instrument moved.", quantity.Plain(drift, quantity.AsDrop).String(in.Units)),
			sources.CommonPractice, "Shoot all levels again."))
	} else if in.Bench.Backsight.Given() && len(in.Book) == 0 {
		r.Check(check.Check{ID: "site.level-drift", Level: check.Care, Source: sources.CommonPractice, Says: "The bench mark was not read again at the end: a knocked tripod shows nowhere else.",
			Then: []string{"Read it at the start, after each break and at the end; type the last as bench_mark: {again: …}."}})
	}
}

// driftLimit is what a bench mark may read off at the end, m. Source: common practice.
const driftLimit = 0.003
