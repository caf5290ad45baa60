package steel

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/spoken"
	"slabwright/internal/trade/working"
)

// freeLength is the distance between joints free to open: the longest panel where bars stop, else the longer side of the
// slab.
func (in Input) freeLength() quantity.Length {
	if in.Through.Value || len(in.Panels) == 0 {
		return quantity.Length(geometry.MinimumRectangle(in.Outline.Outer).Length)
	}
	longest := 0.0
	for _, p := range in.Panels {
		longest = max(longest, geometry.MinimumRectangle(p.Outer).Length)
	}
	return quantity.Length(longest)
}

func (in Input) splice(diameter quantity.Length) Splice {
	return Splice{Diameter: diameter, Yield: in.Yield.Value, Strength: in.Strength.Value}
}

// size works out area, lap and height, and writes them on the sheet.
func (r *Result) size(in Input) (err error) {
	w := &r.Working
	free, weight := in.freeLength(), SlabWeight(in.Thickness.Value)
	stress := quantity.Stress(float64(in.Working.Value) * in.Yield.Value.Pascals())
	w.Show(working.Step{Name: "free_length", Says: "distance between joints free to open", Symbol: "L", Value: quantity.Show(free, quantity.AsSide),
		From: []string{"joints.panels", "through_joints"}, Source: sources.DragExample})
	w.Show(working.Step{Name: "slab_weight", Says: "weight of slab per area", Symbol: "w", Formula: "150 lb/ft³ · t",
		Value: quantity.Words(fmt.Sprintf("%.1f lb/ft² (%.2f kPa)", quantity.In(weight, "psf"), weight.Pascals()/1000)), From: []string{"thickness"}, Source: sources.DragExample})
	w.Show(working.Step{Name: "working_stress", Says: "working stress of the steel", Symbol: "f_s", Formula: "share · f_y",
		Value: quantity.Show(stress, quantity.AsStrength), From: []string{"yield", "working_share"}, Source: sources.DragExample})
	if r.Needed, err = DragArea(in.Friction.Value, free, weight, stress); err != nil {
		return err
	}
	w.Answer(working.Step{Name: "needed_area", Says: "steel each way that drags the slab over its base", Symbol: "A_s", Formula: "F · L · w / (2 · f_s)",
		Value: quantity.Show(r.Needed, quantity.AsSteelArea), From: []string{"friction", "free_length", "slab_weight", "working_stress"}, Source: sources.DragExample})
	w.Show(working.Step{Name: "structural_minimum", Says: "what a structural slab would need, for comparison", Formula: "0.0018 · t",
		Value: quantity.Show(StructuralMinimum(in.Thickness.Value), quantity.AsSteelArea), From: []string{"thickness"}, Source: sources.ShrinkageSteel})
	if r.Provided, err = in.provided(r.Grid); err != nil {
		return err
	}
	w.Answer(working.Step{Name: "provided_area", Says: "steel each way in the slab", Value: quantity.Show(r.Provided, quantity.AsSteelArea),
		From: []string{"grid", "kind"}, Source: sources.Arithmetic})
	return r.lapAndHeight(in)
}

// provided is the steel area of the chosen kind.
func (in Input) provided(grid spoken.BarGrid) (quantity.SteelArea, error) {
	switch in.Kind.Value {
	case KindBars:
		return grid.PerWidth(), nil
	case KindMesh:
		area, _, err := WireArea(float64(in.MeshWire.Value), in.MeshSpace.Value)
		return area, err
	}
	return 0, nil
}

func (r *Result) lapAndHeight(in Input) error {
	w := &r.Working
	structural, rounded, err := ClassBLap(in.splice(r.Grid.Diameter))
	if err != nil {
		return err
	}
	w.Show(working.Step{Name: "class_b_lap", Says: "structural lap, for comparison", Formula: "1.3 · f_y d_b / (25 √f'c), to a whole inch",
		Value: quantity.Show(rounded, quantity.AsDrop), From: []string{"strength", "yield", "grid"}, Source: sources.DevelopmentLength})
	r.LapRule, r.Lap = in.LapRule.Value, quantity.Inches(math.Ceil(TradeLap(r.Grid.Diameter).Inches()-1e-9))
	step := working.Step{Name: "lap", Says: "lap of bars", Formula: "40 · d_b", From: []string{"grid", "lap_rule"}, Source: sources.CommonPractice}
	if in.LapRule.Value == LapB {
		r.Lap = quantity.Inches(math.Ceil(structural.Inches() - 1e-9))
		step.Formula, step.From, step.Source = "class B", []string{"class_b_lap", "lap_rule"}, sources.DevelopmentLength
	}
	step.Value = quantity.Show(r.Lap, quantity.AsDrop)
	w.Answer(step)
	r.Diameter = in.diameter(r.Grid)
	if r.Height, err = BarHeight(in.Thickness.Value, r.Diameter, in.SawDepth.Value); err != nil {
		return err
	}
	r.Chair = r.Height - r.Diameter
	w.Answer(working.Step{Name: "bar_height", Says: "middle of the mat above the base", Symbol: "z", Formula: "max(t/2, t − 50 mm − d_b), its top 13 mm below the saw",
		Value: quantity.Show(r.Height, quantity.AsDrop), From: []string{"thickness", "saw_depth", "grid"}, Source: sources.CommonPractice})
	w.Answer(working.Step{Name: "chair_height", Says: "height of chairs or dobies", Formula: "z − d_b",
		Value: quantity.Show(r.Chair, quantity.AsDrop), From: []string{"bar_height", "grid"}, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "bar_cover", Says: "concrete over the top of the bars", Formula: "t − z − d_b",
		Value: quantity.Show(r.cover(in), quantity.AsDrop), From: []string{"thickness", "bar_height", "grid"}, Source: sources.Arithmetic})
	return nil
}

