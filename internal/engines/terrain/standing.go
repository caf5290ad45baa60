package terrain

import (
	"fmt"
	"math"
)

// Standing asks again and again how deep water stands on one plan of triangles with other heights. It is not for several
// goroutines at once.
type Standing struct {
	outlets []int32
	first   []int32 // neighbours of shot v are next[first[v]:first[v+1]]
	next    []int32
	spill   []float64
	front   []wave
}

// Standing prepares the question for outlets given as positions of shots; elsewhere the border is a wall. The answers are those
// of [Surface.Ponds] without their outlines, at a fraction of the work.
func (s *Surface) Standing(outlets []int) (*Standing, error) {
	d := &Standing{first: make([]int32, 1, len(s.shots)+1), spill: make([]float64, len(s.shots))}
	for _, v := range outlets {
		if v < 0 || v >= len(s.shots) {
			return nil, fmt.Errorf("terrain: outlet %d is no shot; there are %d", v+1, len(s.shots))
		}
		d.outlets = append(d.outlets, int32(v))
	}
	around := s.vertexHalves(func(int32) {})
	for v := range s.shots {
		if around[v] >= 0 {
			s.eachNeighbour(around, int32(v), func(u int32) { d.next = append(d.next, u) })
		}
		d.first = append(d.first, int32(len(d.next)))
	}
	return d, nil
}

// Depths returns how deep water stands at every shot when they have these heights, metres; zero where it runs off and at shots in
// no triangle. The slice is good until the next call. Source: priority-flood, as for [Surface.Ponds].
func (d *Standing) Depths(heights []float64) []float64 {
	for v := range d.spill {
		d.spill[v] = math.Inf(1)
	}
	d.front = d.front[:0]
	for _, v := range d.outlets {
		d.reach(v, heights[v])
	}
	for len(d.front) > 0 {
		w := d.lowest()
		for _, u := range d.next[d.first[w.vertex]:d.first[w.vertex+1]] {
			d.reach(u, math.Max(heights[u], w.level))
		}
	}
	for v, level := range d.spill {
		if d.spill[v] = level - heights[v]; math.IsInf(level, 1) {
			d.spill[v] = 0
		}
	}
	return d.spill
}

// reach lets the flood come to a shot for the first time.
func (d *Standing) reach(v int32, level float64) {
	if !math.IsInf(d.spill[v], 1) {
		return
	}
	d.spill[v] = level
	d.front = append(d.front, wave{v, level})
	for i := len(d.front) - 1; i > 0; {
		up := (i - 1) / 2
		if !flood(d.front).Less(i, up) {
			return
		}
		d.front[i], d.front[up] = d.front[up], d.front[i]
		i = up
	}
}

// lowest takes the lowest place off the front.
func (d *Standing) lowest() wave {
	top, last := d.front[0], len(d.front)-1
	d.front[0] = d.front[last]
	d.front = d.front[:last]
	for i := 0; ; {
		low := 2*i + 1
		if low >= last {
			return top
		}
		if low+1 < last && flood(d.front).Less(low+1, low) {
			low++
		}
		if !flood(d.front).Less(low, i) {
			return top
		}
		d.front[i], d.front[low] = d.front[low], d.front[i]
		i = low
	}
}
