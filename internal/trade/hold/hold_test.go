package hold

import (
	"encoding/json"
	"fmt"
	"math"
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
	"slabwright/internal/trade/working/workingtest"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }

func rect(x0, y0, x1, y1 float64) geometry.Polygon {
	return geometry.Polygon{Outer: []geometry.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}
}

// trailer is a tandem on 12 ft panels over clay with 4 in of stone, and its jacks.
func trailer(panels ...geometry.Polygon) Input {
	in := Defaults()
	for i, p := range panels {
		in.Panels = append(in.Panels, Panel{i + 1, p})
	}
	in.Thickness = known.Say(quantity.Inches(6))
	in.SubgradeModulus = known.Say(quantity.Of[quantity.SubgradeModulus](97, "pci"))
	in.BetterSupport = known.Say(quantity.Of[quantity.SubgradeModulus](120, "pci"))
	in.DowelStiffness = known.Say(quantity.Ratio(15))
	for i, x := range []float64{0, 0.85} {
		for _, y := range []float64{-0.925, 0.925} {
			in.Prints = append(in.Prints, Print{Name: fmt.Sprintf("axle %d", i+1), At: geometry.Point{X: x, Y: y}, Force: 8500, Along: 0.165, Wide: 0.114})
		}
	}
	return in
}

func withJacks(in Input) Input {
	for _, p := range [][2]float64{{-1.5, -0.8}, {-1.5, 0.8}} {
		in.Prints = append(in.Prints, Print{Name: "jack", At: geometry.Point{X: p[0], Y: p[1]}, Force: 5000, Along: 0.3, Wide: 0.3, Post: true})
	}
	return in
}

// lWithLidAndSkew is an L of four panels: one has a box-out for a lid, one a skewed side.
func lWithLidAndSkew() []geometry.Polygon {
	lid := rect(3.66, 0, 7.32, 3.66)
	lid.Holes = [][]geometry.Point{{{X: 5, Y: 1}, {X: 5, Y: 1.6}, {X: 5.6, Y: 1.6}, {X: 5.6, Y: 1}}}
	skew := geometry.Polygon{Outer: []geometry.Point{{X: 7.32, Y: 0}, {X: 10.5, Y: 0}, {X: 11.2, Y: 3.66}, {X: 7.32, Y: 3.66}}}
	return []geometry.Polygon{rect(0, 0, 3.66, 3.66), lid, skew, rect(0, 3.66, 3.66, 7.32)}
}

