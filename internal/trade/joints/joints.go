// Package joints answers: where to cut, how deep, where to isolate, where a day's placing stops.
//
// A slab shrinks and cracks; a joint picks where. The layout search cuts any outline into panels that keep the hard rules:
// joints run from edge to edge, no panel longer than the spacing, none longer than one and a half times its width, none
// with an inside corner, joints meeting every box-out. Square-cornered outlines of few corners are searched to the end;
// others, slanting and curved ones too, by changing one joint at a time from several starts; strips round a bend get joints
// square to their edges. Joints that a person has pinned stay, the rest is laid out round them. What is left of the rules is
// reported one by one. Strips of isolation go where the slab meets anything that does not move with it; a slab too large
// for one day is split at joints.
package joints

import (
	"fmt"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Input is what the layout needs to know.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Outline     geometry.Polygon `yaml:"outline" says:"slab outline with box-outs, site metres"`
	CornerNames []string         `yaml:"corner_names" says:"letters of the corners, in order; A, B, C if left out"`
	Things      []Thing          `yaml:"things" says:"what stands in the slab or against it"`
	Meet        []Place          `yaml:"meet" says:"places on the edge where a joint of a slab tied to this one ends"`
	PourStops   []PourStop       `yaml:"pour_stops" says:"lines where a day's placing stops"`
	Pinned      []Pin            `yaml:"pinned" says:"joints put where they must be; the rest is laid out round them"`
	Stands      []geometry.Point `yaml:"stands" says:"where trucks stand, site metres"`
	Loads       []Place          `yaml:"loads" says:"wheel and jack places joints should miss"`

	Thickness  known.Length `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"3..12|75..300" show:"thickness"`
	Factor     known.Ratio  `yaml:"spacing_factor" says:"joint spacing over thickness" usual:"24..36|24..36"`
	Cap        known.Length `yaml:"spacing_cap" says:"joints never farther apart than" unit:"ft|m" usual:"4..18|1..6" show:"side"`
	MaxAspect  known.Ratio  `yaml:"max_aspect" says:"longest panel allowed, length over width" usual:"1..2|1..2"`
	BestAspect known.Ratio  `yaml:"best_aspect" says:"panels longer than this count against a layout" usual:"1..1.5|1..1.5"`
	Narrowest  known.Length `yaml:"narrowest" says:"narrowest panel, walks aside" unit:"in|mm" show:"side"`
	DepthShare known.Ratio  `yaml:"depth_share" says:"cut depth over thickness" usual:"0.25..0.34|0.25..0.34"`
	BarCover   known.Length `yaml:"bar_cover" says:"concrete over the top of the bars" unit:"in|mm" show:"drop"`
	Strip      known.Length `yaml:"isolation" says:"thickness of the isolation strip" unit:"in|mm" show:"drop"`
	Saw        known.Text   `yaml:"saw" says:"how joints are made: wet saw, early-entry saw or groover"`
	Prefer     known.Text   `yaml:"prefer" says:"fewest cuts or squarest panels"`
	Diamond    known.Truth  `yaml:"diamond_box_outs" says:"turn square box-outs so that joints run into their points"`

	Layout     known.Text   `yaml:"layout" says:"which of the layouts shown is built: best, second or third"`
	Hands      known.Number `yaml:"hands" says:"everybody on site who places and finishes" usual:"2..10|2..10"`
	DayArea    known.Area   `yaml:"day_area" says:"most slab placed and finished in a day; by the hands if left out" unit:"ft2|m2" usual:"100..10000|10..1000" show:"area"`
	TruckHolds known.Volume `yaml:"truck_holds" says:"what a truck brings" unit:"yd3|m3" usual:"3..11|2..9" show:"volume"`

	FirstLook bool `yaml:"-"` // stop at the first good layout: for a picture that follows the finger
}

