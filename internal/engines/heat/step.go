package heat

import (
	"errors"
	"math"
	"sort"
)

// Surface is what acts on the exposed face during a step. The zero Surface lets no heat pass.
type Surface struct {
	Absorbed   float64 // of the sun, W/m²
	Emissivity float64 // of the face
	Sky        float64 // long-wave radiation coming down, W/m²
	Transfer   float64 // of the wind, W/m²K
	Air        float64 // °C
	Cover      float64 // resistance of a massless cover, m²K/W
	Drying     Drying  // zero: dry
}

// Drying is water lost from a wet face, kg/m²/s, never below zero.
//
//	E(To) = Factor ([To + 18]^2.5 − Air)
type Drying struct{ Factor, Air float64 }

// Held is a face kept at a temperature.
func Held(temp float64) Surface { return Surface{Transfer: 1e9, Air: temp} }

const (
	stefan     = 5.670374419e-8
	kelvin     = 273.15
	latentHeat = 2.45e6 // of water, J/kg
)

// in is the heat entering an exposed face at a temperature, W/m², and how it changes with that temperature.
//
//	q_in = aG + ε(L↓ − σTo⁴) − h(To − Ta) − Lv E(To)
func (s *Surface) in(face float64) (q, slope float64) {
	k := face + kelvin
	cube := s.Emissivity * stefan * k * k * k
	q = s.Absorbed + s.Emissivity*s.Sky - cube*k - s.Transfer*(face-s.Air)
	slope = -4*cube - s.Transfer
	if s.Drying.Factor > 0 && s.Cover <= 0 {
		if over := face + 18; over > 0 {
			root := over * math.Sqrt(over)
			if wet := over*root - s.Drying.Air; wet > 0 {
				q -= latentHeat * s.Drying.Factor * wet
				slope -= latentHeat * s.Drying.Factor * 2.5 * root
			}
		}
	}
	return q, slope
}

// Lost is the water lost at a face temperature, kg/m²/s.
func (s *Surface) Lost(face float64) float64 {
	if s.Drying.Factor <= 0 || face <= -18 || s.Cover > 0 {
		return 0
	}
	over := face + 18
	return s.Drying.Factor * math.Max(0, over*over*math.Sqrt(over)-s.Drying.Air)
}

// balance finds the exposed face's temperature To that passes on what it takes in through the cover and the half cell under
// it, to a cell whose own balance is p T1 = r + q.
//
//	q_in(To) = (To − T1)/(Rc + Δz/2k)      T1 = (r + To/R)/(p + 1/R)
//
// Newton's rule; the intake falls with the face's temperature, so it settles from anywhere. Checked: CUR-55.
func (s *Surface) balance(p, r, resistance, guess float64) (outer, node, flux float64) {
	g := 1 / resistance
	share := g / (p + g) // of To in T1
	outer = guess
	for range 20 {
		q, slope := s.in(outer)
		node = (r + outer*g) / (p + g)
		move := (q - (outer-node)*g) / ((1-share)*g - slope)
		outer += move
		if math.Abs(move) < 1e-9 {
			break
		}
	}
	node = (r + outer*g) / (p + g)
	return outer, node, (outer - node) * g
}

// sweeps bounds the rounds in which the source settles in one step; settled is the change in temperature, K, at which it has:
// the heat of the step was then worked out at temperatures as near to those found.
const (
	sweeps  = 8
	settled = 0.01
)

// column is a body's equations for one length of step, solved from the deepest cell up: all but the face's share is the same
// in every step of that length.
//
//	p_i = C_i + g_{i−1} + g_i − g_i²/p_{i+1}      C_i = ρc Δz/Δt
type column struct {
	dt    float64
	store []float64 // C_i
	lift  []float64 // g_i/p_{i+1}: what comes up from the cell below; of the last, one
	fall  []float64 // g_{i−1}/p_i: what comes down from the cell above
	over  []float64 // 1/p_i; the first without its face
	top   float64   // p of the first cell
}

// columnFor finds or works out the equations for a step.
func (b *Body) columnFor(dt float64) *column {
	for i := range b.columns {
		if b.columns[i].dt == dt {
			return &b.columns[i]
		}
	}
	n := len(b.Temps)
	c := column{dt: dt, store: make([]float64, n), lift: make([]float64, n), fall: make([]float64, n), over: make([]float64, n)}
	for i := n - 1; i >= 0; i-- {
		c.store[i] = b.c[i] * b.dz[i] / dt
		p := c.store[i]
		if i > 0 {
			p += b.g[i-1]
		}
		if i+1 < n {
			c.lift[i] = b.g[i] * c.over[i+1]
			p += b.g[i] - b.g[i]*c.lift[i]
		} else {
			c.lift[i] = 1
			if !math.IsNaN(b.deep) {
				p += b.g[n-1]
			}
		}
		c.over[i], c.top = 1/p, p
		if i > 0 {
			c.fall[i] = b.g[i-1] / p
		}
	}
	if len(b.columns) >= mostColumns {
		b.columns = b.columns[:0]
	}
	b.columns = append(b.columns, c)
	return &b.columns[len(b.columns)-1]
}

