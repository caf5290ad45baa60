// Package forms answers: which boards, stakes, braces and splices hold the edge, and how to cut them.
//
// Boards are picked against the slab's thickness and held against the push of fresh concrete; every run of edge that is
// not against something standing gets its boards, its stakes and its splices; curves get thin stock bent between close
// stakes; the cutting list is proven against its bound.
package forms

import (
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Input is what the forms depend on.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Outline     geometry.Polygon   `yaml:"outline" says:"slab outline with box-outs, site metres"`
	CornerNames []string           `yaml:"corner_names" says:"letters of the corners, in order; A, B, C if left out"`
	Against     []Against          `yaml:"against" says:"stretches of edge against a wall, building or old slab"`
	PourStops   []geometry.Segment `yaml:"pour_stops" says:"construction joints: they want a bulkhead"`

	Thickness    known.Length                   `yaml:"thickness" says:"slab thickness at the edge" unit:"in|mm" usual:"3..12|75..300" show:"thickness"`
	Board        known.Text                     `yaml:"board" says:"form board, 2x4 to 2x12; picked by thickness if left out"`
	Stakes       known.Length                   `yaml:"stake_spacing" says:"stakes apart on straight runs; picked by board if left out" unit:"ft|m" usual:"1..4|0.3..1.2" show:"distance"`
	Stock        known.Length                   `yaml:"stock" says:"length of a board" unit:"ft|m" usual:"8..20|2.4..6" show:"side"`
	Stock2       known.Length                   `yaml:"other_stock" says:"another length the yard has" unit:"ft|m" show:"side"`
	Kerf         known.Length                   `yaml:"kerf" says:"width lost at a cut" unit:"in|mm" show:"drop"`
	Concrete     known.Density                  `yaml:"concrete" says:"unit weight of fresh concrete" unit:"lb/ft3|kg/m3" show:"density"`
	Modulus      known.Stress                   `yaml:"wood_modulus" says:"modulus of elasticity of the boards" unit:"psi|MPa" show:"modulus"`
	Allowable    known.Stress                   `yaml:"wood_stress" says:"bending stress allowed in the boards, wet" unit:"psi|MPa" show:"stress"`
	EdgeDepth    known.Length                   `yaml:"edge_depth" says:"depth of a thickened edge, if it has one" unit:"in|mm" usual:"6..24|150..600" show:"drop"`
	EdgeWidth    known.Length                   `yaml:"edge_width" says:"width of its bottom" unit:"in|mm" usual:"6..24|150..600" show:"drop"`
	Straightedge known.Length                   `yaml:"straightedge" says:"length of the straightedge that strikes off" unit:"ft|m" usual:"6..24|2..7" show:"distance"`
	Reuse        known.Number                   `yaml:"reuse" says:"pours a board serves, cleaned and oiled each time" usual:"1..10|1..10"`
	CurveError   known.Length                   `yaml:"curve_error" says:"how far a curve may be off" unit:"in|mm" show:"drop"`
	OilCover     known.Known[quantity.Coverage] `yaml:"form_oil" says:"area a volume of form oil covers" unit:"ft2/gal|m2/L" show:"coverage"`
}

// Against is a stretch of edge where something standing is the form.
type Against struct {
	Name string         `yaml:"name" json:"name"`
	From geometry.Point `yaml:"from" json:"from"`
	To   geometry.Point `yaml:"to" json:"to"`
}

// Result is the form work.
type Result struct {
	Board       Board              `json:"board"`
	Load        quantity.LineLoad  `json:"load"`
	Bending     Bending            `json:"bending"`
	Spacing     quantity.Length    `json:"spacing"` // of stakes on straight runs
	Runs        []Run              `json:"runs"`
	Pieces      []Piece            `json:"pieces"`
	Cutting     []CutRow           `json:"cutting"`
	Boards      int                `json:"boards"` // to buy
	Proven      bool               `json:"proven"`
	BoardLength quantity.Length    `json:"board_length"`
	Stakes      int                `json:"stakes"`
	Kickers     int                `json:"kickers"`
	Splices     int                `json:"splices"`
	CurveStrip  quantity.Length    `json:"curve_strip"` // bent stock for curves
	Oil         quantity.Volume    `json:"oil"`
	Rails       []geometry.Segment `json:"rails"`     // screed rails, taken out as the strips are placed
	Strip       quantity.Length    `json:"strip"`     // width placed between rails
	EdgeMore    quantity.Volume    `json:"edge_more"` // concrete of a thickened edge beyond the slab
	working.Answer
}