// Thing is something the slab meets: a round thing by centre and radius, a wall, building or old slab by its line.
type Thing struct {
	Kind   string           `yaml:"kind" json:"kind"`
	Name   string           `yaml:"name" json:"name"`
	Centre geometry.Point   `yaml:"centre" json:"centre"`
	Radius float64          `yaml:"radius" json:"radius"` // metres
	Line   []geometry.Point `yaml:"line" json:"line"`
}

// Result is the layout.
type Result struct {
	Outline      geometry.Polygon `json:"outline"` // with every box-out as it should be formed
	From         string           `json:"from"`    // corner all tapes start at
	Origin       geometry.Point   `json:"origin"`  // where it is
	Along        geometry.Point   `json:"along"`   // direction of the first tape, unit vector; the second runs a quarter turn to its left
	Panels       []Panel          `json:"panels"`
	Cuts         []Cut            `json:"cuts"`
	Isolation    []Isolation      `json:"isolation"`
	Pours        []Pour           `json:"pours"`  // in the order of placing
	Layout       string           `json:"layout"` // best, second or third
	Score        float64          `json:"score"`  // less is better
	Spacing      quantity.Length  `json:"spacing"`
	SawDepth     quantity.Length  `json:"saw_depth"`
	SawLength    quantity.Length  `json:"saw_length"`
	Complete     bool             `json:"complete"` // every layout of grids and joints from corners was within the search's effort
	Breaches     []Breach         `json:"breaches"` // hard rules the layout breaks
	Alternatives []Alternative    `json:"alternatives"`
	working.Answer
}

// Panel is one piece of slab between joints.
type Panel struct {
	Number  int              `json:"number"` // as painted on the plan, row by row from the tape corner
	Outline geometry.Polygon `json:"outline"`
	Length  quantity.Length  `json:"length"` // sides of the smallest rectangle round it
	Width   quantity.Length  `json:"width"`
	Area    quantity.Area    `json:"area"`
	Aspect  quantity.Ratio   `json:"aspect"`
	Score   float64          `json:"score"` // its share of the layout's cost above a square panel of mean size; 0 is best
	Why     string           `json:"why"`   // how good a panel it is, in words
}

// Cut is one joint line.
type Cut struct {
	Number int              `json:"number"`
	Kind   string           `json:"kind"` // SAW, TOOL or CONSTR
	Line   geometry.Segment `json:"line"`
	Length quantity.Length  `json:"length"`
	Across bool             `json:"across"` // runs along the second tape, so its place is read on the first
	Slants bool             `json:"slants"` // runs along neither tape: set out by the marks at its ends
	Tape   quantity.Length  `json:"tape"`   // running distance from the tape corner
	Ends   [2]End           `json:"ends"`
}

// End is where a cut meets an edge: the mark on the form board.
type End struct {
	On   string          `json:"on"`   // edge AB, or the box-out's name
	From string          `json:"from"` // corner the distance is from; empty at a box-out
	At   quantity.Length `json:"at"`
}

// Isolation is a run of full-depth strip.
type Isolation struct {
	Against string           `json:"against"`
	Path    []geometry.Point `json:"path"`
	Closed  bool             `json:"closed"`
	Length  quantity.Length  `json:"length"`
}

// Breach is a hard rule that a layout breaks, with the place.
type Breach struct {
	Rule    string         `json:"rule"`  // H1 … H9
	Panel   int            `json:"panel"` // 0: not about one panel
	At      geometry.Point `json:"at"`
	Says    string         `json:"says"`
	Then    string         `json:"then"`    // what would mend it
	Outline bool           `json:"outline"` // the outline itself forces it: no layout can mend it
}

// Alternative is another layout worth a look, drawn beside the chosen one; `layout: second` in the job file takes it.
type Alternative struct {
	Name      string          `json:"name"` // best, second or third
	Panels    []Panel         `json:"panels"`
	Cuts      []Cut           `json:"cuts"`
	Pours     int             `json:"pours"`
	SawLength quantity.Length `json:"saw_length"`
	Longest   quantity.Length `json:"longest"`
	Aspect    quantity.Ratio  `json:"aspect"` // of its longest panel for its width
	Score     float64         `json:"score"`  // less is better
	KeepsAll  bool            `json:"keeps_all"`
}