func designed(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func caseOf(r Result, name string) (Case, bool) {
	for _, c := range r.Cases {
		if c.Name == name {
			return c, true
		}
	}
	return Case{}, false
}

// Closed forms for the same trailer on an endless slab, 6 in on 97 pci (the slab stage): 204 psi where an axle crosses a
// free edge. They leave out that the axle's other wheel relieves, which on real panels takes 10 to 20 % off.
func TestRealPanelsAgainstClosedForms(t *testing.T) {
	in := withJacks(trailer(lWithLidAndSkew()...))
	in.ClosedForms = []ClosedForm{{crossing, quantity.PSI(204)}}
	r := designed(t, in)
	entrance, ok := caseOf(r, crossing)
	if ratio := entrance.Stress.PSI() / 204; !ok || ratio < 0.8 || ratio > 1 || entrance.Closed != quantity.PSI(204) {
		t.Errorf("axle crossing an edge: %g psi, closed form 204", entrance.Stress.PSI())
	}
	for _, name := range []string{lane, astray, jack, lane + " by day", crossing + " by day", "top at dawn"} {
		c, ok := caseOf(r, name)
		if !ok || !(c.Utilisation > 0 && c.Utilisation < 1.5) {
			t.Errorf("%s: %+v", name, c.Utilisation)
		}
	}
	if dawn, _ := caseOf(r, "top at dawn"); dawn.Face != "top" || dawn.Contact >= 1 {
		t.Errorf("at dawn the corners lift and the top is in tension: %s, contact %g", dawn.Face, dawn.Contact)
	}
	if r.Balance > 1e-8 || r.Accuracy > 0.02 {
		t.Errorf("balance %g, mesh %g", r.Balance, r.Accuracy)
	}
	if len(r.Corners) != 4 {
		t.Errorf("the lid has four corners that turn inward: %v", r.Corners)
	}
	if r.Changes[0].Utilisation >= r.Utilisation {
		t.Errorf("nothing helps: %+v", r.Changes)
	}
	sound(t, in, r)
}

// sound holds a result to what every result must be.
func sound(t *testing.T, in Input, r Result) {
	t.Helper()
	workingtest.RestsOnSomething(t, r.Report())
	for _, c := range r.Checks {
		if c.Level == check.NotComputed {
			t.Errorf("check %s is not computed", c.ID)
		}
	}
	if _, err := json.Marshal(r); err != nil {
		t.Error(err)
	}
	listed := map[string]bool{}
	for _, l := range draft.Layers() {
		listed[l.Name] = true
	}
	for _, p := range Picture(in, r) {
		if p.Title == "" || p.Says == "" || len(p.Table.Rows) == 0 || len(p.Legend) == 0 || len(p.Marks) == 0 {
			t.Errorf("%s says too little", p.Name)
		}
		for _, m := range p.Marks {
			if !listed[drawing.LayerOf(m).Name] {
				t.Errorf("%s: layer %q", p.Name, drawing.LayerOf(m).Name)
			}
		}
	}
}

// quick is an input whose answer takes little: one axle, no maps on a fine mesh.
func quick(in Input) Input {
	in.Prints = in.Prints[:2] // one axle
	in.Finest, in.InfluencePlaces = known.Say(false), known.Say(false)
	return in
}

func TestOneQuestionHasOneAnswer(t *testing.T) {
	in := quick(trailer(rect(0, 0, 2.5, 2.5)))
	a, b := designed(t, in), designed(t, in)
	one, _ := json.Marshal(a)
	two, _ := json.Marshal(b)
	if string(one) != string(two) {
		t.Error("two answers to one question")
	}
}

func TestThickerAndLighterUseLess(t *testing.T) {
	in := quick(trailer(rect(0, 0, 3.5, 3)))
	base := designed(t, in)
	thick := in
	thick.Thickness = known.Say(quantity.Inches(7))
	if r := designed(t, thick); r.Utilisation >= base.Utilisation || r.Chance < base.Chance {
		t.Errorf("an inch more: %g then %g, chance %g then %g", base.Utilisation, r.Utilisation, base.Chance, r.Chance)
	}
	light := in
	light.DayWarm, light.DawnCold = known.Say(quantity.TempDiff(0)), known.Say(quantity.TempDiff(0))
	light.Prints = append([]Print{}, in.Prints...)
	full := designed(t, light)
	for i := range light.Prints {
		light.Prints[i].Force /= 2
	}
	// Without curling the plate is linear: half of the load, half of the stress.
	if r := designed(t, light); math.Abs(r.Utilisation/full.Utilisation-0.5) > 1e-6 {
		t.Errorf("half of the load uses %g of %g", r.Utilisation, full.Utilisation)
	}
}

// Turning and moving the whole slab changes nothing but the mesh.
func TestTheSlabMayLieAnywhere(t *testing.T) {
	in := quick(trailer(rect(0, 0, 3.5, 3)))
	in.DayWarm, in.DawnCold = known.Say(quantity.TempDiff(0)), known.Say(quantity.TempDiff(0))
	turned := in
	turned.Panels = []Panel{{1, rect(0, 0, 3.5, 3).Rotate(geometry.Point{}, 0.3).Translate(geometry.Point{X: 20, Y: -7})}}
	a, b := designed(t, in), designed(t, turned)
	if math.Abs(a.Utilisation/b.Utilisation-1) > 0.02 {
		t.Errorf("straight %g, turned %g", a.Utilisation, b.Utilisation)
	}
}

func TestEdgesAndJoints(t *testing.T) {
	m := newModel(trailer(lWithLidAndSkew()...))
	if len(m.joints) != 3 {
		t.Errorf("%d joints between four panels in an L", len(m.joints))
	}
	free, whole := 0.0, 0.0
	for _, e := range m.free {
		free += e.Length()
	}
	for _, p := range m.in.Panels {
		for _, e := range p.Outline.Edges() {
			whole += e.Length()
		}
	}
	if math.Abs(whole-2*3*3.66-free) > 1e-9 {
		t.Errorf("free edges %g m of %g m", free, whole)
	}
	// A long panel beside two short ones: T-joints.
	joints, edge := edges([]Panel{{1, rect(0, 0, 6, 2)}, {2, rect(0, 2, 3, 4)}, {3, rect(3, 2, 6, 4)}})
	if len(joints) != 3 || len(edge) != 7 {
		t.Errorf("%d joints, %d free edges", len(joints), len(edge))
	}
}

func TestWhereTheLoadMayStand(t *testing.T) {
	m := newModel(withJacks(trailer(rect(0, 0, 6, 5))))
	kinds := map[string]int{}
	for _, s := range m.spots() {
		kinds[s.kind]++
		on, whole := m.placed(s, m.vehicle(s))
		if !whole || len(on) == 0 {
			t.Fatalf("%+v stands partly off the slab", s)
		}
		for _, p := range on {
			near := math.Inf(1)
			for _, e := range m.sides {
				near = math.Min(near, distance(p, e))
			}
			if limit := m.in.JackClearance.Value.Metres(); s.posts && near < limit-keeping {
				t.Fatalf("a jack %g m from an edge", near)
			}
			if s.kind == lane && near < m.in.WheelClearance.Value.Metres()-keeping {
				t.Fatalf("a wheel in its lane %g m from an edge", near)
			}
		}
	}
	for _, kind := range order {
		if kinds[kind] == 0 {
			t.Errorf("no place for %s: %v", kind, kinds)
		}
	}
}

func TestJacksKeepFromJointsWhereTheyCan(t *testing.T) {
	room := newModel(withJacks(trailer(rect(0, 0, 4, 4), rect(4, 0, 8, 4))))
	for _, s := range room.spots() {
		if !s.posts {
			continue
		}
		on, _ := room.placed(s, room.loads[1])
		for _, p := range on {
			if d := distance(p, room.joints[0]); d < room.in.JackClearance.Value.Metres()-keeping {
				t.Fatalf("a jack %g m from a joint", d)
			}
		}
	}
	if room.onCuts {
		t.Error("there is room between the joints")
	}
	tight := newModel(withJacks(trailer(rect(0, 0, 1.4, 4), rect(1.4, 0, 2.8, 4), rect(2.8, 0, 4.2, 4))))
	if tight.spots(); !tight.onCuts {
		t.Error("between joints 1.4 m apart two pads cannot keep 0.61 m from them")
	}
}

func TestFaults(t *testing.T) {
	for field, change := range map[string]func(*Input){
		"subgrade_modulus":  func(in *Input) { in.SubgradeModulus = known.Say(quantity.SubgradeModulus(400e6)) },
		"thickness":         func(in *Input) { in.Thickness = known.Say(quantity.Millimetres(50)) },
		"flexural_strength": func(in *Input) { in.Flexural = known.Say(quantity.PSI(4000)) },
		"prints":            func(in *Input) { in.Prints = nil },
		"prints[1]":         func(in *Input) { in.Prints = append([]Print{}, in.Prints...); in.Prints[0].Along = 0 },
		"panels":            func(in *Input) { in.Panels = nil },
		"panels[1].outline": func(in *Input) {
			in.Panels = []Panel{{1, geometry.Polygon{Outer: []geometry.Point{{}, {X: 3, Y: 3}, {X: 3}, {Y: 3}}}}}
		},
		"dawn_difference": func(in *Input) { in.DawnCold = known.Say(quantity.TempDiff(-5)) },
		"joint_stiffness": func(in *Input) { in.JointStiffness = known.Ratio{} },
		"safety_rare":     func(in *Input) { in.SafetyRare = known.Say(quantity.Ratio(0.5)) },
	} {
		in := trailer(rect(0, 0, 3, 3))
		change(&in)
		faults := in.Validate()
		if len(faults) != 1 || faults[0].Field != field || faults[0].Type == "" {
			t.Errorf("%s: %v", field, faults)
		}
		if _, err := Design(in); err == nil {
			t.Errorf("%s: answered all the same", field)
		}
	}
	overlapping := trailer(rect(0, 0, 3, 3), rect(2, 0, 5, 3))
	if faults := overlapping.Validate(); len(faults) == 0 {
		t.Error("panels that overlap were taken")
	}
	small := trailer(rect(0, 0, 0.1, 0.1))
	if _, err := Design(small); err == nil || !strings.Contains(err.Error(), "wholly on the slab") {
		t.Errorf("a slab smaller than a tyre: %v", err)
	}
}

func TestParabolaAndTriangle(t *testing.T) {
	p := through(-0.5, -0.2, 0.5, 0.3)
	if math.Abs(p.at(-0.5)+0.2) > 1e-12 || math.Abs(p.at(0.5)-0.3) > 1e-12 || p.at(0) != 0 {
		t.Error("the parabola misses its points")
	}
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.1, 1).Draw(t, "low")
		tri := triangle{low, 1, 1 + rapid.Float64Range(0, 1).Draw(t, "more")}
		if v := tri.draw(diceOf(rapid.Uint64().Draw(t, "seed"))); v < tri.low-1e-12 || v > tri.high+1e-12 {
			t.Fatalf("%g of %+v", v, tri)
		}
	})
}