// Run is one stretch of form between corners.
type Run struct {
	Name    string            `json:"name"` // AB, box-out 1, pour stop 1
	Path    []geometry.Point  `json:"path"`
	Closed  bool              `json:"closed"`
	Length  quantity.Length   `json:"length"`
	Kind    string            `json:"kind"` // board, curve, bulkhead, round, none
	Against string            `json:"against,omitempty"`
	Radius  quantity.Length   `json:"radius,omitempty"`
	Bend    string            `json:"bend,omitempty"` // stock for a curve
	Pieces  []quantity.Length `json:"pieces,omitempty"`
	Stakes  []geometry.Point  `json:"stakes,omitempty"`
	Splices []geometry.Point  `json:"splices,omitempty"`
	Kickers int               `json:"kickers"`
	extra   float64
}

// The kinds of run.
const (
	Straight = "board"
	Curve    = "curve"
	Bulkhead = "bulkhead"
	Round    = "round"
	NoForm   = "none"
)

// Piece is every board cut to one length.
type Piece struct {
	Mark   string          `json:"mark"`
	Length quantity.Length `json:"length"`
	Count  int             `json:"count"`
}

// CutRow is one way of cutting a board.
type CutRow struct {
	Stock  quantity.Length `json:"stock"`
	Times  int             `json:"times"`
	Pieces string          `json:"pieces"`
	Offcut quantity.Length `json:"offcut"`
}

// Defaults are the starting guesses.
func Defaults() Input {
	in := quantity.Inches
	return Input{
		Stock:        known.Assume(quantity.Feet(16), quantity.Feet(12), quantity.Feet(20), "what most yards stock straight", sources.CommonPractice),
		Kerf:         known.Assume(in(0.125), in(0.0625), in(0.125), "circular saw", sources.CommonPractice),
		Concrete:     known.Assume(quantity.Of[quantity.Density](150, "lb/ft3"), quantity.Of[quantity.Density](140, "lb/ft3"), quantity.Of[quantity.Density](152, "lb/ft3"), "ordinary concrete", sources.FormPressure),
		Modulus:      known.Assume(quantity.PSI(1.4e6), quantity.PSI(1.1e6), quantity.PSI(1.6e6), "framing lumber", sources.CommonPractice),
		Allowable:    known.Assume(quantity.PSI(1000), quantity.PSI(875), quantity.PSI(1200), "green lumber, short load", sources.CommonPractice),
		EdgeWidth:    known.Assume(in(12), in(8), in(16), "as wide as a spade digs clean", sources.CommonPractice),
		Straightedge: known.Assume(quantity.Feet(12), quantity.Feet(10), quantity.Feet(16), "what two hands pull", sources.CommonPractice),
		Reuse:        known.Assume(quantity.Number(5), 3, 8, "until edges and ends are spent", sources.CommonPractice),
		CurveError:   known.Assume(in(0.125), in(0.125), in(0.25), "what the eye forgives", sources.CommonPractice),
		OilCover:     known.Assume(quantity.Of[quantity.Coverage](400, "ft2/gal"), quantity.Of[quantity.Coverage](300, "ft2/gal"), quantity.Of[quantity.Coverage](500, "ft2/gal"), "sprayed thin", sources.CommonPractice),
	}
}