// Defaults are the starting guesses.
func Defaults() Input {
	return Input{
		Factor:     known.Assume(quantity.Ratio(30), 24, 36, "ordinary exterior mix; 24 for small stone and wet mixes, 36 for low-shrinkage ones", sources.ACI330Joints),
		Cap:        known.Assume(quantity.Feet(15), quantity.Feet(12), quantity.Feet(18), "plain exterior slabs stop at 15 ft", sources.ACI330Joints),
		MaxAspect:  known.Assume(quantity.Ratio(1.5), 1.25, 1.5, "longer panels crack across", sources.ContractorJointRules),
		BestAspect: known.Assume(quantity.Ratio(1.25), 1, 1.5, "near-square panels crack least", sources.ACI330Joints),
		Narrowest:  known.Assume(quantity.Feet(2), quantity.Feet(1.5), quantity.Feet(3), "narrow strips break up", sources.CommonPractice),
		DepthShare: known.Assume(quantity.Ratio(0.25), 0.25, 0.334, "a quarter of the thickness; a third on stiff base", sources.ACI330Joints),
		Strip:      known.Assume(quantity.Inches(0.5), quantity.Inches(0.25), quantity.Inches(0.5), "half-inch strip, full depth", sources.CommonPractice),
		Saw:        known.Guess(WetSaw, "most crews rent a walk-behind with water", sources.CommonPractice),
		Prefer:     known.Guess(Fewest, "fewer joints, less sawing and less to seal", sources.OwnRule),
		Layout:     known.Guess(Best, "the fewest panels that keep the rules", sources.OwnRule),
		Hands:      known.Assume(quantity.Number(4), 2, 6, "a small crew", sources.CommonPractice),
		TruckHolds: known.Assume(quantity.Of[quantity.Volume](9, "yd3"), quantity.Of[quantity.Volume](8, "yd3"), quantity.Of[quantity.Volume](10, "yd3"), "a full legal load", sources.CommonPractice),
		Diamond:    known.Guess(true, "joints must run into the points of a box-out", sources.NRMCAJoints),
	}
}

// The words for how joints are made and what is preferred.
const (
	WetSaw   = "wet saw"
	EarlySaw = "early-entry saw"
	Groover  = "groover"
	Fewest   = "fewest"
	Squarest = "squarest"
	Best     = "best"
	Second   = "second"
	Third    = "third"
)

// ranks are the names of the layouts shown, best first.
var ranks = []string{Best, Second, Third}

// Design lays the joints out. It refuses inputs that cannot be (check.Faults); a layout that breaks a hard rule is still
// given, with the breaches named.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	var r Result
	in.record(&r.Working)
	spacing, err := Spacing(in.Thickness.Value, in.Factor.Value, in.Cap.Value)
	if err != nil {
		return Result{}, err
	}
	r.Spacing = spacing
	if r.SawDepth, err = in.depth(); err != nil {
		return Result{}, err
	}
	outline, names, proposals := in.boxedOut()
	f := newFrame(outline, names)
	rules := in.limits(f, spacing)
	choices, complete := in.layOut(f, rules, in.forced(f))
	if len(choices) == 0 {
		return Result{}, fmt.Errorf("joints: no layout was found for an outline of %d corners", len(outline.Outer))
	}
	r.Complete = complete
	for i := range choices {
		choices[i].pour(in, f)
	}
	slices.SortStableFunc(choices, func(a, b choice) int { return compareChoices(a, b, rules) })
	choices = slices.DeleteFunc(choices, func(c choice) bool { return c.torn || c.faults() > choices[0].faults() })
	choices = choices[:min(len(choices), shown)]
	taken := min(max(slices.Index(ranks, in.Layout.Value), 0), len(choices)-1)
	chosen := choices[taken]
	r.Layout, r.Score = ranks[taken], chosen.score
	r.place(in, f, chosen)
	r.isolate(in, names)
	for i, c := range choices {
		if i != taken {
			r.Alternatives = append(r.Alternatives, c.alternative(in, f, ranks[i]))
		}
	}
	r.Breaches = chosen.breachesOnSite(f)
	r.sum(in, rules, f)
	r.judge(in, proposals)
	r.Check(r.pinChecks(in, f, rules, chosen)...)
	return r, nil
}

