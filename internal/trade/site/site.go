// Package site answers: is the outline right, what is in the way, and what is the ground?
//
// It turns tapes, corners and rod readings into an outline in metres, finds which sides run along a wall, cuts the box-outs
// for lids and posts, and holds every tree, line and wall against the distance it needs. Until a locate ticket and its legal
// start are known, its answer to "may we dig?" is no.
package site

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Result is the lot as the other stages see it, in metres.
type Result struct {
	Outline geometry.Polygon `json:"outline"` // box-outs as holes
	Corners []Place          `json:"corners"` // of the outer edge, in order
	Sides   []Side           `json:"sides"`   // side i runs from corner i to the next
	Ground  []Spot           `json:"ground"`  // existing levels, each place once

	Breaklines [][]int   `json:"breaklines,omitempty"` // lines the ground bends along, as positions in Ground
	Contours   []Contour `json:"contours,omitempty"`   // of the ground, near the slab

	Things    []Thing         `json:"things"` // obstacles with their zones
	Area      quantity.Area   `json:"area"`   // less box-outs
	Perimeter quantity.Length `json:"perimeter"`
	DoNotDig  bool            `json:"do_not_dig"`
	Height    known.Length    `json:"height_of_instrument"` // missing without a backsight or with a direct rod
	Bows      []Bow           `json:"bows,omitempty"`       // curved sides
	Doubts    []Doubt         `json:"doubts,omitempty"`     // of corners that were taped
	working.Answer
}

// Place is a named point.
type Place struct {
	Name string         `json:"name" yaml:"name"`
	At   geometry.Point `json:"at" yaml:"at"`
}

// Side is one side of the outer edge.
type Side struct {
	Name    string          `json:"name"`
	Length  quantity.Length `json:"length"`
	Against string          `json:"against,omitempty"` // the wall, building or old slab it runs along
}

// Spot is a level on the ground.
type Spot struct {
	Name      string          `json:"name,omitempty" yaml:"name"`
	At        geometry.Point  `json:"at" yaml:"at"`
	Elevation quantity.Length `json:"elevation" yaml:"elevation"`
	Step      string          `json:"-" yaml:"-"` // of the sheet, that found it
}

// Thing is an obstacle with its shape and the distance it asks for.
type Thing struct {
	Kind    Kind             `json:"kind"`
	Name    string           `json:"name"`
	Centre  geometry.Point   `json:"centre,omitzero"`
	Radius  float64          `json:"radius,omitempty"` // m, of round things
	Line    []geometry.Point `json:"line,omitempty"`
	Zone    float64          `json:"zone,omitempty"` // m: root radius, tolerance each side, clearance
	InSlab  bool             `json:"in_slab,omitempty"`
	Touches bool             `json:"touches,omitempty"` // it stands against or in the slab: isolate it
}

// Design reads the lot. Faults name the field and what to type instead.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	var r Result
	outer, faults := r.outline(in)
	if err := faults.Err(); err != nil {
		return Result{}, err
	}
	if err := r.place(in, outer); err != nil {
		return Result{}, err
	}
	r.measure(in)
	r.levels(in)
	if err := r.ground(in).Err(); err != nil {
		return Result{}, err
	}
	r.Check(squareness(in, r)...)
	r.Check(typedSides(in, r)...)
	r.Check(r.clearances(in)...)
	r.Check(r.town(in)...)
	r.Check(r.locate(in))
	r.explainZones(in)
	return r, nil
}

// place puts the things on the lot, cuts the box-outs and finds what each side runs along.
func (r *Result) place(in Input, outer []geometry.Point) error {
	slab := geometry.Polygon{Outer: outer}.Oriented()
	for i, o := range in.Obstacles {
		t := in.thing(i, o)
		t.relate(slab)
		if ring := in.boxOut(t, slab); ring != nil {
			slab.Holes = append(slab.Holes, ring)
			t.Touches = t.Touches || t.Kind.rigid()
		}
		r.Things = append(r.Things, t)
	}
	if faults := slab.Faults(); len(faults) > 0 {
		return check.Faults{{Field: "site", Why: "the slab and its box-outs do not fit together: " + strings.TrimSuffix(faults[0].Says, ".") + ".",
			Type: "Move the corner or the lid, or check their sizes."}}
	}
	r.Outline = slab
	r.sides(in)
	return nil
}

