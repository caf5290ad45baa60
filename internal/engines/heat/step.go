package heat

import (
	"errors"
	"math"
	"sort"
)

// Surface is what acts on the exposed face during a step.
type Surface struct {
	Absorbed   float64                    // of the sun, W/m²
	Emissivity float64                    // of the face
	Sky        float64                    // long-wave radiation coming down, W/m²
	Transfer   float64                    // of the wind, W/m²K
	Air        float64                    // °C
	Cover      float64                    // resistance of a massless cover, m²K/W
	Drying     func(face float64) float64 // water lost at a face temperature, kg/m²/s; nil: dry
}

// Held is a face kept at a temperature.
func Held(temp float64) Surface { return Surface{Transfer: 1e9, Air: temp} }

// Insulated is a face through which no heat passes.
func Insulated() Surface { return Surface{} }

const (
	stefan     = 5.670374419e-8
	kelvin     = 273.15
	latentHeat = 2.45e6 // of water, J/kg
)

// in is the heat entering an exposed face at a temperature, W/m².
//
//	q_in = aG + ε(L↓ − σTo⁴) − h(To − Ta) − Lv E(To)
func (s Surface) in(face float64) float64 {
	q := s.Absorbed + s.Emissivity*(s.Sky-stefan*math.Pow(face+kelvin, 4)) - s.Transfer*(face-s.Air)
	if s.Drying != nil && s.Cover <= 0 {
		q -= latentHeat * s.Drying(face)
	}
	return q
}

// balance finds the exposed face's temperature that passes on what it takes in through the cover and the half cell under it,
// and says how that heat changes with the cell's temperature.
//
//	q_in(To) = (To − T1)/(Rc + Δz/2k)
//
// Newton's rule; the intake falls with the face's temperature, so it settles from anywhere. Checked: CUR-55.
func (s Surface) balance(node, resistance, guess float64) (outer, flux, slope float64) {
	const nudge = 1e-3
	outer = guess
	for range 12 {
		q := s.in(outer)
		falls := (s.in(outer+nudge) - q) / nudge
		move := (q - (outer-node)/resistance) / (1/resistance - falls)
		outer += move
		if math.Abs(move) < 1e-9 {
			break
		}
	}
	falls := (s.in(outer+nudge) - s.in(outer)) / nudge
	return outer, (outer - node) / resistance, falls / (1 - falls*resistance)
}

// sweeps bounds the rounds in which source and surface settle in one step; settled is the change in temperature, K, at which
// they have.
const (
	sweeps  = 8
	settled = 1e-7
)

// Step moves the body on by dt seconds under a surface.
func (b *Body) Step(dt float64, s Surface, source Source) {
	n := len(b.Temps)
	guess := append([]float64{}, b.Temps...)
	resistance := s.Cover + b.dz[0]/(2*b.k[0])
	lower, middle, upper, right := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for range sweeps {
		outer, flux, slope := s.balance(guess[0], resistance, guess[0])
		for i := range n {
			store := b.c[i] * b.dz[i] / dt
			lower[i], upper[i], middle[i], right[i] = 0, 0, store, store*b.Temps[i]
			if i > 0 {
				g := b.between(i - 1)
				lower[i], middle[i] = -g, middle[i]+g
			}
			if i+1 < n {
				g := b.between(i)
				upper[i], middle[i] = -g, middle[i]+g
			}
			if source != nil && i < b.first {
				_, heat := source(b.Ages[i], guess[i], dt)
				right[i] += heat * b.dz[i] / dt
			}
		}
		middle[0] -= slope
		right[0] += flux - slope*guess[0]
		if !math.IsNaN(b.deep) {
			g := 2 * b.k[n-1] / b.dz[n-1]
			middle[n-1] += g
			right[n-1] += g * b.deep
		}
		change := solve(lower, middle, upper, right, guess)
		b.outer = outer
		if change < settled {
			break
		}
	}
	b.close(guess, s, resistance, dt, source)
}

// close takes over the settled temperatures and ages the source.
func (b *Body) close(temps []float64, s Surface, resistance, dt float64, source Source) {
	copy(b.Temps, temps)
	b.outer, b.flux, _ = s.balance(temps[0], resistance, b.outer)
	b.face = temps[0] + b.flux*b.dz[0]/(2*b.k[0])
	for i := 0; i < b.first && source != nil; i++ {
		b.Ages[i], _ = source(b.Ages[i], temps[i], dt)
	}
}

// solve finds the temperatures of a tridiagonal, diagonally dominant system into x and returns the largest change.
func solve(lower, middle, upper, right, x []float64) float64 {
	n := len(x)
	for i := 1; i < n; i++ {
		w := lower[i] / middle[i-1]
		middle[i] -= w * upper[i-1]
		right[i] -= w * right[i-1]
	}
	change := 0.0
	for i := n - 1; i >= 0; i-- {
		v := right[i]
		if i+1 < n {
			v -= upper[i] * x[i+1]
		}
		v /= middle[i]
		change = math.Max(change, math.Abs(v-x[i]))
		x[i] = v
	}
	return change
}

// March moves a body from one time to another in steps of at most `step` seconds, ending a step at every switch. top gives the
// surface for a step: continuous weather at its end, covers as they are inside it. watch, if any, sees the body after each step.
func (b *Body) March(from, to, step float64, switches []float64, top func(from, to float64) Surface, source Source, watch func(t float64)) error {
	if !(step > 0) || !(to >= from) || (to-from)/step > 1e7 {
		return errors.New("heat: the steps are above zero and the end is after the beginning")
	}
	stops := append([]float64{}, switches...)
	sort.Float64s(stops)
	for t := from; t < to-1e-6; {
		next := math.Min(t+step, to)
		for _, s := range stops {
			if s > t+1e-6 && s < next {
				next = s
				break
			}
		}
		b.Step(next-t, top(t, next), source)
		if math.IsNaN(b.Temps[0]) {
			return errors.New("heat: the surface did not settle")
		}
		if t = next; watch != nil {
			watch(t)
		}
	}
	return nil
}