// diameter is that of the bars, or of the mesh wire.
func (in Input) diameter(grid spoken.BarGrid) quantity.Length {
	if in.Kind.Value == KindMesh {
		_, wire, _ := WireArea(float64(in.MeshWire.Value), in.MeshSpace.Value)
		return wire
	}
	return grid.Diameter
}

// cover is the concrete over the upper layer.
func (r *Result) cover(in Input) quantity.Length { return in.Thickness.Value - r.Height - r.Diameter }

// The tie bars of thin construction joints: #4, 30 in long, every 30 in. Source: common practice.
var tieBarLength, tieBarSpacing = quantity.Inches(30), quantity.Inches(30)

// dowelFrom is the thickness from which a pour stop gets dowels by default.
var dowelFrom = quantity.Inches(7.5)

// joints decides what crosses each pour stop.
func (r *Result) joints(in Input) error {
	for _, line := range in.PourStops {
		kind := in.Dowels.Value
		if kind == ByThickness {
			kind = UseTies
			if in.Thickness.Value >= dowelFrom {
				kind = UseDowels
			}
		}
		d := DowelJoint{Line: line, Kind: kind}
		length := quantity.Length(line.Length())
		switch kind {
		case UseDowels:
			row, n, err := DowelRow(in.Thickness.Value, length, in.Doweled.Value)
			if err != nil {
				return err
			}
			d.Count, d.Diameter, d.Length, d.Spacing = n, row.Diameter, row.Length, row.Spacing
		case UseTies:
			bar, _ := spoken.BarNamed("#4")
			d.Count = max(1, int(math.Floor((length-2*in.Doweled.Value).Metres()/tieBarSpacing.Metres()+1e-9))+1)
			d.Diameter, d.Length, d.Spacing = bar.Diameter, tieBarLength, tieBarSpacing
		}
		r.Dowels = append(r.Dowels, d)
	}
	return nil
}

// meshWeight is the mass of welded wire per area, both ways, laps not counted.
func meshWeight(area quantity.SteelArea) float64 { return 2 * float64(area) * steelDensity }

// steelDensity, kg/m³.
const steelDensity = 7850

// microDose is the usual dose of micro fibre. Source: ACI FAQ.
var microDose = quantity.Of[quantity.Density](1, "lb/yd3")

// compare lists what each kind of reinforcement would do in this slab.
func (r *Result) compare(in Input) {
	ground := in.Outline.Area()
	volume := ground * in.Thickness.Value.Metres()
	mesh, _, _ := WireArea(float64(in.MeshWire.Value), in.MeshSpace.Value)
	bars := quantity.Mass(2 * float64(r.Grid.PerWidth()) * ground * steelDensity)
	if r.Weight > 0 {
		bars = r.Weight
	}
	lightest := func(area quantity.SteelArea) quantity.Mass {
		return quantity.Mass(2 * float64(area) * ground * steelDensity)
	}
	minimum := StructuralMinimum(in.Thickness.Value)
	r.Options = []Option{
		{Name: "nothing", Does: "joints close enough together do the work", DoesNot: "does not hold a crack tight if one comes between joints", Chosen: in.Kind.Value == KindNone},
		{Name: "micro fibre", Weight: quantity.Mass(float64(microDose) * volume), Does: "fewer plastic cracks in the first hours", DoesNot: "is no substitute for steel; holds no crack later"},
		{Name: "macro fibre", Weight: quantity.Mass(float64(in.FibreDose.Value) * volume), Does: "holds cracks some way through the whole depth, nothing to place", DoesNot: "does not replace joints, bars at edges or dowels; shows at the surface", Chosen: in.Kind.Value == KindFibre},
		{Name: "steel by drag alone", Area: r.Needed, Weight: lightest(r.Needed), Does: "just drags the slab over its base, so that a crack stays tight", DoesNot: "no bar spacing is this wide in practice: a person steps between the bars"},
		{Name: "code minimum, 0.0018", Area: minimum, Weight: lightest(minimum), Does: "what a structural slab must have; holds cracks finer", DoesNot: "is not asked of a jointed slab on ground; does not carry loads there"},
		{Name: fmt.Sprintf("mesh W%.1f", float64(in.MeshWire.Value)), Area: mesh, Weight: quantity.Mass(meshWeight(mesh) * ground), Does: "holds cracks tight where it lies in the upper part", DoesNot: "does not prevent cracks; worth nothing on the base, and walking pushes it there", Chosen: in.Kind.Value == KindMesh},
		{Name: "bars " + r.Grid.String(), Area: r.Grid.PerWidth(), Weight: bars, Does: "holds cracks tight and stays on its chairs when walked on", DoesNot: "does not prevent cracks and adds little strength", Chosen: in.Kind.Value == KindBars},
	}
	for i := range r.Options {
		r.Options[i].Cost = r.Options[i].cost(in)
	}
}

