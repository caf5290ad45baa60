package pour

import (
	"errors"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/schedule"
)

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	return append(append(ruleCalculations(), dayCalculations()...),

		calc.New("pour.bleed_balance", "when bleed water is used up by steady evaporation, and what is missing later", "common-practice", func(in struct {
			Capacity    float64              `says:"bleed water in all" unit:"kg/m2"`
			BleedTime   quantity.Time        `says:"time constant of bleeding"`
			Evaporation quantity.Evaporation `says:"steady evaporation"`
			At          quantity.Time        `says:"time after placing for the deficit" default:"0"`
		}) (out struct {
			DriesAt quantity.Time `says:"time after placing"`
			Bled    float64       `says:"bleed water by then" unit:"kg/m2"`
			Deficit float64       `says:"water missing at the surface" unit:"kg/m2"`
		}, err error) {
			if in.Capacity < 0 || in.BleedTime <= 0 || in.At < 0 || in.Evaporation < 0 {
				return out, errors.New("bleed capacity, evaporation and time are not below zero, its time constant above zero")
			}
			b, e := Bleed{in.Capacity, in.BleedTime.Hours()}, quantity.In(in.Evaporation, "kg/m2/h")
			dries, err := b.DriesAt(e)
			out.DriesAt, out.Bled, out.Deficit = quantity.Hours(dries), b.By(in.At.Hours()), b.Deficit(e, in.At.Hours())
			return out, err
		}),
		calc.New("pour.bleed_capacity", "water that can come to the surface of a slab", "astm-c232", func(in struct {
			Share     quantity.Ratio   `says:"share of the mixing water that bleeds" range:"0..1"`
			Water     quantity.Density `says:"mixing water" range:">= 0"`
			Thickness quantity.Length  `says:"slab thickness" range:">= 0"`
		}) (out struct {
			Capacity float64 `unit:"kg/m2"`
		}, err error) {
			out.Capacity = float64(in.Share) * float64(in.Water) * in.Thickness.Metres()
			return out, nil
		}),
		calc.New("pour.evaporation_limit", "evaporation at which precautions start, by mix", "aci-305r-trigger", func(in struct {
			Air         quantity.Ratio `says:"air content" default:"0"`
			FlyAsh      quantity.Ratio `says:"share of cementitious" default:"0"`
			Slag        quantity.Ratio `says:"share of cementitious" default:"0"`
			SilicaFume  quantity.Ratio `says:"share of cementitious" default:"0"`
			WaterCement quantity.Ratio `says:"water over cementitious" default:"0.45"`
		}) (out struct {
			Kind       string `says:"plain, air-entrained, low-bleed or silica fume"`
			Limit      quantity.Evaporation
			BleedShare quantity.Ratio
		}, err error) {
			kind := kindOf(float64(in.Air), float64(in.FlyAsh+in.Slag), float64(in.SilicaFume), float64(in.WaterCement))
			out.Kind, out.Limit, out.BleedShare = string(kind), perHour(dryingLimits[kind].limit), kind.bleedShare().Value
			return out, nil
		}),
		calc.New("pour.mixture_temperature", "temperature of fresh concrete from its parts", "aci-305r-mix-temperature", func(in mixturePorts) (out struct {
			Temp     quantity.Temp
			IceShare quantity.Ratio `says:"share of the water that is ice; above 0.20 the rule is doubtful"`
		}, err error) {
			t, err := MixtureTemp(in.parts())
			out.Temp, out.IceShare = quantity.Temp(t), quantity.Ratio(in.parts().iceShare())
			return out, err
		}),
		calc.New("pour.mixture_sensitivity", "how much fresh concrete warms when one part is one degree warmer", "aci-305r-mix-temperature", func(in mixturePorts) (out struct {
			Aggregate quantity.Ratio
			Cement    quantity.Ratio
			Water     quantity.Ratio
		}, err error) {
			p := in.parts()
			if err := p.validate(); err != nil {
				return out, err
			}
			out.Aggregate, out.Cement = quantity.Ratio(solids*p.Aggregate/p.capacity()), quantity.Ratio(solids*p.Cement/p.capacity())
			out.Water = quantity.Ratio(p.Water / p.capacity())
			return out, nil
		}),
		calc.New("pour.transit_loss", "temperature a load loses on the road", "aci-306r", func(in struct {
			ConcreteTemp quantity.Temp `says:"wanted at the site"`
			AirTemp      quantity.Temp
			Road         quantity.Time `says:"time on the road"`
			By           string        `says:"drum, covered dump or open dump" default:"drum"`
		}) (out struct {
			Loss quantity.TempDiff
		}, err error) {
			loss, err := TransitLoss(in.ConcreteTemp.Celsius(), in.AirTemp.Celsius(), in.Road.Hours(), Drum(in.By))
			out.Loss = quantity.TempDiff(loss)
			return out, err
		}),
		calc.New("pour.cold_rule", "least temperatures of concrete in cold weather, by thickness", "aci-306r-table", func(in struct {
			Thickness quantity.Length
			AirTemp   quantity.Temp `default:"0"`
		}) (out struct {
			Placed quantity.Temp     `says:"least as placed and kept"`
			Mixed  quantity.Temp     `says:"least as mixed in that air"`
			Drop   quantity.TempDiff `says:"most it may cool in the day after protection ends"`
		}, err error) {
			r := ColdRuleFor(in.Thickness.Metres())
			out.Placed, out.Mixed, out.Drop = quantity.Temp(r.Placed), quantity.Temp(r.MixedAt(in.AirTemp.Celsius())), quantity.TempDiff(r.Drop)
			return out, nil
		}),
		calc.New("pour.keep_up_area", "greatest area that finishers can follow", "common-practice", func(in struct {
			Opens     quantity.Time     `says:"from placing to the opening of the finishing window"`
			Closes    quantity.Time     `says:"from placing to its closing"`
			Finishing quantity.AreaRate `says:"all finishers together"`
			Placing   quantity.AreaRate
			Strip     quantity.Area `says:"area of a strip, windows counted from its end; 0: continuous" default:"0"`
		}) (out struct {
			Area quantity.Area
		}, err error) {
			if in.Finishing <= 0 || in.Placing <= 0 || in.Closes <= in.Opens {
				return out, errors.New("rates are above zero and the window closes after it opens")
			}
			h := 3600.0
			out.Area = quantity.Area(schedule.KeepUp(in.Opens.Hours(), in.Closes.Hours(), h*float64(in.Finishing), h*float64(in.Placing), float64(in.Strip)))
			if in.Finishing >= in.Placing {
				return out, errors.New("no limit: they finish as fast as it is placed")
			}
			return out, nil
		}),
		dayOfRecord(), yearOfRecord(), startOdds(),
	)
}

// mixturePorts is how a table of checks writes the parts of a mix.
type mixturePorts struct {
	Aggregate     quantity.Mass
	AggregateTemp quantity.Temp
	Cement        quantity.Mass
	CementTemp    quantity.Temp
	Water         quantity.Mass
	WaterTemp     quantity.Temp
	Moisture      quantity.Mass `says:"free water on the aggregate" default:"0"`
	MoistureTemp  quantity.Temp `default:"20"`
	Ice           quantity.Mass `default:"0"`
}

func (m mixturePorts) parts() Parts {
	return Parts{Aggregate: float64(m.Aggregate), Cement: float64(m.Cement), Water: float64(m.Water), Moisture: float64(m.Moisture), Ice: float64(m.Ice),
		AggregateTemp: m.AggregateTemp.Celsius(), CementTemp: m.CementTemp.Celsius(), WaterTemp: m.WaterTemp.Celsius(), MoistureTemp: m.MoistureTemp.Celsius()}
}
