package grade

import (
	"errors"
	"fmt"
	"math"
)

// positive refuses what must be above zero and is not.
func positive(what string, v float64) error {
	if !(v > 0) || math.IsInf(v, 0) {
		return fmt.Errorf("%s must be more than zero", what)
	}
	return nil
}

// runoff is what a storm sends off an area.
//
//	Q = C · i · A
//
// C share of the rain that runs off, 0 to 1 (slab and roof 0.95, compacted gravel 0.5 to 0.7, lawn 0.05 to 0.35); i rain,
// m/s; A area, m²; Q m³/s. The customary form with in/h, acres and cfs drops a factor of 1.00833.
// Source: rational method, recalled. For areas of lot size and rain at least as long as the water takes to gather.
// Checked: SITE-22.
func runoff(c, i, a float64) (float64, error) {
	if !(c > 0 && c <= 1) {
		return 0, errors.New("the share that runs off is above 0 and at most 1")
	}
	return c * i * a, errors.Join(positive("rain", i), positive("area", a))
}

// rationalFactor is what the customary rational formula leaves out: 1 acre·in/h is 1.00833 ft³/s.
const rationalFactor = 43560.0 / 12 / 3600

// manning is uniform flow in a channel.
//
//	Q = (1/n) · A · R^(2/3) · S^(1/2)      R = A/P
//
// n roughness (smooth plastic 0.009 to 0.011, concrete 0.012 to 0.015, corrugated 0.018 to 0.024); A wetted area, m²; P wetted
// perimeter, m; S fall over length; Q m³/s. Source: Manning, recalled; k = 1 in SI (1.486 in feet is its rounding).
// Checked: SITE-23, SITE-25.
func manning(n, area, perimeter, slope float64) float64 {
	return area / n * math.Pow(area/perimeter, 2.0/3) * math.Sqrt(slope)
}

// fullPipe is the flow of a pipe running full: A = πD²/4, P = πD.
func fullPipe(d, n, slope float64) (flow float64, err error) {
	if err := errors.Join(positive("diameter", d), positive("roughness", n), positive("slope", slope)); err != nil {
		return 0, err
	}
	return manning(n, math.Pi*d*d/4, math.Pi*d, slope), nil
}

// partFull is the flow of a round pipe filled to y/D, over its flow when full.
//
//	θ = 2·acos(1 − 2y/D),   A = D²(θ − sin θ)/8,   P = Dθ/2
//
// Above y/D = 0.938 the flow falls again: size at 0.75 at most. Source: Manning. Checked: SITE-24.
func partFull(fill float64) (ratio float64, err error) {
	if !(fill >= 1e-4 && fill <= 1) {
		return 0, errors.New("the depth of water is above a ten-thousandth of the diameter and at most the diameter")
	}
	theta := 2 * math.Acos(1-2*fill)
	area, perimeter := (theta-math.Sin(theta))/8, theta/2
	return manning(1, area, perimeter, 1) / manning(1, math.Pi/4, math.Pi, 1), nil
}

// golden is the golden section.
var golden = (math.Sqrt(5) - 1) / 2

// fullestFlow is the depth at which a round pipe carries most, and how much over full, by golden section.
func fullestFlow() (fill, ratio float64) {
	low, high := 0.8, 1.0
	for high-low > 1e-9 {
		a, b := high-golden*(high-low), low+golden*(high-low)
		at, _ := partFull(a)
		bt, _ := partFull(b)
		if at < bt {
			low = a
		} else {
			high = b
		}
	}
	fill = (low + high) / 2
	ratio, _ = partFull(fill)
	return fill, ratio
}

// trenchFlow is the flow of a rectangular channel of width b filled to depth y.
func trenchFlow(b, y, n, slope float64) (float64, error) {
	if err := errors.Join(positive("width", b), positive("depth", y), positive("roughness", n), positive("slope", slope)); err != nil {
		return 0, err
	}
	return manning(n, b*y, b+2*y, slope), nil
}

// deepestTrench is how deep a normal depth is looked for, m.
const deepestTrench = 100

// normalDepth is the depth at which a rectangular channel carries a flow, by halving: flow grows with depth.
func normalDepth(b, flow, n, slope float64) (float64, error) {
	most, err := trenchFlow(b, deepestTrench, n, slope)
	if err := errors.Join(err, positive("flow", flow)); err != nil {
		return 0, err
	}
	if flow > most {
		return 0, fmt.Errorf("a channel that narrow and flat does not carry that even %d m deep; make it wider", deepestTrench)
	}
	low, high := 0.0, float64(deepestTrench)
	for range 100 {
		mid := (low + high) / 2
		if q, _ := trenchFlow(b, mid, n, slope); q < flow {
			low = mid
		} else {
			high = mid
		}
	}
	return high, nil
}

// gutter is the flow of a V-shaped gutter with two straight sides.
//
//	Q = (0.376/n) · Sx^1.67 · SL^0.5 · T^2.67      Sx = Sx1·Sx2/(Sx1 + Sx2)
//
// Sx1, Sx2 slopes of the sides; SL fall along the gutter; T width of the water, m; Q m³/s.
// Source: FHWA HEC-22, recalled; exponents and factor are rounded there (0.56 in feet gives 0.5 % more).
// Within the width of the gutter.
func gutter(n, side1, side2, along, width float64) (float64, error) {
	err := errors.Join(positive("roughness", n), positive("first side's slope", side1), positive("second side's slope", side2),
		positive("fall along the gutter", along), positive("width of water", width))
	if err != nil {
		return 0, err
	}
	return 0.376 / n * math.Pow(side1*side2/(side1+side2), 1.67) * math.Sqrt(along) * math.Pow(width, 2.67), nil
}
