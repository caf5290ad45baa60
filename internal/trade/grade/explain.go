package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// explain writes the calculation sheet.
func (w *work) explain() {
	w.explainPlane()
	w.explainLevels()
	w.explainPonds()
	w.explainDrains()
	w.explainEarth()
	w.explainStone()
	w.explainRolling()
	w.explainHaul()
}

func (w *work) words(name, says, formula, value string, from []string, source sources.Key) {
	w.Working.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: quantity.Words(value), From: from, Source: source})
}

func (w *work) explainPlane() {
	in, s := w.in, &w.Working
	from := []string{
		working.Given(s, "thickness", "t", "slab thickness", in.Thickness, quantity.AsThickness),
		working.Given(s, "base_thickness", "b", "compacted stone", in.Base, quantity.AsThickness),
		working.Given(s, "least_slope_wanted", "s_min", "least fall the way the water runs", in.Least, quantity.AsSlope),
		working.Given(s, "greatest_slope", "s_max", "greatest slope", in.Greatest, quantity.AsSlope),
		working.Given(s, "cross_slope", "s_x", "greatest slope across the fall", in.Cross, quantity.AsSlope),
		working.Given(s, "cut_cost", "w_c", "cost of a volume dug", in.CutCost, quantity.AsRatio),
		working.Given(s, "fill_cost", "w_f", "cost of a volume filled", in.FillCost, quantity.AsRatio),
		working.Given(s, "reveal", "", "slab above the ground along its low edge", in.Reveal, quantity.AsDrop),
		working.Given(s, "dressed_width", "", "ground dressed to the slab round it", in.Dress, quantity.AsDistance),
	}
	s.Show(working.Step{Name: "ground_taken", Says: "the ground between and beyond the shots", Value: quantity.Words(w.ground.says), From: w.shotFigures(), Source: sources.TriangleSurface})
	for i, t := range in.Ties {
		name := fmt.Sprintf("tie_%d", i+1)
		s.Show(working.Step{Name: name, Says: "tie: " + w.tieWords(t), Formula: "its level less the step", Origin: t.Elevation.Origin, Typed: t.Elevation.Text,
			Value: quantity.Plain(t.top(), quantity.AsElevation), Source: sources.Arithmetic})
		from = append(from, name)
	}
	drain := []string{"ground_taken"}
	if in.Drain.Value != "" {
		drain = append(drain, working.Given(s, "drain", "", "where the water should go", in.Drain, ""))
	}
	w.words("fall_direction", "the way the water runs", "as said; else away from the wall; else the cheapest of 16 directions", w.Direction, append(drain, from...), sources.PlaneProgram)
	s.Show(working.Step{Name: "fit_cost", Says: "what the fitted plane costs beyond the slab's own bed, in dug volume", Formula: "min Σ A_i·(w_c·max(g_i + reveal − z_i, 0) + w_f·max(z_i − g_i − reveal, 0)), all limits held",
		Value: quantity.Plain(w.fit.Cost, quantity.AsVolume), From: append(from, "ground_taken", "fall_direction"), Source: sources.PlaneProgram})
	s.Show(working.Step{Name: "slope", Symbol: "|g|", Says: "steepest slope of the slab", Formula: "√(b² + c²) of z = a + b·x + c·y", Value: quantity.Show(w.Slope, quantity.AsSlope), From: []string{"fit_cost"}, Source: sources.PlaneProgram})
	s.Show(working.Step{Name: "plane", Says: "top of the slab", Formula: "z = a + b·x + c·y, metres", Value: quantity.Words(w.Plane.words()), From: []string{"fit_cost"}, Source: sources.PlaneProgram})
	w.explainFolds()
	w.explainBinding()
}

