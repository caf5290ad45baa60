package winkler

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

// Edge is the edge of a half-infinite plate, held up by a line of springs or free. Lengths are in radii of relative
// stiffness: x along the edge, y ≥ 0 into the plate. One Edge serves every plate of the same Poisson's ratio. It is never
// changed once made and may be shared.
type Edge struct {
	nu     float64
	spring float64
	waves  []wave
}

// wave is one wave number α of the Fourier integral with what does not depend on the load or on the springs.
type wave struct {
	alpha, weight float64
	m             complex128 // √(α² + i)
	over          float64    // its real part less α
	bend, shear   complex128 // edge conditions: no moment; shear
}

// edgePanels are the pieces of the Fourier integral: fine where the plate answers, coarse in the tail, which falls as α⁻³
// for patches; cut at 120 it leaves less than 3e-4 of a patch 0.3 l wide.
var edgePanels = []struct {
	to, width float64
}{{20, 1}, {120, 4}}

const gaussPoints = 6

// NewEdge prepares an edge. spring is the stiffness of the springs along it over k·l: 0 is a free edge.
//
// The plate is taken apart into waves cos(αx). Each wave obeys (d²/dy² − α²)² W + W = q; its free solutions fall as
// exp(−my), m² = α² ± i. Two of them are added to the field of the infinite plate so that the edge carries no moment,
// W″ − να²W = 0, and its shear is the spring's, W‴ − (2−ν)α²W′ + spring·W = 0.
func NewEdge(nu, spring float64) Edge {
	e := Edge{nu: nu, spring: spring}
	from := 0.0
	x, weight := make([]float64, gaussPoints), make([]float64, gaussPoints)
	for _, p := range edgePanels {
		for ; from < p.to-p.width/2; from += p.width {
			quad.Legendre{}.FixedLocations(x, weight, from, from+p.width)
			for i := range x {
				e.waves = append(e.waves, newWave(nu, x[i], weight[i]))
			}
		}
	}
	return e
}

func newWave(nu, alpha, weight float64) wave {
	a2 := alpha * alpha
	m := cmplx.Sqrt(complex(a2, 1))
	return wave{alpha: alpha, weight: weight / math.Pi, m: m, over: real(m) - alpha,
		bend: m*m - complex(nu*a2, 0), shear: m*m*m - complex((2-nu)*a2, 0)*m}
}

// Patch is a rectangle of uniform pressure carrying the unit load: centre (X, Y), sides Along and Across the edge, all in
// radii of relative stiffness. It must lie on the plate: Y ≥ Across/2. The sides are greater than zero.
type Patch struct{ X, Y, Along, Across float64 }

// free is the patch's part of the infinite plate's wave as seen from the edge, with exp(−my) at its near and far sides: the
// free field is Im(free·exp(my)).
func (n *wave) free(near, far complex128, across float64) complex128 {
	// 1/(2m²) = (α² − i)/(2(α⁴+1)), since m² = α² + i.
	a2 := n.alpha * n.alpha
	scale := -1 / (2 * (a2*a2 + 1) * across)
	return (near - far) * complex(scale*a2, -scale)
}

// forgotten is the exponent of a wave that has died away: e⁻²⁵ is left.
const forgotten = 25

// thrown is the wave that an edge on the springs throws back: Re(thrown·exp(−my)).
func (n *wave) thrown(free complex128, spring float64) complex128 {
	lift, push := complex(spring-real(n.shear), -imag(n.shear)), complex(spring+real(n.shear), imag(n.shear))
	det := imag(n.bend)*real(lift) - real(n.bend)*imag(lift)
	u := -imag(n.bend * free)
	v := -imag(push * free)
	return complex((imag(n.bend)*v-imag(lift)*u)/det, (real(n.bend)*v-real(lift)*u)/det)
}

// Ask is a question: what a patch does at the place (X, Y).
type Ask struct {
	Patch Patch
	X, Y  float64
}

// Answer is the deflection at the edge in units of F/(kl²) and the moment along the edge in units of F.
type Answer struct{ W, M float64 }

// AtJoint answers questions about places on the edge, whatever their Y, for a free edge and for the loaded side of a joint of
// stiffness r (per length, over k·l), at little more than the cost of one.
//
//	M = −D(1−ν²) ∂²w/∂x²   at the edge, where the moment across it is zero
//
// Many questions at once cost less than one by one: what they share, the axles of a vehicle standing in a few rows and at a
// few distances, is worked out once. Against plate elements on a 4 × 4 m panel (STR-20): deflection and stress within 1 %,
// the panel being 6.5 l wide.
//
// A joint is taken apart into both sides going down together, when it does nothing, and against each other, when its
// middle stays: half a free edge and half an edge on springs of 2r.
func (e Edge) AtJoint(asks []Ask, r float64) (free, joint []Answer) {
	if r == 0 {
		free = e.atEdge(asks, 0)[0]
		return free, free
	}
	both := e.atEdge(asks, 0, 2*r)
	free, joint = both[0], both[1]
	for k, f := range free {
		joint[k].W = (joint[k].W + f.W) / 2
		joint[k].M = (joint[k].M + f.M) / 2
	}
	return free, joint
}

