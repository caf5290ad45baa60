// Package steel answers: which bars, where, how high, cut how from which sticks, how many chairs.
//
// Steel in a jointed slab on ground does not prevent cracks and adds little strength; it holds cracks tight so that the
// two faces keep carrying load across. The stage sizes it by subgrade drag, shows what mesh, fibre and nothing would do
// instead, lays the grid out clipped to every panel, laps and cuts it from stock with a proven bound, and counts chairs,
// ties, trim bars and dowels.
package steel

import (
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/spoken"
	"slabwright/internal/trade/working"
)

// Input is what the steel depends on.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Outline   geometry.Polygon   `yaml:"outline" says:"slab outline with box-outs, site metres"`
	Panels    []geometry.Polygon `yaml:"panels" says:"panels between joints; the whole slab if left out"`
	Along     geometry.Point     `yaml:"along" says:"direction of the main bars; along x if left out"`
	PourStops []geometry.Segment `yaml:"pour_stops" says:"construction joints"`

	Thickness known.Length `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"3..12|75..300" show:"thickness"`
	SawDepth  known.Length `yaml:"saw_depth" says:"how deep joints are cut" unit:"in|mm" show:"drop"`
	Strength  known.Stress `yaml:"strength" says:"concrete strength ordered" unit:"psi|MPa" usual:"2500..6000|17..42" show:"strength"`

	Kind       known.Text                  `yaml:"kind" says:"bars, mesh, fibre or none"`
	Grid       known.Known[spoken.BarGrid] `yaml:"bars" says:"bar size and spacing; chosen by thickness if left out"`
	MeshWire   known.Ratio                 `yaml:"mesh_wire" says:"wire number of the mesh, W" usual:"1.4..5.5|1.4..5.5"`
	MeshSpace  known.Length                `yaml:"mesh_spacing" says:"wire spacing of the mesh" unit:"in|mm" show:"drop"`
	FibreDose  known.Density               `yaml:"fibre_dose" says:"macro fibre per volume of concrete" unit:"lb/yd3|kg/m3" show:"content"`
	Friction   known.Ratio                 `yaml:"friction" says:"friction of slab on base" usual:"0.5..2.5|0.5..2.5"`
	Yield      known.Stress                `yaml:"yield" says:"yield strength of the steel" unit:"psi|MPa" usual:"40000..80000|275..550" show:"strength"`
	Working    known.Ratio                 `yaml:"working_share" says:"working stress over yield" usual:"0.6..0.75|0.6..0.75"`
	Through    known.Truth                 `yaml:"through_joints" says:"run bars through the joints"`
	EdgeClear  known.Length                `yaml:"edge_clear" says:"bar end to slab edge" unit:"in|mm" show:"drop"`
	JointGap   known.Length                `yaml:"joint_clear" says:"bar end to joint" unit:"in|mm" show:"drop"`
	LapRule    known.Text                  `yaml:"lap_rule" says:"40 diameters or class B"`
	Stock      known.Length                `yaml:"stock" says:"length of a stick" unit:"ft|m" usual:"10..60|3..18" show:"side"`
	Stock2     known.Length                `yaml:"other_stock" says:"another length the supplier has" unit:"ft|m" show:"side"`
	Leftovers  []Leftover                  `yaml:"leftovers" says:"offcuts in the yard"`
	Kerf       known.Length                `yaml:"kerf" says:"width lost at a cut" unit:"in|mm" show:"drop"`
	Chairs     known.Length                `yaml:"chair_spacing" says:"chairs apart, each way" unit:"ft|m" show:"distance"`
	Ties       known.Percent               `yaml:"ties" says:"share of inside crossings tied" unit:"%"`
	Trim       known.Truth                 `yaml:"trim_bars" says:"diagonal bars at inside corners and box-outs"`
	Dowels     known.Text                  `yaml:"dowels" says:"at pour stops: dowels, tie bars, none, or by thickness"`
	BarPrice   known.MoneyMass             `yaml:"bar_price" says:"price of bars; from the price list if left out" unit:"$/lb|$/kg" show:"money per mass"`
	MeshPrice  known.MoneyMass             `yaml:"mesh_price" says:"price of mesh" unit:"$/lb|$/kg" show:"money per mass"`
	FibrePrice known.MoneyMass             `yaml:"fibre_price" says:"price of fibre" unit:"$/lb|$/kg" show:"money per mass"`
	Doweled    known.Length                `yaml:"dowel_end" says:"first dowel from the edge" unit:"in|mm" show:"drop"`
}