// Design picks boards, sets stakes and cuts the list.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	in = in.asSold()
	var r Result
	var err error
	r.Board = in.board()
	in.record(&r.Working, r.Board)
	if r.Load, _, err = HeadLoad(min(max(in.Thickness.Value, in.EdgeDepth.Value), r.Board.Height), in.Concrete.Value); err != nil {
		return Result{}, err
	}
	if r.Spacing, r.Bending, err = in.held(r.Board, r.Load); err != nil {
		return Result{}, err
	}
	if r.Rails, r.Strip, err = in.rails(); err != nil {
		return Result{}, err
	}
	r.Runs = in.runs(r.Board)
	for i := range r.Runs {
		in.stake(&r.Runs[i], &r)
	}
	if err := r.cut(in); err != nil {
		return Result{}, err
	}
	if in.EdgeDepth.Given() {
		r.EdgeMore = in.edgeConcrete(r)
	}
	r.sum(in)
	r.judge(in)
	return r, nil
}

// asSold is the input with the board length sold where the job is: 4.8 m in a metric job, where nobody said another.
func (in Input) asSold() Input {
	if in.Units == quantity.Metric && in.Stock.Origin == known.Assumed {
		in.Stock = known.Assume(quantity.Metres(4.8), quantity.Metres(3.6), quantity.Metres(6), in.Stock.Reason, in.Stock.Source)
	}
	return in
}

// board is the one asked for, or the lowest one sold where the job is that is as high as the slab is thick.
func (in Input) board() Board {
	if in.Board.Given() {
		b, err := BoardNamed(in.Board.Value)
		if err == nil {
			return b
		}
	}
	b, _ := BoardFor(in.Thickness.Value, in.Units)
	return b
}

// held is the stake spacing and how the board then holds: as asked, or the usual one brought closer until it holds.
func (in Input) held(b Board, load quantity.LineLoad) (quantity.Length, Bending, error) {
	if in.Stakes.Given() {
		bending, err := Bend(b, load, in.Stakes.Value, in.Modulus.Value)
		return in.Stakes.Value, bending, err
	}
	return in.stakesFor(b, load, in.habit(b))
}

// Stake spacing: 3 ft on straight runs, 2 ft where more than 8 in of concrete pushes. Source: common practice.
var straightStakes, deepStakes, deepForm = quantity.Feet(3), quantity.Feet(2), quantity.Inches(8)

func (in Input) habit(b Board) quantity.Length {
	if min(b.Height, in.Thickness.Value) > deepForm {
		return deepStakes
	}
	return straightStakes
}

func (in Input) record(s *working.Sheet, b Board) {
	working.Given(s, "thickness", "t", "slab thickness at the edge", in.Thickness, quantity.AsThickness)
	working.Given(s, "concrete", "γ", "unit weight of fresh concrete", in.Concrete, quantity.AsDensity)
	working.Given(s, "wood_modulus", "E", "modulus of elasticity of the boards", in.Modulus, quantity.AsModulus)
	working.Given(s, "wood_stress", "", "bending stress allowed in the boards", in.Allowable, quantity.AsStress)
	working.Given(s, "stock", "", "length of a board", in.Stock, quantity.AsSide)
	working.Given(s, "kerf", "", "width lost at a cut", in.Kerf, quantity.AsDrop)
	working.Given(s, "straightedge", "", "length of the straightedge", in.Straightedge, quantity.AsDistance)
	working.Given(s, "reuse", "", "pours a board serves", in.Reuse, "")
	if in.EdgeDepth.Given() {
		working.Given(s, "edge_depth", "", "depth of the thickened edge", in.EdgeDepth, quantity.AsDrop)
		working.Given(s, "edge_width", "", "width of its bottom", in.EdgeWidth, quantity.AsDrop)
	}
	working.Given(s, "curve_error", "m", "how far a curve may be off", in.CurveError, quantity.AsDrop)
	working.Given(s, "form_oil", "", "area a volume of form oil covers", in.OilCover, quantity.AsCoverage)
	if in.Board.Given() {
		working.Given(s, "board", "", "form board", in.Board, "")
		return
	}
	s.Show(working.Step{Name: "board", Says: "form board", Formula: "lowest board at least as high as the slab", Value: quantity.Words(b.Name),
		From: []string{"thickness"}, Source: sources.LumberSizes})
}
