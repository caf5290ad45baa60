package terrain

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
)

// outliers returns the shots more than outlierSigmas off the plane through their neighbours, the scatter taken robustly
// from all shots. Shots on breaklines and on the hull are passed over: they stand where ground bends or ends. A bad
// shot pulls its neighbours' planes too, so only the worst among neighbours is named.
func (s *Surface) outliers() (places []place) {
	residual := s.residuals()
	var sizes []float64
	for _, r := range residual {
		if !math.IsNaN(r) {
			sizes = append(sizes, math.Abs(r))
		}
	}
	limit := outlierSigmas * max(leastScatter, madToSigma*median(sizes))
	worst := make([]float64, len(s.shots))
	for h := range s.halves {
		a, b := s.from(int32(h)), s.to(int32(h))
		if r := math.Abs(residual[b]); r > worst[a] {
			worst[a] = r
		}
		if r := math.Abs(residual[a]); r > worst[b] {
			worst[b] = r
		}
	}
	for v, r := range residual {
		if math.Abs(r) > limit && math.Abs(r) >= worst[v] {
			places = append(places, place{[]int{v}, r})
		}
	}
	return places
}

func (s *Surface) outlierSays(p place) string {
	where := "above"
	if p.measure < 0 {
		where = "below"
	}
	return fmt.Sprintf("%s is %.3f m %s its neighbours; was a digit mistyped, or is it a step that needs a breakline?",
		shotName(s.shots, p.shots[0]), math.Abs(p.measure), where)
}

// residuals returns how far each shot stands above the least-squares plane of its neighbours; NaN where that is not asked.
func (s *Surface) residuals() []float64 {
	sums := make([]planeSums, len(s.shots))
	skip := make([]bool, len(s.shots))
	for h := range s.halves {
		h := int32(h)
		a, b := s.from(h), s.to(h)
		if s.fixed[h] || s.twin(h) < 0 {
			skip[a], skip[b] = true, true
		}
		sums[a].add(s.point(b).Sub(s.point(a)), s.z(b)-s.z(a)) // every neighbour of an inner shot is met once this way
	}
	residual := make([]float64, len(s.shots))
	for v := range residual {
		residual[v] = math.NaN()
		if rise, ok := sums[v].riseHere(); ok && !skip[v] {
			residual[v] = -rise
		}
	}
	return residual
}

// planeSums collects the normal equations of a plane through points relative to a shot.
type planeSums struct{ n, x, y, z, xx, xy, yy, xz, yz float64 }

func (p *planeSums) add(d geometry.Point, dz float64) {
	p.n++
	p.x, p.y, p.z = p.x+d.X, p.y+d.Y, p.z+dz
	p.xx, p.xy, p.yy = p.xx+d.X*d.X, p.xy+d.X*d.Y, p.yy+d.Y*d.Y
	p.xz, p.yz = p.xz+d.X*dz, p.yz+d.Y*dz
}

// riseHere returns the height of the plane at the shot itself; ok is false for fewer than four neighbours or ones nearly
// on a line.
func (p *planeSums) riseHere() (float64, bool) {
	if p.n < 4 {
		return 0, false
	}
	mx, my, mz := p.x/p.n, p.y/p.n, p.z/p.n
	xx, xy, yy := p.xx-p.x*mx, p.xy-p.x*my, p.yy-p.y*my
	xz, yz := p.xz-p.x*mz, p.yz-p.y*mz
	det := xx*yy - xy*xy
	if !(det > 1e-6*xx*yy) { // neighbours within a thousandth of a line: the plane would swing about it
		return 0, false
	}
	bx, by := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	return mz - bx*mx - by*my, true
}
