package slab

import "math"

// fatigueLimit is the stress ratio up to which passes are not counted.
const fatigueLimit = 0.45

// fatiguePasses is how many passes at a stress ratio (stress over modulus of rupture) crack the slab; unlimited at or
// under 0.45.
//
//	SR ≥ 0.55: log₁₀N = (0.9719 − SR)/0.0828        0.45 < SR < 0.55: N = [4.2577/(SR − 0.4325)]^3.268
//
// Source: PCA 1984, EB109 (recalled). The branches meet within 0.03 %. Checked: STR-30.
func fatiguePasses(ratio float64) (passes float64, unlimited bool) {
	switch {
	case ratio <= fatigueLimit:
		return 0, true
	case ratio < 0.55:
		return math.Pow(4.2577/(ratio-0.4325), 3.268), false
	}
	return math.Pow(10, (0.9719-ratio)/0.0828), false
}

// block is a number of passes at one stress ratio.
type block struct{ Passes, Ratio float64 }

// minerSum is the share of its life that a slab has used after the blocks: Σ n/N. At 1 it is used up. Checked: STR-30.
func minerSum(blocks []block) float64 {
	sum := 0.0
	for _, b := range blocks {
		if n, unlimited := fatiguePasses(b.Ratio); !unlimited && b.Passes > 0 {
			sum += b.Passes / n
		}
	}
	return math.Min(sum, mostDamage)
}

// mostDamage caps the Miner sum: past it the figure means "at once" and stays a number.
const mostDamage = 1e9

// fatigueUse is the factor by which the stresses of the blocks stand above those that would just last: 1 when the Miner
// sum is 1. Unlike the sum itself it compares with the other utilisations. It is found by halving, between the factor at
// which nothing counts and three times that, at which a slab breaks in one pass; without passes it is zero.
func fatigueUse(blocks []block) float64 {
	most, passes := 0.0, 0.0
	for _, b := range blocks {
		if b.Passes > 0 {
			most, passes = math.Max(most, b.Ratio), passes+b.Passes
		}
	}
	if most <= 0 || passes <= 0 {
		return 0
	}
	low := fatigueLimit / most // factor on the stresses
	high := 3 * low
	for range 34 {
		factor := math.Sqrt(low * high)
		if minerSum(scaled(blocks, factor)) > 1 {
			high = factor
		} else {
			low = factor
		}
	}
	return 1 / low
}

// scaled are the blocks with a factor on their stresses.
func scaled(blocks []block, factor float64) []block {
	out := make([]block, len(blocks))
	for i, b := range blocks {
		out[i] = block{b.Passes, b.Ratio * factor}
	}
	return out
}
