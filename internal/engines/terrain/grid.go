package terrain

import (
	"fmt"

	"slabwright/internal/engines/geometry"
)

// FourPointVolumes is the grid method: depths at the corners of nx × ny equal cells over a box.
//
//	V_cut = a² (Σ⁺)² / (4 (Σ⁺ + Σ⁻)),   V_fill = a² (Σ⁻)² / (4 (Σ⁺ + Σ⁻))
//
// a² cell area; Σ⁺ the sum of the corner depths that are cut, Σ⁻ of those that are fill, of one cell, m. Areas of cut
// and fill are shared the same way, linearly. It misses what bends between the corners: compare [VolumesBetween], and
// show the difference. Error when a corner has no ground or the cells are none or more than a million.
// Source: common earthwork practice. Checked: SITE-13.
func FourPointVolumes(existing, design Ground, over geometry.Box, nx, ny int) (Volumes, error) {
	if nx < 1 || ny < 1 || nx > mostCells/ny || !(over.Width() > 0) || !(over.Height() > 0) {
		return Volumes{}, fmt.Errorf("terrain: a grid of %d × %d cells over %g × %g m: give at least one cell and some area",
			nx, ny, over.Width(), over.Height())
	}
	row := func(j int) ([]float64, error) {
		depths := make([]float64, nx+1)
		for i := range depths {
			p := geometry.Point{X: over.Min.X + over.Width()*float64(i)/float64(nx),
				Y: over.Min.Y + over.Height()*float64(j)/float64(ny)}
			top, okTop := existing.At(p)
			low, okLow := design.At(p)
			if !okTop || !okLow {
				return nil, fmt.Errorf("terrain: the grid corner (%.3f, %.3f) has no ground: take shots beyond it or shrink the grid", p.X, p.Y)
			}
			depths[i] = top - low
		}
		return depths, nil
	}
	cell := over.Width() * over.Height() / float64(nx*ny)
	lower, err := row(0)
	var sum Volumes
	for j := 1; j <= ny && err == nil; j++ {
		var upper []float64
		if upper, err = row(j); err != nil {
			break
		}
		for i := range nx {
			sum = sum.Plus(FourPointCell(cell, lower[i], lower[i+1], upper[i+1], upper[i]))
		}
		lower = upper
	}
	return sum, err
}

// mostCells bounds a grid; finer ones are a case for the exact volume.
const mostCells = 1_000_000

// FourPointCell returns cut and fill of one grid cell from its corner depths by the four-point rule; see
// [FourPointVolumes]. area m², depths m, existing minus design.
func FourPointCell(area, d1, d2, d3, d4 float64) Volumes {
	var up, down float64
	for _, d := range [4]float64{d1, d2, d3, d4} {
		up += max(d, 0)
		down += max(-d, 0)
	}
	v := Volumes{Area: area}
	if all := up + down; all > 0 {
		v.Cut, v.Fill = area*up*up/(4*all), area*down*down/(4*all)
		v.CutArea, v.FillArea = area*up/all, area*down/all
	}
	return v
}

// BorrowPitVolume is the grid method where all depths have one sign.
//
//	V = (a²/4) (Σh1 + 2 Σh2 + 3 Σh3 + 4 Σh4)
//
// a² cell area, m²; h_k the depths at corners that belong to k cells, m. Source: common earthwork practice.
func BorrowPitVolume(cell float64, h1, h2, h3, h4 []float64) float64 {
	total := 0.0
	for k, depths := range [4][]float64{h1, h2, h3, h4} {
		for _, h := range depths {
			total += float64(k+1) * h
		}
	}
	return cell * total / 4
}