// record puts the inputs on the sheet.
func (in Input) record(s *working.Sheet) {
	working.Given(s, "thickness", "t", "slab thickness", in.Thickness, quantity.AsThickness)
	working.Given(s, "spacing_factor", "k", "joint spacing over thickness", in.Factor, quantity.AsRatio)
	working.Given(s, "spacing_cap", "", "joints never farther apart than", in.Cap, quantity.AsSide)
	working.Given(s, "max_aspect", "", "longest panel allowed, length over width", in.MaxAspect, quantity.AsRatio)
	working.Given(s, "best_aspect", "", "panels longer than this count against a layout", in.BestAspect, quantity.AsRatio)
	working.Given(s, "narrowest", "", "narrowest panel, walks aside", in.Narrowest, quantity.AsSide)
	working.Given(s, "depth_share", "", "cut depth over thickness", in.DepthShare, quantity.AsRatio)
	working.Given(s, "isolation_strip", "", "thickness of the isolation strip", in.Strip, quantity.AsDrop)
	working.Given(s, "saw", "", "how joints are made", in.Saw, "")
	working.Given(s, "hands", "", "everybody on site who places and finishes", in.Hands, "")
	working.Given(s, "truck_holds", "", "what a truck brings", in.TruckHolds, quantity.AsVolume)
	if in.DayArea.Given() {
		working.Given(s, "day_area", "", "most slab placed and finished in a day", in.DayArea, quantity.AsArea)
	}
	working.Given(s, "prefer", "", "fewest cuts or squarest panels", in.Prefer, "")
	if in.BarCover.Given() {
		working.Given(s, "bar_cover", "", "concrete over the top of the bars", in.BarCover, quantity.AsDrop)
	}
}

// earlyDepth and earlyLimit: the early-entry saw cuts 1 in deep in slabs up to 9 in. Source: ACI 302.1R, recalled.
var earlyDepth, earlyLimit = quantity.Inches(1), quantity.Inches(9)

// depth is the cut depth for the chosen way of making joints.
func (in Input) depth() (quantity.Length, error) {
	if in.Saw.Value == EarlySaw && in.Thickness.Value <= earlyLimit {
		return earlyDepth, nil
	}
	return SawDepth(in.Thickness.Value, in.DepthShare.Value)
}

// walkWidth: anything narrower is a walk, whose panels may be small. Source: common practice.
const walkWidth = 1.53

func (in Input) limits(f frame, spacing quantity.Length) limits {
	l := limits{spacing: spacing.Metres(), aspect: float64(in.MaxAspect.Value), bestAspect: float64(in.BestAspect.Value),
		narrowest: in.Narrowest.Value.Metres(), leastArea: 4 * 0.09290304, squarest: in.Prefer.Value == Squarest}
	box := geometry.MinimumRectangle(f.ground.Outer)
	if box.Width < walkWidth || f.ground.Area()/(f.ground.Perimeter()/2) < walkWidth/1.5 {
		l.narrowest, l.leastArea = 0, 0
	}
	l.loads = in.loadsIn(f)
	return l
}

// met are the places of tied slabs' joints.
func (in Input) met() []geometry.Point {
	var out []geometry.Point
	for _, q := range in.Meet {
		out = append(out, q.at())
	}
	return out
}

// loadsIn are the wheels and jacks in frame axes.
func (in Input) loadsIn(f frame) []geometry.Point {
	var out []geometry.Point
	for _, q := range in.Loads {
		out = append(out, f.enter(q.at()))
	}
	return out
}
