package hold

import (
	"context"
	"math"
	"math/rand/v2"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// supportProbe is the factor by which support is probed to each side.
const supportProbe = 1.5

// draws is how many slabs are drawn: the chance is told to about one in a hundred.
const draws = 4000

// parabola is a response in logarithms, nothing at nothing.
type parabola struct{ slope, bend float64 }

// through is the parabola through the origin and two points.
func through(x, y, u, v float64) parabola {
	bend := (y/x - v/u) / (x - u)
	return parabola{slope: y/x - bend*x, bend: bend}
}

func (p parabola) at(x float64) float64 { return p.slope*x + p.bend*x*x }

// chance is the share of slabs, drawn from the ranges of support, strength and thickness, whose worst case keeps its limit,
// and of those that it would crack in one pass. The plate answers at two supports and at the thicknesses of the ladder; between them the
// logarithm of the stress is a parabola in the logarithms, and a stiffer concrete counts as a softer ground, as it does
// exactly for a load on a flat slab. The seed is fixed: one question has one answer.
func (m *model) chance(ctx context.Context, p *plates, worst Case, rungs []Rung) (holds, cracks quantity.Ratio, err error) {
	probes := [2]float64{1 / supportProbe, supportProbe}
	var at [2]float64
	err = atOnce(len(probes), func(i int) error {
		changed := *m
		changed.slab.Support *= probes[i]
		changed.setJoints(float64(m.in.JointStiffness.Value))
		b := built{m: &changed, from: p}
		ratio, err := b.rough(ctx, worst)
		at[i] = math.Log(ratio)
		return err
	})
	if err != nil {
		return 0, 0, err
	}
	support := through(-math.Log(supportProbe), at[0], math.Log(supportProbe), at[1])
	thickness := byThickness(rungs, m.slab.Thickness)
	dice := diceOf(1926)
	ranges := m.ranges(worst)
	var held, cracked int
	for range draws {
		k, strength, h := ranges.support.draw(dice), ranges.strength.draw(dice), ranges.thickness.draw(dice)
		stress := float64(worst.Stress) * math.Exp(support.at(math.Log(k/strength))+thickness.at(math.Log(h)))
		if stress <= float64(worst.Limit)*strength {
			held++
		}
		if full, _ := m.limit(worst.spot.kind); stress > full*strength {
			cracked++
		}
	}
	return quantity.Ratio(held) / draws, quantity.Ratio(cracked) / draws, nil
}

func diceOf(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0)) }

// triangle is a spread by its ends and its most likely value, all as multiples of the value that is checked.
type triangle struct{ low, likely, high float64 }

func (t triangle) draw(dice *rand.Rand) float64 {
	u := dice.Float64()
	if whole := t.high - t.low; whole > 0 {
		if share := (t.likely - t.low) / whole; u < share {
			return t.low + math.Sqrt(u*whole*(t.likely-t.low))
		}
		return t.high - math.Sqrt((1-u)*whole*(t.high-t.likely))
	}
	return t.likely
}

// What is taken where no range is known [our rule]: support from its low end up, strength of a ready-mixed concrete, and
// thickness as crews place it, three tolerances thin to one thick.
var (
	usualSupport  = triangle{0.75, 1, 1.6}
	usualStrength = triangle{0.88, 1.03, 1.18}
)

type spreads struct{ support, strength, thickness triangle }

func (m *model) ranges(worst Case) spreads {
	nominal, off, h := m.in.Thickness.Value.Metres(), m.in.Tolerance.Value.Metres(), m.slab.Thickness
	strength := m.in.Flexural
	if worst.spot.posts {
		strength = m.in.PostFlexural
	}
	return spreads{
		support:   rangeOf(m.in.SubgradeModulus, usualSupport),
		strength:  rangeOf(strength, usualStrength),
		thickness: triangle{math.Max(nominal-3*off, nominal/4) / h, math.Max(nominal-off/2, nominal/4) / h, (nominal + off) / h},
	}
}

func rangeOf[T ~float64](k known.Known[T], usual triangle) triangle {
	if k.Low < k.High && k.Low <= k.Value && k.Value <= k.High && k.Low > 0 {
		return triangle{float64(k.Low / k.Value), 1, float64(k.High / k.Value)}
	}
	return usual
}
