package order

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"slabwright/internal/engines/quantity"
)

// Spread is a part of the volume that is not known exactly.
type Spread struct {
	Name string          `json:"name"`
	Mean quantity.Volume `json:"mean"`
	SD   quantity.Volume `json:"sd"`
}

// Uncertain is what makes the poured volume differ from the drawn one. Thickness counts positive where there is more of it.
type Uncertain struct {
	Net         quantity.Volume
	Area        quantity.Area
	Perimeter   quantity.Length
	Depth       quantity.Length // of the form edge
	BaseMean    quantity.Length // the base lies low on average
	BaseLevel   quantity.Length // sd of that: level, datum, screed; the same over the whole pour
	Roughness   quantity.Length // sd of the base within one cell; averages out
	Cell        quantity.Area
	Bow         quantity.Length // forms bow outward
	Yield       float64         // sd of the load's yield, as a share
	Waste       quantity.Volume
	WasteSD     quantity.Volume
	Penetration quantity.Length // into open stone
	PenSD       quantity.Length
}

// Parts splits the uncertainty. The level error of the base does not average out and usually decides; roughness does:
//
//	sd of volume = A · sd of mean thickness      roughness: A · r/√(A/cell)      bow: half of perimeter · bow · depth
//
// Source: defaults from ACI 117-10 tolerances and NRMCA CIP 8; common practice. Checked: CON-39, CON-40.
func (u Uncertain) Parts() []Spread {
	over := func(l quantity.Length) quantity.Volume { return quantity.Volume(float64(l) * float64(u.Area)) }
	rough := quantity.Volume(0)
	if u.Area > 0 && u.Cell > 0 {
		rough = quantity.Volume(float64(u.Roughness) * math.Sqrt(float64(u.Cell)*float64(u.Area)))
	}
	bow := quantity.Volume(float64(u.Perimeter) * float64(u.Bow) * float64(u.Depth))
	return []Spread{
		{"base level", over(u.BaseMean), over(u.BaseLevel)},
		{"base roughness", 0, rough},
		{"open stone", over(u.Penetration), over(u.PenSD)},
		{"form bow", bow, bow / 2},
		{"yield of the load", 0, quantity.Volume(u.Yield) * u.Net},
		{"waste and drum", u.Waste, u.WasteSD},
	}
}

// Total is the mean of what will be needed and its standard deviation, parts taken as independent.
func Total(net quantity.Volume, parts []Spread) (mean, sd quantity.Volume) {
	mean, square := net, 0.0
	for _, p := range parts {
		mean += p.Mean
		square += float64(p.SD) * float64(p.SD)
	}
	return mean, quantity.Volume(math.Sqrt(square))
}

// ThicknessScatter is the standard deviation of the mean thickness: √(systematic² + r²/cells). Checked: CON-40.
func ThicknessScatter(area quantity.Area, systematic, roughness quantity.Length, cell quantity.Area) quantity.Length {
	cells := float64(area / cell)
	return quantity.Length(math.Sqrt(float64(systematic*systematic) + float64(roughness*roughness)/cells))
}

// Need is the volume that will be needed, normally distributed, and what a wrong order costs.
type Need struct {
	Mean  quantity.Volume
	SD    quantity.Volume
	Over  quantity.MoneyVolume // of each volume left over: its price and getting rid of it
	Under quantity.MoneyVolume // extra, of each volume of a top-up
	TopUp quantity.Money       // fixed, of any top-up: short-load fee, trip, crew waiting, a cold joint
}

// Outlook is what to expect of one order.
type Outlook struct {
	Quantity    quantity.Volume `json:"quantity"`
	Cost        quantity.Money  `json:"cost"`         // expected, of being wrong
	ShortChance float64         `json:"short_chance"` // chance that it is not enough
	LeftOver    quantity.Volume `json:"left_over"`    // expected
}

// Outlook of ordering q:
//
//	cost(q) = co (q - μ + σ L) + cu σ L + K (1 - Φ(z))      z = (q - μ)/σ      L = φ(z) - z (1 - Φ(z))
//
// co over, cu under, K top-up, μ mean, σ sd. Source: single-period ordering, textbook, with a fixed cost of shortage.
// Checked: CON-37, CON-38.
func (n Need) Outlook(q quantity.Volume) Outlook {
	o := Outlook{Quantity: q}
	short := quantity.Volume(0)
	if n.SD > 0 {
		z := float64((q - n.Mean) / n.SD)
		o.ShortChance = distuv.UnitNormal.Survival(z)
		short = n.SD * quantity.Volume(distuv.UnitNormal.Prob(z)-z*o.ShortChance)
	} else if q < n.Mean {
		o.ShortChance, short = 1, n.Mean-q
	}
	short = max(short, 0)
	o.LeftOver = max(q-n.Mean+short, 0)
	o.Cost = quantity.Money(float64(n.Over)*float64(o.LeftOver) + float64(n.Under)*float64(short) + float64(n.TopUp)*o.ShortChance)
	return o
}

