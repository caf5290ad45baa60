package pour

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
)

// bound is the range inside which a value can be meant at all, SI.
type bound struct {
	field     string
	value     float64
	given     bool
	low, high float64
	kind      quantity.Kind
}

func bounded[T ~float64 | ~int](field string, k known.Known[T], low, high float64, kind quantity.Kind) bound {
	return bound{field, float64(k.Value), k.Given(), low, high, kind}
}

func (in Input) bounds() []bound {
	hour := 3600.0
	return []bound{
		bounded("latitude", in.Latitude, -90*degree, 90*degree, quantity.AsAngle),
		bounded("longitude", in.Longitude, -180*degree, 180*degree, quantity.AsAngle),
		bounded("earliest_start", in.Earliest, 0, 23*hour, quantity.AsHours),
		bounded("latest_start", in.Latest, in.Earliest.Value.Seconds(), 23.5*hour, quantity.AsHours),
		bounded("wind_height", in.WindHeight, 0.3, 100, quantity.AsDistance),
		bounded("wind_share", in.WindShare, 0, 1.5, quantity.AsRatio),
		bounded("area", in.Area, 0.1, 20000, quantity.AsArea),
		bounded("thickness", in.Thickness, 0.04, 2, quantity.AsThickness),
		bounded("concrete", in.Concrete, 0.01, 5000, quantity.AsVolume),
		bounded("placing_rate", in.PlacingRate, 0.1/hour, 200/hour, quantity.AsVolumeRate),
		bounded("finishers", in.Finishers, 1, 100, quantity.AsCount),
		bounded("finish_rate", in.FinishRate, 1/hour, 500/hour, quantity.AsAreaRate),
		bounded("strength", in.Strength, 10e6, 100e6, quantity.AsStrength),
		bounded("cementitious", in.Cementitious, 200, 550, quantity.AsContent),
		bounded("water_cement", in.WaterCement, 0.33, 0.70, quantity.AsRatio),
		bounded("fly_ash", in.FlyAsh, 0, 0.5, quantity.AsPercent),
		bounded("fly_ash_lime", in.FlyAshLime, 0, 0.4, quantity.AsPercent),
		bounded("slag", in.Slag, 0, 0.5, quantity.AsPercent),
		bounded("silica_fume", in.SilicaFume, 0, 0.15, quantity.AsPercent),
		bounded("air", in.Air, 0, 0.12, quantity.AsPercent),
		bounded("set_shift", in.SetShift, -6*hour, 12*hour, quantity.AsHours),
		bounded("supplier_initial_set", in.SupplierFirst, 0.5*hour, 24*hour, quantity.AsHours),
		bounded("supplier_final_set", in.SupplierFinal, 1*hour, 36*hour, quantity.AsHours),
		bounded("supplier_set_temperature", in.SupplierTemp, 5, 40, quantity.AsTemp),
		bounded("concrete_temperature", in.ConcreteTemp, 5, 40, quantity.AsTemp),
		bounded("concrete_over_air", in.OverAir, -10, 20, quantity.AsTempDiff),
		bounded("coldest_delivery", in.Coldest, 5, 30, quantity.AsTemp),
		bounded("hot_limit", in.HotLimit, 20, 40, quantity.AsTemp),
		bounded("ground_temperature", in.GroundTemp, -30, 60, quantity.AsTemp),
		bounded("bleed_share", in.BleedShare, 0, 0.2, quantity.AsRatio),
		bounded("bleed_time", in.BleedTime, 0.05*hour, 12*hour, quantity.AsHours),
		bounded("forecast_good_for", in.ForecastAge, 0.5*hour, 240*hour, quantity.AsHours),
		bounded("reading.air", in.Reading.Air, -40, 55, quantity.AsTemp),
		bounded("reading.humidity", in.Reading.Humidity, 0.01, 1, quantity.AsPercent),
		bounded("reading.wind", in.Reading.Wind, 0, 40, quantity.AsSpeed),
		bounded("reading.concrete", in.Reading.Concrete, 5, 40, quantity.AsTemp),
	}
}