// A contour of a plane is a straight line, in one piece.
func TestContours(t *testing.T) {
	g := Grid{Pitch: 1, Columns: 5, Rows: 4}
	for j := range 4 {
		for i := range 5 {
			v := float64(i) + 0.25*float64(j)
			g.Values = append(g.Values, &v)
		}
	}
	lines := chains(g.contour(1.6, geometry.Point{X: 4, Y: 3}))
	if len(lines) != 1 || math.Abs(geometry.PathLength(lines[0])-math.Hypot(3, 0.75)) > 1e-9 {
		t.Errorf("%d lines, first %v", len(lines), lines[0])
	}
	g.Values[0], g.Values[6] = nil, nil
	if len(g.contour(1.1, geometry.Point{X: 4, Y: 3})) >= 2*4*3 {
		t.Error("lines run over what is no slab")
	}
}

// A slab set out by tape is never square to the millimetre; its panels still share their joints.
func TestPanelsOffByMillimetresAreLinedUp(t *testing.T) {
	taped := []Panel{
		{1, geometry.Polygon{Outer: []geometry.Point{{}, {X: 3.048}, {X: 3.048, Y: 3.6596}, {X: 0.0012, Y: 3.6596}}}},
		{2, geometry.Polygon{Outer: []geometry.Point{{X: 3.048}, {X: 6.706}, {X: 6.706, Y: 3.6592}, {X: 3.048, Y: 3.6596}}}},
		{3, geometry.Polygon{Outer: []geometry.Point{{X: 3.048, Y: 3.6596}, {X: 6.0954, Y: 3.6596}, {X: 6.0962, Y: 5.792}, {X: 3.048, Y: 5.792}}}},
	}
	joints, _ := edges(linedUp(taped))
	if len(joints) != 2 {
		t.Fatalf("%d joints", len(joints))
	}
	for _, j := range joints {
		if math.Abs(j.A.X-j.B.X) > 1e-12 && math.Abs(j.A.Y-j.B.Y) > 1e-12 {
			t.Errorf("joint %v is not straight along one line", j)
		}
	}
	for i, p := range linedUp(taped) {
		for k, q := range p.Outline.Outer {
			if d := q.Distance(taped[i].Outline.Outer[k]); d > setTo*math.Sqrt2 {
				t.Errorf("corner %d of panel %d moved %v m", k, i+1, d)
			}
		}
	}
}
