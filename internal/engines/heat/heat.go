// Package heat answers how warm the layers of the ground are at each depth and hour: one-dimensional conduction through layers
// with a source that ages in each cell, under a surface that sun, sky, wind and drying act on.
//
//	ρc ∂T/∂t = ∂/∂z(k ∂T/∂z) + Q(T, age)      z down from the surface
//
// Cells with their edges on the layer faces, implicit in time: backward Euler, a tridiagonal solve inside a few sweeps for
// the source and the surface. Temperatures in °C, times in s, all else SI. Verified against the closed forms of this package
// (CUR-29 … CUR-32) and against a fine-mesh solution of two real days (CUR-34, CUR-35).
package heat

import (
	"errors"
	"fmt"
	"math"
)

// Layer is a thickness of one material. Cells start at Cell thick and grow by Growth downwards to at most Largest; Growth 0 or
// 1 keeps them even.
type Layer struct {
	Thickness    float64 // m
	Conductivity float64 // k, W/mK
	Capacity     float64 // ρc, J/m³K
	Cell         float64 // m, largest first cell
	Growth       float64
	Largest      float64 // m
	Latent       float64 // heat that its water gives as it freezes at 0 °C, J/m³; zero: none
}

// Source is heat that a cell of the first layer gives as it ages: from its age and temperature over dt seconds, the age after
// and all the heat given since age zero, J/m³. Ages are in a unit of the source's own and begin at zero.
type Source func(age, temp, dt float64) (after, total float64)

// Body is the layers as cells, with their temperatures and ages.
type Body struct {
	Temps []float64 // of the cells, °C
	Ages  []float64 // of the source in each cell; only the first layer's count
	dz    []float64
	k     []float64
	c     []float64
	g     []float64 // conductance to the cell below, W/m²K; the last to the deep
	first int       // cells of the first layer
	deep  float64   // temperature below the last cell; NaN: no heat passes there
	outer float64   // exposed face after the last step, °C
	face  float64   // face of the body after the last step, under any cover, °C
	flux  float64   // heat into the body in the last step, W/m²

	latent []float64 // of each cell, J/m³; nil where no layer freezes
	ice    []float64 // share of each cell's water that is frozen

	given      []float64 // by each cell's source so far, J/m³
	came, made float64   // heat through the ends and from the source since the beginning, J/m²
	begun      float64   // heat stored at the beginning, J/m²

	// Of the step at work.
	columns             []column
	guess, after, total []float64
	next, before, right []float64
	lastDt              float64

	base, ageBase, givenBase, straight []float64 // of a step in two stages
}

// NewBody cuts layers into cells. The temperature below the last is held at deep; NaN insulates it.
func NewBody(layers []Layer, initial func(depth float64) float64, deep float64) (*Body, error) {
	b := &Body{deep: deep}
	for i, l := range layers {
		cells, err := l.cells()
		if err != nil {
			return nil, fmt.Errorf("heat: layer %d: %w", i+1, err)
		}
		for _, dz := range cells {
			b.dz, b.k, b.c = append(b.dz, dz), append(b.k, l.Conductivity), append(b.c, l.Capacity)
		}
		if i == 0 {
			b.first = len(cells)
		}
	}
	if len(b.dz) == 0 {
		return nil, errors.New("heat: no layers")
	}
	depth := 0.0
	for _, dz := range b.dz {
		b.Temps = append(b.Temps, initial(depth+dz/2))
		depth += dz
	}
	n := len(b.dz)
	b.Ages, b.given = make([]float64, n), make([]float64, n)
	b.guess, b.after, b.total = make([]float64, b.first), make([]float64, b.first), make([]float64, b.first)
	b.next, b.right, b.before = make([]float64, n), make([]float64, n), append([]float64{}, b.Temps...)
	b.base, b.ageBase, b.givenBase, b.straight = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, b.first)
	for i := range b.dz {
		half := b.dz[i] / (2 * b.k[i])
		if i+1 < n {
			half += b.dz[i+1] / (2 * b.k[i+1])
		}
		b.g = append(b.g, 1/half)
	}
	b.freeze(layers)
	b.face, b.outer, b.begun = b.Temps[0], b.Temps[0], b.Stored()
	return b, nil
}

// mostCells bounds a layer's cells: finer than this is a slip of a unit.
const mostCells = 20000

