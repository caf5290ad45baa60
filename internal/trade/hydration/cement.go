// Package hydration answers how concrete hardens: how much heat it gives, how its own clock runs at a temperature, when it
// sets, how strong it is by that clock, and what a set of cylinders says about it. Stages that plan the pour and the weeks
// after it share it.
//
// Two clocks run here and never mix: the hydration clock (21.1 °C, activation energy from the cement) drives heat and set;
// the strength clock (20 °C, activation energy of the strength curve) drives strength. Formulas take and give SI: °C, seconds
// where a type says so, and hours or days where the source's symbol is in hours or days and the comment says so.
package hydration

import (
	"fmt"
	"math"

	"slabwright/internal/trade/sources"
)

// Cement is what a cement is made of: mass fractions of its compounds and its fineness.
type Cement struct {
	Type                                string
	C3S, C2S, C3A, C4AF, SO3, Lime, MgO float64 // of cement; Lime is free CaO
	Blaine                              float64 // m²/kg
	Source                              sources.Key
}

// DefaultCement is the cement of an ordinary order.
const DefaultCement = "I/II"

// cements are mean values; the I/II blend is ours, minor oxides by habit.
var cements = []Cement{
	{"I", .54, .18, .10, .08, .030, .010, .020, 369, sources.PCAEB001Cements},
	{"I/II", .55, .18, .08, .09, .028, .010, .020, 375, sources.PCAEB001Cements},
	{"II", .55, .19, .06, .11, .027, .010, .020, 377, sources.PCAEB001Cements},
	{"III", .55, .17, .09, .08, .035, .010, .020, 548, sources.PCAEB001Cements},
	{"V", .54, .22, .04, .13, .023, .010, .020, 373, sources.PCAEB001Cements},
}

// CementTypes lists the cements known by name.
func CementTypes() []string {
	names := make([]string, len(cements))
	for i, c := range cements {
		names[i] = c.Type
	}
	return names
}

// CementOf finds a cement by its type.
func CementOf(name string) (Cement, error) {
	for _, c := range cements {
		if c.Type == name {
			return c, nil
		}
	}
	return Cement{}, fmt.Errorf("hydration: cement type %q is not one of I, I/II, II, III, V", name)
}

// Blend is the cementitious side of a mix.
type Blend struct {
	Cement      Cement
	FlyAsh      float64 // share of cementitious, 0–0.5
	FlyAshLime  float64 // CaO of the ash, 0.05–0.28
	Slag        float64 // share of cementitious, 0–0.5
	WaterCement float64 // water over cementitious, 0.33–0.70
}

// Validate says what is outside the range of the equations.
func (b Blend) Validate() error {
	c := b.Cement
	sum := c.C3S + c.C2S + c.C3A + c.C4AF + c.SO3 + c.Lime + c.MgO
	for _, v := range []float64{sum, c.Blaine, b.FlyAsh, b.FlyAshLime, b.Slag, b.WaterCement} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("hydration: a share or the fineness is not a number")
		}
	}
	switch {
	case c.C3S <= 0 || c.C3A <= 0 || c.C4AF <= 0 || c.SO3 <= 0 || c.C2S < 0 || c.Lime < 0 || c.MgO < 0:
		return fmt.Errorf("hydration: every compound of the cement is a share above zero")
	case sum > 1.02:
		return fmt.Errorf("hydration: the compounds add to %.2f; shares of cement add to 1 at most", sum)
	case c.Blaine > 2000:
		return fmt.Errorf("hydration: fineness %.0f is in cm²/g; did you mean %.0f m²/kg", c.Blaine, c.Blaine/10)
	case c.Blaine < 280 || c.Blaine > 600:
		return fmt.Errorf("hydration: fineness %.0f m²/kg is outside 280–600", c.Blaine)
	case b.WaterCement < 0.33 || b.WaterCement > 0.70:
		return fmt.Errorf("hydration: w/cm %.2f is outside 0.33–0.70", b.WaterCement)
	case b.FlyAsh < 0 || b.FlyAsh > 0.5 || b.Slag < 0 || b.Slag > 0.5:
		return fmt.Errorf("hydration: fly ash %.0f %% and slag %.0f %% must each be 0–50 %%", 100*b.FlyAsh, 100*b.Slag)
	case b.FlyAshLime < 0 || b.FlyAshLime > 0.4:
		return fmt.Errorf("hydration: fly ash with %.0f %% CaO; 5–28 %% is usual", 100*b.FlyAshLime)
	}
	return nil
}
