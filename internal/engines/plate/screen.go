package plate

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// What is looked for in a drive: tension in the top face, in the bottom face, deflection.
const quantities = 3

// Peaks are the greatest tension in the top face and in the bottom face, Pa, and the greatest deflection, m, in this order.
type Peaks [quantities]Extreme

// Top, Bottom and Down name the peaks.
func (p *Peaks) Top() Extreme    { return p[0] }
func (p *Peaks) Bottom() Extreme { return p[1] }
func (p *Peaks) Down() Extreme   { return p[2] }

// Round is a round area.
type Round struct {
	At     Point
	Radius float64 // m
}

// Holds tells whether a point lies in it.
func (d Round) Holds(p Point) bool { return math.Hypot(p.X-d.At.X, p.Y-d.At.Y) < d.Radius }

// Screen answers many loads only as far as is needed to rank them: for each, its peaks at the nodes and at the patches,
// outside of the rounds in skip, alone and then over each of some states that the slab may be in already, like one curled by
// heat. The soil holds everywhere, also under a slab that may lift off, and states are added up as they are. States must be
// answers on the same mesh. It costs a tenth of SolveAll, whose balance and elements it leaves out; residuals are checked
// for the sum of some loads at a time. Neighbouring loads are best neighbours in the list: what their equations share is
// then worked out once.
func (f *Factored) Screen(ctx context.Context, loads []Load, skip []Round, states ...*Result) ([][]Peaks, error) {
	for _, s := range states {
		if len(s.u) != f.Unknowns() {
			return nil, &Fault{"state", "it is no answer on this mesh"}
		}
	}
	out := make([][]Peaks, len(loads))
	masked := f.masked(skip)
	parts := slices.Collect(slices.Chunk(loads, chunk))
	errs := make([]error, len(parts))
	factor, err := f.own(ctx)
	if err != nil {
		return nil, err
	}
	onAllCores(len(parts), func(c int) {
		vectors := make([][]float64, len(parts[c]))
		for k, l := range parts[c] {
			v, err := f.vector(l)
			if err != nil {
				errs[c] = fmt.Errorf("load %d: %w", c*chunk+k+1, err)
				return
			}
			f.release(v, f.full)
			vectors[k] = v
		}
		if errs[c] = ctx.Err(); errs[c] != nil {
			return
		}
		if _, err := factor.SolveSum(vectors); err != nil {
			errs[c] = f.named(err)
			return
		}
		sum := make([]float64, f.Unknowns())
		for k, l := range parts[c] {
			peaks := []Peaks{f.result(l).peaks(vectors[k], l.Patches, nil, masked)}
			for _, s := range states {
				for n, v := range vectors[k] {
					sum[n] = v + s.u[n]
				}
				peaks = append(peaks, s.peaks(sum, l.Patches, nil, masked))
			}
			out[c*chunk+k] = peaks
		}
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// mask tells, for nodes and places, what is left out.
type mask struct {
	skip  []Round
	nodes []bool
}

func (f *Factored) masked(skip []Round) *mask {
	if len(skip) == 0 {
		return nil
	}
	m := &mask{skip: skip, nodes: make([]bool, len(f.m.nodes))}
	for n, nd := range f.m.nodes {
		m.nodes[n] = m.hides(Point{f.m.xs[nd.i], f.m.ys[nd.j]})
	}
	return m
}

func (m *mask) hides(p Point) bool {
	return m != nil && slices.ContainsFunc(m.skip, func(d Round) bool { return d.Holds(p) })
}

// peaks finds the greatest values at the nodes, and on the patches, where stress peaks between nodes. field, if it is not
// nil, is raised to what is found at each node.
func (r *Result) peaks(u []float64, patches []Patch, field [][quantities]float64, without *mask) Peaks {
	m, f := r.f.m, r.f
	var best Peaks
	for q := range best {
		best[q].Value = math.Inf(-1)
	}
	see := func(panel int, at Point, h float64, c curvatures, w float64) (values [quantities]float64) {
		top, bottom := r.faces(h, c)
		values = [quantities]float64{top.greatest(), bottom.greatest(), w}
		for q, v := range values {
			if v > best[q].Value {
				best[q] = Extreme{Value: v, Panel: panel, At: at}
				if q < 2 {
					_, best[q].Direction = [2]Stress{top, bottom}[q].strongest()
				}
			}
		}
		return values
	}
	for z, h := range f.recovery.thickness {
		xx, yy := f.recovery.xx[z], f.recovery.yy[z]
		for n, has := range f.recovery.has[z] {
			if !has || !f.inside[n] || without != nil && without.nodes[n] {
				continue
			}
			nd := m.nodes[n]
			c := curvatures{xx[n].of(u), yy[n].of(u), u[n*unknowns+3]}
			values := see(nd.panel, Point{m.xs[nd.i], m.ys[nd.j]}, h, c, u[n*unknowns])
			if field == nil {
				continue
			}
			for q, v := range values {
				field[n][q] = max(field[n][q], v)
			}
		}
	}
	for _, patch := range patches {
		r.underneath(u, patch, without, see)
	}
	return best
}

// Under is the greatest tension in the bottom face at the places of a patch, outside of the rounds in skip: -Inf if there are
// none.
func (r *Result) Under(p Patch, skip []Round) Extreme {
	most := Extreme{Value: math.Inf(-1)}
	r.underneath(r.u, p, &mask{skip: skip}, func(panel int, at Point, h float64, c curvatures, _ float64) (none [quantities]float64) {
		if _, bottom := r.faces(h, c); bottom.greatest() > most.Value {
			most = Extreme{Panel: panel, At: at}
			most.Value, most.Direction = bottom.strongest()
		}
		return none
	})
	return most
}

// underneath shows what is at the places of a patch, on every panel that meets there.
func (r *Result) underneath(u []float64, patch Patch, without *mask, see func(panel int, at Point, h float64, c curvatures, w float64) [quantities]float64) {
	m := r.f.m
	reach := 1e-6 * m.slab.bounds().size()
	for _, at := range patch.places() {
		if without.hides(at) {
			continue
		}
		for panel, region := range m.regions {
			if !region.bounds.holds(at, reach) {
				continue
			}
			if k := m.elementAt(panel, at, reach); k >= 0 {
				e := &m.elements[k]
				xi, eta := m.local(e, at.X, at.Y)
				b := r.f.recovery.in(m, k, u)
				see(panel, at, m.thicknessAt(e, xi, eta), b.at(xi, eta), m.functions(e, xi, eta).dot(&b.v))
			}
		}
	}
}

// places are the middle of a patch, its corners and the middles of its sides (of every third of many sides).
func (p Patch) places() []Point {
	b := p.Area.bounds()
	out := []Point{b.centre()}
	for i := 0; i < len(p.Area); i += 1 + len(p.Area)/8 {
		a, c := p.Area[i], p.Area[(i+1)%len(p.Area)]
		out = append(out, a, Point{(a.X + c.X) / 2, (a.Y + c.Y) / 2})
	}
	return out
}
