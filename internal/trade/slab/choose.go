package slab

import (
	"fmt"
	"math"
	"sort"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// The thinnest and the thickest that is looked at, in steps of an inch or 25 mm.
const thinnest, thickest = 4, 16

// candidates judges every step of thickness, and the one a person said among them.
func (m model) candidates(in Input) []Candidate {
	var out []Candidate
	for n := thinnest; n <= thickest; n++ {
		out = append(out, m.judge(steps(in.Units).thickness(float64(n)).Metres()))
	}
	if !in.Thickness.Given() {
		return out
	}
	said := in.Thickness.Value
	for _, c := range out {
		if math.Abs((c.Thickness - said).Metres()) < 1e-6 {
			return out
		}
	}
	out = append(out, m.judge(said.Metres()))
	sort.SliceStable(out, func(i, j int) bool { return out[i].Thickness < out[j].Thickness })
	return out
}

// recommended is the thinnest step that holds and is not under what practice builds; 0 when none does.
func recommended(candidates []Candidate, floor quantity.Length) quantity.Length {
	for _, c := range candidates {
		if c.Holds && c.Thickness >= floor-quantity.Millimetres(0.001) {
			return c.Thickness
		}
	}
	return 0
}

// leastThat is the thinnest step from a floor up at which the model holds, by halving: utilisation falls with thickness.
func (m model) leastThat(units quantity.System, floor quantity.Length) (quantity.Length, bool) {
	at := func(n int) quantity.Length { return steps(units).thickness(float64(thinnest + n)) }
	n := sort.Search(thickest-thinnest+1, func(i int) bool {
		return at(i) >= floor-quantity.Millimetres(0.001) && m.judge(at(i).Metres()).Holds
	})
	return at(n), n <= thickest-thinnest
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
func alternatives(in Input, r Result) []Alternative {
	limit := r.Recommended
	if limit == 0 {
		limit = steps(in.Units).thickness(thickest + 1)
	}
	var out []Alternative
	offer := func(says string, changed Input) {
		g := findGround(changed)
		m := newModel(changed, g)
		if h, ok := m.leastThat(in.Units, r.PracticeFloor); ok && h < limit {
			out = append(out, Alternative{Says: fmt.Sprintf("%s, and %s holds", says, show(h, in.Units)), Thickness: h})
		}
	}
	if in.EdgeClearance.Value < keptIn {
		kept := in
		kept.EdgeClearance = known.Say(keptIn)
		offer("Keep wheels "+show(keptIn, in.Units)+" off the edges", kept)
	}
	if a, ok := thickenedEdge(in, r, limit); ok {
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
func thickenedEdge(in Input, r Result, limit quantity.Length) (Alternative, bool) {
	inner := newModel(in, findGround(in))
	edge, held := inner.leastThat(in.Units, r.PracticeFloor)
	inner.noEdge = true
	h, ok := inner.leastThat(in.Units, r.PracticeFloor)
	edge = max(edge, h+edgeMore)
	if !ok || !held || h >= limit || edge.Metres() > edgeMost*h.Metres() {
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
		use := young.judge(nominal).Utilisation
		need = math.Min(math.Max(need*use*use, footStrength), m.strength)
	}
	return quantity.Stress(math.Min(math.Ceil(need/openingStep)*openingStep, m.strength))
}

// openingRounds is how often the strength is corrected. The use falls as 1/√f'c but for the few percent that E adds, so each
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
