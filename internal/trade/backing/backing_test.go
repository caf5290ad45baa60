package backing

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/calc/calctest"
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/known"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }

func spot(x, y float64) Spot { return Spot{known.Say(quantity.Feet(x)), known.Say(quantity.Feet(y))} }

func ft(x, y float64) geometry.Point {
	return geometry.Point{X: quantity.Feet(x).Metres(), Y: quantity.Feet(y).Metres()}
}

// backyard is a pad of 14 by 40 ft behind a fence with a gate, a house beside it, trees round it and a street in front.
func backyard(gate float64) Input {
	in := Defaults()
	in.Vehicle = known.Say(TravelTrailer)
	in.Outline = geometry.Polygon{Outer: []geometry.Point{ft(0, 0), ft(14, 0), ft(14, 40), ft(0, 40)}}
	in.Street.Line = []Spot{spot(-150, -40), spot(150, -40)}
	in.Gates = []Gate{{Name: "back gate", Line: []Spot{spot(7-gate/2, -20), spot(7+gate/2, -20)}}}
	in.Things = []Thing{
		{Kind: "fence", Name: "west fence", Line: []geometry.Point{ft(-160, -20), ft(7-gate/2, -20)}},
		{Kind: "fence", Name: "east fence", Line: []geometry.Point{ft(7+gate/2, -20), ft(160, -20)}},
		{Kind: "building", Name: "house", Line: []geometry.Point{ft(-60, -10), ft(-12, -10), ft(-12, 30), ft(-60, 30)}},
		{Kind: "fence", Name: "back fence", Line: []geometry.Point{ft(-160, 60), ft(160, 60)}},
		{Kind: "tree", Name: "oak", Centre: ft(24, 10), Radius: 0.3},
		{Kind: "sewer", Name: "septic line", Line: []geometry.Point{ft(-20, -15), ft(60, -15)}},
		{Kind: "overhead line", Name: "service drop", Line: []geometry.Point{ft(-40, -45), ft(-30, 0)}},
	}
	return in
}

