package order

import (
	"math"
	"math/rand/v2"
	"slices"

	"slabwright/internal/engines/quantity"
)

// Played is an order tried on many invented pours.
type Played struct {
	Runs        int             `json:"runs"`
	Mean        quantity.Volume `json:"mean"` // needed
	SD          quantity.Volume `json:"sd"`
	ShortChance float64         `json:"short_chance"`
	LeftOver    quantity.Volume `json:"left_over"`
	Cost        quantity.Money  `json:"cost"`
	Need90      quantity.Volume `json:"need_90"` // nine pours in ten need no more
	Need95      quantity.Volume `json:"need_95"`
}

// playedCells is the largest number of cells a pour is played with; larger pours take larger cells of the same total scatter.
const playedCells = 64

// Play tries an order on runs invented pours. In each the level of the base is off by one draw, and its roughness is a field of
// cells whose errors are correlated: exp(-distance/reach) along and across (reach zero: each cell for itself). Bow, yield of each
// load, waste and open stone are drawn beside. The seed makes it repeatable; a chance p is good to about √(p(1-p)/runs).
// With reach zero it agrees with Outlook; correlated roughness does not average out as fast and makes the need scatter more.
// Source: our model. Checked: against the closed form and CorrelatedScatter.
func (u Uncertain) Play(n Need, order quantity.Volume, reach quantity.Length, runs int, seed uint64) Played {
	dice := rand.New(rand.NewPCG(seed, 2))
	f := fieldOf(u, reach)
	bow := float64(u.Perimeter) * float64(u.Bow) * float64(u.Depth)
	needs := make([]float64, runs)
	p := Played{Runs: runs}
	sum, squares := 0.0, 0.0
	for i := range needs {
		v := float64(u.Net) + bow + bow/2*dice.NormFloat64() + float64(u.Waste) + float64(u.WasteSD)*dice.NormFloat64()
		v += float64(u.Area) * (float64(u.BaseMean+u.Penetration) + float64(u.BaseLevel)*dice.NormFloat64() + float64(u.PenSD)*dice.NormFloat64())
		v += float64(u.Area) * float64(u.Roughness) * f.draw(dice)
		v += u.Yield * float64(u.Net) * dice.NormFloat64()
		needs[i] = v
		sum, squares = sum+v, squares+v*v
		if off := float64(order) - v; off >= 0 {
			p.LeftOver += quantity.Volume(off)
		} else {
			p.ShortChance++
			p.Cost += n.TopUp - quantity.Money(off*float64(n.Under))
		}
	}
	count := float64(max(runs, 1))
	mean := sum / count
	p.Mean, p.SD = quantity.Volume(mean), quantity.Volume(math.Sqrt(math.Max(squares/count-mean*mean, 0)))
	p.Cost = (p.Cost + quantity.Money(float64(n.Over)*float64(p.LeftOver))) / quantity.Money(count)
	p.ShortChance, p.LeftOver = p.ShortChance/count, p.LeftOver/quantity.Volume(count)
	slices.Sort(needs)
	p.Need90, p.Need95 = at(needs, 0.90), at(needs, 0.95)
	return p
}

func at(sorted []float64, share float64) quantity.Volume {
	if len(sorted) == 0 {
		return 0
	}
	return quantity.Volume(sorted[min(int(share*float64(len(sorted))), len(sorted)-1)])
}

// field is a square of cells with correlated errors of unit variance.
type field struct {
	side  int
	share float64 // deviation of a cell, so that the mean keeps the scatter of the true number of cells
	near  float64 // correlation of neighbours
	row   []float64
}

func fieldOf(u Uncertain, reach quantity.Length) *field {
	cells := 1.0
	if u.Cell > 0 && u.Area > u.Cell {
		cells = float64(u.Area / u.Cell)
	}
	side := min(max(int(math.Round(math.Sqrt(cells))), 1), int(math.Sqrt(playedCells)))
	f := &field{side: side, share: float64(side) / math.Sqrt(cells), row: make([]float64, side)}
	if reach > 0 {
		f.near = math.Exp(-math.Sqrt(float64(u.Area)) / float64(side) / float64(reach))
		f.share = 1
	}
	return f
}

// draw is the mean of one drawn field. Along a row and from row to row each cell keeps the share near of its neighbour's error, which
// gives the product of two exponential correlations.
func (f *field) draw(dice *rand.Rand) float64 {
	fresh, sum := math.Sqrt(1-f.near*f.near), 0.0
	for r := range f.side {
		along := 0.0
		for c := range f.side {
			if c == 0 {
				along = dice.NormFloat64()
			} else {
				along = f.near*along + fresh*dice.NormFloat64()
			}
			if r == 0 {
				f.row[c] = along
			} else {
				f.row[c] = f.near*f.row[c] + fresh*along
			}
			sum += f.row[c]
		}
	}
	return f.share * sum / float64(f.side*f.side)
}

// CorrelatedScatter is the deviation of the mean of side × side cells of unit deviation whose neighbours are correlated by ρ, along
// and across:
//
//	sd = s(ρ)        s = [n + 2 Σ_{k<n} (n - k) ρᵏ]/n²        of a row; the square's deviation is s, its variance s²
//
// Source: arithmetic on the correlations.
func CorrelatedScatter(side int, near float64) float64 {
	n, sum := float64(side), float64(side)
	power := 1.0
	for k := 1; k < side; k++ {
		power *= near
		sum += 2 * (n - float64(k)) * power
	}
	return sum / (n * n)
}
