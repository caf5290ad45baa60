package forms

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// sum puts the figures on the sheet.
func (r *Result) sum(in Input) {
	w := &r.Working
	oiled := r.BoardLength.Metres() * min(r.Board.Height, in.Thickness.Value).Metres()
	r.Oil = quantity.Volume(oiled / float64(in.OilCover.Value))
	show := func(name, says, symbol, formula string, value quantity.Any, source sources.Key, from ...string) {
		w.Show(working.Step{Name: name, Says: says, Symbol: symbol, Formula: formula, Value: value, From: from, Source: source})
	}
	answer := func(name, says, formula string, value quantity.Any, source sources.Key, from ...string) {
		w.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: value, From: from, Source: source})
	}
	show("board_height", "actual height of the board", "h", "lumber table", quantity.Show(r.Board.Height, quantity.AsDrop), sources.LumberSizes, "board")
	show("stake_spacing", "stakes apart on straight runs", "L", "the usual spacing, closer until the board neither breaks nor bows too far", quantity.Show(r.Spacing, quantity.AsDistance), sources.CommonPractice, "board_height", "thickness", "wood_stress", "wood_modulus")
	show("push", "push of fresh concrete on the form", "W", "γ h² / 2", quantity.Show(r.Load, quantity.AsLineLoad), sources.FormPressure, "concrete", "thickness", "board_height")
	show("moment", "bending of the board between stakes", "M", "W L² / 8", quantity.Show(r.Bending.Moment, quantity.AsMoment), sources.BeamFormulas, "push", "stake_spacing")
	answer("board_stress", "bending stress in the board", "M / (h b² / 6)", quantity.Show(r.Bending.Stress, quantity.AsStress), sources.BeamFormulas, "moment", "board_height")
	answer("bow", "how far the board bows between stakes", "5 W L⁴ / (384 E I)", quantity.Show(r.Bending.Deflection, quantity.AsDeflection), sources.BeamFormulas, "push", "stake_spacing", "wood_modulus", "board_height")
	answer("board_length", "form board, bulkheads and box-outs included", "sum of the pieces", quantity.Show(r.BoardLength, quantity.AsDistance), sources.Arithmetic, "site.perimeter")
	if r.CurveStrip > 0 {
		answer("curve_strip", "thin stock bent round curves", "length of the curves", quantity.Show(r.CurveStrip, quantity.AsDistance), sources.PlywoodRadius, "site.perimeter")
	}
	answer("boards", "boards to buy", "cutting plan", quantity.Counted(r.Boards), sources.Arithmetic, "board_length", "stock", "kerf")
	answer("stakes", "stakes", "⌈L/s⌉ + 1 a run, and one more at each splice", quantity.Counted(r.Stakes), sources.CommonPractice, "stake_spacing", "curve_error")
	answer("splices", "butt joints with a plate outside", "pieces less one in each run", quantity.Counted(r.Splices), sources.CommonPractice, "stock")
	answer("kickers", "braces", "every 4 ft on forms of 8 in and up", quantity.Counted(r.Kickers), sources.CommonPractice, "board_height")
	answer("rails", "screed rails", "⌈width / (straightedge − 0.3 m)⌉ − 1 lines", quantity.Counted(len(r.Rails)), sources.CommonPractice, "straightedge")
	answer("strip", "strip placed between rails", "width / strips", quantity.Show(r.Strip, quantity.AsSide), sources.Arithmetic, "rails")
	if in.EdgeDepth.Given() {
		answer("edge_concrete", "concrete of the thickened edge beyond the slab", "L (w Δ + Δ²/2)", quantity.Show(r.EdgeMore, quantity.AsVolume), sources.Arithmetic, "edge_depth", "edge_width", "thickness")
	}
	answer("oil", "form oil", "oiled face / cover", quantity.Show(r.Oil, quantity.AsWater), sources.CommonPractice, "board_length", "form_oil")
}