// mostColumns of different steps are kept.
const mostColumns = 6

// Step moves the body on by dt seconds under a surface. The source is asked at temperatures carried on from the step before,
// and asked again where that was not near enough; the heat that goes in is the heat it gave, to rounding.
func (b *Body) Step(dt float64, s Surface, source Source) {
	b.expect(dt)
	made := b.try(dt, &s, source)
	b.close(dt, b.through(dt), made, source != nil)
}

// expect carries the first layer's temperatures on along the step before, for the source to be asked at.
func (b *Body) expect(dt float64) {
	ahead := b.ahead(dt)
	for i := range b.first {
		b.guess[i] = b.Temps[i] + ahead*(b.Temps[i]-b.before[i])
	}
}

// try works out the temperatures after dt seconds and the heat the source makes on the way, J/m².
func (b *Body) try(dt float64, s *Surface, source Source) float64 {
	n, c := len(b.Temps), b.columnFor(dt)
	resistance := s.Cover + b.dz[0]/(2*b.k[0])
	below := 0.0
	if !math.IsNaN(b.deep) {
		below = b.g[n-1] * b.deep // as what comes up into the last cell; its lift is one
	}
	temps, store, lift, right := b.Temps[:n], c.store[:n], c.lift[:n], b.right[:n]
	for i := n - 1; i >= b.first; i-- {
		below = store[i]*temps[i] + lift[i]*below
		right[i] = below
	}
	for sweep := 0; ; sweep++ {
		made, up := 0.0, below
		for i := b.first - 1; i >= 0; i-- {
			r := c.store[i] * b.Temps[i]
			if source != nil {
				b.after[i], b.total[i] = source(b.Ages[i], b.guess[i], dt)
				heat := (b.total[i] - b.given[i]) * b.dz[i]
				made += heat
				r += heat / dt
			}
			up = r + c.lift[i]*up
			b.right[i] = up
		}
		b.outer, b.next[0], b.flux = s.balance(c.top, b.right[0], resistance, b.outer)
		change := 0.0
		for i := 1; i < b.first; i++ {
			b.next[i] = b.right[i]*c.over[i] + c.fall[i]*b.next[i-1]
		}
		for i := range b.first {
			change = math.Max(change, math.Abs(b.next[i]-b.guess[i]))
		}
		if source == nil || change < settled || sweep == sweeps-1 {
			next, over, fall := b.next[:n], c.over[:n], c.fall[:n]
			above := next[b.first-1]
			for i := b.first; i < n; i++ {
				above = right[i]*over[i] + fall[i]*above
				next[i] = above
			}
			return made
		}
		copy(b.guess, b.next[:b.first])
	}
}

// ahead is a step as a share of the one before; zero when there was none.
func (b *Body) ahead(dt float64) float64 {
	if b.lastDt == 0 {
		return 0
	}
	return dt / b.lastDt
}

// bent is how far the first layer's temperatures after the step tried lie off the straight line of the step before, halved: the
// error of one backward step, K.
func (b *Body) bent(dt float64) float64 {
	ahead, worst := b.ahead(dt), 0.0
	for i := range b.first {
		worst = math.Max(worst, math.Abs(b.next[i]-b.Temps[i]-ahead*(b.Temps[i]-b.before[i])))
	}
	return worst / 2
}

// through is the heat that comes through both ends in the step tried, J/m².
func (b *Body) through(dt float64) float64 {
	came := b.flux * dt
	if n := len(b.Temps); !math.IsNaN(b.deep) {
		came += b.g[n-1] * (b.deep - b.next[n-1]) * dt
	}
	return came
}

// close takes over the temperatures and ages found, and keeps the books of heat.
func (b *Body) close(dt, came, made float64, aged bool) {
	b.Temps, b.before, b.next = b.next, b.Temps, b.before
	b.turn()
	b.face = b.Temps[0] + b.flux*b.dz[0]/(2*b.k[0])
	b.lastDt = dt
	b.came += came
	b.made += made
	if aged {
		copy(b.Ages, b.after)
		copy(b.given, b.total)
	}
}

// inner is γ = 1 − 1/√2 of the two-stage rule, and carried what its first stage weighs against the second, (1 − γ)/γ.
const (
	inner   = 1 - 1/math.Sqrt2
	carried = (1 - inner) / inner
)