func must(t testing.TB, in Input) Result {
	t.Helper()
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A long pickup backs a travel trailer through an 18 ft gate.
func ExampleDesign() {
	r, err := Design(backyard(18))
	fmt.Println(r.Possible, r.PullForwards, r.Made >= 0.95, err)
	// Output: true 0 true <nil>
}

func quick(in Input) Input {
	in.WhatIf, in.Drives = known.Say(false), known.Say(quantity.Number(40))
	return in
}

func checkOf(r Result, id check.ID) (check.Check, bool) {
	for _, c := range r.Checks {
		if c.ID == id {
			return c, true
		}
	}
	return check.Check{}, false
}

func TestNobodyAskedAndNothingIsLookedFor(t *testing.T) {
	r := must(t, Defaults())
	if c, ok := checkOf(r, "backing.way-in"); r.Asked || !ok || c.Level != check.NotComputed || Picture(Defaults(), r) != nil {
		t.Errorf("%+v", r.Checks)
	}
}

func TestTheWayEndsWhereItShall(t *testing.T) {
	in := quick(backyard(18))
	r := must(t, in)
	// 1e-6 m: reversing amplifies rounding over 25 m behind a 5.5 m tongue by e^4.6.
	if end := r.rig.End(r.In); end.At.Distance(r.Parked.At) > 1e-6 {
		t.Errorf("parks at %v, not %v", end.At, r.Parked.At)
	}
	if middle := r.rig.Bodies(r.Parked)[1].Centroid(); middle.Distance(in.Outline.Centroid()) > 1e-6 {
		t.Errorf("trailer stands on %v, slab's middle is %v", middle, in.Outline.Centroid())
	}
	if end := r.rig.End(r.Out); math.Abs(end.At.Y-ft(0, -40).Y) > r.scene.half {
		t.Errorf("way out ends at %v, off the street", end.At)
	}
	for _, p := range r.rig.Along(r.In, 0.3) {
		for _, b := range r.rig.Bodies(p) {
			if b.Distance(r.Spotter) < 1 {
				t.Fatalf("the spotter stands at %v, in the way", r.Spotter)
			}
		}
	}
}

// The fence of a narrow gate is named, and cut as told, the trailer gets in.
func TestTheChangeToldOpensTheWay(t *testing.T) {
	in := quick(backyard(9))
	r := must(t, in)
	if r.Possible || !r.Blocker.Proven || !strings.Contains(r.Blocker.Thing, "fence") || r.Blocker.Size <= 0 {
		t.Fatalf("possible %v, blocker %+v", r.Possible, r.Blocker)
	}
	wider := in
	wider.Things = append([]Thing{}, in.Things...)
	for i, thing := range wider.Things {
		if thing.Name != r.Blocker.Thing {
			continue
		}
		line := append([]geometry.Point{}, thing.Line...)
		by := r.Blocker.Size.Metres() + 0.1
		if thing.Name == "west fence" {
			line[1].X -= by
		} else {
			line[0].X += by
		}
		wider.Things[i].Line = line
	}
	if r := must(t, wider); !r.Possible {
		t.Errorf("still shut after %s", r.Blocker.Change)
	}
}

func TestTheSameTwice(t *testing.T) {
	in := quick(backyard(16))
	a, b := must(t, in), must(t, in)
	if !reflect.DeepEqual(a, b) || !reflect.DeepEqual(Picture(in, a), Picture(in, b)) {
		t.Error("two runs differ")
	}
}

func TestALowWireStopsTheTrailer(t *testing.T) {
	in := quick(backyard(18))
	in.Things = append(in.Things, Thing{Kind: "overhead line", Name: "low wire", Line: []geometry.Point{ft(-160, -15), ft(160, -15)}, Height: 3})
	r := must(t, in)
	if r.Possible || r.Blocker.Thing != "low wire" || !strings.Contains(r.Blocker.Change, "raise") {
		t.Errorf("possible %v, blocker %+v", r.Possible, r.Blocker)
	}
	in.Things[len(in.Things)-1].Height = 5
	if r := must(t, in); !r.Possible {
		t.Error("a wire at 5 m stops it")
	}
}

func TestATowedCarIsNeverBacked(t *testing.T) {
	in := quick(Defaults())
	in.Vehicle = known.Say(MotorHomeCar)
	in.Outline = geometry.Polygon{Outer: []geometry.Point{ft(-20, 30), ft(20, 30), ft(20, 50), ft(-20, 50)}}
	in.Street.Line = []Spot{spot(-200, 0), spot(200, 0)}
	in.Parked.Heading = known.Say(quantity.Angle(0))
	r := must(t, in)
	if !r.Possible || r.In.ReverseLength() > 0 || r.Out.ReverseLength() > 0 {
		t.Errorf("possible %v, %g m in reverse in, %g out", r.Possible, r.In.ReverseLength(), r.Out.ReverseLength())
	}
}

func TestTheMixerIsToldWhereItGets(t *testing.T) {
	in := quick(backyard(20))
	at := func(x, y float64, name string) Stand {
		return Stand{known.Say(quantity.Feet(x)), known.Say(quantity.Feet(y)), name}
	}
	in.Stands = []Stand{at(7, -5, "front"), at(-6, 20, "between house and slab")}
	r := must(t, in)
	if len(r.Stands) != 2 || !r.Stands[0].Reached || r.Stands[1].Reached {
		t.Fatalf("%+v", r.Stands)
	}
	if len(r.Stands[0].Over) != 1 || r.Stands[0].Over[0].Name != "septic line" {
		t.Errorf("rolls over %v", r.Stands[0].Over)
	}
}

func TestTheMixerAloneNeedsNoVehicle(t *testing.T) {
	in := quick(backyard(20))
	in.Vehicle = known.Known[Kind]{}
	in.Stands = []Stand{{known.Say(quantity.Feet(7)), known.Say(quantity.Feet(-5)), "front"}}
	r := must(t, in)
	if c, ok := checkOf(r, "backing.mixer"); r.Asked || !ok || c.Level == check.NotComputed || len(r.Stands) != 1 {
		t.Errorf("%+v", r.Checks)
	}
}

func TestGuttersAndSlopes(t *testing.T) {
	in := quick(backyard(18))
	level := func(along, z float64) Level {
		return Level{known.Say(quantity.Feet(along)), known.Say(quantity.Feet(z))}
	}
	in.Profile = []Level{level(0, 100), level(20, 99.6), level(22, 99.6), level(40, 100.5), level(80, 100.6)}
	in.Flats = []Flat{{Outline: in.Outline, A: 30, B: 0.02}}
	r := must(t, in)
	if c, ok := checkOf(r, "backing.humps"); !ok || c.Level != check.Good {
		t.Errorf("a gentle gutter: %+v", c)
	}
	if c, ok := checkOf(r, "backing.level"); !ok || c.Level != check.Good || !strings.Contains(c.Says, "1 3/4 in") {
		t.Errorf("2 %% across 2.3 m is 46 mm: %+v", c)
	}
	in.Profile = []Level{level(0, 100), level(20, 98), level(21, 98), level(30, 101), level(80, 101)}
	if c, ok := checkOf(must(t, in), "backing.humps"); !ok || c.Level != check.Stop {
		t.Errorf("a deep gutter: %+v", c)
	}
}

func TestPicturesSayWhatTheyShow(t *testing.T) {
	allowed := map[string]bool{}
	for _, l := range draft.Layers() {
		allowed[l.Name] = true
	}
	for _, gate := range []float64{18, 7} {
		in := quick(backyard(gate))
		r := must(t, in)
		for _, p := range Picture(in, r) {
			if p.Title == "" || p.Says == "" || len(p.Table.Rows) == 0 || len(p.Marks) == 0 {
				t.Errorf("%s says nothing", p.Name)
			}
			for _, m := range p.Marks {
				if !allowed[drawing.LayerOf(m).Name] {
					t.Errorf("%s draws on %q", p.Name, drawing.LayerOf(m).Name)
				}
			}
		}
	}
}

func TestTheFilmRunsFromStreetToSlab(t *testing.T) {
	in := quick(backyard(18))
	r := must(t, in)
	f := Picture(in, r)[0].Film
	if f == nil || len(f.Bodies) != 2 || len(f.Words) != len(r.Moves) || f.Seconds < 5 {
		t.Fatalf("%+v", f)
	}
	for _, b := range f.Bodies {
		for i := 1; i < len(b.Stands); i++ {
			a, c := b.Stands[i-1], b.Stands[i]
			// 0.5 m and half a radian: the axle of a trailer moves at most as far as its hitch, a little more than the tow vehicle's step.
			if a.At.Distance(c.At) > 0.5 || math.Abs(a.Heading-c.Heading) > 0.5 {
				t.Fatalf("%s jumps at still %d: %v to %v", b.Ref, i, a, c)
			}
		}
	}
	tow, trailer := f.Bodies[0].Stands, f.Bodies[1].Stands
	if tow[0].At != r.Starts.At || tow[len(tow)-1].At.Distance(r.Parked.At) > 1e-6 || trailer[len(trailer)-1].At.Distance(r.rig.TrailerAt(r.Parked)) > 1e-6 {
		t.Errorf("runs from %v to %v", tow[0], tow[len(tow)-1])
	}
}

func TestFaultsSayWhatToType(t *testing.T) {
	in := backyard(16)
	in.Vehicle, in.Margin = known.Say(Kind("chariot")), known.Say(quantity.Length(math.NaN()))
	in.Street.Line[1] = in.Street.Line[0]
	in.Gates[0].Line = in.Gates[0].Line[:1]
	in.Things[4].Centre.X = math.Inf(1)
	_, err := Design(in)
	faults, ok := err.(check.Faults)
	if !ok || len(faults) != 5 {
		t.Fatalf("%v", err)
	}
	for _, f := range faults {
		if f.Type == "" || f.Why == "" {
			t.Errorf("%+v", f)
		}
	}
	in = backyard(16)
	in.Measured.Wheelbase = known.Say(quantity.Metres(-1))
	if _, err := Design(in); err == nil {
		t.Error("a vehicle with its axles the wrong way round is planned")
	}
}

// Whatever stands on the lot, the stage answers; when it says yes, the way really clears everything.
func TestAYesIsAlwaysClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := quick(Defaults())
		in.Drives = known.Say(quantity.Number(20))
		in.Vehicle = known.Say(rapid.SampledFrom([]Kind{Car, Pickup, BoatTrailer, MotorHome}).Draw(t, "vehicle"))
		in.Outline = geometry.Polygon{Outer: []geometry.Point{ft(0, 0), ft(14, 0), ft(14, 40), ft(0, 40)}}
		in.Street.Line = []Spot{spot(-120, -35), spot(120, -35)}
		for range rapid.IntRange(0, 5).Draw(t, "trees") {
			in.Things = append(in.Things, Thing{Kind: "tree", Name: "tree", Radius: 0.3,
				Centre: ft(rapid.Float64Range(-30, 44).Draw(t, "x"), rapid.Float64Range(-25, 50).Draw(t, "y"))})
		}
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		if !r.Possible {
			return
		}
		for _, p := range r.rig.Along(r.In, 0.1) {
			for _, b := range r.rig.Bodies(p) {
				for _, o := range r.scene.obstacles[:len(in.Things)] {
					if b.Distance(o.At) < o.Radius {
						t.Fatalf("runs over a tree at %v", o.At)
					}
				}
			}
		}
	})
}