func (r *Result) sides(in Input) {
	n := len(r.Outline.Outer)
	for i := range n {
		a, b := r.Outline.Outer[i], r.Outline.Outer[(i+1)%n]
		side := Side{Name: r.Corners[i].Name + r.Corners[(i+1)%n].Name, Length: quantity.Length(a.Distance(b))}
		for j := range r.Things {
			if r.Things[j].runsAlong(geometry.Segment{A: a, B: b}) {
				side.Against = r.Things[j].Name
				r.Things[j].Touches = true
			}
		}
		r.Sides = append(r.Sides, side)
	}
}

// measure writes the sizes everybody asks for on the sheet.
func (r *Result) measure(in Input) {
	outer := geometry.Polygon{Outer: r.Outline.Outer}
	r.Area, r.Perimeter = quantity.Area(r.Outline.Area()), quantity.Length(outer.Perimeter())
	for _, s := range r.Sides {
		r.Working.Show(working.Step{Name: "side_" + s.Name, Says: "side " + s.Name, Formula: "distance between its corners",
			Value: quantity.Show(s.Length, quantity.AsSide), From: r.basis(in), Source: sources.PlaneGeometry})
	}
	r.Working.Answer(working.Step{Name: "area", Says: "area of the slab, less box-outs", Symbol: "A",
		Formula: "½ · |Σ (x_i·y_{i+1} − x_{i+1}·y_i)| − box-outs", Value: quantity.Show(r.Area, quantity.AsArea), From: r.basis(in), Source: sources.PlaneGeometry})
	r.Working.Answer(working.Step{Name: "perimeter", Says: "edge to form", Formula: "sum of the sides",
		Value: quantity.Show(r.Perimeter, quantity.AsSide), From: r.sideNames(), Source: sources.PlaneGeometry})
	for _, d := range r.diagonals() {
		r.Working.Answer(working.Step{Name: "diagonal_" + d.Name, Says: "diagonal " + d.Name + ", the square check", Formula: "√(Δx² + Δy²)",
			Value: quantity.Show(d.Length, quantity.AsSide), From: r.basis(in), Source: sources.PlaneGeometry})
	}
}

// basis names the inputs the outline rests on.
func (r *Result) basis(in Input) []string {
	if in.fromSize() {
		return []string{"length", "width"}
	}
	return []string{"corners"}
}

func (r *Result) sideNames() []string {
	names := make([]string, len(r.Sides))
	for i, s := range r.Sides {
		names[i] = "side_" + s.Name
	}
	return names
}

// diagonals are the two of a four-cornered slab; other shapes are checked corner by corner from a baseline.
func (r *Result) diagonals() []Side {
	plain := r.plain()
	if len(plain) != 4 {
		return nil
	}
	var c [4]Place
	for i, k := range plain {
		c[i] = r.Corners[k]
	}
	return []Side{
		{Name: c[0].Name + c[2].Name, Length: quantity.Length(c[0].At.Distance(c[2].At))},
		{Name: c[1].Name + c[3].Name, Length: quantity.Length(c[1].At.Distance(c[3].At))},
	}
}

// explainZones writes the room that trees and lines ask for.
func (r *Result) explainZones(in Input) {
	for i, t := range r.Things {
		name := fmt.Sprintf("zone_%d", i+1)
		source, formula := sources.CommonPractice, "clearance"
		switch {
		case t.Kind == Tree && len(in.Obstacles[i].Stems) > 0:
			source, formula = sources.StemsRule, "12·√Σd² to five stems, 12·d̄·√n beyond; never under "+metres(leastRootZone.Metres(), in.Units)
		case t.Kind == Tree:
			source, formula = sources.RootRadius, "factor · trunk; never under "+metres(leastRootZone.Metres(), in.Units)
		case t.Kind.buried():
			source, formula = sources.ToleranceZone, "zone each side + half its width"
		}
		if t.Zone > 0 {
			r.Working.Show(working.Step{Name: name, Says: "room that " + t.Name + " asks for", Formula: formula, Value: quantity.Plain(t.Zone, quantity.AsDistance), Source: source})
		}
	}
}

