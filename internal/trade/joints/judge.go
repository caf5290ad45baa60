package joints

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// sum puts the figures on the sheet.
func (r *Result) sum(in Input, rules limits, f frame) {
	w := &r.Working
	w.Answer(working.Step{Name: "spacing", Says: "largest joint spacing", Symbol: "S", Formula: "min(k · t, cap)",
		Value: quantity.Show(r.Spacing, quantity.AsSide), From: []string{"thickness", "spacing_factor", "spacing_cap"}, Source: sources.ACI330Joints})
	least := max(1, int(math.Ceil(f.ground.Area()/(rules.spacing*rules.spacing)-1e-6)))
	w.Show(working.Step{Name: "least_panels", Says: "no layout can have fewer panels", Symbol: "n_min", Formula: "⌈A / S²⌉",
		Value: quantity.Counted(least), From: []string{"site.area", "spacing"}, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "panels", Says: "panels", Symbol: "n", Formula: "layout search: hard rules first, then " + in.Prefer.Value,
		Value: quantity.Counted(len(r.Panels)), From: []string{"least_panels", "spacing", "max_aspect", "best_aspect", "narrowest", "prefer"}, Source: sources.OwnRule})
	w.Answer(working.Step{Name: "layout_cost", Says: "cost of the layout, less is better", Symbol: "J",
		Formula: fmt.Sprintf("%g (n/n_min − 1) + %g L/√(A n) + %g Σ max(0, ratio − best)² + %g Var(A_i)/mean² + %g slivers + %g loads at joints + %g (pours/least − 1)", weightCount, weightLength, weightAspect, weightSpread, weightSliver, weightLoads, weightPours),
		Value:   quantity.Plain(r.Score, quantity.AsRatio), From: []string{"panels", "least_panels", "best_aspect", "hands"}, Source: sources.OwnRule})
	w.Answer(working.Step{Name: "pours", Says: "pours, a day each", Formula: "slab / what the crew places and finishes in a day, split at joints", Value: quantity.Counted(len(r.Pours)), From: []string{"panels", "hands"}, Source: sources.CommonPractice})
	for _, a := range r.Alternatives {
		w.Answer(working.Step{Name: a.Name + "_layout", Says: fmt.Sprintf("instead, with layout: %s", a.Name), Formula: "the same search", Value: quantity.Words(a.words(in)), From: []string{"layout_cost"}, Source: sources.OwnRule})
	}
	w.Answer(working.Step{Name: "cuts", Says: "joint lines", Value: quantity.Counted(len(r.Cuts)), From: []string{"panels"}, Source: sources.OwnRule})
	w.Answer(working.Step{Name: "saw_length", Says: "joint to saw", Formula: "sum of the cuts",
		Value: quantity.Show(r.SawLength, quantity.AsDistance), From: []string{"cuts"}, Source: sources.Arithmetic})
	w.Answer(r.depthStep(in))
	var isolation, longest quantity.Length
	var area quantity.Area
	var aspect quantity.Ratio
	for _, one := range r.Isolation {
		isolation += one.Length
	}
	for _, p := range r.Panels {
		longest, area, aspect = max(longest, p.Length), max(area, p.Area), max(aspect, p.Aspect)
	}
	w.Answer(working.Step{Name: "isolation", Says: "isolation strip, full depth", Formula: "round box-outs and along what stands still",
		Value: quantity.Show(isolation, quantity.AsDistance), From: []string{"isolation_strip"}, Source: sources.NRMCAJoints})
	w.Answer(working.Step{Name: "largest_panel", Says: "longest panel side", Value: quantity.Show(longest, quantity.AsSide), From: []string{"panels"}, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "largest_panel_area", Says: "area of the largest panel", Value: quantity.Show(area, quantity.AsArea), From: []string{"panels"}, Source: sources.Arithmetic})
	w.Answer(working.Step{Name: "worst_aspect", Says: "longest panel for its width", Formula: "length / width of the smallest rectangle round it",
		Value: quantity.Show(aspect, quantity.AsRatio), From: []string{"panels"}, Source: sources.Definition})
}