// cost prices what is laid in by the names of the options: mesh, fibre, else bars.
func (o Option) cost(in Input) quantity.Money {
	price := in.BarPrice
	switch {
	case strings.HasPrefix(o.Name, "mesh"):
		price = in.MeshPrice
	case strings.HasSuffix(o.Name, "fibre"):
		price = in.FibrePrice
	}
	return quantity.Money(float64(o.Weight) * float64(price.Value))
}

// sum puts the counts on the sheet.
func (r *Result) sum(in Input) {
	w := &r.Working
	answer := func(name, says, formula string, value quantity.Any, source sources.Key, from ...string) {
		w.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: value, From: from, Source: source})
	}
	switch in.Kind.Value {
	case KindBars:
		answer("bars", "runs of bar", "⌈W/s⌉ + 1 a region and way, trim bars added", quantity.Counted(len(r.Bars)), sources.CommonPractice, "grid", "edge_clear", "joint_clear")
		answer("bar_length", "bar in the slab, laps included", "sum of the cut lengths", quantity.Show(r.Total, quantity.AsDistance), sources.Arithmetic, "bars", "lap")
		answer("weight", "steel", "length · weight per length", quantity.Show(r.Weight, quantity.AsMass), sources.BarTable, "bar_length", "grid")
		answer("sticks", "sticks to buy", "cutting plan", quantity.Counted(r.Sticks), sources.Arithmetic, "bar_length", "stock", "kerf")
		answer("chairs", "chairs or dobies", "⌈Lx/s + 1⌉ · ⌈Ly/s + 1⌉ a region, and one in twenty spare", quantity.Counted(r.Chairs), sources.CommonPractice, "chair_spacing")
		answer("ties", "wire ties", "every edge crossing, a share of the rest", quantity.Counted(r.Ties), sources.CommonPractice, "ties_share", "bars")
	case KindMesh:
		r.Weight = quantity.Mass(meshWeight(r.Provided) * in.Outline.Area())
		r.Chairs = int(math.Ceil(in.Outline.Area()/(meshChairs.Metres()*meshChairs.Metres())*spareChairs)) + 1
		working.Given(w, "mesh_wire", "W", "wire number of the mesh", in.MeshWire, quantity.AsRatio)
		working.Given(w, "mesh_spacing", "", "wire spacing of the mesh", in.MeshSpace, quantity.AsDrop)
		sheets := meshSheets(in.Outline.Area(), in.MeshSpace.Value)
		answer("sheets", "8 × 20 ft sheets of mesh", "area / (sheet less laps of one square and 2 in)", quantity.Counted(sheets), sources.WireLap, "mesh_spacing")
		answer("weight", "steel", "area of wire · density · slab", quantity.Show(r.Weight, quantity.AsMass), sources.Arithmetic, "mesh_wire", "mesh_spacing")
		answer("chairs", "chairs, 2 ft 6 in apart", "area / spacing², and one in twenty spare", quantity.Counted(r.Chairs), sources.CommonPractice, "sheets")
	case KindFibre:
		volume := quantity.Volume(in.Outline.Area() * in.Thickness.Value.Metres())
		r.Weight = quantity.Mass(float64(in.FibreDose.Value) * volume.CubicMetres())
		working.Given(w, "fibre_dose", "", "macro fibre per volume of concrete", in.FibreDose, quantity.AsContent)
		answer("weight", "fibre", "dose · area · t", quantity.Show(r.Weight, quantity.AsMass), sources.FibreFAQ, "fibre_dose", "thickness")
	}
	if len(r.Dowels) > 0 {
		n := 0
		for _, d := range r.Dowels {
			n += d.Count
		}
		working.Given(w, "dowel_end", "", "first dowel from the edge", in.Doweled, quantity.AsDrop)
		answer("dowels", "dowels or tie bars at pour stops", "⌊(L − 2 e)/s⌋ + 1 each", quantity.Counted(n), sources.DowelTable, "dowel_end")
	}
}

// meshChairs: light mesh wants support every 2 to 3 ft. Source: common practice.
var meshChairs = quantity.Feet(2.5)

// meshSheets is the number of 8 by 20 ft sheets that cover an area with laps of one square and 2 in, at least 6 in.
// Source: ACI 318 wire lap, recalled.
func meshSheets(area float64, square quantity.Length) int {
	lap := max(square+quantity.Inches(2), quantity.Inches(6))
	each := (quantity.Feet(8) - lap).Metres() * (quantity.Feet(20) - lap).Metres()
	return int(math.Ceil(area/each - 1e-9))
}