// heard is how many waves of a patch come through to a distance behind the edge before they are forgotten: waves are in
// order of number, and shorter ones fade sooner.
func (e Edge) heard(p Patch, behind float64) int {
	way := p.Y - p.Across/2 + behind
	n, _ := slices.BinarySearchFunc(e.waves, forgotten, func(w wave, most float64) int { return cmp.Compare(real(w.m)*way, most) })
	return n
}

// atEdge answers once for each of the springs.
func (e Edge) atEdge(asks []Ask, springs ...float64) [][]Answer {
	s := e.take(asks, false)
	sums := make([][]Answer, len(springs))
	waves := make([][]float64, len(springs))
	for k := range springs {
		sums[k], waves[k] = make([]Answer, len(s.cells)), make([]float64, len(e.waves))
	}
	for r, row := range s.rows {
		p := row.patch
		near, far := e.falls(s.near[:row.waves], p.Y-p.Across/2), e.falls(s.far[:row.waves], p.Y+p.Across/2)
		spread := s.spreads[row.along]
		for i := range near {
			n := &e.waves[i]
			free := n.free(near[i], far[i], p.Across)
			for k, spring := range springs {
				waves[k][i] = (imag(free) + real(n.thrown(free, spring))) * n.weight * spread[i]
			}
		}
		for c, cell := range s.cells {
			if cell.row != r {
				continue
			}
			cos := s.swings[cell.gap].cos
			for k := range springs {
				var w, m float64
				for i, v := range waves[k][:row.waves] {
					part := v * cos[i]
					w += part
					m += e.waves[i].alpha * e.waves[i].alpha * part
				}
				sums[k][c] = Answer{w, (1 - e.nu*e.nu) * m}
			}
		}
	}
	out := make([][]Answer, len(springs))
	for k := range springs {
		out[k] = make([]Answer, len(asks))
		for a, c := range s.which {
			out[k][a] = sums[k][c]
		}
	}
	return out
}

// Reflections is what the edge adds, at the places asked about, to the field the patch would make in the infinite plate:
// deflection in units of F/(kl²), moments in units of F. Far from the edge it is nothing.
func (e Edge) Reflections(asks []Ask) []Field {
	s := e.take(asks, true)
	sums := make([]Field, len(s.cells))
	back := make([]complex128, s.most)
	fallen := make([]complex128, s.most)
	for r, row := range s.rows {
		p := row.patch
		near, far := e.falls(s.near[:row.waves], p.Y-p.Across/2), e.falls(s.far[:row.waves], p.Y+p.Across/2)
		e.falls(fallen[:row.waves], row.height)
		spread := s.spreads[row.along]
		for i := range near {
			n := &e.waves[i]
			back[i] = n.thrown(n.free(near[i], far[i], p.Across), e.spring) * fallen[i] * complex(n.weight*spread[i], 0)
		}
		for c, cell := range s.cells {
			if cell.row != r {
				continue
			}
			swing := s.swings[cell.gap]
			for i, b := range back[:row.waves] {
				n := &e.waves[i]
				w := real(b) * swing.cos[i]
				wxx, wyy := -n.alpha*n.alpha*w, real(n.m*n.m*b)*swing.cos[i]
				wxy := n.alpha * real(n.m*b) * swing.sin[i]
				sums[c] = sums[c].Plus(Field{W: w, Mx: -(wxx + e.nu*wyy), My: -(wyy + e.nu*wxx), Mt: -(1 - e.nu) * wxy})
			}
		}
	}
	out := make([]Field, len(asks))
	for a, c := range s.which {
		out[a] = sums[c]
		if asks[a].X < asks[a].Patch.X {
			out[a].Mt = -out[a].Mt
		}
	}
	return out
}

// shared are questions taken apart into what they share.
type shared struct {
	rows  []band
	cells []struct{ row, gap int }
	which []int // the cell of each question

	swings    []swing     // by gap, as far as its rows are heard
	spreads   [][]float64 // by length
	most      int         // waves of the row that is heard longest
	near, far []complex128
}

// band is a patch, wherever along the edge, seen from a height.
type band struct {
	view
	waves int // heard
	along int // which length it has
}

type view struct {
	patch  Patch
	height float64
}

