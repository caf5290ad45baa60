package strength

import (
	_ "embed" // the table of check rows

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows of this package, as CSV.
func Checks() string { return checksCSV }

// shown is how many real mixes are listed beside an estimate.
const shown = 3

type mixPorts struct {
	Cement      quantity.Density
	Slag        quantity.Density `default:"0"`
	FlyAsh      quantity.Density `default:"0"`
	Water       quantity.Density `says:"net, aggregates saturated and surface-dry"`
	Plasticizer quantity.Density `says:"high-range water reducer" default:"0"`
	Coarse      quantity.Density `says:"stone"`
	Sand        quantity.Density
	Age         quantity.Time    `default:"2419200"`
	Air         quantity.Percent `says:"share of the volume" default:"0.02"`
}

func (p mixPorts) mix() Mix {
	return Mix{p.Cement, p.Slag, p.FlyAsh, p.Water, p.Plasticizer, p.Coarse, p.Sand}
}

// Calculations are the models of this package, callable by name.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("strength.of_mix", "what mixes like this one reached, with the band nine tests in ten keep to", string(sources.Yeh1998),
			func(in mixPorts) (out struct {
				Strength quantity.Stress
				Low      quantity.Stress
				High     quantity.Stress
				Near     quantity.Ratio `says:"1: this very mix was tested; 0: nothing like it"`
				Widened  bool           `says:"few mixes are like it"`
			}, err error) {
				if err := mixOf(in.mix(), in.Age); err != nil {
					return out, err
				}
				e, err := Predict(in.mix(), in.Age, in.Air)
				out.Strength, out.Low, out.High, out.Near, out.Widened = e.Strength, e.Low, e.High, quantity.Ratio(e.Near), e.Widened
				return out, err
			}),
		calc.New("strength.nearest", "real tested mixes most like this one", string(sources.Yeh1998),
			func(in mixPorts) (out struct {
				Numbers   []float64 `says:"of the mixes in the data" unit:"1"`
				Strengths []quantity.Stress
				Ages      []quantity.Time
				Apart     []float64 `says:"in length scales of the model" unit:"1"`
			}, err error) {
				if err := mixOf(in.mix(), in.Age); err != nil {
					return out, err
				}
				list, err := Nearest(in.mix(), in.Age, shown)
				for _, r := range list {
					out.Numbers, out.Strengths = append(out.Numbers, float64(r.Number)), append(out.Strengths, r.Strength)
					out.Ages, out.Apart = append(out.Ages, r.Age), append(out.Apart, r.Apart)
				}
				return out, err
			}),
		calc.New("strength.air_factor", "what air above 2 % leaves of the strength", string(sources.CommonPractice),
			func(in struct{ Air quantity.Percent }) (out struct{ Factor quantity.Ratio }, err error) {
				out.Factor = quantity.Ratio(AirTimes(in.Air))
				return out, nil
			}),
		calc.New("strength.fixed_process", "strength by the plain process with fixed numbers, in roots and in stress", string(sources.Yeh1998),
			func(in mixPorts) (out struct {
				RootMean      float64         `says:"of the root of the strength in MPa" unit:"1"`
				RootDeviation float64         `unit:"1"`
				Strength      quantity.Stress `says:"expected"`
				Low           quantity.Stress `says:"of nine in ten"`
				High          quantity.Stress
			}, err error) {
				if err := mixOf(in.mix(), in.Age); err != nil {
					return out, err
				}
				p, err := plainOfAll()
				if err != nil {
					return out, err
				}
				out.RootMean, out.RootDeviation = p.Root(in.mix(), in.Age.Days())
				mean, low, high := p.MPa(in.mix(), in.Age.Days())
				out.Strength, out.Low, out.High = quantity.MPa(mean), quantity.MPa(low), quantity.MPa(high)
				return out, nil
			}),
		calc.New("strength.fixed_process_likelihood", "log marginal likelihood of the data under the plain process", string(sources.Yeh1998),
			func(struct{}) (out struct {
				LogLikelihood float64 `unit:"1"`
				Rows          int
			}, err error) {
				p, err := plainOfAll()
				if err != nil {
					return out, err
				}
				out.LogLikelihood, out.Rows = p.LogLikelihood(), len(p.process.Rows)
				return out, nil
			}),
	}
}
