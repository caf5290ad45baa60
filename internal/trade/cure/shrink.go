package cure

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
)

// Drying is what drying shrinkage depends on.
type Drying struct {
	Humidity   float64 // of the air, 0.4–1
	VolumeFace float64 // V/S, m; the thickness of a slab that dries from the top only
	Slump      float64 // m
	Fines      float64 // share of fine aggregate in all aggregate, 0–1
	Cement     float64 // kg/m³
	Air        float64 // 0–1
	MoistDays  float64 // of moist curing
}

// basicShrinkage is εu of the standard conditions.
const basicShrinkage = 780e-6

// Factors are the factors γ for other than standard conditions, in this order: humidity, volume over face, slump, fines,
// cement, air, moist curing.
//
//	γRH = 1.40 − 1.02h (0.4 ≤ h ≤ 0.8), 3.00 − 3h (h > 0.8)      γvs = 1.2 exp(−0.00472 V/S mm)
//	γs = 0.89 + 0.00161 s mm      γψ = 0.30 + 0.014ψ (ψ ≤ 50 %), 0.90 + 0.002ψ
//	γc = 0.75 + 0.00061c kg/m³      γα = 0.95 + 0.008α % ≥ 1      γtc = 1.202 − 0.2337 log10(moist days)
//
// Source: ACI 209.2R-08, eq.; γtc recalled (eq. A-6). Humidity from 0.4, moist curing 1 to 90 days; outside it
// is refused. Checked: CUR-46, CUR-47.
func (d Drying) Factors() ([7]float64, error) {
	if err := d.validate(); err != nil {
		return [7]float64{}, err
	}
	humid := 1.40 - 1.02*d.Humidity
	if d.Humidity > 0.8 {
		humid = 3.00 - 3*d.Humidity
	}
	fines := 0.30 + 0.014*100*d.Fines
	if d.Fines > 0.5 {
		fines = 0.90 + 0.002*100*d.Fines
	}
	return [7]float64{humid, 1.2 * math.Exp(-0.00472*1000*d.VolumeFace), 0.89 + 0.00161*1000*d.Slump, fines,
		0.75 + 0.00061*d.Cement, math.Max(1, 0.95+0.008*100*d.Air), 1.202 - 0.2337*math.Log10(d.MoistDays)}, nil
}

// Factor is the product γ of the factors.
func (d Drying) Factor() (float64, error) {
	factors, err := d.Factors()
	product := 1.0
	for _, f := range factors {
		product *= f
	}
	return product, err
}

func (d Drying) validate() error {
	switch {
	case !quantity.Finite(d.Humidity, d.VolumeFace, d.Slump, d.Fines, d.Cement, d.Air, d.MoistDays):
		return fmt.Errorf("cure: a value is not a number")
	case d.Humidity < 0.4 || d.Humidity > 1:
		return fmt.Errorf("cure: humidity %.0f %%; the rule holds from 40 to 100 %%", 100*d.Humidity)
	case d.MoistDays < 1 || d.MoistDays > 90:
		return fmt.Errorf("cure: %.1f days of moist curing; the rule holds from 1 to 90", d.MoistDays)
	case d.VolumeFace <= 0 || d.Slump < 0 || d.Fines < 0 || d.Fines > 1 || d.Cement <= 0 || d.Air < 0 || d.Air > 0.2:
		return fmt.Errorf("cure: thickness, slump, fines, cement and air are those of a mix")
	}
	return nil
}

// Ultimate is εu, the shrinkage in the end.
//
//	εu = 780e-6 γ
func (d Drying) Ultimate() (float64, error) {
	g, err := d.Factor()
	return basicShrinkage * g, err
}

// After is the shrinkage after days of drying that follow the moist curing.
//
//	εsh(t) = εu t/(35 + t)
//
// Source: ACI 209.2R-08, eq. A-1 for moist curing. Checked: CUR-47.
func (d Drying) After(days float64) (float64, error) {
	u, err := d.Ultimate()
	return u * math.Max(0, days) / (35 + math.Max(0, days)), err
}