// How far the search for the best order looks, in standard deviations from the mean, and how finely.
const (
	searchBelow = -4.0
	searchAbove = 6.0
	searchSteps = 400
)

// Best is the cheapest order of any size. With a fixed cost of topping up the cost has more than one hollow, so the whole
// range from 4 sd below to 6 above is scanned and the lowest place refined. Without scatter it is the mean.
// Checked: CON-37, CON-38, CON-39.
func (n Need) Best() (z float64, best Outlook) {
	if n.SD <= 0 {
		return 0, n.Outlook(n.Mean)
	}
	at := func(z float64) Outlook { return n.Outlook(n.Mean + quantity.Volume(z)*n.SD) }
	step := (searchAbove - searchBelow) / searchSteps
	z, best = searchBelow, at(searchBelow)
	for i := 1; i <= searchSteps; i++ {
		if o := at(searchBelow + float64(i)*step); o.Cost < best.Cost {
			z, best = searchBelow+float64(i)*step, o
		}
	}
	low, high := max(z-step, searchBelow), min(z+step, searchAbove)
	for range 60 {
		a, b := low+(high-low)/3, high-(high-low)/3
		if at(a).Cost <= at(b).Cost {
			high = b
		} else {
			low = a
		}
	}
	z = (low + high) / 2
	return z, at(z)
}

// BestOnGrid is the cheapest order in whole increments that is not below least and whose chance of being short is not above
// mostShort (zero or less: any chance will do). Rounding the best order up is not the same: the grid is searched.
// Checked: CON-38, CON-39.
func (n Need) BestOnGrid(increment, least quantity.Volume, mostShort float64) Outlook {
	first := max(n.Mean+quantity.Volume(searchBelow)*n.SD, least, 0)
	last := max(n.Mean+quantity.Volume(searchAbove)*n.SD, first)
	if n.SD <= 0 {
		first = max(n.Mean, least)
		last = first
	}
	k, end := steps(first, increment), steps(last, increment)
	best, found := Outlook{}, false
	for ; k <= end; k++ {
		o := n.Outlook(quantity.Volume(k) * increment)
		allowed := mostShort <= 0 || o.ShortChance <= mostShort
		if allowed && (!found || o.Cost < best.Cost) {
			best, found = o, true
		}
	}
	if !found {
		return n.Outlook(quantity.Volume(end) * increment)
	}
	return best
}

// steps is the least whole number of increments that holds v; a hair over a step (rounding) counts as the step.
func steps(v, increment quantity.Volume) float64 {
	return math.Ceil(float64(v/increment) - 1e-9)
}

// RoundUp is v up to the next whole increment.
func RoundUp(v, increment quantity.Volume) quantity.Volume {
	return quantity.Volume(steps(v, increment)) * increment
}

// AllowanceOrder is the trade's rule: the neat volume and a share on top, up to the plant's increment.
// Source: common practice, 4 to 10 %. Checked: EXP-05.
func AllowanceOrder(neat quantity.Volume, allowance float64, increment quantity.Volume) (needed, order quantity.Volume) {
	needed = neat * quantity.Volume(1+allowance)
	return needed, RoundUp(needed, increment)
}

// quarter is the plant's usual increment: a quarter yard, or a quarter cubic metre.
func quarter(s quantity.System) quantity.Volume {
	if s == quantity.Metric {
		return 0.25
	}
	return quantity.CubicYards(0.25)
}

// SlabVolume is area times thickness and what the thick edges add: yd³ = ft² · in/324. Checked: CON-03, CON-06.
func SlabVolume(area quantity.Area, thickness quantity.Length, edges quantity.Volume) quantity.Volume {
	return quantity.Volume(float64(area)*float64(thickness)) + edges
}

// Coverage is the area a volume covers: ft² = 324 · yd³/in. Checked: CON-04, CON-05.
func Coverage(volume quantity.Volume, thickness quantity.Length) quantity.Area {
	return quantity.Area(float64(volume) / float64(thickness))
}

// BridgeFormula is the weight a group of axles may carry:
//
//	W = 500 (L N/(N - 1) + 12 N + 36) lb, to the nearest 500
//
// L distance between the outer axles in feet, N axles, at least two. Source: 23 USC 127 (recalled). Checked: CON-43.
func BridgeFormula(length quantity.Length, axles int) (exact, posted quantity.Mass, err error) {
	if axles < 2 || axles > 12 || !(length > 0 && length.Feet() <= 200) {
		return 0, 0, fmt.Errorf("the bridge formula is for 2 to 12 axles over at most 200 ft")
	}
	n := float64(axles)
	w := 500 * (length.Feet()*n/(n-1) + 12*n + 36)
	return quantity.Of[quantity.Mass](w, "lb"), quantity.Of[quantity.Mass](500*math.Round(w/500), "lb"), nil
}
