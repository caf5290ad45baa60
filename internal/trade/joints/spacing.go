package joints

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
)

// Spacing returns the largest joint spacing, the longest side a panel may have.
//
//	S = min(k · t, cap)
//
// t slab thickness, m; k spacing over thickness, 24 for high-shrinkage mixes to 36 for low ones, 30 by habit outdoors; cap
// the limit whatever the thickness, 15 ft for plain exterior slabs. Source: ACI 302.1R-96 (24 to 36), ACI 330 draft 2.7
// (30, 15 ft). Error when a value is not above zero. Checked: BLD-01, BLD-02.
func Spacing(thickness quantity.Length, factor quantity.Ratio, limit quantity.Length) (quantity.Length, error) {
	if !(thickness > 0) || !(factor > 0) || !(limit > 0) {
		return 0, fmt.Errorf("joints: thickness %g m, factor %g and limit %g m must be above zero", thickness, factor, limit)
	}
	return min(quantity.Length(float64(factor)*thickness.Metres()), limit), nil
}

// pcaSpacing is the joint spacing table of Concrete Floors on Ground, feet, for thickness 4 to 10 in: wet mix with small
// stone, wet mix with 3/4 in stone or larger, stiff mix. Source: PCA 1983.
var pcaSpacing = [...][3]float64{{8, 10, 12}, {10, 13, 15}, {12, 15, 18}, {14, 18, 21}, {16, 20, 24}, {18, 23, 27}, {20, 25, 30}}

// TableSpacing reads the PCA joint spacing table: thickness to the nearest inch from 4 to 10 in, slump under 4 in or 4 to
// 6 in, stone under or from 3/4 in. Outside the table it is an error: the table has no value there. Checked: BLD-03.
func TableSpacing(thickness, slump, stone quantity.Length) (quantity.Length, error) {
	row := int(math.Round(thickness.Inches())) - 4
	if row < 0 || row >= len(pcaSpacing) {
		return 0, fmt.Errorf("joints: the spacing table runs from 4 to 10 in, not %.2g in", thickness.Inches())
	}
	if !(slump >= 0) || slump > quantity.Inches(6) {
		return 0, fmt.Errorf("joints: the spacing table knows slumps up to 6 in, not %.2g in", slump.Inches())
	}
	column := 0
	switch {
	case slump < quantity.Inches(4):
		column = 2
	case stone >= quantity.Inches(0.75):
		column = 1
	}
	return quantity.Feet(pcaSpacing[row][column]), nil
}

// leastDepth is the shallowest cut that starts a crack below it. Source: common practice, with the quarter rule of ACI 330.
var leastDepth = quantity.Inches(1)

// SawDepth returns how deep to cut.
//
//	d = max(share · t, 1 in)
//
// t slab thickness; share a quarter (ACI 330), a third on stiff or stabilised base (recalled). Checked: BLD-04.
func SawDepth(thickness quantity.Length, share quantity.Ratio) (quantity.Length, error) {
	if !(thickness > 0) || !(share > 0) || share > 0.5 {
		return 0, fmt.Errorf("joints: cannot cut %g of %g m: thickness above zero, share up to a half", share, thickness)
	}
	return max(quantity.Length(float64(share)*thickness.Metres()), leastDepth), nil
}

// slack is what a side may exceed its limit by and still keep it: 1 mm, the width of a pencil line.
const slack = 0.001

// rectangleBound returns the least number of panels a rectangle can be cut into by a grid, and the grid.
//
//	n = nx · ny,   a/nx ≤ S, b/ny ≤ S, 1/A ≤ (a/nx)/(b/ny) ≤ A
//
// Uneven grids cannot do better: the mean column and row of a good grid make a good even one. Tries up to 400 cuts each
// way; ok is false when nothing in that range keeps the aspect.
func rectangleBound(a, b, spacing, aspect float64) (nx, ny int, ok bool) {
	best := math.MaxInt
	x0, y0 := parts(a, spacing), parts(b, spacing)
	for i := x0; i <= x0+400 && i*y0 < best; i++ {
		side := a / float64(i)
		j := max(y0, int(math.Ceil(b/(side*aspect+slack)-1e-9)))
		if other := b / float64(j); side <= aspect*other+slack && i*j < best {
			best, nx, ny = i*j, i, j
		}
	}
	return nx, ny, best < math.MaxInt
}

// parts is how many parts of at most limit a length needs.
func parts(length, limit float64) int {
	return max(1, int(math.Ceil((length-slack)/limit)))
}

// BendPanels returns the number of panels of a curved strip cut by radial joints equally spaced, and the outer arc and
// aspect of one.
//
//	n = ⌈R φ / S⌉, raised until the mean arc and the width keep the aspect
//
// R outer radius, r inner radius, m; φ turn, rad. Error when R ≤ r, or the strip is wider than the spacing (it wants a
// concentric joint too). Source: radial joints by common practice; arithmetic. Checked: BLD-05i.
func BendPanels(inner, outer quantity.Length, turn quantity.Angle, spacing quantity.Length, aspect quantity.Ratio) (n int, arc quantity.Length, ratio quantity.Ratio, err error) {
	width := (outer - inner).Metres()
	if !(inner >= 0) || !(width > 0) || !(turn > 0) || float64(turn) > 2*math.Pi || !(spacing > 0) || !(aspect >= 1) {
		return 0, 0, 0, fmt.Errorf("joints: radii %g and %g m turning %g rad are not a bend", inner, outer, turn)
	}
	if width > spacing.Metres()+slack {
		return 0, 0, 0, fmt.Errorf("joints: a bend %.3g m wide with joints %.3g m apart wants a concentric joint: lay out each half", width, spacing.Metres())
	}
	arcLength, mean := float64(outer)*float64(turn), float64(inner+outer)/2*float64(turn)
	for n = parts(arcLength, spacing.Metres()); n < 10_000; n++ {
		each := mean / float64(n)
		long := max(each, width) / min(each, width)
		if long <= float64(aspect)+1e-9 {
			return n, quantity.Length(arcLength / float64(n)), quantity.Ratio(long), nil
		}
		if each < width {
			break
		}
	}
	return 0, 0, 0, fmt.Errorf("joints: no number of radial joints keeps panels of this bend within an aspect of %.3g", float64(aspect))
}
