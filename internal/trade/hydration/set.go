package hydration

import (
	"fmt"
	"math"
)

// Set is when a concrete has stiffened, in hours of its hydration clock: Initial, when a footprint is about 6 mm deep and
// floating may begin; Final, when a boot only scuffs the surface.
type Set struct{ Initial, Final float64 }

// The degrees of hydration at set, per unit of w/cm. Source: Schindler (2004), recalled.
const (
	alphaInitial = 0.15
	alphaFinal   = 0.26
)

// shortestWindow is the least time between initial and final set, h.
const shortestWindow = 0.5

// SetAges are initial and final set on the hydration clock.
//
//	α_initial = 0.15 w/cm      α_final = 0.26 w/cm      te = τ/[ln(αu/α)]^{1/β}
//
// Fly-ash terms are left out on purpose: the remembered ones make the initial set later than the final above 22 % ash; ash
// delays through τ and the usual shift instead. Source: Schindler (2004), recalled. Checked: CUR-26.
func SetAges(c Curve, waterCement float64) Set {
	return spaced(Set{c.AgeAt(alphaInitial * waterCement), c.AgeAt(alphaFinal * waterCement)})
}

func spaced(s Set) Set {
	s.Initial = math.Max(0, s.Initial)
	s.Final = math.Max(s.Final, s.Initial+shortestWindow)
	return s
}

// Shift moves both sets by hours at 20 °C (a retarder's are positive) and keeps them in order.
func (s Set) Shift(hours, energy float64) Set {
	by := hours * AgeFactor(20, energy, HydrationRef)
	return spaced(Set{math.Max(shortestWindow, s.Initial+by), s.Final + by})
}

// At is how many hours the sets take at a constant temperature, °C.
//
//	t = te/γ(T)
//
// Checked: CUR-26. A frozen concrete does not set: an error.
func (s Set) At(t, energy float64) (Set, error) {
	g := AgeFactor(t, energy, HydrationRef)
	if g <= 0 {
		return Set{}, fmt.Errorf("hydration: concrete at %.0f °C does not set", t)
	}
	return Set{s.Initial / g, s.Final / g}, nil
}

// SetFrom turns set times measured at one temperature into set ages of the hydration clock.
func SetFrom(measured Set, t, energy float64) Set {
	g := AgeFactor(t, energy, HydrationRef)
	return spaced(Set{measured.Initial * g, measured.Final * g})
}