// judge says what a foreman would say about the forms.
func (r *Result) judge(in Input) {
	r.Check(r.heightCheck(in), r.stressCheck(in), r.bowCheck(in), r.cuttingCheck(in))
	r.Check(r.againstChecks()...)
	r.Check(r.workChecks(in)...)
	r.Check(check.Check{ID: "forms.strip", Level: check.Good, Source: sources.CommonPractice,
		Says: "Strip edge boards after 12 to 24 h at 50 °F (10 °C) and warmer, 24 to 48 h between 40 and 50 °F, and not before a corner stands a knock without chipping; the hour stands with the cure."})
	r.Check(check.Check{ID: "forms.tolerance", Level: check.Good, Source: sources.CommonPractice,
		Says: fmt.Sprintf("Set boards to the string within %s in %s of line and %s of grade; oil them before the steel goes in, not after.",
			quantity.Show(quantity.Inches(0.25), quantity.AsDrop).String(in.Units), quantity.Show(quantity.Feet(10), quantity.AsDistance).String(in.Units), quantity.Show(quantity.Inches(0.125), quantity.AsDrop).String(in.Units))})
	r.Check(check.Caution("forms.truck", fmt.Sprintf("Keep truck wheels %s from the form: one form height and %s.", quantity.Show(r.Board.Height+quantity.Feet(3), quantity.AsDistance).String(in.Units), quantity.Show(quantity.Feet(3), quantity.AsDistance).String(in.Units)),
		sources.CommonPractice, "Stay farther off on soft or freshly filled ground."),
		check.Caution("forms.stakes", "Cut stakes off below the board's top, pull or bend every nail when stripping, and cap steel pins that stand up.", sources.BarEnds))
}

// workChecks say how the forms are worked with: rails, a thickened edge, and the next pour.
func (r *Result) workChecks(in Input) []check.Check {
	shown := func(l quantity.Length, kind quantity.Kind) string { return quantity.Show(l, kind).String(in.Units) }
	var out []check.Check
	if len(r.Rails) > 0 {
		out = append(out, check.Check{ID: "forms.rails", Level: check.Good, Source: sources.CommonPractice,
			Says: fmt.Sprintf("Set screed rails so that strips are %s wide; take each rail and its stakes out as soon as its strip is struck off, fill and float the groove.", shown(r.Strip, quantity.AsSide))})
	}
	if in.EdgeDepth.Given() {
		out = append(out, check.Check{ID: "forms.edge", Level: check.Care, Source: sources.CommonPractice,
			Says: fmt.Sprintf("The edge is %s deep: dig it clean below the board, bottom %s wide, and slope it up to the slab; it takes %s more concrete, which the order counts.", shown(in.EdgeDepth.Value, quantity.AsDrop), shown(in.EdgeWidth.Value, quantity.AsDrop), quantity.Show(r.EdgeMore, quantity.AsVolume).String(in.Units)),
			Then: []string{"Add it to the order.", "Keep the trench sides from caving while the base is packed."}})
	}
	if pours := len(in.PourStops) + 1; pours > 1 {
		out = append(out, check.Check{ID: "forms.reuse", Level: check.Good, Source: sources.CommonPractice,
			Says: fmt.Sprintf("%d pour stops: strip each bulkhead before its neighbour is placed, clean and oil boards at once; a board serves about %.0f pours.", pours-1, float64(in.Reuse.Value))})
	}
	return out
}

