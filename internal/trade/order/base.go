package order

import (
	"math"

	"slabwright/internal/engines/quantity"
)

// Base is what is believed of the base under a pour: how low it lies on average, how sure that is, and how it varies from place to
// place. Lengths count positive where there is more concrete.
type Base struct {
	Low       quantity.Length // mean over the pour
	Level     quantity.Length // deviation of that mean: it does not average out
	Roughness quantity.Length // deviation of single places: it averages out
	Shots     int             // depths it rests on
}

// How depths are believed.
var (
	datumError  = quantity.Inches(1.0 / 16) // of the string and the tape, the same at every place; common practice
	roughWeight = 4.0                       // depths that the usual roughness is worth
)

// Seen is the belief after depths: over is how much more than drawn there is from string to base, a place each.
//
//	r'² = (k r² + Σ(x - x̄)²)/(k + n - 1)        1/σ'² = 1/σ² + 1/(r'²/n + d²)        m' = σ'² (m/σ² + x̄/(r'²/n + d²))
//
// m, σ mean and deviation of the level before, r roughness before, worth k depths; d error of the string. A survey splits what
// was one error in two: the level, which is now known better, and the roughness, which averages out over the pour. Source: normal
// distributions, textbook. Checked: CON-BASE rows.
func (b Base) Seen(over []quantity.Length) Base {
	n := float64(len(over))
	if n == 0 {
		return b
	}
	mean, square := 0.0, 0.0
	for _, x := range over {
		mean += float64(x) / n
	}
	for _, x := range over {
		square += (float64(x) - mean) * (float64(x) - mean)
	}
	r := float64(b.Roughness)
	out := Base{Shots: b.Shots + len(over), Roughness: quantity.Length(math.Sqrt((roughWeight*r*r + square) / (roughWeight + n - 1)))}
	out.Low, out.Level = b.levelAfter(quantity.Length(mean), out.Roughness, len(over))
	return out
}

// levelAfter is mean and deviation of the level after n depths of mean x̄.
func (b Base) levelAfter(mean, roughness quantity.Length, n int) (low, level quantity.Length) {
	if b.Level <= 0 {
		return b.Low, b.Level
	}
	seen := float64(roughness*roughness)/float64(n) + float64(datumError*datumError)
	before := float64(b.Level * b.Level)
	if seen == 0 {
		return mean, 0
	}
	after := 1 / (1/before + 1/seen)
	return quantity.Length(after * (float64(b.Low)/before + float64(mean)/seen)), quantity.Length(math.Sqrt(after))
}

// OneMore is the deviation of the level after one more depth, before it is taken. first is what was believed before any depth.
func (b Base) OneMore(first Base) quantity.Length {
	_, level := first.levelAfter(first.Low, b.Roughness, b.Shots+1)
	return min(level, b.Level)
}

// ShotValue is what one more depth saves on average: the cost of the best order now less that of the best order with the level
// known as after the depth. The mean may move either way; the best order moves with it and its cost does not change.
// Source: value of sample information, textbook. Checked: CON-SHOT rows.
func ShotValue(now, after Need) quantity.Money {
	_, a := now.Best()
	_, b := after.Best()
	return max(a.Cost-b.Cost, 0)
}