// optional are the fields that may stay empty.
var optional = map[string]bool{"longitude": true, "wind_share": true, "concrete": true, "supplier_initial_set": true,
	"supplier_final_set": true, "supplier_set_temperature": true, "concrete_temperature": true, "ground_temperature": true,
	"bleed_share": true, "reading.air": true, "reading.humidity": true, "reading.wind": true, "reading.concrete": true}

// ask says what to type for a field without a guess.
var ask = map[string]string{"area": "Type the area of the slab, or length and width in the site part.",
	"thickness": "Type the slab thickness, like 6 in."}

// Validate lists every fault of the input.
func (in Input) Validate() check.Faults {
	var faults check.Faults
	for _, b := range in.bounds() {
		if f, bad := b.fault(in.Units); bad {
			faults = append(faults, f)
		}
	}
	faults = append(faults, in.mixFaults()...)
	faults = append(faults, in.timeFaults()...)
	return append(faults, ForecastFaults("forecast", in.Forecast)...)
}

func (b bound) fault(system quantity.System) (check.Fault, bool) {
	show := func(v float64) string { return quantity.Plain(v, b.kind).String(system) }
	switch {
	case !b.given && optional[b.field]:
		return check.Fault{}, false
	case !b.given:
		remedy := ask[b.field]
		if remedy == "" {
			remedy = "Type it, or leave it to the usual value."
		}
		return check.Fault{Field: b.field, Why: "it is missing.", Type: remedy}, true
	case math.IsNaN(b.value) || b.value < b.low || b.value > b.high:
		return check.Fault{Field: b.field, Given: show(b.value), Why: "no pour has that.",
			Type: fmt.Sprintf("Type %s to %s.", show(b.low), show(b.high))}, true
	}
	return check.Fault{}, false
}

func (in Input) mixFaults() check.Faults {
	var faults check.Faults
	if _, err := hydration.CementOf(in.Cement.Value); err != nil {
		faults = append(faults, check.Fault{Field: "cement", Given: in.Cement.Value, Why: "it is not a cement type known here.",
			Type: "Type " + strings.Join(hydration.CementTypes(), ", ") + "."})
	}
	told := []bool{in.SupplierFirst.Given(), in.SupplierFinal.Given(), in.SupplierTemp.Given()}
	if told[0] != told[1] || told[1] != told[2] {
		faults = append(faults, check.Fault{Field: "supplier_initial_set", Why: "the plant's set needs three numbers.",
			Type: "Type initial set, final set and the concrete temperature they are for."})
	}
	if told[0] && told[1] && in.SupplierFinal.Value <= in.SupplierFirst.Value {
		faults = append(faults, check.Fault{Field: "supplier_final_set", Given: in.SupplierFinal.Show(quantity.AsHours).String(in.Units),
			Why: "the final set comes after the initial set.", Type: "Type a longer time."})
	}
	return faults
}

func (in Input) timeFaults() check.Faults {
	var faults check.Faults
	if _, err := almanac.Zone(in.Zone); err != nil {
		faults = append(faults, check.Fault{Field: "zone", Given: in.Zone, Why: "that is not a time zone.", Type: "Type one like America/Chicago."})
	}
	if n := in.Reading.given(); n > 0 && n < 4 {
		faults = append(faults, check.Fault{Field: "reading", Why: fmt.Sprintf("%d of the four numbers are there.", n),
			Type: "Type air temperature, humidity, wind at the slab and concrete temperature."})
	}
	return faults
}

func (rd Reading) given() int {
	n := 0
	for _, g := range []bool{rd.Air.Given(), rd.Humidity.Given(), rd.Wind.Given(), rd.Concrete.Given()} {
		if g {
			n++
		}
	}
	return n
}

// ForecastFaults lists the faults of readings under a field name.
func ForecastFaults(field string, hours []weather.Hour) check.Faults {
	var faults check.Faults
	for _, p := range weather.Problems(hours) {
		faults = append(faults, check.Fault{Field: fmt.Sprintf("%s[%d].%s", field, p.Index, p.Field), Given: p.Given, Why: p.Why, Type: p.Then})
	}
	return faults
}