func (r *Result) heightCheck(in Input) check.Check {
	t, h := quantity.Show(in.Thickness.Value, quantity.AsThickness), quantity.Show(r.Board.Height, quantity.AsDrop)
	c := check.Check{ID: "forms.height", Value: h, Limit: t, Source: sources.LumberSizes, Level: check.Good,
		Says: fmt.Sprintf("A %s stands %s high: enough for a %s slab.", r.Board.Name, h.String(in.Units), t.String(in.Units))}
	if over := r.Board.Height - in.Thickness.Value; over > quantity.Inches(0.3) {
		c.Says += fmt.Sprintf(" Dig it in %s, or bring the stone up to it on the inside.", quantity.Show(over, quantity.AsDrop).String(in.Units))
	}
	lost, strength, err := Shortfall(r.Board.Height, in.Thickness.Value)
	if err != nil || r.Board.Height >= in.Thickness.Value-quantity.Inches(0.05) {
		return c
	}
	c.Level = check.Care
	c.Says = fmt.Sprintf("A %s is %s high, the slab wants %s: %s less thickness and %s less strength at the edge if the stone is levelled to the board's foot.", r.Board.Name, h.String(in.Units), t.String(in.Units),
		quantity.Show(lost, quantity.AsPercent).String(in.Units), quantity.Show(strength, quantity.AsPercent).String(in.Units))
	c.Then = []string{"Set the stone the missing height below the board's foot and fill the gap outside."}
	if b, ok := BoardFor(in.Thickness.Value, in.Units); ok {
		c.Then = append(c.Then, fmt.Sprintf("Use a %s.", b.Name))
	}
	return c
}

func (r *Result) stressCheck(in Input) check.Check {
	return check.AtMost("forms.stress", quantity.Show(r.Bending.Stress, quantity.AsStress), quantity.Show(in.Allowable.Value, quantity.AsStress), check.Stop,
		fmt.Sprintf("The concrete bends the board to %s; it is allowed %s.", quantity.Show(r.Bending.Stress, quantity.AsStress).String(in.Units), quantity.Show(in.Allowable.Value, quantity.AsStress).String(in.Units)),
		fmt.Sprintf("The concrete bends the board to %s; it is allowed only %s: it will break.", quantity.Show(r.Bending.Stress, quantity.AsStress).String(in.Units), quantity.Show(in.Allowable.Value, quantity.AsStress).String(in.Units)),
		sources.BeamFormulas, "Stakes closer together, or thicker boards.")
}

func (r *Result) bowCheck(in Input) check.Check {
	found, limit := quantity.Show(r.Bending.Deflection, quantity.AsDeflection), quantity.Show(r.Bending.Limit, quantity.AsDeflection)
	return check.AtMost("forms.bow", found, limit, check.Care,
		fmt.Sprintf("The board bows %s between stakes; nobody sees less than %s.", found.String(in.Units), limit.String(in.Units)),
		fmt.Sprintf("The board bows %s between stakes, more than %s: the edge will wave.", found.String(in.Units), limit.String(in.Units)),
		sources.BeamFormulas, "Stakes closer together, or thicker boards.")
}

func (r *Result) cuttingCheck(in Input) check.Check {
	c := check.Check{ID: "forms.cutting", Level: check.Good, Source: sources.Arithmetic, Value: quantity.Counted(r.Boards),
		Says: fmt.Sprintf("%d boards to buy for %s of form; no cutting plan needs less.", r.Boards, quantity.Show(r.BoardLength, quantity.AsDistance).String(in.Units))}
	if !r.Proven {
		c.Says = fmt.Sprintf("%d boards to buy for %s of form; the best plan found, not proven the best.", r.Boards, quantity.Show(r.BoardLength, quantity.AsDistance).String(in.Units))
	}
	return c
}

func (r *Result) againstChecks() []check.Check {
	var out []check.Check
	for _, run := range r.Runs {
		switch run.Kind {
		case NoForm:
			out = append(out, check.Check{ID: "forms.against", Level: check.Good, Where: run.Name, Source: sources.NRMCAJoints,
				Says: fmt.Sprintf("No board along %s: fix the isolation strip to it, top flush with the slab.", run.Against)})
		case Curve:
			out = append(out, check.Check{ID: "forms.curve", Level: check.Good, Where: run.Name, Source: sources.PlywoodRadius,
				Says: fmt.Sprintf("Bend %s round the curve %s, %d stakes.", run.Bend, run.Name, len(run.Stakes))})
		case Round:
			out = append(out, check.Check{ID: "forms.round", Level: check.Good, Where: run.Name, Source: sources.CommonPractice,
				Says: fmt.Sprintf("Form %s with a cardboard tube or a strip round it; hold it down, it floats.", run.Name)})
		}
	}
	return out
}
