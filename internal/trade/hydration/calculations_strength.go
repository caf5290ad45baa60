package hydration

import (
	"errors"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

var errCurve = errors.New("strengths, rates, shapes and ages of a curve are above zero")

var errNever = errors.New("never with this mix: the strength asked for is not below its ultimate strength")

func strengthCalculations() []calc.Calculation {
	return append(fitCalculations(),
		calc.New("hydration.strength_hyperbolic", "strength at an equivalent age", "astm-c1074", func(in struct {
			Ultimate      quantity.Stress `says:"strength in the end"`
			Rate          float64         `says:"gain at the start" unit:"1/d"`
			Start         quantity.Time   `says:"equivalent age at which strength begins"`
			EquivalentAge quantity.Time   `says:"at the curve's reference temperature"`
		}) (out struct {
			Strength quantity.Stress
		}, err error) {
			h := Hyperbolic{in.Ultimate.MPa(), in.Rate, in.Start.Days()}
			if h.Ultimate <= 0 || h.Rate <= 0 {
				return out, errCurve
			}
			out.Strength = quantity.MPa(h.At(in.EquivalentAge.Days()))
			return out, nil
		}),
		calc.New("hydration.strength_exponential", "strength at an equivalent age, exponential curve", "freiesleben-hansen-pedersen-1977", func(in struct {
			Ultimate      quantity.Stress `says:"strength in the end"`
			Delay         quantity.Time   `says:"τ: age at which 1/e of the ultimate strength is reached"`
			Shape         quantity.Ratio  `says:"β"`
			EquivalentAge quantity.Time   `says:"at the curve's reference temperature"`
		}) (out struct {
			Strength quantity.Stress
		}, err error) {
			if in.Ultimate <= 0 || in.Delay <= 0 || in.Shape <= 0 || in.Shape > 10 {
				return out, errCurve
			}
			out.Strength = quantity.MPa(Exponential{in.Ultimate.MPa(), in.Delay.Days(), float64(in.Shape)}.At(in.EquivalentAge.Days()))
			return out, nil
		}),
		calc.New("hydration.strength_logarithmic", "strength at an equivalent age, line against its logarithm", "astm-c1074", func(in struct {
			Intercept     quantity.Stress `says:"strength at one day"`
			Slope         quantity.Stress `says:"gain per tenfold age"`
			EquivalentAge quantity.Time   `says:"at the curve's reference temperature"`
		}) (out struct {
			Strength quantity.Stress
		}, err error) {
			if in.EquivalentAge <= 0 {
				return out, errCurve
			}
			out.Strength = quantity.MPa(Logarithmic{in.Intercept.MPa(), in.Slope.MPa()}.At(in.EquivalentAge.Days()))
			return out, nil
		}),
		calc.New("hydration.strength_default", "strength at an equivalent age of 20 °C when only the specified strength is known", "common-practice", func(in struct {
			Specified     quantity.Stress `says:"specified strength f'c" range:"> 0"`
			EquivalentAge quantity.Time   `says:"at 20 °C"`
		}) (out struct {
			Strength quantity.Stress
		}, err error) {
			out.Strength = quantity.MPa(DefaultStrength(in.Specified.MPa()).At(in.EquivalentAge.Days()))
			return out, nil
		}),
		calc.New("hydration.age_for_strength", "equivalent age, and age at a constant temperature, at which a strength is reached", "astm-c1074", func(in struct {
			Ultimate  quantity.Stress `says:"strength in the end"`
			Rate      float64         `says:"gain at the start" unit:"1/d"`
			Start     quantity.Time   `says:"equivalent age at which strength begins"`
			Strength  quantity.Stress `says:"strength wanted"`
			Temp      quantity.Temp   `says:"constant concrete temperature" default:"20"`
			Energy    quantity.Energy `says:"activation energy" default:"40000"`
			Reference quantity.Temp   `says:"temperature of the clock" default:"20"`
		}) (out struct {
			EquivalentAge quantity.Time
			Age           quantity.Time
		}, err error) {
			if err := clock(in.Energy, in.Reference, in.Temp); err != nil {
				return out, err
			}
			if in.Ultimate <= 0 || in.Rate <= 0 || in.Strength < 0 {
				return out, errCurve
			}
			te := Hyperbolic{in.Ultimate.MPa(), in.Rate, in.Start.Days()}.AgeFor(in.Strength.MPa())
			factor := AgeFactor(in.Temp.Celsius(), float64(in.Energy), in.Reference.Celsius())
			if math.IsInf(te, 1) || factor == 0 {
				return out, errNever
			}
			out.EquivalentAge, out.Age = quantity.Days(te), quantity.Days(te/factor)
			return out, nil
		}),
		calc.New("hydration.modulus", "elasticity of concrete of a strength", "aci-318-modulus", func(in struct {
			Strength quantity.Stress `range:">= 0"`
		}) (out struct {
			Modulus quantity.Stress
			Rupture quantity.Stress
		}, err error) {
			out.Modulus, out.Rupture = quantity.MPa(Modulus(in.Strength.MPa())), quantity.MPa(Rupture(in.Strength.MPa()))
			return out, nil
		}),
	)
}

// cylinders is how a table of checks writes results and the age asked about.
type cylinders struct {
	Ages      []quantity.Time   `says:"equivalent age of each cylinder"`
	Strengths []quantity.Stress `says:"strength of each cylinder"`
	Level     quantity.Ratio    `says:"one-sided confidence, 0.5 to 1" default:"0.90"`
	At        quantity.Time     `says:"age asked about"`
}

func (c cylinders) fit(family Family) (Fit, error) {
	ages, strengths := make([]float64, len(c.Ages)), make([]float64, len(c.Strengths))
	for i, a := range c.Ages {
		ages[i] = a.Days()
	}
	for i, s := range c.Strengths {
		strengths[i] = s.MPa()
	}
	if !(c.Level >= 0.5 && c.Level < 1) || c.At <= 0 {
		return Fit{}, errors.New("a confidence is 0.5 to below 1, and an age above zero")
	}
	return FitStrength(family, ages, strengths)
}

// judged is what every fit says about the age asked about.
type judged struct{ scatter, strength, mean, prediction quantity.Stress }

func (c cylinders) judge(f Fit) judged {
	te, level := c.At.Days(), float64(c.Level)
	return judged{quantity.MPa(f.Scatter), quantity.MPa(f.Curve().At(te)), quantity.MPa(f.LowerMean(te, level)),
		quantity.MPa(f.LowerPrediction(te, level))}
}

func fitCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("hydration.fit_hyperbolic", "hyperbolic strength curve through cylinders, with lower bounds", "astm-c1074", func(in cylinders) (out struct {
			Ultimate        quantity.Stress
			Rate            float64 `unit:"1/d"`
			Start           quantity.Time
			Scatter         quantity.Stress
			Strength        quantity.Stress
			LowerMean       quantity.Stress
			LowerPrediction quantity.Stress
		}, err error) {
			f, err := in.fit(HyperbolicFamily)
			if err != nil {
				return out, err
			}
			j := in.judge(f)
			out.Ultimate, out.Rate, out.Start = quantity.MPa(f.Params[0]), f.Params[1], quantity.Days(f.Params[2])
			out.Scatter, out.Strength, out.LowerMean, out.LowerPrediction = j.scatter, j.strength, j.mean, j.prediction
			return out, nil
		}),
		calc.New("hydration.fit_exponential", "exponential strength curve through cylinders, with lower bounds", "freiesleben-hansen-pedersen-1977", func(in cylinders) (out struct {
			Ultimate        quantity.Stress
			Delay           quantity.Time
			Shape           quantity.Ratio
			Scatter         quantity.Stress
			Strength        quantity.Stress
			LowerMean       quantity.Stress
			LowerPrediction quantity.Stress
		}, err error) {
			f, err := in.fit(ExponentialFamily)
			if err != nil {
				return out, err
			}
			j := in.judge(f)
			out.Ultimate, out.Delay, out.Shape = quantity.MPa(f.Params[0]), quantity.Days(f.Params[1]), quantity.Ratio(f.Params[2])
			out.Scatter, out.Strength, out.LowerMean, out.LowerPrediction = j.scatter, j.strength, j.mean, j.prediction
			return out, nil
		}),
		calc.New("hydration.fit_logarithmic", "line through cylinders against the logarithm of age, with lower bounds", "plowman-1956", func(in cylinders) (out struct {
			Intercept       quantity.Stress `says:"strength at one day"`
			Slope           quantity.Stress `says:"gain per tenfold age"`
			Scatter         quantity.Stress
			Strength        quantity.Stress
			LowerMean       quantity.Stress
			LowerPrediction quantity.Stress
		}, err error) {
			f, err := in.fit(LogarithmicFamily)
			if err != nil {
				return out, err
			}
			j := in.judge(f)
			out.Intercept, out.Slope = quantity.MPa(f.Params[0]), quantity.MPa(f.Params[1])
			out.Scatter, out.Strength, out.LowerMean, out.LowerPrediction = j.scatter, j.strength, j.mean, j.prediction
			return out, nil
		}),
	}
}
