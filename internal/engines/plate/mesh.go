package plate

import (
	"math"
	"slices"
)

// Mesh says how fine the elements are. The zero value is meant for 1 % in the governing stress of a known load; Coarse
// is meant for 5 %.
type Mesh struct {
	// Size is the largest side of an element, m. 0 stands for a third of the radius of relative stiffness, or for a
	// twelfth of the slab where that is less or there is no soil.
	Size float64
	// PerPatch is the number of elements across each patch in Around. 0 stands for 3.
	PerPatch int
	// Growth is the largest ratio between neighbouring sides of elements away from a patch. 0 stands for 1.6.
	Growth float64
	// Around lists the contact areas that the mesh is fine around. Where it is nil, Solve takes the patches of its load.
	Around []Patch
}

// Coarse is a mesh for a first answer, or for ranking positions.
var Coarse = Mesh{PerPatch: 1, Growth: 2}

func (m Mesh) filled(s Slab) Mesh {
	if m.Size == 0 {
		b := s.bounds()
		m.Size = max(b.x1-b.x0, b.y1-b.y0) / 12
		if l := s.Radius(); l/3 < m.Size {
			m.Size = l / 3
		}
	}
	if m.PerPatch == 0 {
		m.PerPatch = 3
	}
	if m.Growth == 0 {
		m.Growth = 1.6
	}
	return m
}

func (s Slab) bounds() box {
	b := s.Panels[0].Outline.bounds()
	for _, p := range s.Panels[1:] {
		b = b.join(p.Outline.bounds())
	}
	return b
}

// stretch is a part of an axis on which elements must not be longer than fine.
type stretch struct{ from, to, fine float64 }

// axis gathers, for one direction, where mesh lines must lie and how long elements may be.
type axis struct {
	low, high    float64
	must         []float64 // lines that hold something
	edges, loads []float64 // lines wanted along edges of the slab, and of patches
	stretches    []stretch
}

// straight is how far a side may stray from the direction of an axis, as a share of the slab, and still lie on a mesh line.
const straight = 1e-10

func (s Slab) axes(m Mesh) (x, y axis) {
	b := s.bounds()
	x, y = axis{low: b.x0, high: b.x1}, axis{low: b.y0, high: b.y1}
	along := func(p Polygon) {
		for i, a := range p {
			c := p[(i+1)%len(p)]
			if math.Abs(a.X-c.X) <= straight*b.size() {
				x.edges = append(x.edges, a.X)
			}
			if math.Abs(a.Y-c.Y) <= straight*b.size() {
				y.edges = append(y.edges, a.Y)
			}
		}
	}
	for _, p := range s.Panels {
		along(p.Outline)
		for _, h := range p.Holes {
			along(h)
			// A hole is seen only if the elements around it are no larger than it is.
			c := h.bounds()
			x.stretches = append(x.stretches, stretch{c.x0, c.x1, c.x1 - c.x0})
			y.stretches = append(y.stretches, stretch{c.y0, c.y1, c.y1 - c.y0})
		}
	}
	for _, t := range s.Thickenings {
		along(t.Area)
	}
	for _, a := range s.Soils {
		along(a.Area)
	}
	for _, h := range s.Holds {
		if h.From.X == h.To.X {
			x.must = append(x.must, h.From.X)
		}
		if h.From.Y == h.To.Y {
			y.must = append(y.must, h.From.Y)
		}
	}
	for _, p := range m.Around {
		c, upright := p.Area.rectangle()
		fineX, fineY := (c.x1-c.x0)/float64(m.PerPatch), (c.y1-c.y0)/float64(m.PerPatch)
		if upright {
			x.loads, y.loads = append(x.loads, c.x0, c.x1), append(y.loads, c.y0, c.y1)
		} else {
			side := math.Sqrt(p.Area.Area()) / float64(m.PerPatch)
			fineX, fineY = side, side
		}
		x.stretches = append(x.stretches, stretch{c.x0, c.x1, fineX})
		y.stretches = append(y.stretches, stretch{c.y0, c.y1, fineY})
	}
	return x, y
}

// lines lays the mesh lines of one direction.
func (a axis) lines(m Mesh) []float64 {
	breaks := []float64{a.low, a.high}
	accept := func(wanted []float64, gap func(v float64) float64) {
		for _, v := range wanted {
			if v > a.low && v < a.high && !slices.ContainsFunc(breaks, func(b float64) bool { return math.Abs(b-v) <= gap(v) }) {
				breaks = append(breaks, v)
			}
		}
	}
	fine := func(v float64) float64 { return a.longest(v, m) }
	accept(a.must, func(v float64) float64 { return 0 })
	// Lines that nearly coincide would make slivers: the second is left out, and the elements there are cut instead.
	accept(a.edges, func(v float64) float64 { return fine(v) / 20 })
	accept(a.loads, func(v float64) float64 { return fine(v) / 3 })
	slices.Sort(breaks)
	out := breaks[:1:1]
	for i := 1; i < len(breaks); i++ {
		out = append(out, a.divide(breaks[i-1], breaks[i], m)...)
	}
	return out
}

// longest is the longest side wanted at a place.
func (a axis) longest(v float64, m Mesh) float64 {
	s := m.Size
	for _, f := range a.stretches {
		away := max(0, f.from-v, v-f.to)
		s = min(s, f.fine+(1-1/m.Growth)*away)
	}
	return s
}

// divide returns the lines after from, up to and including to, spaced by the wanted lengths.
func (a axis) divide(from, to float64, m Mesh) []float64 {
	const samples = 64
	step := (to - from) / samples
	count := make([]float64, samples+1) // elements up to each sample
	for i := range samples {
		// The midpoint keeps a neighbouring stretch that ends here from counting.
		count[i+1] = count[i] + step/a.longest(from+step*(float64(i)+0.5), m)
	}
	n := max(1, int(math.Ceil(count[samples]-0.05)))
	out := make([]float64, 0, n)
	i := 0
	for k := 1; k < n; k++ {
		want := count[samples] * float64(k) / float64(n)
		for count[i+1] < want {
			i++
		}
		out = append(out, from+step*(float64(i)+(want-count[i])/(count[i+1]-count[i])))
	}
	return append(out, to)
}
