package price

import (
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// lineCalculations offers the lines a bill is made of.
func lineCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("price.labour", "cost of hours with the burden on wages", string(sources.Arithmetic), labourCalculation),
		calc.New("price.concrete", "cost of concrete with waste and delivery", string(sources.Arithmetic), concreteCalculation),
		calc.New("price.concrete_weight", "weight of a volume of concrete", string(sources.CommonPractice), concreteWeight),
		calc.New("price.carbon", "carbon dioxide of concrete and steel, cradle to gate, indicative", string(sources.CarbonAverage), carbonCalculation),
		calc.New("price.swing", "swing of a cost when one input runs from low to high (tornado)", string(sources.Arithmetic), swingCalculation),
	}
}

func labourCalculation(in struct {
	Hours  quantity.Time `says:"of all persons together"`
	Wage   quantity.MoneyRate
	Burden quantity.Percent `says:"on wages, 30 to 45 %" default:"0.35"`
}) (out struct{ Cost quantity.Money }, err error) {
	if in.Hours < 0 || in.Wage < 0 || in.Burden < 0 {
		return out, errors.New("hours, wage and burden are not below zero")
	}
	out.Cost = quantity.Money(in.Hours.Seconds() * float64(in.Wage) * (1 + float64(in.Burden)))
	return out, nil
}

func concreteCalculation(in struct {
	Volume   quantity.Volume
	Waste    quantity.Percent `says:"on top of the volume" default:"0"`
	Price    quantity.MoneyVolume
	Delivery quantity.Money `says:"fees, whatever the volume" default:"0"`
}) (out struct {
	Amount quantity.Volume `says:"with waste"`
	Cost   quantity.Money
}, err error) {
	if in.Volume < 0 || in.Waste < 0 || in.Price < 0 || in.Delivery < 0 {
		return out, errors.New("volume, waste, price and fees are not below zero")
	}
	out.Amount = in.Volume * quantity.Volume(1+in.Waste)
	out.Cost = quantity.Money(out.Amount.CubicMetres()*float64(in.Price)) + in.Delivery
	return out, nil
}

func concreteWeight(in struct {
	Volume  quantity.Volume
	Density quantity.Density `says:"4050 lb/yd3 usual" default:"2402.77"`
}) (out struct{ Mass quantity.Mass }, err error) {
	if in.Volume < 0 || in.Density <= 0 {
		return out, errors.New("a volume is not below zero, a density above")
	}
	out.Mass = quantity.Mass(in.Volume.CubicMetres() * float64(in.Density))
	return out, nil
}

// carbonSteps are kg CO₂e per yd³ by strength, psi, straight lines between; held at the ends. Source: industry-average
// declaration of 2022 (recalled), ±20 %.
var carbonSteps = []struct{ psi, perYard float64 }{{3000, 220}, {4000, 260}, {5000, 310}}

func carbonCalculation(in struct {
	Strength quantity.Stress `says:"f'c, 3000 to 5000 psi"`
	Volume   quantity.Volume
	Steel    quantity.Mass  `default:"0"`
	PerSteel quantity.Ratio `says:"kg per kg of steel, 0.8 to 1.2" default:"1"`
}) (out struct {
	PerVolume quantity.Density `says:"kg CO₂e per volume of concrete"`
	Mass      quantity.Mass    `says:"concrete and steel"`
	Low       quantity.Mass    `says:"20 % less"`
	High      quantity.Mass    `says:"20 % more"`
}, err error) {
	psi, last := in.Strength.PSI(), len(carbonSteps)-1
	if !(psi >= carbonSteps[0].psi-1 && psi <= carbonSteps[last].psi+1) || in.Volume < 0 || in.Steel < 0 || in.PerSteel < 0 {
		return out, errors.New("figures are kept for 3000 to 5000 psi; amounts are not below zero")
	}
	perYard := carbonSteps[0].perYard
	for i, s := range carbonSteps[1:] {
		if from := carbonSteps[i]; psi > from.psi {
			perYard = from.perYard + (s.perYard-from.perYard)*(psi-from.psi)/(s.psi-from.psi)
		}
	}
	yards := quantity.In(in.Volume, "yd3")
	out.PerVolume = quantity.Density(perYard / quantity.Of[quantity.Volume](1, "yd3").CubicMetres())
	out.Mass = quantity.Mass(perYard*yards) + in.Steel*quantity.Mass(in.PerSteel)
	out.Low, out.High = 0.8*out.Mass, 1.2*out.Mass
	return out, nil
}

func swingCalculation(in struct {
	Coefficient quantity.Ratio `says:"$ per unit of the input"`
	Low         quantity.Ratio
	High        quantity.Ratio
}) (out struct{ Swing quantity.Money }, err error) {
	out.Swing = quantity.Money(max(in.Coefficient*(in.High-in.Low), in.Coefficient*(in.Low-in.High)))
	return out, nil
}
