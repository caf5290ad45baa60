package slab

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// The thinnest and the thickest that is looked at, in steps of an inch or 25 mm.
const thinnest, thickest = 4, 16

// stepsPast is how many steps past the thinnest that holds are judged, to show what more concrete would buy.
const stepsPast = 2

// candidates judges the steps of thickness from one under practice until some hold that are not under practice, and the one
// a person said.
func (m model) candidates(in Input, floor quantity.Length) []Candidate {
	var out []Candidate
	for n, past := thinnest, 0; n <= thickest && past <= stepsPast; n++ {
		h := steps(in.Units).thickness(float64(n))
		if h < floor-steps(in.Units).inch-hair {
			continue
		}
		c := m.judge(h.Metres())
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

// strict is the thickness that wheels on the very edge would need that come ten times a day or more: the judgement without
// any allowance for use. 0 when no step holds.
func (m model) strict(units quantity.System, r Result) quantity.Length {
	if len(m.wheels) == 0 {
		return r.Recommended
	}
	m.wheelsOnly, m.edgeClearance = true, 0
	m.safety = safety{frequentSafety, m.safety.posts, frequentSafety}
	at := func(n int) quantity.Length { return steps(units).thickness(float64(thinnest + n)) }
	n := sort.Search(thickest-thinnest+1, func(i int) bool {
		return at(i) >= r.Recommended-hair && (i == thickest-thinnest || m.judge(at(i).Metres()).Holds)
	})
	if n == thickest-thinnest && !m.judge(at(n).Metres()).Holds {
		return 0
	}
	return at(n)
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
	if deeper, ok := withMoreBase(in); ok {
		offer("Compact "+show(deeper.BaseThickness.Value, in.Units)+" of base", deeper)
	}
	return out
}

// withMoreBase is the job with more base under the slab, compacted; false where the tables end or there is none.
func withMoreBase(in Input) (Input, bool) {
	stone := in.BaseThickness.Value + moreStone
	if stone > mostStone || in.Base.Value == baseNone {
		return in, false
	}
	in.BaseThickness, in.BaseCompacted = known.Say(stone), known.Say(true)
	return in, true
}

// leastDowelled is the thinnest slab that is worth putting dowels in [common practice].
var leastDowelled = quantity.Inches(6)

// thickenedEdge is a thinner slab with its free edges thick, at least 50 mm more and at most half as much again; with dowels
// across the joints where that takes dowels.
func thickenedEdge(in Input, m model, r Result) (Alternative, bool) {
	if r.Recommended == 0 {
		return Alternative{}, false
	}
	m.noEdge = true
	bars := ""
	h, ok := m.thinner(in.Units, r.PracticeFloor, r.Recommended)
	if !ok && m.joint != jointDowels && r.Recommended > leastDowelled {
		bars, m.joint = " and put dowels across the joints", jointDowels
		h, ok = m.thinner(in.Units, max(r.PracticeFloor, leastDowelled), r.Recommended)
	}
	edge := max(r.Recommended, h+edgeMore)
	if !ok || edge.Metres() > edgeMost*h.Metres() {
		return Alternative{}, false
	}
	return Alternative{Says: fmt.Sprintf("Thicken the free edges to %s, tapered back 1 in 10%s, and %s holds inside", show(edge, in.Units), bars, show(h, in.Units)), Thickness: h, Edge: edge}, true
}

func show(l quantity.Length, units quantity.System) string {
	return quantity.Show(l, quantity.AsThickness).String(units)
}

// openingStrength is the least strength at which the load may drive on a slab of this thickness, Pa, with its wheels kept
// off the green edges: its worst stress 1.7 times under 7.5√f'c (psi), the factor of frequent loads on a modest modulus of
// rupture, but no more than the ordered strength, at which the slab was designed to hold it. Rounded up to 10 psi.
func (m model) openingStrength(nominal float64) quantity.Stress {
	young := m
	young.wheelsOnly, young.green = true, true
	young.edgeClearance = math.Max(m.edgeClearance, keptIn.Metres())
	young.safety.wheels = math.Max(m.safety.wheels, dailySafety)
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
