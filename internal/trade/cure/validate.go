package cure

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

// limits notes every value outside what a slab can have.
func (in Input) limits(l *bounds.List) {
	const hour, mpa = 3600.0, 1e6
	bounds.Needed(l, "later_air", in.LaterAir, -20, 45, quantity.AsTemp)
	bounds.Needed(l, "later_band", in.LaterBand, 0, 20, quantity.AsTempDiff)
	bounds.Needed(l, "later_swing", in.LaterSwing, 0, 20, quantity.AsTempDiff)
	bounds.Needed(l, "strength", in.Strength, 10*mpa, 100*mpa, quantity.AsStrength)
	bounds.Needed(l, "ultimate_share", in.Ultimate, 0.8, 2, quantity.AsRatio)
	bounds.Needed(l, "gain_per_day", in.Rate, 0.02, 2, quantity.AsRatio)
	bounds.Needed(l, "strength_begins", in.Begins, 0, 48*hour, quantity.AsHours)
	bounds.Needed(l, "activation_energy", in.Energy, 20000, 70000, quantity.AsEnergy)
	bounds.Needed(l, "spread", in.Spread, 0, 0.5, quantity.AsPercent)
	bounds.Needed(l, "final_set", in.FinalSet, 0.5*hour, 60*hour, quantity.AsHours)
	bounds.Between(l, "finished", in.Finished, 0.5*hour, 60*hour, quantity.AsHours)
	bounds.Needed(l, "saw_at", in.SawAt, 0.5*mpa, 20*mpa, quantity.AsStrength)
	bounds.Needed(l, "early_saw_at", in.EarlyAt, 0.1*mpa, 10*mpa, quantity.AsStrength)
	bounds.Needed(l, "restraint", in.Restraint, 0, 1, quantity.AsRatio)
	bounds.Needed(l, "thickness", in.Thickness, 0.04, 2, quantity.AsThickness)
	bounds.Needed(l, "latitude", in.Latitude, -90*degree, 90*degree, quantity.AsAngle)
	bounds.Between(l, "longitude", in.Longitude, -180*degree, 180*degree, quantity.AsAngle)
	bounds.Needed(l, "wind_share", in.WindShare, 0, 1.5, quantity.AsRatio)
	bounds.Between(l, "placed_temperature", in.Placed, -0.5, 60, quantity.AsTemp)
	bounds.Between(l, "ground_temperature", in.Ground, -30, 60, quantity.AsTemp)
	bounds.Needed(l, "base", in.Base, 0, 0.9, quantity.AsThickness)
	bounds.Needed(l, "cementitious", in.Cementitious, 200, 550, quantity.AsContent)
	bounds.Needed(l, "water_cement", in.WaterCement, 0.33, 0.70, quantity.AsRatio)
	bounds.Needed(l, "fly_ash", in.FlyAsh, 0, 0.5, quantity.AsPercent)
	bounds.Needed(l, "fly_ash_lime", in.FlyAshLime, 0, 0.4, quantity.AsPercent)
	bounds.Needed(l, "slag", in.Slag, 0, 0.5, quantity.AsPercent)
	bounds.Needed(l, "cover_value", in.CoverValue, 0.02, 5, quantity.AsInsulation)
	bounds.Needed(l, "tent_air", in.TentAir, 2, 35, quantity.AsTemp)
	bounds.Needed(l, "shade", in.Shade, 0, 1, quantity.AsRatio)
	bounds.Needed(l, "subgrade", in.Subgrade, 1e6, 1e9, quantity.AsSubgrade)
	for i, p := range in.Panels {
		if !(p.Length > 0.1 && p.Length < 200 && p.Width > 0.1 && p.Width < 200) {
			l.Add(fmt.Sprintf("panels[%d]", i+1), p.Name, "is not the size of a panel.", "Type length and width from 0.1 to 200 m (1 to 600 ft).")
		}
	}
	bounds.Needed(l, "strip_at", in.StripAt, 0.5*mpa, 50*mpa, quantity.AsStrength)
	bounds.Needed(l, "foot_at", in.FootAt, 0.5*mpa, 50*mpa, quantity.AsStrength)
	bounds.Needed(l, "car_at", in.CarAt, 3.5*mpa, 100*mpa, quantity.AsStrength)
	bounds.Needed(l, "trailer_at", in.TrailerAt, 3.5*mpa, 100*mpa, quantity.AsStrength)
	bounds.Between(l, "truck_at", in.TruckAt, 3.5*mpa, 100*mpa, quantity.AsStrength)
}

// Validate lists every fault of the input.
func (in Input) Validate() check.Faults {
	l := &bounds.List{Units: in.Units}
	in.limits(l)
	faults := l.Faults
	if _, err := in.zone(); err != nil {
		faults = append(faults, check.Fault{Field: "zone", Given: in.Zone, Why: "that is not a time zone.", Type: "Type one like America/Chicago."})
	}
	if _, err := hydration.CementOf(in.Cement.Value); err != nil {
		faults = append(faults, check.Fault{Field: "cement", Given: in.Cement.Value, Why: "it is not a cement type known here.",
			Type: "Type " + strings.Join(hydration.CementTypes(), ", ") + "."})
	}
	for _, p := range weather.Problems(in.Forecast) {
		faults = append(faults, check.Fault{Field: fmt.Sprintf("forecast[%d].%s", p.Index+1, p.Field), Given: p.Given, Why: p.Why, Type: p.Then})
	}
	faults = append(faults, in.readingFaults()...)
	return append(faults, in.cylinderFaults()...)
}

// zone is the site's clock by its name, or by the times given with it.
func (in Input) zone() (*time.Location, error) {
	times := []time.Time{in.Poured}
	if len(in.Forecast) > 0 {
		times = append(times, in.Forecast[0].Time)
	}
	return almanac.ZoneOf(in.Zone, times...)
}

func (in Input) readingFaults() check.Faults {
	var faults check.Faults
	for i, m := range in.Measured {
		field := fmt.Sprintf("slab_temperatures[%d]", i+1)
		if !(m.Temp >= -30 && m.Temp <= 90) {
			faults = append(faults, check.Fault{Field: field, Given: quantity.Show(m.Temp, quantity.AsTemp).String(in.Units), Why: "no slab outdoors has that.", Type: "Check the unit: °F or °C?"})
		}
		if m.Time.IsZero() || i > 0 && !m.Time.After(in.Measured[i-1].Time) {
			faults = append(faults, check.Fault{Field: field, Given: m.Time.Format(time.RFC3339), Why: "readings go by rising time.", Type: "Sort them, and give each its time."})
		}
	}
	return faults
}

func (in Input) cylinderFaults() check.Faults {
	if len(in.Cylinders) == 0 {
		return nil
	}
	var ages, strengths []float64
	for _, c := range in.Cylinders {
		ages, strengths = append(ages, c.Age.Days()), append(strengths, c.Strength.MPa())
	}
	if _, err := hydration.FitStrength(hydration.HyperbolicFamily, ages, strengths); err != nil {
		return check.Faults{{Field: "cylinders", Given: fmt.Sprintf("%d results", len(ages)), Why: strings.TrimPrefix(err.Error(), "hydration: ") + ".",
			Type: "Give age at 20 °C and strength of at least four cylinders at three ages, better fifteen at five."}}
	}
	return nil
}