// explainFolds says how the panels and the folds between them lie.
func (w *work) explainFolds() {
	if len(w.bends) == 0 {
		return
	}
	s := &w.Working
	from := []string{"fit_cost", working.Given(s, "grade_break", "Δ", "greatest bend across a fold", w.in.Break, quantity.AsSlope),
		working.Given(s, "valley_slope", "s_v", "least fall along a valley", w.in.Valley, quantity.AsSlope)}
	for _, p := range w.Panels {
		s.Show(working.Step{Name: "panel_" + p.Name, Says: fmt.Sprintf("panel %s falls %s", p.Name, p.Says), Formula: fmt.Sprintf("√(b² + c²) of z = %s", p.Plane.words()),
			Value: quantity.Show(p.Slope, quantity.AsSlope), From: from, Source: sources.PlaneProgram})
	}
	for i, b := range w.Folds {
		s.Show(working.Step{Name: fmt.Sprintf("fold_%d", i+1), Says: "fall along " + w.bends[i].says, Formula: "−g·u, both panels meeting at its ends", Value: quantity.Show(b.Slope, quantity.AsSlope),
			From: []string{"panel_" + b.Left, "panel_" + b.Right}, Source: sources.PlaneProgram})
		s.Show(working.Step{Name: fmt.Sprintf("fold_%d_break", i+1), Says: "bend across " + w.bends[i].says, Formula: "|(g_1 − g_2)·n|", Value: quantity.Show(b.Break, quantity.AsSlope),
			From: []string{"panel_" + b.Left, "panel_" + b.Right}, Source: sources.PlaneProgram})
	}
}

// words is the plane's formula with its numbers.
func (p Plane) words() string {
	return fmt.Sprintf("%.4f %+.5f·x %+.5f·y", p.A, level(p.B), level(p.C))
}

// shotFigures names the figures of other stages that the shots are.
func (w *work) shotFigures() []string {
	var out []string
	for _, s := range w.in.Ground {
		if s.Elevation.Origin == known.Computed && s.Elevation.Reason != "" && (len(out) == 0 || out[len(out)-1] != s.Elevation.Reason) {
			out = append(out, s.Elevation.Reason)
		}
	}
	return out
}

// explainBinding says what each limit that holds the plane back costs: what an inch, or a tenth of a percent, would save.
func (w *work) explainBinding() {
	for i, b := range w.fit.Binding {
		unit, size := "0.1 %", 0.001
		if b.A != 0 {
			unit, size = quantity.Show(w.inch(), quantity.AsDrop).String(w.in.Units), float64(w.inch())
		}
		says := fmt.Sprintf("saved if this gave way by %s: %s", unit, b.Name)
		if b.Equal {
			says = fmt.Sprintf("saved (below zero: lost) if this went up by %s: %s", unit, b.Name)
		}
		w.Working.Show(working.Step{Name: fmt.Sprintf("binding_%d", i+1), Symbol: "λ", Says: says, Formula: "multiplier of the limit · " + unit,
			Value: quantity.Plain(b.Saves*size, quantity.AsVolume), From: []string{"fit_cost"}, Source: sources.PlaneProgram})
	}
}

// inch is the small change of a level that is spoken of: 1 in, or 25 mm.
func (w *work) inch() quantity.Length {
	if w.in.Units == quantity.Metric {
		return quantity.Millimetres(25)
	}
	return quantity.Inches(1)
}

