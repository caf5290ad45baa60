package hydration

import (
	"errors"
	"fmt"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

// blendPorts is how a table of checks writes a blend.
type blendPorts struct {
	CementType  string         `says:"I, I/II, II, III or V" default:"I/II"`
	WaterCement quantity.Ratio `says:"water over cementitious"`
	FlyAsh      quantity.Ratio `says:"share of cementitious" default:"0"`
	FlyAshLime  quantity.Ratio `says:"CaO of the fly ash, share" default:"0.10"`
	Slag        quantity.Ratio `says:"share of cementitious" default:"0"`
}

func (p blendPorts) curve() (Curve, error) {
	cement, err := CementOf(p.CementType)
	if err != nil {
		return Curve{}, err
	}
	return CurveOf(Blend{Cement: cement, FlyAsh: float64(p.FlyAsh), FlyAshLime: float64(p.FlyAshLime),
		Slag: float64(p.Slag), WaterCement: float64(p.WaterCement)})
}

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	return slices.Concat(heatCalculations(), clockCalculations(), strengthCalculations(), slabCalculations())
}

func heatCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("hydration.curve", "how a blend hydrates and what heat it gives", "schindler-folliard-2005", func(in blendPorts) (out struct {
			CementHeat float64 `unit:"J/g"`
			Heat       float64 `unit:"J/g"`
			Delay      float64 `unit:"h"`
			Shape      quantity.Ratio
			Ultimate   quantity.Ratio
			Energy     quantity.Energy
		}, err error) {
			c, err := in.curve()
			out.CementHeat, out.Heat, out.Delay = c.Cement, c.Heat, c.Delay
			out.Shape, out.Ultimate, out.Energy = quantity.Ratio(c.Shape), quantity.Ratio(c.Ultimate), quantity.Energy(c.Energy)
			return out, err
		}),
		calc.New("hydration.degree", "share hydrated at an equivalent age of the hydration clock", "schindler-folliard-2005", func(in struct {
			blendPorts
			EquivalentAge float64 `says:"at 21.1 °C" unit:"h"`
		}) (out struct {
			Degree quantity.Ratio
		}, err error) {
			c, err := in.curve()
			out.Degree = quantity.Ratio(c.Degree(in.EquivalentAge))
			return out, err
		}),
		calc.New("hydration.peak", "when a blend gives most heat, and how much at a temperature", "schindler-folliard-2005", func(in struct {
			blendPorts
			Content      quantity.Density `says:"cementitious content"`
			ConcreteTemp quantity.Temp    `default:"21.1"`
		}) (out struct {
			EquivalentAge float64 `unit:"h"`
			HeatRate      float64 `unit:"W/m3"`
		}, err error) {
			c, err := in.curve()
			if err != nil {
				return out, err
			}
			out.EquivalentAge = c.PeakAge()
			out.HeatRate = c.HeatRate(c.PeakAge(), in.ConcreteTemp.Celsius(), float64(in.Content))
			return out, nil
		}),
		calc.New("hydration.adiabatic_rise", "how much a concrete warms in the end if it loses no heat", "schindler-folliard-2005", func(in struct {
			blendPorts
			Content      quantity.Density `says:"cementitious content"`
			HeatCapacity float64          `unit:"J/m3/K" default:"2300000"`
		}) (out struct {
			Rise quantity.TempDiff
		}, err error) {
			c, err := in.curve()
			if err == nil && in.HeatCapacity <= 0 {
				err = fmt.Errorf("heat capacity is above zero")
			}
			out.Rise = quantity.TempDiff(c.AdiabaticRise(c.Ultimate, float64(in.Content), in.HeatCapacity))
			return out, err
		}),
		calc.New("hydration.set", "hours to initial and final set at a constant temperature", "schindler-2004-set", func(in struct {
			blendPorts
			ConcreteTemp quantity.Temp `says:"temperature of the concrete"`
		}) (out struct {
			Initial quantity.Time
			Final   quantity.Time
		}, err error) {
			c, err := in.curve()
			if err != nil {
				return out, err
			}
			set, err := SetAges(c, float64(in.WaterCement)).At(in.ConcreteTemp.Celsius(), c.Energy)
			out.Initial, out.Final = quantity.Hours(set.Initial), quantity.Hours(set.Final)
			return out, err
		}),
	}
}

func clockCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("hydration.age_factor", "how fast concrete ages at a temperature", "astm-c1074", func(in struct {
			Temp      quantity.Temp   `says:"concrete temperature"`
			Energy    quantity.Energy `says:"activation energy" default:"40000"`
			Reference quantity.Temp   `says:"temperature of the clock" default:"20"`
		}) (out struct {
			Factor quantity.Ratio
		}, err error) {
			if err := clock(in.Energy, in.Reference, in.Temp); err != nil {
				return out, err
			}
			out.Factor = quantity.Ratio(AgeFactor(in.Temp.Celsius(), float64(in.Energy), in.Reference.Celsius()))
			return out, nil
		}),
		calc.New("hydration.equivalent_age", "age at the reference temperature that counts the same", "astm-c1074", func(in struct {
			Temps     []quantity.Temp `says:"average temperature of each step"`
			Step      quantity.Time   `says:"length of a step"`
			Energy    quantity.Energy `says:"activation energy; 5000 K times R is 41572.3" default:"40000"`
			Reference quantity.Temp   `says:"temperature of the clock" default:"20"`
		}) (out struct {
			EquivalentAge quantity.Time
		}, err error) {
			if err := clock(in.Energy, in.Reference, in.Temps...); err != nil || in.Step <= 0 {
				return out, errors.Join(err, stepAbove(in.Step))
			}
			out.EquivalentAge = quantity.Time(EquivalentAge(degrees(in.Temps), in.Step.Seconds(), float64(in.Energy), in.Reference.Celsius()))
			return out, nil
		}),
		calc.New("hydration.nurse_saul", "temperature above a datum times time", "astm-c1074", func(in struct {
			Temps []quantity.Temp `says:"average temperature of each step"`
			Step  quantity.Time   `says:"length of a step"`
			Datum quantity.Temp   `says:"temperature at which nothing counts" default:"0"`
		}) (out struct {
			Maturity float64 `unit:"°C*h"`
		}, err error) {
			if in.Step <= 0 {
				return out, stepAbove(in.Step)
			}
			out.Maturity = NurseSaul(degrees(in.Temps), in.Step.Hours(), in.Datum.Celsius())
			return out, nil
		}),
		calc.New("hydration.energy_fhp", "activation energy at a temperature", "freiesleben-hansen-pedersen-1977", func(in struct {
			Temp quantity.Temp `says:"concrete temperature"`
		}) (out struct {
			Energy quantity.Energy
		}, err error) {
			out.Energy = quantity.Energy(EnergyFHP(in.Temp.Celsius()))
			return out, nil
		}),
	}
}

// clock refuses temperatures that no concrete has and activation energies that no cement has.
func clock(energy quantity.Energy, reference quantity.Temp, temps ...quantity.Temp) error {
	if !(energy > 0 && energy <= 200_000) {
		return errors.New("an activation energy is above 0 and at most 200 kJ/mol")
	}
	for _, t := range append(temps, reference) {
		if !(t >= -60 && t <= 150) {
			return fmt.Errorf("%.4g °C is no temperature of concrete", t.Celsius())
		}
	}
	return nil
}

func stepAbove(step quantity.Time) error {
	if step <= 0 {
		return errors.New("a step of time is above zero")
	}
	return nil
}

func degrees(temps []quantity.Temp) []float64 {
	out := make([]float64, len(temps))
	for i, t := range temps {
		out[i] = t.Celsius()
	}
	return out
}