// take takes the questions apart, with the heights of their places or all at the edge.
func (e Edge) take(asks []Ask, heights bool) (s shared) {
	s.which = make([]int, len(asks))
	var gaps, lengths []float64
	var reach []int // waves needed of each gap
	for a, ask := range asks {
		gap := math.Abs(ask.X - ask.Patch.X)
		seen := view{patch: ask.Patch}
		seen.patch.X = 0
		if heights {
			seen.height = ask.Y
		}
		var c struct{ row, gap int }
		if c.row = slices.IndexFunc(s.rows, func(b band) bool { return b.view == seen }); c.row < 0 {
			row := band{view: seen, waves: e.heard(seen.patch, seen.height)}
			row.along, lengths = indexIn(lengths, seen.patch.Along)
			c.row, s.rows = len(s.rows), append(s.rows, row)
			s.most = max(s.most, row.waves)
		}
		if c.gap, gaps = indexIn(gaps, gap); c.gap == len(reach) {
			reach = append(reach, 0)
		}
		reach[c.gap] = max(reach[c.gap], s.rows[c.row].waves)
		s.which[a], s.cells = indexIn(s.cells, c)
	}
	for g, x := range gaps {
		s.swings = append(s.swings, e.swing(x, reach[g], heights))
	}
	for _, along := range lengths {
		s.spreads = append(s.spreads, e.spread(along, s.most))
	}
	s.near, s.far = make([]complex128, s.most), make([]complex128, s.most)
	return s
}

// indexIn is where a value stands in a list, put at its end if it is new.
func indexIn[T comparable](list []T, v T) (int, []T) {
	if at := slices.Index(list, v); at >= 0 {
		return at, list
	}
	return len(list), append(list, v)
}

// swing is cos(αx) and sin(αx) for some waves.
type swing struct{ cos, sin []float64 }

// swing is that of the first count waves; without sines, only the cosines. The waves of one panel are a fixed step above
// those of the panel before, so each is the earlier one turned.
func (e Edge) swing(x float64, count int, sines bool) swing {
	s := swing{cos: make([]float64, count)}
	if sines {
		s.sin = make([]float64, count)
	}
	var sin, cos [gaussPoints]float64
	at := 0
	for _, p := range edgePanels {
		turnS, turnC := math.Sincos(p.width * x)
		for first := at; at < count && e.waves[at].alpha < p.to; at++ {
			k := (at - first) % gaussPoints
			if at < first+gaussPoints {
				sin[k], cos[k] = math.Sincos(e.waves[at].alpha * x)
			} else {
				sin[k], cos[k] = sin[k]*turnC+cos[k]*turnS, cos[k]*turnC-sin[k]*turnS
			}
			s.cos[at] = cos[k]
			if sines {
				s.sin[at] = sin[k]
			}
		}
	}
	return s
}

// spread is the share of the first count waves that a patch of the given length along the edge keeps: sin(x)/x,
// x = α·along/2.
func (e Edge) spread(along float64, count int) []float64 {
	out := e.swing(along/2, count, true).sin
	for i := range out {
		if x := e.waves[i].alpha * along / 2; x > 1e-6 {
			out[i] /= x
		} else {
			out[i] = 1
		}
	}
	return out
}

// falls fills out with exp(−my) for as many waves as it holds.
//
// exp(−αy) follows from the panel before, as in swing; what m is more than α is small but for the longest waves.
func (e Edge) falls(out []complex128, y float64) []complex128 {
	var sizes [gaussPoints]float64
	at := 0
	for _, p := range edgePanels {
		turn := math.Exp(-p.width * y)
		for first := at; at < len(out) && e.waves[at].alpha < p.to; at++ {
			n, size := &e.waves[at], &sizes[(at-first)%gaussPoints]
			if at < first+gaussPoints {
				*size = math.Exp(-n.alpha * y)
			} else {
				*size *= turn
			}
			s, c := smallSincos(imag(n.m) * y)
			whole := *size
			whole *= smallExp(-n.over * y)
			out[at] = complex(whole*c, -whole*s)
		}
	}
	return out
}

// small bounds the arguments for which the first terms of the series are exact to rounding.
const small = 0.1

func smallExp(x float64) float64 {
	if math.Abs(x) > small {
		return math.Exp(x)
	}
	return 1 + x*(1+x*(1./2+x*(1./6+x*(1./24+x*(1./120+x*(1./720+x*(1./5040+x*(1./40320))))))))
}

func smallSincos(x float64) (sin, cos float64) {
	if math.Abs(x) > small {
		return math.Sincos(x)
	}
	q := x * x
	return x * (1 + q*(-1./6+q*(1./120+q*(-1./5040+q*(1./362880))))), 1 + q*(-1./2+q*(1./24+q*(-1./720+q*(1./40320))))
}
