package joints

import (
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// The weights of the score: panels above the least, joint length, panels longer than the best aspect, uneven areas,
// slivers, joints at loads, days of placing above the least. Our rule; a panel of aspect 1.5 costs an eighth of what an
// extra panel in eight costs.
const (
	weightCount  = 1.0
	weightLength = 0.2
	weightAspect = 2.0
	weightSpread = 0.5
	weightSliver = 5.0
	weightLoads  = 1.0
	weightPours  = 0.5
)

// score is the stated cost of a layout, less is better.
//
//	J = w1 (n/n_min − 1) + w2 L/√(A n) + w3 Σ max(0, aspect − best)² + w4 Var(A_i)/mean² + w5 slivers + w6 loads at joints
//
// areas and aspects of the panels, m² and ratios; sawn joint length, m.
func score(areas, aspects []float64, sawn float64, loads, slivers int, rules limits, least int) float64 {
	n, area, square, long := float64(len(areas)), 0.0, 0.0, 0.0
	for i, a := range areas {
		area, square = area+a, square+a*a
		over := max(0, aspects[i]-rules.bestAspect)
		long += over * over
	}
	mean := area / n
	return weightCount*(n/float64(least)-1) + weightLength*sawn/math.Sqrt(area*n) + weightAspect*long +
		weightSpread*max(0, square/n-mean*mean)/(mean*mean) + weightSliver*float64(slivers) + weightLoads*float64(loads)
}

// loadRoom is how far joints are kept from wheels and jacks: 1 ft. Source: common practice.
const loadRoom = 0.3

// loadsOn counts the wheels and jacks that stand at a joint.
func loadsOn(lines []geometry.Segment, loads []geometry.Point) int {
	n := 0
	for _, load := range loads {
		if slices.ContainsFunc(lines, func(s geometry.Segment) bool { return s.Distance(load) < loadRoom }) {
			n++
		}
	}
	return n
}