// Wheels cross the curb only at the throat; narrowed below the wheels' stance, it shuts the way.
func TestWheelsKeepToTheThroat(t *testing.T) {
	in := quick(backyard(18))
	in.Street.Throat = []Spot{spot(-8, -28), spot(22, -28)}
	r := must(t, in)
	if !r.Possible {
		t.Fatalf("a throat of 30 ft: %s", r.Blocker.Thing)
	}
	curb := in.Street.Line[0].at().Y + r.scene.half
	for _, w := range r.tracks(r.rig.Along(r.In, 0.1)) {
		for i := 1; i < len(w.way); i++ {
			if a, b := w.way[i-1], w.way[i]; (a.Y-curb)*(b.Y-curb) < 0 && (a.X < ft(-8, 0).X || a.X > ft(22, 0).X) {
				t.Fatalf("%s crosses the curb at %v", w.wheel, a)
			}
		}
	}
	if last := r.Gates[len(r.Gates)-1]; last.Name != "the throat of the drive" || last.Least <= 0 {
		t.Errorf("throat: %+v", last)
	}
	in.Street.Throat = []Spot{spot(4, -28), spot(10, -28)}
	if r := must(t, in); r.Possible || r.Blocker.Thing != "the curb" {
		t.Errorf("a throat of 6 ft: possible %v, %+v", r.Possible, r.Blocker)
	}
}

