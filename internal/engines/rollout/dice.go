package rollout

import (
	"math"
	"slices"
)

// dice is SplitMix64 (Steele, Lea and Flood, 2014): the same seed throws the same every time.
type dice uint64

// even is drawn evenly from −1 to 1.
func (d *dice) even() float64 {
	*d += 0x9e3779b97f4a7c15
	return 2*float64(mix(uint64(*d))>>11)/(1<<53) - 1
}

// mostOf is the value that 95 of 100 do not exceed; zero for none.
func mostOf(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	return sorted[int(math.Ceil(0.95*float64(len(sorted))))-1]
}

// mix spreads the bits of a key: the finaliser of SplitMix64 (G. L. Steele, D. Lea and C. H. Flood, 2014).
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
