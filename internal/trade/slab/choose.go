package slab

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// The thinnest and the thickest that is looked at, in steps of an inch or 25 mm.
const thinnest, thickest = 4, 16

// stepsPast is how many steps past the thinnest that holds are judged, to show what more concrete would buy.
const stepsPast = 3

// candidates judges the steps of thickness until some hold and are not under practice, and the one a person said.
func (m model) candidates(in Input, floor quantity.Length) []Candidate {
	var out []Candidate
	for n, past := thinnest, 0; n <= thickest && past <= stepsPast; n++ {
		c := m.judge(steps(in.Units).thickness(float64(n)).Metres())
		out = append(out, c)
		if past > 0 || c.Holds && c.Thickness >= floor-hair {
			past++
		}
	}
	if !in.Thickness.Given() {
		return out
	}
	said := in.Thickness.Value
	if _, ok := among(out, said); ok {
		return out
	}
	out = append(out, m.judge(said.Metres()))
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(a.Thickness, b.Thickness) })
	return out
}

// hair is how near two thicknesses are that count as one.
const hair = quantity.Length(1e-6)

func among(candidates []Candidate, h quantity.Length) (Candidate, bool) {
	at := slices.IndexFunc(candidates, func(c Candidate) bool { return math.Abs((c.Thickness - h).Metres()) < hair.Metres() })
	if at < 0 {
		return Candidate{}, false
	}
	return candidates[at], true
}

// recommended is the thinnest step that holds and is not under what practice builds; 0 when none does.
func recommended(candidates []Candidate, floor quantity.Length) quantity.Length {
	for _, c := range candidates {
		if c.Holds && c.Thickness >= floor-hair {
			return c.Thickness
		}
	}
	return 0
}

// thinner is the thinnest step under a limit, and not under a floor, at which the model holds. It goes down from the limit:
// utilisation falls with thickness, so the first that fails ends it.
func (m model) thinner(units quantity.System, floor, limit quantity.Length) (least quantity.Length, ok bool) {
	for n := thickest; n >= thinnest; n-- {
		h := steps(units).thickness(float64(n))
		if h > limit-hair {
			continue
		}
		if h < floor-hair || !m.judge(h.Metres()).Holds {
			break
		}
		least, ok = h, true
	}
	return least, ok
}

// Alternatives looked at: how far wheels could be kept in, how much stronger the concrete, how much more stone.
var (
	keptIn       = quantity.Inches(24)
	moreStrength = quantity.PSI(1000)
	moreStone    = quantity.Inches(4)
	mostStone    = quantity.Inches(12)
	edgeMore     = quantity.Inches(2) // least that a thickened edge is thicker
	edgeMost     = 1.5                // most, as a multiple
)

// alternatives are other ways to a slab that holds, each with the thickness it would then take. Only those that save at
// least a step are worth telling.
func alternatives(in Input, m model, r Result) []Alternative {
	limit := r.Recommended
	if limit == 0 {
		limit = steps(in.Units).thickness(thickest + 1)
	}
	var out []Alternative
	offer := func(says string, changed Input) {
		m := newModel(changed, findGround(changed))
		if h, ok := m.thinner(in.Units, r.PracticeFloor, limit); ok {
			out = append(out, Alternative{Says: fmt.Sprintf("%s, and %s holds", says, show(h, in.Units)), Thickness: h})
		}
	}
	if in.EdgeClearance.Value < keptIn {
		kept := in
		kept.EdgeClearance = known.Say(keptIn)
		offer("Keep wheels "+show(keptIn, in.Units)+" off the edges", kept)
	}
	if a, ok := thickenedEdge(in, m, r); ok {
		out = append(out, a)
	}
	if stronger := in.Strength.Value + moreStrength; stronger <= mostStrength {
		strong := in
		strong.Strength = known.Say(stronger)
		offer("Order "+quantity.Show(stronger, quantity.AsStrength).String(in.Units)+" concrete", strong)
	}
	if stone := in.BaseThickness.Value + moreStone; stone <= mostStone && in.Base.Value != baseNone {
		deeper := in
		deeper.BaseThickness, deeper.BaseCompacted = known.Say(stone), known.Say(true)
		offer("Compact "+show(stone, in.Units)+" of base", deeper)
	}
	return out
}

// thickenedEdge is a thinner slab with its free edges thick: at least 50 mm more, at most half as much again.
func thickenedEdge(in Input, m model, r Result) (Alternative, bool) {
	edge := r.Recommended
	if edge == 0 {
		return Alternative{}, false
	}
	m.noEdge = true
	h, ok := m.thinner(in.Units, r.PracticeFloor, edge)
	edge = max(edge, h+edgeMore)
	if !ok || edge.Metres() > edgeMost*h.Metres() {
		return Alternative{}, false
	}
	return Alternative{Says: fmt.Sprintf("Thicken the free edges to %s, tapered back 1 in 10, and %s holds inside", show(edge, in.Units), show(h, in.Units)), Thickness: h, Edge: edge}, true
}

func show(l quantity.Length, units quantity.System) string {
	return quantity.Show(l, quantity.AsThickness).String(units)
}

// openingRatio is the share of the modulus of rupture of the day that the load may use when a young slab is opened.
const openingRatio = 0.5

// openingStrength is the least strength at which the load may drive on a slab of this thickness, Pa, with its wheels kept
// off the green edges: its worst stress at half of 7.5√f'c (psi), but no more than the ordered strength, at which the slab
// was designed to hold it. Rounded up to 10 psi.
func (m model) openingStrength(nominal float64) quantity.Stress {
	young := m
	young.wheelsOnly = true
	young.edgeClearance = math.Max(m.edgeClearance, keptIn.Metres())
	young.safety.wheels = 1 / openingRatio
	if len(m.wheels) == 0 {
		return quantity.Stress(m.strength)
	}
	need := m.strength
	for range openingRounds {
		young.setConcrete(need, openingRupture, openingRupture)
		use, before := young.judge(nominal).Utilisation, need
		if need = math.Min(math.Max(need*use*use, footStrength), m.strength); math.Abs(need-before) < 1e-6*need {
			break
		}
	}
	return quantity.Stress(math.Min(math.Ceil(need/openingStep)*openingStep, m.strength))
}

// openingRounds is how often the strength is corrected at most. The use falls as 1/√f'c but for the few percent that E adds, so each
// round leaves under a tenth of the error before it.
const openingRounds = 4

// openingStep is how finely the opening strength is told.
var openingStep = 10 * psi

// footStrength is what a slab needs before anybody walks on it, 3.5 MPa [practice]; openingRupture is the rupture factor
// of a young slab's check, 7.5 in psi.
const (
	footStrength   = 3.5e6
	openingRupture = 7.5
)