// What hangs stops the tall, what lies low stops wheels: each named as the thing in the way.
func TestEavesBranchesAndSoftGroundAreMinded(t *testing.T) {
	across := []geometry.Point{ft(-160, -15), ft(160, -15)}
	for _, c := range []struct {
		thing    Thing
		possible bool
	}{
		{Thing{Kind: "eave", Name: "carport eave", Line: across, Height: 3}, false},
		{Thing{Kind: "eave", Name: "carport eave", Line: across, Height: 3.6}, true},
		{Thing{Kind: "low branch", Name: "maple branch", Line: across, Height: 2.5}, false},
		{Thing{Kind: "curb", Name: "garden curb", Line: across}, false},
		{Thing{Kind: "drop", Name: "ditch", Line: across}, false},
		{Thing{Kind: "soft ground", Name: "bog", Line: []geometry.Point{ft(-160, -16), ft(160, -16), ft(160, -10), ft(-160, -10)}}, false},
	} {
		in := quick(backyard(18))
		in.Things = append(in.Things, c.thing)
		if r := must(t, in); r.Possible != c.possible || !c.possible && r.Blocker.Thing != c.thing.Name {
			t.Errorf("%s %g m: possible %v, blocker %+v", c.thing.Name, c.thing.Height, r.Possible, r.Blocker)
		}
	}
}

