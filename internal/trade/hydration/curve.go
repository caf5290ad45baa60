package hydration

import "math"

// GasConstant is R, J/mol/K.
const GasConstant = 8.314462618

// HydrationRef is the temperature at which the hydration clock runs true, °C.
const HydrationRef = 21.1

// Curve is how a blend hydrates against its own clock te, and what heat it gives.
type Curve struct {
	Ultimate float64 // αu, share hydrated in the end
	Delay    float64 // τ, h
	Shape    float64 // β
	Cement   float64 // Hcem, J/g of cement
	Heat     float64 // Hu, J/g of cementitious
	Energy   float64 // Ea, J/mol
}

// CurveOf gives the hydration curve of a blend.
//
//	Hcem = 500pC3S + 260pC2S + 866pC3A + 420pC4AF + 624pSO3 + 1186pFreeCaO + 850pMgO     Hu = Hcem·pcem + 461pSLAG + 1800pFACaO·pFA
//	τ  = 66.78 pC3A^−0.154 pC3S^−0.401 Blaine^−0.804 pSO3^−0.758 exp(2.187pSLAG + 9.50pFA·pFACaO)      h
//	β  = 181.4 pC3A^0.146 pC3S^0.227 Blaine^−0.535 pSO3^0.558 exp(−0.647pSLAG)
//	αu = 1.031w/(0.194 + w) + 0.50pFA + 0.30pSLAG ≤ 1
//	Ea = 22100 fE pC3A^0.30 pC4AF^0.25 Blaine^0.35       fE = 1 − 1.05pFA(1 − pFACaO/0.40) + 0.40pSLAG      J/mol
//
// Source: Schindler and Folliard (2005), Schindler (2004), recalled. Range as Blend.Validate; outside it is refused.
// Checked: CUR-23, CUR-27, CUR-28, CUR-33.
func CurveOf(b Blend) (Curve, error) {
	if err := b.Validate(); err != nil {
		return Curve{}, err
	}
	c := b.Cement
	hcem := 500*c.C3S + 260*c.C2S + 866*c.C3A + 420*c.C4AF + 624*c.SO3 + 1186*c.Lime + 850*c.MgO
	fE := 1 - 1.05*b.FlyAsh*(1-b.FlyAshLime/0.40) + 0.40*b.Slag
	return Curve{
		Ultimate: math.Min(1, 1.031*b.WaterCement/(0.194+b.WaterCement)+0.50*b.FlyAsh+0.30*b.Slag),
		Delay: 66.78 * math.Pow(c.C3A, -0.154) * math.Pow(c.C3S, -0.401) * math.Pow(c.Blaine, -0.804) *
			math.Pow(c.SO3, -0.758) * math.Exp(2.187*b.Slag+9.50*b.FlyAsh*b.FlyAshLime),
		Shape: 181.4 * math.Pow(c.C3A, 0.146) * math.Pow(c.C3S, 0.227) * math.Pow(c.Blaine, -0.535) *
			math.Pow(c.SO3, 0.558) * math.Exp(-0.647*b.Slag),
		Cement: hcem,
		Heat:   hcem*(1-b.FlyAsh-b.Slag) + 461*b.Slag + 1800*b.FlyAshLime*b.FlyAsh,
		Energy: 22100 * fE * math.Pow(c.C3A, 0.30) * math.Pow(c.C4AF, 0.25) * math.Pow(c.Blaine, 0.35),
	}, nil
}

// youngest keeps the exponential finite at the very start, h.
const youngest = 1e-6

// Degree is how much has hydrated at equivalent age te, h.
//
//	α(te) = αu exp[−(τ/te)^β]
//
// Source: Schindler and Folliard (2005), recalled. Checked: CUR-24.
func (c Curve) Degree(te float64) float64 {
	if te < youngest {
		return 0
	}
	return c.Ultimate * math.Exp(-math.Exp(c.Shape*math.Log(c.Delay/te)))
}

// Rate is dα/dte, 1/h.
//
//	dα/dte = α (τ/te)^β β/te
//
// Checked: CUR-25.
func (c Curve) Rate(te float64) float64 {
	if te < youngest {
		return 0
	}
	return c.Degree(te) * math.Pow(c.Delay/te, c.Shape) * c.Shape / te
}

// PeakAge is the equivalent age, h, at which the rate is greatest.
//
//	te = τ (β/(1 + β))^{1/β}
//
// Checked: CUR-25.
func (c Curve) PeakAge() float64 {
	return c.Delay * math.Pow(c.Shape/(1+c.Shape), 1/c.Shape)
}

// AgeAt is the equivalent age, h, at which the degree of hydration is alpha; infinite at or above the ultimate.
//
//	te = τ/[ln(αu/α)]^{1/β}
func (c Curve) AgeAt(alpha float64) float64 { return stretched(alpha, c.Ultimate, c.Delay, c.Shape) }

// stretched is where y = u exp[−(τ/t)^β] has a value: zero at or below nothing, infinite at or above the ultimate.
func stretched(y, ultimate, delay, shape float64) float64 {
	switch {
	case y <= 0:
		return 0
	case y >= ultimate:
		return math.Inf(1)
	}
	return delay / math.Pow(math.Log(ultimate/y), 1/shape)
}

// HeatRate is the heat given off, W/m³, at equivalent age te (h) and temperature t (°C) by a concrete with cementitious
// content in kg/m³.
//
//	Q = Hu Cc (dα/dte) γ(T)/3600 · 10³
//
// Checked: CUR-25.
func (c Curve) HeatRate(te, t, content float64) float64 {
	return c.Heat * 1e3 * content * c.Rate(te) * AgeFactor(t, c.Energy, HydrationRef) / 3600
}

// AdiabaticRise is how much a concrete warms that loses no heat, at degree of hydration alpha; heatCapacity in J/m³K.
//
//	ΔT = Hu Cc α/(ρc)
//
// Checked: CUR-33.
func (c Curve) AdiabaticRise(alpha, content, heatCapacity float64) float64 {
	return c.Heat * 1e3 * content * alpha / heatCapacity
}
