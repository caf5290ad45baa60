package pour

import (
	"fmt"
	"strings"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
)

// limits notes every value outside what a pour can have.
func (in Input) limits(l *bounds.List) {
	const hour = 3600.0
	bounds.Needed(l, "latitude", in.Latitude, -90*degree, 90*degree, quantity.AsAngle)
	bounds.Between(l, "longitude", in.Longitude, -180*degree, 180*degree, quantity.AsAngle)
	bounds.Needed(l, "earliest_start", in.Earliest, 0, 23*hour, quantity.AsHours)
	bounds.Needed(l, "latest_start", in.Latest, in.Earliest.Value, 23.5*hour, quantity.AsHours)
	bounds.Needed(l, "wind_height", in.WindHeight, 0.3, 100, quantity.AsDistance)
	bounds.Between(l, "wind_share", in.WindShare, 0, 1.5, quantity.AsRatio)
	bounds.Needed(l, "area", in.Area, 0.1, 20000, quantity.AsArea)
	bounds.Needed(l, "thickness", in.Thickness, 0.04, 2, quantity.AsThickness)
	bounds.Needed(l, "base", in.Base, 0, 0.9, quantity.AsThickness)
	bounds.Between(l, "concrete", in.Concrete, 0.01, 5000, quantity.AsVolume)
	bounds.Needed(l, "placing_rate", in.PlacingRate, 0.1/hour, 200/hour, quantity.AsVolumeRate)
	if n := in.Finishers; !n.Given() || n.Value < 1 || n.Value > 100 {
		l.Add("finishers", n.Show("").String(in.Units), "nobody finishes a slab so.", "Type 1 to 100 hands.")
	}
	bounds.Needed(l, "finish_rate", in.FinishRate, 1/hour, 500/hour, quantity.AsAreaRate)
	in.Team.limits(l)
	bounds.Needed(l, "strength", in.Strength, 10e6, 100e6, quantity.AsStrength)
	bounds.Needed(l, "cementitious", in.Cementitious, 200, 550, quantity.AsContent)
	bounds.Needed(l, "water_cement", in.WaterCement, 0.33, 0.70, quantity.AsRatio)
	bounds.Needed(l, "fly_ash", in.FlyAsh, 0, 0.5, quantity.AsPercent)
	bounds.Needed(l, "fly_ash_lime", in.FlyAshLime, 0, 0.4, quantity.AsPercent)
	bounds.Needed(l, "slag", in.Slag, 0, 0.5, quantity.AsPercent)
	bounds.Needed(l, "silica_fume", in.SilicaFume, 0, 0.15, quantity.AsPercent)
	bounds.Needed(l, "air", in.Air, 0, 0.12, quantity.AsPercent)
	bounds.Needed(l, "set_shift", in.SetShift, -6*hour, 12*hour, quantity.AsHours)
	bounds.Between(l, "supplier_initial_set", in.SupplierFirst, 0.5*hour, 24*hour, quantity.AsHours)
	bounds.Between(l, "supplier_final_set", in.SupplierFinal, 1*hour, 36*hour, quantity.AsHours)
	bounds.Between(l, "supplier_set_temperature", in.SupplierTemp, 5, 40, quantity.AsTemp)
	bounds.Between(l, "concrete_temperature", in.ConcreteTemp, 5, 40, quantity.AsTemp)
	bounds.Needed(l, "concrete_over_air", in.OverAir, -10, 20, quantity.AsTempDiff)
	bounds.Needed(l, "coldest_delivery", in.Coldest, 5, 30, quantity.AsTemp)
	bounds.Needed(l, "hot_limit", in.HotLimit, 20, 40, quantity.AsTemp)
	bounds.Between(l, "ground_temperature", in.GroundTemp, -30, 60, quantity.AsTemp)
	bounds.Between(l, "frost_depth", in.FrostDepth, 0.01, 1.5, quantity.AsThickness)
	bounds.Needed(l, "tent_air", in.TentAir, 2, 35, quantity.AsTemp)
	bounds.Needed(l, "shade", in.Shade, 0, 1, quantity.AsRatio)
	bounds.Between(l, "bleed_share", in.BleedShare, 0, 0.2, quantity.AsRatio)
	bounds.Needed(l, "bleed_time", in.BleedTime, 0.05*hour, 12*hour, quantity.AsHours)
	bounds.Needed(l, "forecast_good_for", in.ForecastAge, 0.5*hour, 240*hour, quantity.AsHours)
	bounds.Between(l, "reading.air", in.Reading.Air, -40, 55, quantity.AsTemp)
	bounds.Between(l, "reading.humidity", in.Reading.Humidity, 0.01, 1, quantity.AsPercent)
	bounds.Between(l, "reading.wind", in.Reading.Wind, 0, 40, quantity.AsSpeed)
	bounds.Between(l, "reading.concrete", in.Reading.Concrete, 5, 40, quantity.AsTemp)
}

// Validate lists every fault of the input.
func (in Input) Validate() check.Faults {
	l := &bounds.List{Units: in.Units}
	in.limits(l)
	faults := l.Faults
	faults = append(faults, in.mixFaults()...)
	faults = append(faults, in.timeFaults()...)
	faults = append(faults, in.Team.tapFaults()...)
	return append(faults, ForecastFaults("forecast", in.Forecast)...)
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
	for i, s := range in.SetsSeen {
		field := fmt.Sprintf("observed_sets[%d]", i+1)
		switch {
		case !(s.Concrete >= 2 && s.Concrete <= 45):
			faults = append(faults, check.Fault{Field: field, Given: quantity.Show(s.Concrete, quantity.AsTemp).String(in.Units), Why: "no slab sets at that.", Type: "Check the unit: °F or °C?"})
		case !(s.Initial.Hours() >= 0.5 && s.Initial.Hours() <= 36) || s.Final != 0 && !(s.Final > s.Initial && s.Final.Hours() <= 60):
			faults = append(faults, check.Fault{Field: field, Given: quantity.Show(s.Initial, quantity.AsHours).String(in.Units), Why: "a set is half an hour to 36 h after the chute, the final set after the initial.", Type: "Type hours from the chute."})
		}
	}
	return faults
}

// zone is the site's clock by its name, or by the times given with it.
func (in Input) zone() (*time.Location, error) {
	times := []time.Time{in.Now, in.Day, in.Start}
	if len(in.Forecast) > 0 {
		times = append(times, in.Forecast[0].Time)
	}
	return almanac.ZoneOf(in.Zone, times...)
}

func (in Input) timeFaults() check.Faults {
	var faults check.Faults
	if _, err := in.zone(); err != nil {
		faults = append(faults, check.Fault{Field: "zone", Given: in.Zone, Why: "that is not a time zone.", Type: "Type one like America/Chicago."})
	}
	if n := in.Reading.given(); n > 0 && n < 4 && len(in.Forecast) == 0 {
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
		faults = append(faults, check.Fault{Field: fmt.Sprintf("%s[%d].%s", field, p.Index+1, p.Field), Given: p.Given, Why: p.Why, Type: p.Then})
	}
	return faults
}
