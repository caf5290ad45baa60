package mix

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/fresh"
)

// Yield is a load judged by its unit weight.
type Yield struct {
	Volume   quantity.Volume  // made
	Relative float64          // made over ordered
	Cement   quantity.Density // per volume made
}

// UnitWeight is the density of fresh concrete from a filled measure: D = (full - empty)/volume.
// Source: ASTM C138. Checked: CON-29.
func UnitWeight(full, empty quantity.Mass, measure quantity.Volume) quantity.Density {
	return quantity.Density(float64(full-empty) / float64(measure))
}

// YieldOf is what a load makes: Y = M/D, Ry = Y/ordered, N = cement/Y. A relative yield outside 0.98 to 1.02 deserves a talk
// with the plant: low is also a richer mix, high a leaner one. Source: ASTM C138. Checked: CON-30.
func YieldOf(batch, cement quantity.Mass, density quantity.Density, ordered quantity.Volume) Yield {
	made := quantity.Volume(float64(batch) / float64(density))
	return Yield{Volume: made, Relative: float64(made / ordered), Cement: quantity.Density(float64(cement) / float64(made))}
}

// GravimetricAir is the air share from the measured density D and the air-free density T = Σm/Σ(m/(ρ G)):
//
//	A = (T - D)/T
//
// Source: ASTM C138. Checked: CON-30.
func (t Tables) GravimetricAir(masses, gravities []float64, density quantity.Density) (airFree quantity.Density, air float64, err error) {
	if len(masses) == 0 || len(masses) != len(gravities) {
		return 0, 0, fmt.Errorf("needs as many relative densities as masses; have %d and %d", len(gravities), len(masses))
	}
	mass, volume := 0.0, 0.0
	for i, m := range masses {
		if m < 0 || gravities[i] <= 0 {
			return 0, 0, fmt.Errorf("masses are not below zero and relative densities above zero")
		}
		mass, volume = mass+m, volume+m/(t.waterDensity*gravities[i])
	}
	if volume == 0 {
		return 0, 0, fmt.Errorf("all masses are zero")
	}
	airFree = quantity.Density(mass / volume)
	return airFree, float64((airFree - density) / airFree), nil
}

// AddedWater is what water added at the truck does to a mix.
type AddedWater struct {
	Ratio    float64         `json:"ratio"`    // new w/cm
	Rise     float64         `json:"rise"`     // of w/cm
	Strength quantity.Stress `json:"strength"` // change of the average, by the table; zero outside it
	Inside   bool            `json:"inside"`   // both ratios lie in the table of strengths
	Slump    quantity.Length `json:"slump"`    // about, by the rule 1 gal/yd³ = 1 in
	Volume   float64         `json:"volume"`   // growth as a share
}

// AddWater works out what added water per volume does: d(w/cm) = added/cm, strength by the table of w/cm against strength.
// The rule of thumb (1 gal/yd³: 1 in of slump, 150 to 200 psi) agrees. Source: ACI 211.1-91; common practice.
// Checked: CON-31.
func (t Tables) AddWater(added, cementitious quantity.Density, ratio float64, entrained bool) AddedWater {
	a := AddedWater{Rise: float64(added) / float64(cementitious)}
	a.Ratio = ratio + a.Rise
	a.Slump = quantity.Inches(quantity.In(added, "gal/yd3"))
	a.Volume = float64(fresh.WaterVolume(quantity.Mass(added)))
	before, err1 := t.AverageStrength(ratio, entrained)
	after, err2 := t.AverageStrength(a.Ratio, entrained)
	if err1 == nil && err2 == nil {
		a.Strength, a.Inside = after-before, true
	}
	return a
}

// airCosts is the share of strength lost per point of air. Source: common practice, 4 to 6 %.
const airCosts = 0.05

// AirEffect is the strength with more (or less) air than reckoned: 5 % per point. Source: common practice.
func AirEffect(strength quantity.Stress, extraPoints float64) quantity.Stress {
	return strength * quantity.Stress(math.Max(0, 1-airCosts*extraPoints))
}

// WaterNeed scales mixing water for another slump and concrete temperature: 3 % per inch of slump, 3 % per 10 °F.
// Source: USBR Concrete Manual (recalled). Good for small changes: a few inches, 30 °F.
func WaterNeed(water quantity.Density, slumpChange quantity.Length, warmer quantity.TempDiff) quantity.Density {
	return water * quantity.Density(1+0.03*slumpChange.Inches()+0.03*quantity.In(warmer, "°F")/10)
}