// Levels come from the slab and the shots; the step at the slab's edge and the share of the way that is known follow from them.
func TestLevelsComeFromSlabAndShots(t *testing.T) {
	in := quick(backyard(18))
	in.Flats = []Flat{{Outline: in.Outline, A: 30.1}}
	for _, p := range []geometry.Point{ft(-200, -80), ft(200, -80), ft(200, 80), ft(-200, 80)} {
		in.Shots = append(in.Shots, Shot{At: p, Level: 30})
	}
	r := must(t, in)
	// 10 cm of slab over level ground: 1e-9 m for rounding.
	if !r.EdgeStep.Found || math.Abs(r.EdgeStep.Height.Metres()-0.1) > 1e-9 || r.Under.Known != 1 || !r.Under.Found {
		t.Errorf("step %+v, under %+v", r.EdgeStep, r.Under)
	}
	if c, ok := checkOf(r, "backing.edge-step"); !ok || c.Level != check.Care {
		t.Errorf("%+v", c)
	}
	for _, b := range r.Blocks {
		if math.Abs(b.Height.Metres()) > 1e-9 {
			t.Errorf("a level slab wants %+v", b)
		}
	}
	in.Shots = nil
	if r := must(t, in); r.EdgeStep.Found || r.Under.Found || len(r.Blocks) != 2 {
		t.Errorf("the tow vehicle never stands on the slab, the trailer does: %+v, %+v, %+v", r.EdgeStep, r.Under, r.Blocks)
	}
	in.Flats = nil
	if c, _ := checkOf(must(t, in), "backing.humps"); c.Level != check.NotComputed {
		t.Errorf("without levels: %+v", c)
	}
}

// A wheel pair of a 70,000 lb mixer, 0.7/4 of it on 10 by 20 in spread two feet deep: 12,250 lb over 34 by 44 in is 8.19 psi.
func TestPressureUnderTheMixer(t *testing.T) {
	got := pressureAt(quantity.Of[quantity.Mass](70_000, "lb"), quantity.Inches(24))
	if want := quantity.Of[quantity.Stress](12_250.0/(34*44), "psi"); math.Abs(float64(got/want)-1) > 1e-6 {
		t.Errorf("%v, not %v", got, want)
	}
}

// What is drawn of a line lies in the window, and all of it that does.
func TestLinesAreDrawnWithinTheirWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := geometry.Box{Min: geometry.Point{X: -2, Y: -1}, Max: geometry.Point{X: 3, Y: 4}}
		var line []geometry.Point
		for range rapid.IntRange(2, 5).Draw(t, "points") {
			line = append(line, geometry.Point{X: rapid.Float64Range(-8, 8).Draw(t, "x"), Y: rapid.Float64Range(-8, 8).Draw(t, "y")})
		}
		drawn := 0.0
		for _, piece := range within(line, box) {
			drawn += geometry.PathLength(piece)
			for _, q := range piece {
				if !box.Expand(1e-9).Contains(q) {
					t.Fatalf("%v is drawn outside", q)
				}
			}
		}
		inside, steps := 0.0, 20_000
		for i := 1; i < len(line); i++ {
			for j := range steps {
				if box.Contains(line[i-1].Lerp(line[i], (float64(j)+0.5)/float64(steps))) {
					inside += line[i-1].Distance(line[i]) / float64(steps)
				}
			}
		}
		// 0.01 m: the ends of at most four pieces, each cut to a step of at most 23 m / 20,000.
		if math.Abs(drawn-inside) > 0.01 {
			t.Fatalf("%g m drawn, %g m inside", drawn, inside)
		}
	})
}