// Leftover is offcuts of one length.
type Leftover struct {
	Length known.Length `yaml:"length" says:"length of each" unit:"in|mm" show:"drop"`
	Count  known.Number `yaml:"count" says:"how many"`
}

// Result is the steel of the slab.
type Result struct {
	Grid       spoken.BarGrid     `json:"grid"`
	Needed     quantity.SteelArea `json:"needed"`   // by subgrade drag, each way
	Provided   quantity.SteelArea `json:"provided"` // each way
	Lap        quantity.Length    `json:"lap"`
	LapRule    string             `json:"lap_rule"`
	Diameter   quantity.Length    `json:"diameter"` // of bar or wire
	Height     quantity.Length    `json:"height"`   // middle of the mat above the base
	Chair      quantity.Length    `json:"chair"`    // chair or dobie height
	Bars       []Bar              `json:"bars"`
	Marks      []Mark             `json:"marks"`
	Cutting    []CutRow           `json:"cutting"`
	Sticks     int                `json:"sticks"`
	StickBound int                `json:"stick_bound"` // cost no cutting plan can beat, in the cutting unit
	Proven     bool               `json:"proven"`
	Sold       []StockChoice      `json:"sold"`  // what the usual stick lengths would take, the chosen one first
	Total      quantity.Length    `json:"total"` // bar in the slab, laps and trim bars included
	Weight     quantity.Mass      `json:"weight"`
	Chairs     int                `json:"chairs"`
	Ties       int                `json:"ties"`
	Dowels     []DowelJoint       `json:"dowels"`
	Options    []Option           `json:"options"`
	working.Answer
}

// Bar is one run of bar as it lies.
type Bar struct {
	Mark   string           `json:"mark"`
	Line   geometry.Segment `json:"line"`
	Panel  int              `json:"panel"` // from 1; 0 when bars run through
	Upper  bool             `json:"upper"` // lies on the other direction's bars
	Trim   bool             `json:"trim"`  // diagonal at an inside corner
	Pieces int              `json:"pieces"`
}

// Mark is every bar cut to one length.
type Mark struct {
	Mark   string          `json:"mark"`
	Size   string          `json:"size"`
	Length quantity.Length `json:"length"` // cut length of one piece
	Count  int             `json:"count"`
	Trim   bool            `json:"trim"`
}

// CutRow is one way of cutting a stick.
type CutRow struct {
	Size   string          `json:"size"`
	Stick  quantity.Length `json:"stick"`
	Times  int             `json:"times"`
	Pieces string          `json:"pieces"` // 2 × A + 1 × C
	Offcut quantity.Length `json:"offcut"`
	Yard   bool            `json:"yard"` // from the leftovers
}

// DowelJoint is the load transfer at one pour stop.
type DowelJoint struct {
	Line     geometry.Segment `json:"line"`
	Kind     string           `json:"kind"` // dowels, tie bars or none
	Count    int              `json:"count"`
	Diameter quantity.Length  `json:"diameter"`
	Length   quantity.Length  `json:"length"`
	Spacing  quantity.Length  `json:"spacing"`
}