// twice works out a step in two implicit stages, of second order and without swings however long the step (Alexander's rule):
//
//	T₁ = T + γΔt F(T₁)      T' = T + Δt[(1 − γ)F(T₁) + γF(T')]      γ = 1 − 1/√2
//
// Each stage is a backward step of γΔt, the second from T + (1 − γ)/γ (T₁ − T); ages and heat given go the same way, so the books
// of heat close as those of single steps do. off is how far the first stage, carried on straight, lies from the answer, K.
func (b *Body) twice(t, dt float64, top func(from, to float64) Surface, source Source) (came, made, off float64) {
	g, n := inner*dt, len(b.Temps)
	copy(b.base, b.Temps)
	copy(b.ageBase, b.Ages)
	copy(b.givenBase, b.given)
	b.expect(g)
	s := top(t, t+g)
	made = carried * b.try(g, &s, source)
	came = carried * b.through(g)
	for i := range n {
		b.Temps[i] += carried * (b.next[i] - b.Temps[i])
	}
	for i := range b.first {
		b.guess[i] = b.base[i] + (b.next[i]-b.base[i])/inner
		b.straight[i] = b.guess[i]
		if source != nil {
			b.Ages[i] += carried * (b.after[i] - b.Ages[i])
			b.given[i] += carried * (b.total[i] - b.given[i])
		}
	}
	s = top(t+g, t+dt)
	made += b.try(g, &s, source)
	came += b.through(g)
	for i := range b.first {
		off = math.Max(off, math.Abs(b.next[i]-b.straight[i]))
	}
	return came, made, off
}

// back undoes the first stage's move.
func (b *Body) back() {
	copy(b.Temps, b.base)
	copy(b.Ages, b.ageBase)
	copy(b.given, b.givenBase)
}

// Pace is how a body is marched: in steps of Most seconds, or, with a Tolerance, in steps that are halved down to Least where they
// bend by more, K, and doubled again where they do not. Twice: each step in two stages, of second order.
type Pace struct {
	Most, Least, Tolerance float64
	Twice                  bool
}

// Even is a pace of equal steps.
func Even(step float64) Pace { return Pace{Most: step, Least: step} }

func (p Pace) good(from, to float64) bool {
	return p.Least > 0 && p.Most >= p.Least && p.Tolerance >= 0 && to >= from && (to-from)/p.Least < 1e7
}

// March moves a body from one time to another, ending a step at every switch. top gives the surface for a step: continuous
// weather at its end, covers as they are inside it. watch, if any, sees the body after each step.
func (b *Body) March(from, to float64, pace Pace, switches []float64, top func(from, to float64) Surface, source Source, watch func(t float64)) error {
	if !pace.good(from, to) {
		return errors.New("heat: the steps are above zero and the end is after the beginning")
	}
	stops := append([]float64{}, switches...)
	sort.Float64s(stops)
	step := pace.Most
	if pace.Tolerance > 0 {
		step = pace.Least
	}
	for t, k := from, 0; t < to-1e-6; {
		for k < len(stops) && stops[k] <= t+1e-6 {
			k++
		}
		stop := to
		if k < len(stops) && stops[k] < to {
			stop = stops[k]
		}
		dt := tidy(math.Min(step, stop-t), step)
		came, made, off := b.attempt(t, dt, pace, top, source)
		if pace.Tolerance > 0 {
			if off > pace.Tolerance && step > pace.Least {
				step = math.Max(pace.Least, step/2)
				if pace.Twice {
					b.back()
				}
				continue
			}
			if off < pace.Tolerance/4 {
				step = math.Min(pace.Most, 2*step)
			}
		}
		b.close(dt, came, made, source != nil)
		if pace.Twice {
			copy(b.before, b.base)
		}
		if math.IsNaN(b.Temps[0]) {
			return errors.New("heat: the surface did not settle")
		}
		if t += dt; watch != nil {
			watch(t)
		}
	}
	return nil
}

// attempt works out one step of a pace, and how far it bends.
func (b *Body) attempt(t, dt float64, pace Pace, top func(from, to float64) Surface, source Source) (came, made, off float64) {
	if pace.Twice {
		return b.twice(t, dt, top, source)
	}
	b.expect(dt)
	s := top(t, t+dt)
	made = b.try(dt, &s, source)
	return b.through(dt), made, b.bent(dt)
}

// tidy takes a step that is a full one but for rounding as the full one, so that its equations are found again.
func tidy(dt, step float64) float64 {
	if math.Abs(dt-step) < 1e-9*step {
		return step
	}
	return dt
}
