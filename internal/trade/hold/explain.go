package hold

import (
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

func percent(v float64) string { return quantity.Plain(v, quantity.AsPercent).String(quantity.US) }

func stepName(text string) string { return strings.ReplaceAll(text, " ", "_") }

// explain puts on the sheet what went in and what came out.
func explain(r *Result, in Input, m *model) {
	w := &r.Working
	working.Given(w, "slab_thickness", "h", "thickness of the slab", in.Thickness, quantity.AsThickness)
	working.Given(w, "tolerance", "", "thickness it may miss in places", in.Tolerance, quantity.AsThickness)
	working.Given(w, "elasticity", "E", "modulus of elasticity", in.Elasticity, quantity.AsModulus)
	working.Given(w, "flexural_strength", "MR", "modulus of rupture under wheels", in.Flexural, "")
	working.Given(w, "post_flexural_strength", "MR", "modulus of rupture under jacks and posts", in.PostFlexural, "")
	working.Given(w, "subgrade_modulus", "k", "support under the slab", in.SubgradeModulus, quantity.AsSubgrade)
	working.Given(w, "joint_stiffness", "R", "stiffness of the joints over k l", in.JointStiffness, "")
	working.Given(w, "expansion", "α", "thermal expansion, millionths per kelvin", in.Expansion, "")
	working.Given(w, "day_difference", "ΔT", "top warmer than bottom on a hot afternoon, less what is built in", in.DayWarm, quantity.AsTempDiff)
	working.Given(w, "dawn_difference", "ΔT", "top colder than bottom at dawn, with what is built in", in.DawnCold, quantity.AsTempDiff)
	working.Given(w, "safety_wheels", "SF", "safety factor under wheels", in.SafetyWheels, "")
	working.Given(w, "safety_posts", "SF", "safety factor under jacks", in.SafetyPosts, "")
	working.Given(w, "safety_rare", "SF", "safety factor under a wheel astray, and in the worst hour of curling", in.SafetyRare, "")
	working.Given(w, "edge_clearance", "", "how far wheels stay from edges, but where they drive on", in.WheelClearance, quantity.AsThickness)
	working.Given(w, "jack_clearance", "", "how far jack pads stay from edges and joints", in.JackClearance, quantity.AsThickness)
	w.Show(working.Step{Name: "panels_solved", Says: "panels in the slab", Value: quantity.Counted(len(in.Panels)), Source: sources.Arithmetic})
	w.Show(working.Step{Name: "radius", Says: "radius of relative stiffness: how far the slab spreads a load", Symbol: "l", Formula: "(E (h − tolerance)³ / (12 (1 − ν²) k))^¼, ν = 0.15",
		Value: quantity.Show(r.Radius, quantity.AsDistance), From: []string{"elasticity", "slab_thickness", "tolerance", "subgrade_modulus"}, Source: sources.Westergaard1926})
	w.Show(working.Step{Name: "places_tried", Says: "places at which the load was put", Value: quantity.Counted(r.Positions), From: []string{"radius", "edge_clearance", "jack_clearance"}, Source: sources.PlateElements})
	for _, c := range r.Cases {
		explainCase(w, c)
	}
	worst := stepName(r.Worst.Name) + "_use"
	w.Answer(working.Step{Name: "utilisation", Says: "worst share of what is allowed", Formula: "largest of all cases", Value: quantity.Plain(r.Utilisation, quantity.AsPercent), From: []string{worst}, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "governs", Says: "what governs, and where", Value: quantity.Words(fmt.Sprintf("%s: panel %d, %s of the slab", r.Worst.Says, r.Worst.Panel, r.Worst.Face)), From: []string{worst}, Source: sources.OwnRule})
	w.Answer(working.Step{Name: "chance", Says: "chance that the slab passes, as support, strength and thickness may fall out", Formula: "share of 4000 slabs drawn", Value: quantity.Plain(float64(r.Chance), quantity.AsPercent),
		From: []string{worst, "subgrade_modulus", "flexural_strength", "slab_thickness", "tolerance"}, Source: sources.OwnRule})
	w.Show(working.Step{Name: "chance_of_cracking", Says: "chance that the worst load cracks it at once", Formula: "share of 4000 slabs drawn with σ > MR", Value: quantity.Plain(float64(r.ChanceCrack), quantity.AsPercent), From: []string{"chance"}, Source: sources.OwnRule})
	w.Answer(working.Step{Name: "thinnest", Says: "thinnest of the thicknesses looked at that holds on the real panels", Formula: "least from which on all hold", Value: thinnestShown(*r), From: []string{worst}, Source: sources.PlateElements})
	w.Answer(working.Step{Name: "buys_most", Says: "what buys most", Value: quantity.Words(buysMost(*r)), From: []string{worst}, Source: sources.PlateElements})
	for _, rung := range r.Ladder {
		w.Show(working.Step{Name: fmt.Sprintf("at_%.0f_mm", rung.Thickness.Millimetres()), Says: "worst share of what is allowed at " + show(rung.Thickness, in.Units), Value: quantity.Plain(rung.Utilisation, quantity.AsPercent), From: []string{worst}, Source: sources.PlateElements})
	}
	for _, c := range r.Changes {
		w.Show(working.Step{Name: "with_" + stepName(c.Name), Says: "worst share of what is allowed with " + c.Says, Value: quantity.Plain(c.Utilisation, quantity.AsPercent), From: []string{worst}, Source: sources.PlateElements})
	}
	explainMixer(w, in, r.Mixer)
	w.Show(working.Step{Name: "unknowns", Says: "unknowns of the last solution", Value: quantity.Counted(r.Unknowns), Source: sources.PlateElements})
	w.Show(working.Step{Name: "imbalance", Says: "largest share of force, moment or energy missing in it", Value: quantity.Plain(r.Balance, quantity.AsRatio), Source: sources.PlateElements})
	if in.Finest.Value {
		w.Show(working.Step{Name: "mesh_change", Says: "change of the worst stress on a mesh twice as fine", Value: quantity.Plain(r.Accuracy, quantity.AsPercent), From: []string{"unknowns"}, Source: sources.PlateElements})
	}
}

func thinnestShown(r Result) quantity.Any {
	if r.Thinnest == 0 {
		return quantity.Words("none")
	}
	return quantity.Show(r.Thinnest, quantity.AsThickness)
}

func explainCase(w *working.Sheet, c Case) {
	name := stepName(c.Name)
	strength := []string{"flexural_strength", "safety_wheels"}
	switch {
	case c.Difference != 0 || c.spot.kind == astray:
		strength = []string{"flexural_strength", "safety_rare"}
	case c.spot.posts:
		strength = []string{"post_flexural_strength", "safety_posts"}
	}
	w.Show(working.Step{Name: name + "_stress", Says: c.Says + ": greatest tension, plate elements", Symbol: "σ", Value: quantity.Show(c.Stress, quantity.AsStress), From: []string{"radius", "joint_stiffness", "places_tried"}, Source: sources.PlateElements})
	if c.Closed > 0 {
		w.Show(working.Step{Name: name + "_closed", Says: c.Says + ": the closed form, beside it", Value: quantity.Show(c.Closed, quantity.AsStress), Source: sources.Ioannides1985})
	}
	w.Show(working.Step{Name: name + "_allowed", Says: c.Says + ": allowed", Formula: "MR / SF", Value: quantity.Show(c.Limit, quantity.AsStress), From: strength, Source: sources.ACI360Factors})
	w.Show(working.Step{Name: name + "_use", Says: c.Says + ": share of what is allowed", Formula: "tension / allowed", Value: quantity.Plain(c.Utilisation, quantity.AsPercent), From: []string{name + "_stress", name + "_allowed"}, Source: sources.Arithmetic})
	w.Show(working.Step{Name: name + "_sink", Says: c.Says + ": how far the slab sinks", Symbol: "w", Value: quantity.Show(c.Deflection, quantity.AsDeflection), From: []string{"radius", "joint_stiffness"}, Source: sources.PlateElements})
}

// checks is what a careful foreman says of it.
func checks(in Input, r Result) []check.Check {
	out := append([]check.Check{verdict(in, r), chanceCheck(r)}, mixerChecks(in, r.Mixer)...)
	if in.Finest.Value {
		out = append(out, check.AtMost("hold.mesh", quantity.Plain(r.Accuracy, quantity.AsPercent), quantity.Plain(mostChange, quantity.AsPercent), check.Care,
			"On a mesh twice as fine the worst stress moves "+percent(r.Accuracy)+".",
			"On a mesh twice as fine the worst stress moves "+percent(r.Accuracy)+": an inward corner, where it has no bound, or a mesh too coarse.", sources.PlateElements, "Cut a joint into the inward corner."))
	}
	if len(r.Corners) > 0 {
		out = append(out, check.Check{ID: "hold.inward-corner", Level: check.Care, Says: inwardSays(r.Corners) + " inward without a joint: expect a diagonal crack from each such corner.",
			Source: sources.PlateElements, Then: []string{"End a joint in the corner.", "Put two bars across it."}})
	}
	if r.JacksByCuts {
		out = append(out, check.Check{ID: "hold.jacks-by-joints", Level: check.Care, Says: "The jacks find no place where all keep " + show(in.JackClearance.Value, in.Units) + " from joints: they are judged standing by joints.",
			Source: sources.CommonPractice, Then: []string{"Mark on the slab where the jacks stand, and lay joints clear of them."}})
	}
	for _, c := range r.Cases {
		if c.Closed > 0 && float64(c.Stress) > farAbove*float64(c.Closed) {
			out = append(out, check.Check{ID: "hold.closed-form", Level: check.Care, Says: fmt.Sprintf("The real panels carry %s more than the closed form thinks, for %s.", percent(float64(c.Stress/c.Closed)-1), c.Says),
				Value: quantity.Show(c.Stress, quantity.AsStress), Limit: quantity.Show(c.Closed, quantity.AsStress), Source: sources.PlateElements})
		}
	}
	return append(out, check.Caution("hold.engineer", "This is a plan, not a sealed design: where the slab is a structure or carries a building, local code and a licensed engineer decide.", sources.CommonPractice))
}

// inwardSays names the panels that turn inward, each once.
func inwardSays(corners []Inward) string {
	var panels []string
	for _, c := range corners {
		if n := fmt.Sprint(c.Panel); !slices.Contains(panels, n) {
			panels = append(panels, n)
		}
	}
	if len(panels) == 1 {
		return "Panel " + panels[0] + " turns"
	}
	last := len(panels) - 1
	return "Panels " + strings.Join(panels[:last], ", ") + " and " + panels[last] + " turn"
}

// mostChange is how far a halved mesh may move the worst stress before a person is told; farAbove how far a solved stress may
// stand above its closed form.
const (
	mostChange = 0.02
	farAbove   = 1.15
)

func verdict(in Input, r Result) check.Check {
	h := show(in.Thickness.Value, in.Units)
	at := fmt.Sprintf("%s comes to %s of what is allowed, in the %s of panel %d", r.Worst.Says, percent(r.Utilisation), r.Worst.Face, r.Worst.Panel)
	var then []string
	for _, c := range r.Changes {
		if c.Utilisation <= 1 {
			then = append(then, "With "+c.Says+" it comes to "+percent(c.Utilisation)+".")
		}
	}
	if len(then) == 0 {
		then = append(then, "None of the changes looked at is enough by itself: make it thicker by more.")
	}
	return check.AtMost("hold.holds", quantity.Plain(r.Utilisation, quantity.AsPercent), quantity.Plain(1, quantity.AsPercent), check.Stop,
		h+" holds on the real panels: "+at+".", h+" does not hold on the real panels: "+at+".", sources.PlateElements, then...)
}

// leastChance is the chance of passing under which a person is told.
const leastChance = 0.75

func chanceCheck(r Result) check.Check {
	return check.AtLeast("hold.chance", quantity.Plain(float64(r.Chance), quantity.AsPercent), quantity.Plain(leastChance, quantity.AsPercent), check.Care,
		fmt.Sprintf("As ground, strength and thickness may fall out, %s of such slabs pass; %s would crack at once.", percent(float64(r.Chance)), percent(float64(r.ChanceCrack))),
		fmt.Sprintf("As ground, strength and thickness may fall out, only %s of such slabs pass; %s would crack at once.", percent(float64(r.Chance)), percent(float64(r.ChanceCrack))),
		sources.OwnRule, "Test the ground.", "Hold the thickness: probe before the truck is gone.")
}