// Option is one way of reinforcing the slab, for comparison.
type Option struct {
	Name    string             `json:"name"`
	Area    quantity.SteelArea `json:"area"`   // steel each way, zero for fibre and none
	Weight  quantity.Mass      `json:"weight"` // of steel or fibre
	Cost    quantity.Money     `json:"cost"`   // of that, without waste, chairs and work; zero where no price is known
	Does    string             `json:"does"`
	DoesNot string             `json:"does_not"`
	Chosen  bool               `json:"chosen"`
}

// The words of the inputs.
const (
	KindBars, KindMesh, KindFibre, KindNone = "bars", "mesh", "fibre", "none"
	Lap40, LapB                             = "40 diameters", "class B"
	ByThickness, UseDowels, UseTies, NoBars = "by thickness", "dowels", "tie bars", "none"
)

// Defaults are the starting guesses.
func Defaults() Input {
	in := quantity.Inches
	return Input{
		SawDepth:  known.Assume(in(1), in(1), in(2), "no joint plan yet", sources.CommonPractice),
		Strength:  known.Assume(quantity.PSI(4000), quantity.PSI(3000), quantity.PSI(4500), "usual outdoor mix", sources.CommonPractice),
		Kind:      known.Guess(KindBars, "bars on chairs stay where they are put", sources.CommonPractice),
		MeshWire:  known.Assume(quantity.Ratio(2.9), 1.4, 4, "the mesh most yards stock", sources.WireTable),
		MeshSpace: known.Assume(in(6), in(4), in(6), "6 in squares", sources.WireTable),
		FibreDose: known.Assume(quantity.Of[quantity.Density](4, "lb/yd3"), quantity.Of[quantity.Density](3, "lb/yd3"), quantity.Of[quantity.Density](7.5, "lb/yd3"), "usual macro dose in slabs on ground", sources.FibreFAQ),
		Friction:  known.Assume(quantity.Ratio(1.5), 0.5, 2.5, "granular base; plastic sheet about 0.75 to 1", sources.DragFriction),
		Yield:     known.Assume(quantity.PSI(60_000), quantity.PSI(40_000), quantity.PSI(60_000), "Grade 60", sources.BarTable),
		Working:   known.Assume(quantity.Ratio(2.0/3), 0.6, 0.75, "two thirds of yield", sources.DragExample),
		Through:   known.Guess(false, "joints must be free to open", sources.DragExample),
		EdgeClear: known.Assume(quantity.Millimetres(76.2), in(2), in(3), "bar ends clear of the form", sources.CommonPractice),
		JointGap:  known.Assume(in(2), in(1.5), in(3), "bars clear of the saw", sources.CommonPractice),
		LapRule:   known.Guess(Lap40, "crack-control steel", sources.CommonPractice),
		Stock:     known.Assume(quantity.Feet(20), quantity.Feet(20), quantity.Feet(40), "what a pickup rack carries", sources.CommonPractice),
		Kerf:      known.Assume(in(0.125), 0, in(0.125), "cut-off wheel; a shear loses nothing", sources.CommonPractice),
		Chairs:    known.Assume(quantity.Feet(4), quantity.Feet(3), quantity.Feet(4), "bars stay up when walked on", sources.CommonPractice),
		Ties:      known.Assume(quantity.Percent(0.5), 0.33, 1, "every edge crossing and every second inside", sources.CommonPractice),
		Trim:      known.Guess(true, "inside corners crack first", sources.CommonPractice),
		Dowels:    known.Guess(ByThickness, "thin slabs: tie bars; 8 in and up: dowels", sources.DowelDoubt),
		Doweled:   known.Assume(in(6), in(4), in(12), "first dowel clear of the edge", sources.CommonPractice),
	}
}