func (w *work) explainLevels() {
	in, s := w.in, &w.Working
	str := working.Given(s, "string_height", "h", "string above the highest corner", in.String, quantity.AsDrop)
	s.Show(working.Step{Name: "levels_from", Says: "what levels are counted from", Value: quantity.Words(w.LevelBy), From: []string{"plane"}, Source: sources.OwnRule})
	s.Show(working.Step{Name: "string_level", Symbol: "z_s", Says: "level of the string", Formula: "highest corner + h", Value: quantity.Plain(w.stringLevel(), quantity.AsElevation), From: []string{"plane", "levels_from", str}, Source: sources.LevelBooking})
	rods := []string{}
	if w.hasRods() {
		rods = append(rods, working.Given(s, "height_of_instrument", "HI", "height of the instrument", in.Height, quantity.AsElevation))
	}
	var drops []string
	for _, c := range w.Corners {
		drop, depth := "drop_"+c.Name, "dig_depth_"+c.Name
		s.Show(working.Step{Name: "top_" + c.Name, Says: "top of slab at corner " + c.Name, Formula: "a + b·x + c·y", Value: quantity.Show(c.Elevation, quantity.AsElevation), From: []string{"plane"}, Source: sources.PlaneGeometry})
		s.Show(working.Step{Name: drop, Says: "string down to top of slab at corner " + c.Name, Formula: "z_s − z, to the tape; lowered to the next mark where rounding broke the least fall",
			Value: quantity.Show(c.Top, quantity.AsDrop), From: []string{"string_level", "top_" + c.Name}, Source: sources.LevelBooking})
		if w.hasRods() {
			s.Show(working.Step{Name: "rod_" + c.Name, Symbol: "R", Says: "rod on top of slab at corner " + c.Name, Formula: "HI − level as set", Value: quantity.Show(c.Rod, quantity.AsElevation), From: append([]string{drop}, rods...), Source: sources.LevelBooking})
		}
		s.Show(working.Step{Name: depth, Says: "ground to subgrade at corner " + c.Name, Formula: "ground − (top − t − b)", Value: quantity.Show(c.Depth, quantity.AsDrop),
			From: []string{"top_" + c.Name, "ground_taken", "thickness", "base_thickness"}, Source: sources.Arithmetic})
		drops = append(drops, drop)
	}
	w.words("high_corner", "highest corner", "least drop", w.High, drops, sources.Arithmetic)
	w.words("low_corner", "lowest corner: the water comes here", "greatest drop", w.Low, drops, sources.Arithmetic)
	s.Answer(working.Step{Name: "fall", Says: "fall from the highest corner to the lowest", Formula: "greatest drop − least drop", Value: quantity.Show(w.Fall, quantity.AsDrop), From: drops, Source: sources.Arithmetic})
	s.Answer(working.Step{Name: "least_slope", Says: "least fall the way it drains, as set out", Formula: "the plane's fall that way, less what rounding two corners at least half the slab apart took", Value: quantity.Show(w.Least, quantity.AsSlope), From: append(drops, "least_slope_wanted"), Source: sources.Arithmetic})
}

func (w *work) explainEarth() {
	in, s := w.in, &w.Working
	margin := working.Given(s, "dig_margin", "m", "dig past the slab edge, not past walls", in.Margin, quantity.AsDrop)
	w.explainSetOut()
	s.Show(working.Step{Name: "dig_area", Symbol: "A_d", Says: "area dug", Formula: "outline moved out by m", Value: quantity.Plain(w.digArea(), quantity.AsArea), From: []string{margin}, Source: sources.PlaneGeometry})
	from := []string{"ground_taken", "plane", "dig_area", "thickness", "base_thickness"}
	cut := "∫ max(ground − subgrade, 0) dA"
	if w.dugBelow() != 0 {
		cut += " + what lies below a bed of even depth: thick edges, thicker slab"
	}
	if w.in.undercut() > 0 {
		cut += " + soft spots"
	}
	s.Answer(working.Step{Name: "cut", Says: "to dig, as it lies (bank)", Formula: cut, Value: quantity.Show(w.Cut, quantity.AsVolume), From: from, Source: sources.TriangleSurface})
	s.Answer(working.Step{Name: "fill", Says: "to fill under the base, compacted", Formula: "∫ max(subgrade − ground, 0) dA", Value: quantity.Show(w.Fill, quantity.AsVolume), From: from, Source: sources.TriangleSurface})
	w.explainHandDig()
	w.explainBeside()
	depths := make([]string, len(w.Corners))
	for i, c := range w.Corners {
		depths[i] = "dig_depth_" + c.Name
	}
	s.Answer(working.Step{Name: "dig_depth", Says: "deepest dig at a corner", Formula: "max(ground − subgrade)", Value: quantity.Show(w.DigDepth, quantity.AsDrop), From: depths, Source: sources.Arithmetic})
	w.explainConcrete()
}

