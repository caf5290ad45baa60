package slab

import (
	"fmt"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/winkler"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// explain puts on the sheet how the answer was worked out.
func explain(r *Result, in Input, g found, m model) {
	explainGround(&r.Working, in, g)
	explainConcrete(&r.Working, in, m)
	explainLoads(&r.Working, in, m)
	explainCurling(&r.Working, in, r.Chosen, m)
	explainCases(&r.Working, r.Chosen)
	explainChoice(r, in)
}

func explainGround(w *working.Sheet, in Input, g found) {
	switch g.road {
	case "plate test":
		working.Given(w, "subgrade_test", "k", "modulus of subgrade reaction, tested", in.SubgradeModulus, "")
	case "CBR":
		working.Given(w, "cbr", "CBR", "California bearing ratio, percent", in.CBR, "")
	case "cone":
		working.Given(w, "cone", "d", "sink of the cone per blow", in.Cone, quantity.AsDeflection)
		working.Given(w, "cone_soil", "", "soil the cone went into", in.ConeSoil, "")
		working.Given(w, "cone_hammer", "", "hammer of the cone", in.ConeHammer, "")
		w.Show(working.Step{Name: "cbr_from_cone", Says: "California bearing ratio from the cone, percent", Symbol: "CBR", Formula: "292/d^1.12, 1/(0.017019 d)² or 1/(0.002871 d) by soil, d in mm for the 8 kg hammer",
			Value: quantity.Plain(g.cbr, quantity.AsRatio), From: []string{"cone", "cone_soil", "cone_hammer"}, Source: sources.ConePenetrometer})
	case "R-value":
		working.Given(w, "r_value", "R", "R-value of the ground", in.RValue, "")
	default:
		working.Given(w, "soil", "", "what the ground is", in.Soil, "")
	}
	w.Show(working.Step{Name: "bare_subgrade", Says: "support of the bare ground", Symbol: "k", Formula: g.formula,
		Value: quantity.Plain(g.bare, quantity.AsSubgrade), From: g.from, Source: g.source})
	working.Given(w, "base", "", "what lies under the slab", in.Base, "")
	working.Given(w, "base_thickness", "", "thickness of the base", in.BaseThickness, quantity.AsThickness)
	working.Given(w, "base_compacted", "", "the base is compacted", in.BaseCompacted, "")
	w.Answer(working.Step{Name: "subgrade_modulus", Says: "support under the slab (" + g.base + ")", Symbol: "k", Formula: "base table, between rows and columns",
		Value: quantity.Plain(g.k, quantity.AsSubgrade), From: []string{"bare_subgrade", "base", "base_thickness", "base_compacted"}, Source: sources.PCAStreets})
}

func explainConcrete(w *working.Sheet, in Input, m model) {
	working.Given(w, "strength", "f'c", "concrete strength at 28 days", in.Strength, quantity.AsStrength)
	working.Given(w, "rupture_factor", "K", "modulus of rupture over √f'c, psi, under wheels", in.Rupture, "")
	working.Given(w, "post_rupture_factor", "K", "the same under jacks and posts", in.PostRupture, "")
	w.Answer(working.Step{Name: "flexural_strength", Says: "modulus of rupture under wheels", Symbol: "MR", Formula: "K √f'c, psi",
		Value: quantity.Plain(m.rupture, quantity.AsStress), From: []string{"strength", "rupture_factor"}, Source: sources.ACI330Rupture})
	w.Show(working.Step{Name: "flexural_strength_posts", Says: "modulus of rupture under jacks and posts", Symbol: "MR", Formula: "K √f'c, psi",
		Value: quantity.Plain(m.postRupture, quantity.AsStress), From: []string{"strength", "post_rupture_factor"}, Source: sources.ACI318Rupture})
	if in.Elasticity.Given() {
		working.Given(w, "elasticity", "E", "modulus of elasticity, tested", in.Elasticity, quantity.AsModulus)
		return
	}
	w.Show(working.Step{Name: "elasticity", Says: "modulus of elasticity", Symbol: "E", Formula: "57 000 √f'c, psi",
		Value: quantity.Plain(m.elasticity, quantity.AsModulus), From: []string{"strength"}, Source: sources.ACI318Modulus})
}

func explainLoads(w *working.Sheet, in Input, m model) {
	from := []string{}
	if in.Vehicle.Given() {
		from = append(from, working.Given(w, "vehicle", "", "what parks or drives on it", in.Vehicle, ""))
	}
	if in.Weight.Given() {
		from = append(from, working.Given(w, "weight", "", "what the loaded vehicle weighs", in.Weight, quantity.AsForce))
	}
	for i, a := range in.Axles {
		from = append(from, working.Given(w, fmt.Sprintf("axle_%d", i+1), "", fmt.Sprintf("load on axle %d", i+1), a.Load, quantity.AsForce))
	}
	for i, p := range in.Posts {
		from = append(from, working.Given(w, fmt.Sprintf("post_%d", i+1), "", "load on each "+p.Name, p.Load, quantity.AsForce))
	}
	w.Show(working.Step{Name: "loads", Says: "what stands on the slab", Value: quantity.Words(strings.Join(m.loads.names, "; ")), From: from, Source: m.loads.source})
	if c, ok := heaviest(m.wheels); ok {
		w.Show(working.Step{Name: "wheel_load", Says: "heaviest tyre (" + c.Name + ")", Symbol: "P", Value: quantity.Show(c.Force, quantity.AsForce), From: []string{"loads"}, Source: m.loads.source})
		w.Show(working.Step{Name: "contact_radius", Says: "radius of its print as a disc", Symbol: "a", Formula: "√(P/(π p))", Value: quantity.Plain(c.radius(), quantity.AsThickness), From: []string{"wheel_load"}, Source: sources.Definition})
	}
	if c, ok := heaviest(m.posts); ok {
		working.Given(w, "jack_pad", "", "pad under each jack without one of its own", in.JackPad, quantity.AsThickness)
		working.Given(w, "jack_clearance", "", "jack pads stay this far from edges and joints", in.JackClearance, quantity.AsThickness)
		working.Given(w, "jacks_stay", "", "jacks stay down for months", in.JacksStay, "")
		w.Show(working.Step{Name: "jack_load", Says: "heaviest jack or post (" + c.Name + ")", Symbol: "P", Value: quantity.Show(c.Force, quantity.AsForce), From: []string{"loads"}, Source: m.loads.source})
		w.Show(working.Step{Name: "jack_pad_used", Says: "pad under it", Symbol: "s", Value: quantity.Show(c.Along, quantity.AsThickness), From: []string{"jack_pad"}, Source: sources.CommonPractice})
		working.Given(w, "safety_posts", "SF", "safety factor under jacks", in.SafetyPosts, "")
		w.Show(working.Step{Name: "safety_posts_used", Says: "safety factor under jacks; 2 when they stay for months", Symbol: "SF", Value: quantity.Plain(m.safety.posts, quantity.AsRatio), From: []string{"safety_posts", "jacks_stay"}, Source: sources.ACI360Factors})
	}
	if in.PadWidth.Given() {
		working.Given(w, "pad_width", "", "how wide the pad is where the vehicle drives along it", in.PadWidth, quantity.AsSide)
	}
	working.Given(w, "edge_clearance", "", "wheels stay this far from the long edges; an axle crosses the edge where it drives on", in.EdgeClearance, quantity.AsThickness)
	working.Given(w, "passes", "", "times it drives on or off", in.Passes, quantity.AsFrequency)
	working.Given(w, "design_life", "", "how long the slab should last", in.Life, quantity.AsYears)
	working.Given(w, "edge_share", "", "share of passes astray, along the very edge", in.EdgeShare, quantity.AsPercent)
	working.Given(w, "hot_share", "", "share of passes at the hottest hour", in.HotShare, quantity.AsPercent)
	w.Show(working.Step{Name: "repetitions", Says: "axles over the slab in its life", Symbol: "n", Formula: "passes · life · axles", Value: quantity.Counted(int(m.passes * float64(m.axles))),
		From: []string{"passes", "design_life", "loads"}, Source: sources.Arithmetic})
	working.Given(w, "safety_wheels", "SF", "safety factor under wheels by how often they come: 1.4 up to once a week, 1.7 once a day, 2 from ten times a day", in.SafetyWheels, "")
	working.Given(w, "safety_rare", "SF", "safety factor under a wheel astray and in the worst hour of curling", in.SafetyRare, "")
	if in.StoredLoad.Given() {
		working.Given(w, "stored_load", "w", "goods beside an open aisle", in.StoredLoad, quantity.AsStress)
	}
}

func heaviest(contacts []Contact) (Contact, bool) {
	var worst Contact
	for _, c := range contacts {
		if c.Force > worst.Force {
			worst = c
		}
	}
	return worst, len(contacts) > 0
}

func explainCurling(w *working.Sheet, in Input, c Candidate, m model) {
	p := winkler.Plate{E: m.elasticity, H: c.Effective.Metres(), Nu: poisson, K: m.k}
	if in.Thickness.Given() {
		working.Given(w, "thickness_said", "h", "thickness that was decided", in.Thickness, quantity.AsThickness)
	}
	working.Given(w, "tolerance", "", "thickness it may miss in places", in.Tolerance, quantity.AsThickness)
	w.Show(working.Step{Name: "checked_thickness", Says: "thickness that is checked", Symbol: "h", Formula: "thickness − tolerance", Value: quantity.Show(c.Effective, quantity.AsThickness), From: []string{"tolerance"}, Source: sources.CommonPractice})
	w.Show(working.Step{Name: "radius", Says: "radius of relative stiffness: how far the slab spreads a load", Symbol: "l", Formula: "(E h³ / (12 (1 − ν²) k))^¼, ν = 0.15",
		Value: quantity.Show(c.Radius, quantity.AsDistance), From: []string{"elasticity", "checked_thickness", "subgrade_modulus"}, Source: sources.Westergaard1926})
	working.Given(w, "joint", "", "how joints carry load", in.Joint, "")
	r := m.jointR(p)
	w.Show(working.Step{Name: "load_transfer", Says: "share of the sinking that crosses a joint", Symbol: "LTE", Formula: "1/(1 + 1.2 R^-0.849), R = q/(k l)", Value: quantity.Plain(loadTransfer(r), quantity.AsPercent), From: []string{"joint", "radius"}, Source: sources.LoadTransferCurve})
	working.Given(w, "panel_length", "L", "long side of a panel", in.PanelLength, quantity.AsSide)
	working.Given(w, "panel_width", "", "short side of a panel", in.PanelWidth, quantity.AsSide)
	working.Given(w, "expansion", "α", "thermal expansion, millionths per kelvin", in.Expansion, "")
	working.Given(w, "day_difference", "ΔT", "top warmer than bottom on a hot afternoon", in.DayWarm, quantity.AsTempDiff)
	working.Given(w, "dawn_difference", "", "top colder than bottom at dawn", in.DawnCold, quantity.AsTempDiff)
	working.Given(w, "built_in_difference", "", "shrinkage of the top, as if it were colder by", in.BuiltIn, quantity.AsTempDiff)
	working.Given(w, "built_in_by_day", "", "share of that which stays on a hot afternoon, and takes from its warmth", in.BuiltInByDay, quantity.AsPercent)
	w.Show(working.Step{Name: "day_difference_net", Says: "what the hot afternoon leaves against the shrinkage of the top", Symbol: "ΔT", Formula: "ΔT by day − share · built-in, not under zero", Value: quantity.Plain(m.day, quantity.AsTempDiff),
		From: []string{"day_difference", "built_in_difference", "built_in_by_day"}, Source: sources.BuiltInCurl})
	day, dawn := m.curls(p)
	w.Show(working.Step{Name: "curling_coefficient", Says: "share of full curling that the panel's length keeps", Symbol: "C", Formula: "1 − 2(sinλ coshλ + cosλ sinhλ)/(sin2λ + sinh2λ), λ = L/(l√8)",
		Value: quantity.Plain(bradburySafe(m.panelLong/p.Radius()), quantity.AsRatio), From: []string{"panel_length", "radius"}, Source: sources.Bradbury1938})
	w.Show(working.Step{Name: "curling_edge_day", Says: "curling at an edge on a hot afternoon, tension at the bottom", Symbol: "σ", Formula: "E α ΔT C / 2", Value: quantity.Plain(day.Edge, quantity.AsStress),
		From: []string{"elasticity", "expansion", "day_difference_net", "curling_coefficient"}, Source: sources.Bradbury1938})
	w.Show(working.Step{Name: "curling_middle_dawn", Says: "curling in the middle at dawn, tension at the top", Symbol: "σ", Formula: "E α ΔT (C + ν C') / (2 (1 − ν²)), ΔT = dawn + built-in", Value: quantity.Plain(dawn.Interior, quantity.AsStress),
		From: []string{"elasticity", "expansion", "dawn_difference", "built_in_difference", "curling_coefficient"}, Source: sources.Bradbury1938})
}

// The formulas of wheels at an edge and in the middle.
const (
	middleFormula = "3P(1+ν)/(2πh²)·[ln(2l/b)+½−γ] + 3P(1+ν)/(64h²)·(b/l)², neighbours by the exact plate"
	edgeFormula   = "3(1+ν)P/(π(3+ν)h²)·{ln[Eh³/(100ka⁴)]+1.84−4ν/3+(1−ν)/2+1.18(1+2ν)a/l}, neighbours by the exact half-plate"
)

// how says by which formula and source each case was found.
var how = map[string]struct {
	formula string
	source  sources.Key
}{
	"middle":             {middleFormula, sources.WestergaardInterior},
	"joint":              {"edge of a disc · (exact joint / exact free edge), neighbours by the exact half-plate", sources.PlateOnSprings},
	"edge":               {"as astray · (exact half-plate at the distance / at the edge), or as middle with what the edge throws back", sources.PlateOnSprings},
	"entrance":           {edgeFormula, sources.Westergaard1947},
	"astray":             {edgeFormula, sources.Westergaard1947},
	"corner":             {"the larger of 3P/h²·[1−(a₁/l)^0.6] and 3P/h²·[1−(c/l)^0.72], all load inside 2√(a₁l)", sources.Ioannides1985},
	"edge by day":        {"edge + curling", sources.Bradbury1938},
	"entrance by day":    {"entrance + curling", sources.Bradbury1938},
	"corner at dawn":     {"corner + EαΔT/(3(1−ν))·√(a/l)", sources.Bradbury1938},
	"middle by day":      {"middle + curling", sources.Bradbury1938},
	"joint by day":       {"joint + curling", sources.Bradbury1938},
	"fatigue":            {"Σ n/N at the most tired place; use = factor on the stresses at which the sum is 1", sources.PCAStreets},
	"jack":               {"as a wheel in the middle, a = s/√π", sources.WestergaardInterior},
	"jack by the edge":   {"as a jack in the middle, with what the edge throws back", sources.PlateOnSprings},
	"jack by the corner": {"as a wheel at a corner", sources.Ioannides1985},
	"bearing":            {"1.6 P / (0.60 · 0.85 f'c s²)", sources.ACI318Plain},
	"punching":           {"1.6 P / (0.60 · 2.66√f'c · 4(s+h−50 mm)(h−50 mm)), psi", sources.ACI318Plain},
	"curling alone":      {"E α ΔT (C + ν C') / (2 (1 − ν²))", sources.Bradbury1938},
	"aisle":              {"w / (257.876 σ √(k h/E)), psf", sources.ArmyAisle},
}

func stepName(text string) string {
	return strings.NewReplacer(" ", "_", "-", "_", "/", "_").Replace(text)
}

// allowedBy says from what, and by which source, the limit of a case follows.
func allowedBy(one Case) (from []string, source sources.Key) {
	switch one.Name {
	case "bearing", "punching":
		return []string{"strength", "jack_pad_used"}, sources.ACI318Plain
	case "jack", "jack by the edge", "jack by the corner":
		return []string{"flexural_strength_posts", "safety_posts_used"}, sources.ACI360Factors
	case "fatigue":
		return nil, sources.PCAStreets
	case "aisle":
		return []string{"flexural_strength", "safety_wheels", "subgrade_modulus", "checked_thickness"}, sources.ArmyAisle
	case "middle", "joint", "edge", "entrance":
		return []string{"flexural_strength", "safety_wheels"}, sources.ACI360Factors
	}
	return []string{"flexural_strength", "safety_rare"}, sources.ACI360Factors
}

// sinkBy is the source of a case's deflection.
func sinkBy(one Case) sources.Key {
	if one.Where == "middle" {
		return sources.Westergaard1939
	}
	return how[one.Name].source
}

func explainCases(w *working.Sheet, c Candidate) {
	for _, one := range c.Cases {
		name, h := stepName(one.Name), how[one.Name]
		from := []string{"checked_thickness", "radius", "loads"}
		limit, by := allowedBy(one)
		w.Show(working.Step{Name: name + "_demand", Says: one.Says + ": demand", Formula: h.formula, Value: one.Demand, From: from, Source: h.source})
		w.Show(working.Step{Name: name + "_allowed", Says: one.Says + ": allowed", Formula: "strength / safety factor", Value: one.Limit, From: limit, Source: by})
		w.Show(working.Step{Name: name + "_use", Says: one.Says + ": share of what is allowed", Formula: "demand / allowed", Value: quantity.Plain(one.Utilisation, quantity.AsPercent),
			From: []string{name + "_demand", name + "_allowed"}, Source: sources.Arithmetic})
		if one.Deflection > 0 && one.Curl == 0 {
			w.Show(working.Step{Name: name + "_sink", Says: one.Says + ": how far the slab sinks", Symbol: "w", Value: quantity.Show(one.Deflection, quantity.AsDeflection), From: from, Source: sinkBy(one)})
		}
	}
}

func explainChoice(r *Result, in Input) {
	w, from := &r.Working, []string{}
	for _, c := range r.Candidates {
		name := "use_at_" + stepName(strings.ReplaceAll(show(c.Thickness, in.Units), ".", "_"))
		from = append(from, name)
		w.Show(working.Step{Name: name, Says: "worst share of what is allowed at " + show(c.Thickness, in.Units) + " (" + c.Worst().Says + ")", Formula: "largest of all cases",
			Value: quantity.Plain(c.Utilisation, quantity.AsPercent), From: []string{"subgrade_modulus", "flexural_strength", "loads", "tolerance"}, Source: sources.Arithmetic})
	}
	w.Show(working.Step{Name: "practice_floor", Says: "least that practice builds for this traffic, typical", Value: quantity.Show(r.PracticeFloor, quantity.AsThickness), From: []string{"loads"}, Source: sources.ACI330Practice})
	if r.Recommended > 0 {
		w.Answer(working.Step{Name: "least_thickness", Says: "thinnest step that holds and is not under practice", Formula: "first with use ≤ 100 %", Value: quantity.Show(r.Recommended, quantity.AsThickness),
			From: append(from, "practice_floor"), Source: sources.OwnRule})
		from = []string{"least_thickness"}
	}
	if in.Thickness.Given() {
		from = []string{"thickness_said"}
	}
	w.Answer(working.Step{Name: "thickness", Says: "thickness to build", Value: quantity.Show(r.Thickness, quantity.AsThickness), From: from, Source: sources.OwnRule})
	if r.Strict > 0 {
		w.Answer(working.Step{Name: "strict_thickness", Says: "what wheels on the very edge ten times a day would need, to compare", Formula: "first with stress ≤ MR/2 at every edge and corner", Value: quantity.Show(r.Strict, quantity.AsThickness),
			From: []string{"loads", "flexural_strength", "subgrade_modulus"}, Source: sources.ACI360Factors})
	}
	worst := stepName(r.Chosen.Worst().Name) + "_use"
	w.Answer(working.Step{Name: "governs", Says: "what governs", Value: quantity.Words(r.Chosen.Worst().Says), From: []string{worst}, Source: sources.OwnRule})
	w.Answer(working.Step{Name: "utilisation", Says: "worst share of what is allowed at that thickness", Formula: "largest of all cases", Value: quantity.Plain(r.Utilisation, quantity.AsPercent), From: []string{worst, "thickness"}, Source: sources.Arithmetic})
	w.Show(working.Step{Name: "damage", Says: "share of its life that the design's passes use", Symbol: "Σ n/N", Formula: "log N = (0.9719 − SR)/0.0828 or N = (4.2577/(SR − 0.4325))^3.268; none at SR ≤ 0.45", Value: quantity.Plain(r.Chosen.Damage, quantity.AsRatio),
		From: []string{"repetitions", "edge_share", "hot_share", "flexural_strength", "thickness"}, Source: sources.PCAStreets})
	w.Answer(working.Step{Name: "life", Says: "how long passes let it last; 100 years means that or more", Formula: "design life / Σ n/N", Value: quantity.Show(r.Life, quantity.AsYears), From: []string{"damage", "design_life"}, Source: sources.PCAStreets})
	w.Answer(working.Step{Name: "opening_strength", Says: "strength the slab needs before this load drives on it, " + show(keptIn, in.Units) + " off the edges", Formula: "least f'c with 7.5√f'c ≥ 1.7 times the stress, at most the ordered", Value: quantity.Show(r.OpeningStrength, quantity.AsStrength),
		From: []string{"thickness", "subgrade_modulus", "loads", "strength"}, Source: sources.CommonPractice})
}
