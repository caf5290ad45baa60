package terrain

import (
	"cmp"
	"container/heap"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// Pond is water that stands because no way leads lower.
type Pond struct {
	Level   float64            // height of the water, metres: it spills here
	Area    float64            // m² in plan
	Volume  float64            // m³
	Depth   float64            // metres at the deepest shot
	Deepest geometry.Point     // where that is
	Pieces  [][]geometry.Point // the wet ground, one convex piece per triangle
}

// Ponds fills the surface with water until it runs off and returns what stays, the largest volume first. Water leaves
// at the outlets, given as positions of shots; without any it leaves everywhere over the hull. Elsewhere the hull is a
// wall.
//
//	spill(v) = max(z_v, min over neighbours u of spill(u)),   spill(outlet) = z
//	volume = ∫ max(spill − z, 0) dA
//
// On flat triangles the lowest pass out of a hollow lies at a shot, so flooding along edges is exact, and so is the
// integral, triangle by triangle. Source: priority-flood (Barnes, Lehman and Mulla 2014, recalled). Checked: SITE-21.
func (s *Surface) Ponds(outlets []int) ([]Pond, error) {
	spill, err := s.spillLevels(outlets)
	if err != nil {
		return nil, err
	}
	number := s.numberPonds(spill)
	var ponds []Pond
	for v, k := range number {
		for int(k) >= len(ponds) {
			ponds = append(ponds, Pond{Level: spill[v], Deepest: s.shots[v].Point()})
		}
		if k < 0 {
			continue
		}
		if depth := spill[v] - s.shots[v].Z; depth > ponds[k].Depth {
			ponds[k].Depth, ponds[k].Deepest = depth, s.shots[v].Point()
		}
	}
	for t := range int32(s.Len()) {
		for k := range int32(3) {
			if p := number[s.from(3*t+k)]; p >= 0 {
				ponds[p].fill(s, t)
				break // all wet corners of a triangle are in one pond
			}
		}
	}
	slices.SortStableFunc(ponds, func(a, b Pond) int { return cmp.Compare(b.Volume, a.Volume) })
	return ponds, nil
}

// fill adds the part of triangle t below the pond's level.
func (p *Pond) fill(s *Surface, t int32) {
	f := s.facet(t)
	var d [3]float64
	for k := range d {
		d[k] = s.z(s.from(3*t+int32(k))) - p.Level
	}
	v := TrianglePrism(geometry.SignedArea(f.corners[:]), d[0], d[1], d[2])
	if v.FillArea <= 0 {
		return
	}
	p.Area += v.FillArea
	p.Volume += v.Fill
	var wet []geometry.Point
	for k, c := range f.corners {
		j := (k + 1) % 3
		if d[k] <= 0 {
			wet = append(wet, c)
		}
		if d[k]*d[j] < 0 {
			wet = append(wet, c.Lerp(f.corners[j], d[k]/(d[k]-d[j])))
		}
	}
	p.Pieces = append(p.Pieces, wet)
}

// spillLevels returns for every shot the height water must reach there to get out; −Inf for shots in no triangle.
func (s *Surface) spillLevels(outlets []int) ([]float64, error) {
	spill := make([]float64, len(s.shots))
	for i := range spill {
		spill[i] = math.Inf(1)
	}
	q := &flood{}
	open := func(v int32) {
		if math.IsInf(spill[v], 1) {
			spill[v] = s.z(v)
			heap.Push(q, wave{v, s.z(v)})
		}
	}
	for _, v := range outlets {
		if v < 0 || v >= len(s.shots) {
			return nil, fmt.Errorf("terrain: outlet %d is no shot; there are %d", v+1, len(s.shots))
		}
		open(int32(v))
	}
	around := s.vertexHalves(func(h int32) {
		if len(outlets) == 0 {
			open(s.from(h))
			open(s.to(h))
		}
	})
	for q.Len() > 0 {
		w := heap.Pop(q).(wave)
		s.eachNeighbour(around, w.vertex, func(u int32) {
			if math.IsInf(spill[u], 1) {
				spill[u] = max(s.z(u), w.level)
				heap.Push(q, wave{u, spill[u]})
			}
		})
	}
	for v, h := range around {
		if h < 0 {
			spill[v] = math.Inf(-1)
		}
	}
	return spill, nil
}

// vertexHalves returns for each shot a half that starts there (−1: in no triangle), on the hull the one from which turning
// counter-clockwise meets every triangle; it calls onHull for each half on the hull.
func (s *Surface) vertexHalves(onHull func(h int32)) []int32 {
	around := make([]int32, len(s.shots))
	for v := range around {
		around[v] = -1
	}
	for h := range s.halves {
		h := int32(h)
		if v := s.from(h); around[v] < 0 || s.twin(h) < 0 {
			around[v] = h
		}
		if s.twin(h) < 0 {
			onHull(h)
		}
	}
	return around
}

// eachHalf visits the halves that start at v, counter-clockwise.
func (s *Surface) eachHalf(around []int32, v int32, visit func(h int32)) {
	first := around[v]
	for h := first; h >= 0; {
		visit(h)
		if h = s.twin(prev(h)); h == first {
			return
		}
	}
}

// eachNeighbour visits every shot that shares an edge with v.
func (s *Surface) eachNeighbour(around []int32, v int32, visit func(u int32)) {
	s.eachHalf(around, v, func(h int32) {
		visit(s.to(h))
		if s.twin(prev(h)) < 0 {
			visit(s.from(prev(h)))
		}
	})
}

// numberPonds gives wet shots that hang together one number, from 0 in order of the shots; dry ones −1.
func (s *Surface) numberPonds(spill []float64) []int32 {
	number := make([]int32, len(s.shots))
	for v := range number {
		number[v] = -1
	}
	around := s.vertexHalves(func(int32) {})
	count := int32(0)
	var todo []int32
	for v := range number {
		if number[v] >= 0 || !(s.shots[v].Z < spill[v]) {
			continue
		}
		number[v] = count
		for todo = append(todo[:0], int32(v)); len(todo) > 0; {
			u := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			s.eachNeighbour(around, u, func(w int32) {
				if number[w] < 0 && s.z(w) < spill[w] {
					number[w] = count
					todo = append(todo, w)
				}
			})
		}
		count++
	}
	return number
}

// wave is the front of the flood: a shot and the level at which water gets there.
type wave struct {
	vertex int32
	level  float64
}

// flood is the front as a heap, lowest level first, equal levels by shot.
type flood []wave

func (q flood) Len() int { return len(q) }
func (q flood) Less(i, j int) bool {
	return q[i].level < q[j].level || q[i].level == q[j].level && q[i].vertex < q[j].vertex
}
func (q flood) Swap(i, j int) { q[i], q[j] = q[j], q[i] }

// Push appends an element; part of heap.Interface.
func (q *flood) Push(x any) { *q = append(*q, x.(wave)) }

// Pop removes the last element; part of heap.Interface.
func (q *flood) Pop() any {
	old := *q
	last := old[len(old)-1]
	*q = old[:len(old)-1]
	return last
}