func (w *work) explainConcrete() {
	s := &w.Working
	area := "½·|Σ (x_i·y_{i+1} − x_{i+1}·y_i)| − box-outs"
	s.Show(working.Step{Name: "slab_area", Symbol: "A", Says: "area of the slab, less box-outs", Formula: area, Value: quantity.Plain(w.slab.Area(), quantity.AsArea), Source: sources.PlaneGeometry})
	from, formula := []string{"slab_area", "thickness"}, "A · t"
	if more := w.explainBulk(); len(more) > 0 {
		from, formula = append(from, more...), "A · t, or ∫ t dA, + edges + curbs + steps"
	}
	if len(w.in.BaseShots) == 0 {
		s.Answer(working.Step{Name: "net_volume", Says: "concrete in place, nothing added", Formula: formula, Value: quantity.Show(w.NetVolume, quantity.AsVolume), From: from, Source: sources.Arithmetic})
		return
	}
	s.Show(working.Step{Name: "nominal_volume", Says: "concrete by the drawing", Formula: formula, Value: quantity.Show(w.bulk.total(), quantity.AsVolume), From: from, Source: sources.Arithmetic})
	s.Show(working.Step{Name: "base_as_shot", Says: "shots on the finished base", Value: quantity.Counted(len(w.in.BaseShots)), Source: sources.TriangleSurface})
	s.Answer(working.Step{Name: "net_volume", Says: "concrete on the base as shot, nothing added", Formula: "∫ (top − base as shot) dA + edges + curbs + steps", Value: quantity.Show(w.NetVolume, quantity.AsVolume), From: append([]string{"plane", "base_as_shot"}, from...), Source: sources.TriangleSurface})
}

func (w *work) explainStone() {
	in, s := w.in, &w.Working
	s.Answer(working.Step{Name: "base_volume", Says: "stone bed, compacted", Formula: "A_d · b", Value: quantity.Show(w.BaseVolume, quantity.AsVolume), From: []string{"dig_area", "base_thickness"}, Source: sources.Arithmetic})
	s.Show(working.Step{Name: "stone_volume", Says: "stone bed and fill, compacted", Formula: "bed + fill + soft spots", Value: quantity.Show(w.StoneVolume, quantity.AsVolume), From: []string{"base_volume", "fill"}, Source: sources.Arithmetic})
	dry, _ := w.stoneWeight()
	weight := working.Given(s, "stone_weight", "γ_d", "dry weight of the compacted stone", in.StoneWeight.Or(tabled(dry, "weight of "+string(in.Stone.Value)+" stone", sources.CommonPractice)), quantity.AsDensity)
	moisture := working.Given(s, "stone_moisture", "w", "water in the stone", in.Moisture, quantity.AsPercent)
	waste := working.Given(s, "stone_waste", "", "stone ordered over", in.Waste, quantity.AsPercent)
	s.Answer(working.Step{Name: "base_tons", Says: "stone to order, damp", Formula: "(bed + fill) · γ_d · (1 + w) · (1 + waste)", Value: quantity.Show(w.BaseMass, quantity.AsTons), From: []string{"stone_volume", weight, moisture, waste}, Source: sources.Arithmetic})
	s.Answer(working.Step{Name: "base_order", Says: "stone as it is called in", Formula: "up to the next half ton", Value: quantity.Show(w.halfTons(), quantity.AsTons), From: []string{"base_tons"}, Source: sources.CommonPractice})
	packing := working.Given(s, "packing", "p", "compacted over loose thickness", in.Packing, quantity.AsRatio)
	lift := working.Given(s, "loose_lift", "", "deepest loose lift", in.Lift, quantity.AsDrop)
	s.Answer(working.Step{Name: "lifts", Says: "lifts of stone to roll", Formula: "⌈(b / p) / lift⌉", Value: quantity.Counted(w.Lifts), From: []string{"base_thickness", packing, lift}, Source: sources.CommonPractice})
}