// Design sizes, lays out and cuts the steel.
func Design(in Input) (Result, error) {
	if err := in.Validate().Err(); err != nil {
		return Result{}, err
	}
	in = in.asSold()
	r := Result{Grid: in.grid()}
	in.record(&r.Working)
	if err := r.size(in); err != nil {
		return Result{}, err
	}
	regions, err := in.regions()
	if err != nil {
		return Result{}, err
	}
	if in.Kind.Value == KindBars {
		r.layOut(in, regions)
		r.trim(in)
		if err := r.cut(in); err != nil {
			return Result{}, err
		}
		r.weigh(in)
	}
	if err := r.joints(in); err != nil {
		return Result{}, err
	}
	r.compare(in)
	r.sum(in)
	r.judge(in)
	return r, nil
}

// asSold is the input with the stick length that is sold where the job is: 6 m in a metric job, where nobody said another.
func (in Input) asSold() Input {
	if in.Units == quantity.Metric && in.Stock.Origin == known.Assumed {
		in.Stock = known.Assume(quantity.Metres(6), quantity.Metres(6), quantity.Metres(12), in.Stock.Reason, in.Stock.Source)
	}
	return in
}

// thinSlab is the thickness below which the lighter grid is chosen.
var thinSlab = quantity.Inches(4.75)

// grid is the one given, or #3 at 18 in for slabs of 4 in and #4 at 18 in for thicker ones; in a metric job 10 and 12 mm bars at
// 400 mm, the sizes sold there for the same steel. Source: common practice.
func (in Input) grid() spoken.BarGrid {
	if in.Grid.Given() {
		return in.Grid.Value
	}
	light, heavy, spacing := "#3", "#4", quantity.Inches(18)
	if in.Units == quantity.Metric {
		light, heavy, spacing = "10 mm", "12 mm", quantity.Millimetres(400)
	}
	size := heavy
	if in.Thickness.Value < thinSlab {
		size = light
	}
	bar, _ := spoken.BarNamed(size)
	return spoken.BarGrid{Size: bar.Size, Diameter: bar.Diameter, Area: bar.Area, LinearMass: bar.LinearMass, Spacing: spacing, BothWays: true}
}

func (in Input) record(s *working.Sheet) {
	working.Given(s, "thickness", "t", "slab thickness", in.Thickness, quantity.AsThickness)
	working.Given(s, "saw_depth", "", "how deep joints are cut", in.SawDepth, quantity.AsDrop)
	working.Given(s, "strength", "f'c", "concrete strength ordered", in.Strength, quantity.AsStrength)
	working.Given(s, "kind", "", "bars, mesh, fibre or none", in.Kind, "")
	working.Given(s, "friction", "F", "friction of slab on base", in.Friction, quantity.AsRatio)
	working.Given(s, "yield", "f_y", "yield strength of the steel", in.Yield, quantity.AsStrength)
	working.Given(s, "working_share", "", "working stress over yield", in.Working, quantity.AsRatio)
	working.Given(s, "edge_clear", "c", "bar end to slab edge", in.EdgeClear, quantity.AsDrop)
	working.Given(s, "joint_clear", "", "bar end to joint", in.JointGap, quantity.AsDrop)
	working.Given(s, "lap_rule", "", "40 diameters or class B", in.LapRule, "")
	working.Given(s, "stock", "", "length of a stick", in.Stock, quantity.AsSide)
	working.Given(s, "kerf", "", "width lost at a cut", in.Kerf, quantity.AsDrop)
	working.Given(s, "chair_spacing", "", "chairs apart, each way", in.Chairs, quantity.AsDistance)
	working.Given(s, "ties_share", "", "share of inside crossings tied", in.Ties, quantity.AsPercent)
	working.Given(s, "through_joints", "", "run bars through the joints", in.Through, "")
	if in.Grid.Given() {
		working.Given(s, "grid", "", "bar size and spacing", in.Grid, "")
		return
	}
	s.Show(working.Step{Name: "grid", Says: "bar size and spacing", Formula: "#3 at 18 in for 4 in slabs, #4 at 18 in for thicker ones",
		Value: quantity.Words(in.grid().String()), From: []string{"thickness"}, Source: sources.CommonPractice})
}