// squareness says how far a four-sided slab is from square, the way a crew sees it: by its diagonals.
func squareness(in Input, r Result) []check.Check {
	d := r.diagonals()
	if d == nil {
		return nil
	}
	gap := quantity.Length(math.Abs(float64(d[0].Length - d[1].Length)))
	return []check.Check{check.AtMost("site.square", quantity.Show(gap, quantity.AsDrop), quantity.Show(quantity.Inches(0.25), quantity.AsDrop), check.Care,
		fmt.Sprintf("Both diagonals are %s: the outline is square.", quantity.Show(d[0].Length, quantity.AsSide).String(in.Units)),
		fmt.Sprintf("The diagonals differ by %s: the outline is not square.", quantity.Show(gap, quantity.AsDrop).String(in.Units)),
		sources.CommonPractice, "If it should be square, shift two stakes until both diagonals read the same.")}
}

// levels turns the level book and rod readings into elevations: HI = bench mark + backsight, z = HI − reading; with a direct rod
// z = bench mark + reading − backsight.
func (r *Result) levels(in Input) {
	r.readBook(in)
	sign := quantity.Length(in.Rod.sign())
	hi := in.Bench.Elevation.Value + sign*in.Bench.Backsight.Value
	if in.Bench.Elevation.Given() && in.Bench.Backsight.Given() && len(in.Book) == 0 {
		bm := working.Given(&r.Working, "bench_mark", "BM", "bench mark", in.Bench.Elevation, quantity.AsElevation)
		bs := working.Given(&r.Working, "backsight", "BS", "rod reading on the bench mark", in.Bench.Backsight, quantity.AsElevation)
		step := working.Step{Name: "height_of_instrument", Symbol: "HI", Says: "height of the instrument", Formula: "BM + BS",
			Value: quantity.Show(hi, quantity.AsElevation), From: []string{bm, bs}, Source: sources.LevelBooking}
		if in.Rod == Direct {
			step.Says, step.Formula = "what is added to a reading of the direct rod", "BM − BS"
		} else {
			r.Height = known.From(hi, "site.height_of_instrument")
		}
		r.Working.Answer(step)
	}
	for _, s := range in.Shots {
		spot := Spot{Name: s.Name, At: r.shotAt(s), Elevation: s.Elevation.Value}
		if spot.Name == "" {
			spot.Name = s.At
		}
		formula := "level as given"
		if !s.Elevation.Given() {
			spot.Elevation = hi - sign*s.Rod.Value
			formula = map[bool]string{true: "BM + reading − BS", false: "HI − reading"}[in.Rod == Direct]
		}
		r.addGround(in, spot, formula, r.shotBasis(s)...)
	}
	r.testLevel(in)
}

// addGround puts a level on the sheet, and on the lot unless its place has one already.
func (r *Result) addGround(in Input, spot Spot, formula string, from ...string) {
	i := len(r.Ground)
	spot.Step = fmt.Sprintf("ground_%d", i+1)
	says := "ground level, shot " + spotName(i, spot)
	if first := slices.IndexFunc(r.Ground, func(s Spot) bool { return s.At == spot.At }); first >= 0 {
		if gap := (spot.Elevation - r.Ground[first].Elevation).Metres(); math.Abs(gap) > sameReading.Metres() {
			r.Check(r.readTwice(in, first, gap))
		}
		return
	}
	r.Ground = append(r.Ground, spot)
	r.Working.Show(working.Step{Name: spot.Step, Says: says, Formula: formula, Value: quantity.Show(spot.Elevation, quantity.AsElevation), From: from, Source: sources.LevelBooking})
}

func (r *Result) shotBasis(s Shot) []string {
	if s.Elevation.Given() {
		return nil
	}
	return []string{"height_of_instrument"}
}

func spotName(i int, s Spot) string {
	if s.Name != "" {
		return s.Name
	}
	return fmt.Sprint(i + 1)
}

func (r *Result) shotAt(s Shot) geometry.Point {
	for _, c := range r.Corners {
		if s.At != "" && c.Name == s.At {
			return c.At
		}
	}
	return point(s.X, s.Y)
}