func (r *Result) depthStep(in Input) working.Step {
	step := working.Step{Name: "saw_depth", Says: "how deep to cut", Symbol: "d", Formula: "max(share · t, 1 in)",
		Value: quantity.Show(r.SawDepth, quantity.AsDrop), From: []string{"thickness", "depth_share", "saw"}, Source: sources.ACI330Joints}
	if in.Saw.Value == EarlySaw && in.Thickness.Value <= earlyLimit {
		step.Formula, step.Source = "1 in for an early-entry saw, slabs up to 9 in", sources.ACI302EarlySaw
	}
	return step
}

// rule says what a hard rule is about, its check id and its source.
var rules = []struct {
	name   string
	id     check.ID
	good   string
	source sources.Key
}{
	{"H1", "joints.edge-to-edge", "Every joint runs from edge to edge.", sources.NRMCAJoints},
	{"H2", "joints.panel-length", "No panel is longer than the joint spacing.", sources.ACI330Joints},
	{"H3", "joints.panel-aspect", "No panel is too long for its width.", sources.ContractorJointRules},
	{"H4", "joints.inside-corner", "No panel has an inside corner.", sources.ContractorJointRules},
	{"H5", "joints.sharp-corner", "No panel corner is sharper than 60°.", sources.CommonPractice},
	{"H6", "joints.square-to-edge", "Joints meet the edges squarely.", sources.CommonPractice},
	{"H7", "joints.box-out", "Joints run to every box-out from two sides.", sources.NRMCAJoints},
	{"H8", "joints.sliver", "No panel is a sliver.", sources.CommonPractice},
	{"H9", "joints.line-up", "Joints line up with the slab this one is tied to.", sources.CommonPractice},
}

// judge says what a foreman would say about the layout.
func (r *Result) judge(in Input, proposals []proposal) {
	for _, rule := range rules {
		r.Check(r.ruleCheck(rule.name, rule.id, rule.good, rule.source))
	}
	r.Check(r.searchCheck())
	for _, p := range proposals {
		r.Check(p.check(in))
	}
	r.Check(r.isolationCheck(in), in.spacingCheck())
	r.Check(r.pourChecks(in)...)
	if in.BarCover.Given() {
		r.Check(in.coverCheck(r.SawDepth))
	}
	r.Check(in.sawChecks(r.SawDepth)...)
}

// mostSaid is how many breaches of one rule are told one by one; all stand on the plan.
const mostSaid = 6

