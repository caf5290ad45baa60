package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// beside is the dig by the trade's own rules, to hold beside the exact one.
type beside struct {
	grid, sections terrain.Volumes
}

// sectionCount is into how many stretches the dig is cut for its end areas: skew ends, which end areas get wrong, are then small.
const sectionCount = 40

// crossCheck works the dig out again by the grid on the cut-and-fill plan and by end areas along the longest side.
func (w *work) crossCheck(under terrain.Ground) error {
	for _, c := range w.Cells {
		w.beside.grid = w.beside.grid.Plus(cornerRule(c, w.ground.surface, under))
	}
	heading, _ := w.axis()
	for _, p := range w.Dig {
		v, err := terrain.VolumesBySections(w.ground.surface, under, p, geometry.Line{Through: p.Outer[0], Along: geometry.Direction(heading)}, sectionCount)
		if err != nil {
			return fmt.Errorf("grade: end areas: %w", err)
		}
		w.beside.sections = w.beside.sections.Plus(v.AverageEnd)
	}
	return nil
}

// cornerRule is the four-point rule for a cell of any number of corners.
//
//	V_cut = A·(Σ⁺)²/(n·(Σ⁺ + Σ⁻)),   V_fill = A·(Σ⁻)²/(n·(Σ⁺ + Σ⁻))
//
// A the cell's area, Σ⁺ and Σ⁻ the sums of the depths at its n corners that are cut and fill. Source: common earthwork practice,
// with n for four.
func cornerRule(c Cell, existing, design terrain.Ground) terrain.Volumes {
	var up, down float64
	for _, p := range c.Outline {
		top, _ := existing.At(p)
		low, _ := design.At(p)
		up, down = up+math.Max(top-low, 0), down+math.Max(low-top, 0)
	}
	share := float64(c.Area) / float64(len(c.Outline))
	if up+down == 0 {
		return terrain.Volumes{}
	}
	return terrain.Volumes{Cut: share * up * up / (up + down), Fill: share * down * down / (up + down)}
}

// beyondBed is what is dug beyond a bed of even depth, m³: no rule of the trade is needed for that.
func (w *work) beyondBed() float64 { return float64(w.dugBelow() + w.in.undercut()) }

// besideMost is how far, as a share of the dig, the trade's rules may stand off the exact volume without a word, and besideLeast
// the volume under which nobody cares, m³.
const (
	besideMost  = 0.05
	besideLeast = 0.4
)

// explainBeside writes the cross-checks under the exact volumes.
func (w *work) explainBeside() {
	show := func(name, says, formula string, v float64) {
		w.Working.Show(working.Step{Name: name, Says: says, Formula: formula, Value: quantity.Plain(math.Max(0, v), quantity.AsVolume), From: []string{"ground_taken", "plane", "dig_area"}, Source: sources.CommonPractice})
	}
	more := w.beyondBed()
	show("cut_by_grid", "cross-check: to dig by the grid of the cut-and-fill plan", "Σ A·(Σ⁺)²/(n·(Σ⁺ + Σ⁻)) over the cells", w.beside.grid.Cut+more)
	show("cut_by_end_areas", "cross-check: to dig by end areas", fmt.Sprintf("Σ L·(A_1 + A_2)/2 over %d stretches along the longest side", sectionCount), w.beside.sections.Cut+more)
	show("fill_by_grid", "cross-check: to fill by the grid", "as the dig", w.beside.grid.Fill)
	show("fill_by_end_areas", "cross-check: to fill by end areas", "as the dig", w.beside.sections.Fill)
}

// besideCheck tells when the trade's rules miss what the ground does between their corners and sections.
func (w *work) besideCheck() check.Check {
	worst := 0.0
	for _, v := range []terrain.Volumes{w.beside.grid, w.beside.sections} {
		worst = math.Max(worst, math.Abs(v.Cut+w.beyondBed()-float64(w.Cut)))
	}
	volume := func(v float64) string { return w.text(quantity.Plain(v, quantity.AsVolume)) }
	by := fmt.Sprintf("%s exactly, %s by the grid, %s by end areas", volume(float64(w.Cut)), volume(w.beside.grid.Cut+w.beyondBed()), volume(w.beside.sections.Cut+w.beyondBed()))
	return check.AtMost("grade.volumes-agree", quantity.Plain(worst, quantity.AsVolume), quantity.Plain(math.Max(besideLeast, besideMost*float64(w.Cut)), quantity.AsVolume), check.Care,
		fmt.Sprintf("The dig is %s: they agree.", by), fmt.Sprintf("The dig is %s: the ground bends between the grid's corners; the exact one counts.", by), sources.CommonPractice, "If somebody bills by the grid, agree on the method first.")
}