// tabled is a value out of a table, as an assumption.
func tabled(v quantity.Density, reason string, source sources.Key) known.Density {
	return known.Guess(v, reason, source)
}

// halfTons is the stone up to the next half ton, or half tonne.
func (w *work) halfTons() quantity.Mass {
	unit := quantity.Of[quantity.Mass](0.5, "ton")
	if w.in.Units == quantity.Metric {
		unit = quantity.Of[quantity.Mass](0.5, "t")
	}
	return quantity.Mass(ceil(float64(w.BaseMass/unit))) * unit
}

func (w *work) explainHaul() {
	in, s := w.in, &w.Working
	sp, _ := w.spoil()
	soil := working.Given(s, "soil", "", "what is dug", in.Soil, "")
	keep := working.Given(s, "kept_on_site", "k", "share kept on site", in.Keep, quantity.AsPercent)
	s.Show(working.Step{Name: "bulking", Symbol: "1 + Sw", Says: "loose over bank volume", Formula: "table, by soil", Value: quantity.Plain(sp.soil.loose, quantity.AsRatio), From: []string{soil}, Source: sp.soil.source})
	s.Show(working.Step{Name: "bank_hauled", Says: "spoil to haul, as it lies", Formula: "cut · (1 − k)", Value: quantity.Show(sp.bank, quantity.AsVolume), From: []string{"cut", keep}, Source: sources.Arithmetic})
	s.Answer(working.Step{Name: "loose", Says: "spoil to haul, loose", Formula: "bank · (1 + Sw)", Value: quantity.Show(w.Loose, quantity.AsVolume), From: []string{"bank_hauled", "bulking"}, Source: sp.soil.source})
	s.Answer(working.Step{Name: "spoil_left", Says: "spoil left on site, loose", Formula: "cut · k · (1 + Sw)", Value: quantity.Show(w.Left, quantity.AsVolume), From: []string{"cut", keep, "bulking"}, Source: sp.soil.source})
	weight := working.Given(s, "soil_weight", "γ", "moist weight of the soil as it lies", in.SoilWeight.Or(tabled(sp.weight, "weight of "+string(in.Soil.Value), sp.soil.source)), quantity.AsDensity)
	s.Show(working.Step{Name: "spoil_mass", Says: "weight to haul", Formula: "bank · γ", Value: quantity.Show(sp.mass, quantity.AsTons), From: []string{"bank_hauled", weight}, Source: sources.Arithmetic})
	box := working.Given(s, "truck_box", "", "box of the haul truck", in.Box, quantity.AsVolume)
	payload := working.Given(s, "truck_payload", "", "what it may carry", in.Payload, quantity.AsTons)
	formula := "⌈max(loose / box, weight / payload)⌉; volume governs"
	if sp.byWeight {
		formula = "⌈max(loose / box, weight / payload)⌉; weight governs"
	}
	s.Answer(working.Step{Name: "haul_loads", Says: "truck loads off the site", Formula: formula, Value: quantity.Counted(w.HaulLoads), From: []string{"loose", "spoil_mass", box, payload}, Source: sources.CommonPractice})
}

// percentOf is a share as a sentence reads it.
func percentOf(part, whole float64) string {
	return fmt.Sprintf("%.0f %%", math.Round(100*part/whole))
}

// level is a slope for print, with one that is rounding taken as none.
func level(s float64) float64 {
	if math.Abs(s) < 5e-6 {
		return 0
	}
	return s
}