func (r *Result) ruleCheck(name string, id check.ID, good string, source sources.Key) check.Check {
	c := check.Check{ID: id, Level: check.Good, Says: good, Source: source}
	var says, where []string
	for _, b := range r.Breaches {
		if b.Rule != name || len(says) == mostSaid {
			continue
		}
		level := check.Stop
		if b.Outline || name == "H5" || name == "H6" || name == "H9" {
			level = check.Care
		}
		c.Level = max(c.Level, level)
		says = append(says, b.Says)
		where = append(where, fmt.Sprintf("(%.2f, %.2f) m", b.At.X, b.At.Y))
		c.Then = []string{b.Then}
	}
	if len(says) > 0 {
		c.Says, c.Where = capital(strings.Join(says, "; ")+" ("+name+")."), strings.Join(where, " ")
	}
	return c
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// searchCheck says how far the layout can be trusted to be the best.
func (r *Result) searchCheck() check.Check {
	c := check.Check{ID: "joints.search", Level: check.Good, Source: sources.OwnRule, Value: quantity.Counted(len(r.Panels)),
		Says: fmt.Sprintf("Cost %.2f. Every even cutting of this outline was within the search: none with fewer panels keeps the rules better.", r.Score)}
	if !r.Complete {
		c.Says = fmt.Sprintf("Cost %.2f. The best layout found within the search's effort; a foreman may see a better one, and can pin its joints.", r.Score)
	}
	if r.Layout != Best {
		c.Says = fmt.Sprintf("Cost %.2f. The %s layout is built because the job asks for it.", r.Score, r.Layout)
	}
	return c
}

// words is what a layout is like, in one line.
func (a Alternative) words(in Input) string {
	text := fmt.Sprintf("%s, %s of joint, longest panel %s, ratio %.2f, cost %.2f", plural(len(a.Panels), "panel"),
		quantity.Show(a.SawLength, quantity.AsDistance).String(in.Units), show(a.Longest, in.Units), float64(a.Aspect), a.Score)
	if a.Pours > 1 {
		text += fmt.Sprintf(", %s", plural(a.Pours, "pour"))
	}
	if !a.KeepsAll {
		text += ", breaks a joint rule"
	}
	return text
}

// pourChecks say in how many days the slab is placed and in which order.
func (r *Result) pourChecks(in Input) []check.Check {
	day := quantity.Area(in.dayArea())
	shown := func(v quantity.Area) string { return quantity.Show(v, quantity.AsArea).String(in.Units) }
	if len(r.Pours) == 1 {
		c := check.Check{ID: "joints.pours", Level: check.Good, Source: sources.CommonPractice, Says: fmt.Sprintf("One pour: %s is a day's work for this crew (up to %s).", shown(r.Pours[0].Area), shown(day))}
		if r.Pours[0].Area > day*1.001 {
			c.Level, c.Says = check.Care, fmt.Sprintf("No joint parts this slab, and %s is more than this crew's day of %s.", shown(r.Pours[0].Area), shown(day))
			c.Then = []string{"Bring more hands, or pin a joint where placing can stop."}
		}
		return []check.Check{c}
	}
	c := check.Check{ID: "joints.pours", Level: check.Care, Source: sources.CommonPractice, Says: fmt.Sprintf("%s pours, split at construction joints: %s in one day is too much for this crew (up to %s).",
		capital(words[min(len(r.Pours), len(words)-1)]), shown(quantity.Area(r.Outline.Area())), shown(day))}
	for _, p := range r.Pours {
		c.Then = append(c.Then, p.words(in))
		if p.Area > day*1.001 {
			c.Level = check.Stop
		}
	}
	return []check.Check{c, {ID: "joints.construction", Level: check.Good, Source: sources.NRMCAJoints,
		Says: "Strip the bulkhead before the neighbour is placed, clean the face and let it dry; what crosses it, dowels or tie bars, stands with the steel. Stopping longer than initial set anywhere else makes a joint too: form it square."}}
}

func (p Pour) words(in Input) string {
	panels := make([]string, len(p.Panels))
	for i, n := range p.Panels {
		panels[i] = fmt.Sprint(n)
	}
	return fmt.Sprintf("Pour %d: panels %s, %s, %s neat, %s, the last with %s.", p.Number, strings.Join(panels, ", "), quantity.Show(p.Area, quantity.AsArea).String(in.Units),
		quantity.Show(p.Volume, quantity.AsVolume).String(in.Units), plural(p.Loads, "load"), quantity.Show(p.Last, quantity.AsVolume).String(in.Units))
}

func (p proposal) check(in Input) check.Check {
	size := quantity.Plain(2*p.half, quantity.AsSide).String(in.Units)
	c := check.Check{ID: "joints.diamond", Level: check.Care, Where: p.name, Source: sources.NRMCAJoints,
		Says: fmt.Sprintf("Form the box-out at %s as a diamond, %s point to point, so that joints run into its points.", p.name, size)}
	if !p.taken {
		c.Says = fmt.Sprintf("The box-out at %s stands square to the joints: its corners start cracks. Turn it to a diamond, %s point to point.", p.name, size)
		c.Then = []string{"Say yes to diamond box-outs, or form it round."}
	}
	return c
}

func (r *Result) isolationCheck(in Input) check.Check {
	c := check.Check{ID: "joints.isolation", Level: check.Good, Source: sources.NRMCAJoints, Says: "Nothing that stands still touches the slab: no isolation strip needed."}
	if len(r.Isolation) == 0 {
		return c
	}
	var names []string
	var length quantity.Length
	for _, one := range r.Isolation {
		length += one.Length
		if len(names) == 0 || names[len(names)-1] != one.Against {
			names = append(names, one.Against)
		}
	}
	c.Says = fmt.Sprintf("Set %s of strip, %s thick and as deep as the slab, at %s.", quantity.Show(length, quantity.AsDistance).String(in.Units),
		quantity.Show(in.Strip.Value, quantity.AsDrop).String(in.Units), strings.Join(names, ", "))
	return c
}

// spacingCheck holds the asked spacing against the widest rule in use.
func (in Input) spacingCheck() check.Check {
	most := quantity.Feet(18)
	return check.AtMost("joints.spacing-cap", quantity.Show(min(in.Cap.Value, quantity.Length(float64(in.Factor.Value)*in.Thickness.Value.Metres())), quantity.AsSide),
		quantity.Show(most, quantity.AsSide), check.Care, "Joint spacing is within what plain slabs stand.",
		fmt.Sprintf("Joints are farther apart than %s: expect cracks between them, steel or not.", show(most, in.Units)), sources.ACI302Joints, fmt.Sprintf("Put the cap back to %s.", show(quantity.Feet(15), in.Units)))
}

func (in Input) coverCheck(depth quantity.Length) check.Check {
	cover, cut := quantity.Show(in.BarCover.Value, quantity.AsDrop), quantity.Show(depth, quantity.AsDrop)
	return check.AtLeast("joints.saw-misses-bars", cover, cut, check.Stop,
		fmt.Sprintf("The saw goes %s deep, the bars start at %s: it misses them.", cut.String(in.Units), cover.String(in.Units)),
		fmt.Sprintf("The saw goes %s deep and the bars start at %s: it cuts them.", cut.String(in.Units), cover.String(in.Units)),
		sources.CommonPractice, "Stop the bars at the joints, or set them lower.")
}

// sawChecks are when and how, in words; the hours come with the cure.
func (in Input) sawChecks(depth quantity.Length) []check.Check {
	cut := quantity.Show(depth, quantity.AsDrop).String(in.Units)
	if in.Saw.Value == Groover {
		return []check.Check{{ID: "joints.timing", Level: check.Good, Source: sources.CommonPractice,
			Says: fmt.Sprintf("Tool the joints %s deep with a groover while the concrete still closes, right after bull floating; go over them again at finishing.", cut)}}
	}
	timing := check.Check{ID: "joints.timing", Level: check.Care, Source: sources.SawWindow,
		Says: fmt.Sprintf("Saw %s deep with a %s blade as soon as the edge of a trial cut does not ravel, middle cuts first, and before the first cool night; the hours stand with the cure.", cut,
			quantity.Show(quantity.Inches(0.125), quantity.AsDrop).String(in.Units)),
		Then: []string{"Have the saw, a spare blade and water on site before the last truck.", "If cracks run ahead of the saw, jump to every second joint."}}
	silica := check.SawDust.In("joints")
	if in.Saw.Value == EarlySaw {
		timing.Source = sources.ACI302EarlySaw
		timing.Says = fmt.Sprintf("Saw %s deep with the early-entry saw about 1 to 4 h after finishing, when it carries the saw without marks; replace a worn skid plate, it ravels the edge.", cut)
	}
	return []check.Check{timing, silica, check.Caution("joints.saw-guard", "Guard on, ground-fault plug or engine outdoors, no loose clothes, nobody ahead of the blade.", sources.CommonPractice)}
}

// SilicaRespirator returns the respirator that the silica table asks for: "none" or "APF 10".
//
// tool: handheld saw, walk-behind saw or stationary saw, each with integrated water; indoors; hours of the task in a
// shift. Source: OSHA 29 CFR 1926.1153 Table 1. A tool that is not in the table is an error: its dust must be measured.
// Checked: BLD-39, BLD-40.
func SilicaRespirator(tool string, water, indoors bool, hours float64) (string, error) {
	if !water {
		return "", fmt.Errorf("joints: a %s without water is not in the silica table: have the dust measured", tool)
	}
	if !(hours >= 0) || hours > 24 {
		return "", fmt.Errorf("joints: %g hours is not a shift", hours)
	}
	switch tool {
	case "stationary saw":
		return "none", nil
	case "walk-behind saw":
		if indoors {
			return "APF 10", nil
		}
		return "none", nil
	case "handheld saw":
		if indoors || hours > 4 {
			return "APF 10", nil
		}
		return "none", nil
	}
	return "", fmt.Errorf("joints: a %s is not in the silica table: have the dust measured", tool)
}

var errRectangle = errors.New("joints: no grid of panels keeps this spacing and aspect: sides and spacing above zero, aspect from 1")

// outlineOf makes a polygon of corner lists for the calculations.
func outlineOf(corners [][]float64) (geometry.Polygon, error) {
	var p geometry.Polygon
	for i, c := range corners {
		if len(c) != 2 {
			return p, fmt.Errorf("joints: corner %d has %d coordinates, not 2", i+1, len(c))
		}
		p.Outer = append(p.Outer, geometry.Point{X: c[0], Y: c[1]})
	}
	return p, nil
}
