package hold

import (
	"context"
	"math"
	"math/rand/v2"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// How far the response is probed to each side: support by a factor, thickness by a share.
const (
	supportProbe   = 1.5
	thicknessProbe = 0.08
)

// draws is how many slabs are drawn: the chance is told to about one in a hundred.
const draws = 4000

// parabola is a response in logarithms: at 0, and at ±d.
type parabola struct{ slope, bend float64 }

func throughThree(low, high, d float64) parabola {
	return parabola{slope: (high - low) / (2 * d), bend: (high + low) / (2 * d * d)}
}

func (p parabola) at(x float64) float64 { return p.slope*x + p.bend*x*x }

// chance is the share of slabs, drawn from the ranges of support, strength and thickness, whose worst case keeps its limit,
// and of those that it would crack in one pass. The plate answers at two supports and two thicknesses; between them the
// logarithm of the stress is a parabola in the logarithms, and a stiffer concrete counts as a softer ground, as it does
// exactly for a load on a flat slab. The seed is fixed: one question has one answer.
func (m *model) chance(ctx context.Context, p *plates, worst Case) (holds, cracks quantity.Ratio, err error) {
	probes := [4][2]float64{{1 / supportProbe, 1}, {supportProbe, 1}, {1, 1 - thicknessProbe}, {1, 1 / (1 - thicknessProbe)}}
	var at [4]float64
	err = atOnce(len(probes), func(i int) error {
		changed := *m
		changed.slab.Support *= probes[i][0]
		changed.slab.Thickness *= probes[i][1]
		changed.setJoints(float64(m.in.JointStiffness.Value))
		b := built{m: &changed, from: p}
		ratio, err := b.rough(ctx, worst)
		at[i] = math.Log(ratio)
		return err
	})
	if err != nil {
		return 0, 0, err
	}
	support := throughThree(at[0], at[1], math.Log(supportProbe))
	thickness := throughThree(at[2], at[3], -math.Log(1-thicknessProbe))
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
