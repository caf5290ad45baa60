package mix

import (
	"fmt"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

func labCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("mix.early_break_forecast", "strength at 28 days that an early break points to, its curing temperature counted as maturity", string(sources.ACI209Age),
			func(in struct {
				Cement   string `says:"I, III, R, N or S" default:"I"`
				Strength quantity.Stress
				Age      quantity.Time
				Cured    quantity.Temp `says:"mean temperature it was cured at" default:"20"`
			}) (out struct{ Strength quantity.Stress }, err error) {
				out.Strength, err = ForecastStrength(in.Cement, in.Strength, in.Age, known.Say(in.Cured))
				return out, err
			}),
		calc.New("mix.card", "a plant's mix card read as what it is", string(sources.ACI211Tables),
			func(in struct {
				Edition       string `default:"us"`
				Cement        quantity.Density
				FlyAsh        quantity.Density `default:"0"`
				Slag          quantity.Density `default:"0"`
				SilicaFume    quantity.Density `default:"0"`
				Water         quantity.Density
				Coarse        quantity.Density
				Sand          quantity.Density
				Air           quantity.Percent
				CoarseGravity quantity.Ratio `default:"2.68"`
				SandGravity   quantity.Ratio `default:"2.64"`
			}) (out struct {
				WaterCement quantity.Ratio
				FlyAsh      quantity.Percent `says:"share of the binder"`
				Slag        quantity.Percent
				Average     quantity.Stress `says:"by the table, air-entrained above 3 % of air; 0: outside it"`
				Yield       quantity.Ratio  `says:"volume of the parts over the volume it is for"`
				Density     quantity.Density
			}, err error) {
				t, _, err := edition(in.Edition)
				if err != nil {
					return out, err
				}
				if !(in.Cement > 0 && in.Water > 0 && in.CoarseGravity > 0 && in.SandGravity > 0) {
					return out, fmt.Errorf("cement, water and relative densities are above zero")
				}
				c := Card{Cement: known.Say(in.Cement), FlyAsh: known.Say(in.FlyAsh), Slag: known.Say(in.Slag), SilicaFume: known.Say(in.SilicaFume), Water: known.Say(in.Water),
					Coarse: known.Say(in.Coarse), Sand: known.Say(in.Sand), Air: known.Say(in.Air)}
				r := c.Read(t, float64(in.CoarseGravity), float64(in.SandGravity), in.Air > entrainedAbove)
				out.WaterCement, out.FlyAsh, out.Slag = quantity.Ratio(r.WaterCement), quantity.Percent(r.FlyAsh), quantity.Percent(r.Slag)
				out.Average, out.Yield, out.Density = r.Average, quantity.Ratio(r.Yield), r.Density
				return out, nil
			}),
	}
}

// entrainedAbove is the air above which a card's concrete is taken as air-entrained. Source: the most that stays trapped.
const entrainedAbove = 0.03