func (l Layer) cells() ([]float64, error) {
	growth := math.Max(1, l.Growth)
	for _, v := range []float64{l.Thickness, l.Conductivity, l.Capacity, l.Cell} {
		if !(v > 0) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("thickness, conductivity, capacity and cell are above zero, not %v", v)
		}
	}
	if l.Thickness/l.Cell > mostCells {
		return nil, fmt.Errorf("%.3g m in cells of %.3g m is more than %d cells", l.Thickness, l.Cell, mostCells)
	}
	var cells []float64
	sum := 0.0
	for dz := l.Cell; sum < l.Thickness-1e-12; sum += cells[len(cells)-1] {
		cells = append(cells, dz)
		if next := dz * growth; l.Largest <= 0 || next <= l.Largest {
			dz = next
		}
	}
	for i := range cells {
		cells[i] *= l.Thickness / sum
	}
	return cells, nil
}

// Stored is the heat in the body over water at 0 °C, J/m².
func (b *Body) Stored() float64 {
	sum := 0.0
	for i, t := range b.Temps {
		sum += b.c[i] * t * b.dz[i]
	}
	for i, l := range b.latent {
		sum -= l * b.ice[i] * b.dz[i]
	}
	return sum
}

// Unclosed is the heat that cannot be accounted for since the beginning, as a share of all heat that came, went and was made:
// zero but for rounding, whatever the steps.
//
//	|stored now − stored then − through the ends − made| / (|stored now − stored then| + |through the ends| + |made|)
func (b *Body) Unclosed() float64 { return unclosed(b.Stored()-b.begun, b.came, b.made) }

func unclosed(gain, came, made float64) float64 {
	all := math.Abs(gain) + math.Abs(came) + math.Abs(made)
	if all == 0 {
		return 0
	}
	return math.Abs(gain-came-made) / all
}

// Face is the temperature of the body's own face after the last step; Outer that of the cover over it; Flux the heat that
// went in, W/m².
func (b *Body) Face() float64  { return b.face }
func (b *Body) Outer() float64 { return b.outer }
func (b *Body) Flux() float64  { return b.flux }

// Middle is the temperature half way down the first layer when its cells are even and of an even number; else use At.
func (b *Body) Middle() float64 { return (b.Temps[b.first/2-1] + b.Temps[b.first/2]) / 2 }

// Under is the temperature of the face between the first layer and what it lies on.
func (b *Body) Under() float64 { return b.edge(b.first - 1) }

// MeanOfFirst is the mean temperature of the first layer.
func (b *Body) MeanOfFirst() float64 {
	sum, depth := 0.0, 0.0
	for i := range b.first {
		sum += b.Temps[i] * b.dz[i]
		depth += b.dz[i]
	}
	return sum / depth
}

// edge is the temperature of the face between cells i and i+1.
func (b *Body) edge(i int) float64 {
	up, down := 2*b.k[i]/b.dz[i], 2*b.k[i+1]/b.dz[i+1]
	return (up*b.Temps[i] + down*b.Temps[i+1]) / (up + down)
}

// At is the temperature at a depth, on straight lines between the cells' middles and faces.
func (b *Body) At(depth float64) float64 { return b.interpolate(depth, b.Temps, b.face, b.edge) }

// AgeAt is the source's age at a depth of the first layer.
func (b *Body) AgeAt(depth float64) float64 {
	top := b.Ages[0]
	if b.first > 1 {
		top = b.Ages[0] - (b.Ages[1]-b.Ages[0])*b.dz[0]/(b.dz[0]+b.dz[1])
	}
	return b.interpolate(depth, b.Ages, top, func(i int) float64 {
		if i+1 >= b.first {
			return b.Ages[b.first-1] + (b.Ages[b.first-1]-b.Ages[max(0, b.first-2)])/2
		}
		return (b.Ages[i] + b.Ages[i+1]) / 2
	})
}

func (b *Body) interpolate(depth float64, values []float64, top float64, edge func(int) float64) float64 {
	z, above := 0.0, top
	for i, dz := range b.dz {
		if i+1 == len(b.dz) {
			return values[i]
		}
		below := edge(i)
		if depth <= z+dz {
			half := dz / 2
			if depth < z+half {
				return above + (values[i]-above)*(depth-z)/half
			}
			return values[i] + (below-values[i])*(depth-z-half)/half
		}
		z, above = z+dz, below
	}
	return above
}
