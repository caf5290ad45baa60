package pour

import (
	"fmt"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// showInputs puts on the sheet what the answer rests on, and the first steps from it.
func (j job) showInputs(r *Result) {
	w, in := &r.Working, j.in
	working.Given(w, "area", "A", "area of the slab", in.Area, quantity.AsArea)
	working.Given(w, "thickness", "h", "slab thickness", in.Thickness, quantity.AsThickness)
	working.Given(w, "base_thickness", "", "compacted stone under it", in.Base, quantity.AsThickness)
	working.Given(w, "placing_rate", "", "concrete placed in an hour", in.PlacingRate, "")
	working.Given(w, "finishers", "n", "finishers", in.Finishers, "")
	working.Given(w, "finish_rate", "", "area one finisher does in an hour", in.FinishRate, "")
	working.Given(w, "water_cement", "w/cm", "water over cementitious", in.WaterCement, "")
	working.Given(w, "cementitious", "Cc", "cementitious content", in.Cementitious, quantity.AsContent)
	working.Given(w, "bleed_share", "kb", "share of the mixing water that bleeds", j.bleedShare, "")
	working.Given(w, "bleed_time", "τb", "time constant of bleeding at 20 °C", in.BleedTime, "")
	working.Given(w, "set_shift", "", "hours that admixtures, ash and slag add to the set at 20 °C (68 °F)", in.SetShift, quantity.AsHours)
	j.showPlace(w)
	w.Show(working.Step{Name: "placing_time", Says: "time to place it all", Formula: "A · h / placing rate",
		Value: quantity.Plain(j.crew.placingTime().Seconds(), quantity.AsHours), From: []string{"area", "thickness", "placing_rate"}, Source: sources.Arithmetic})
	w.Show(working.Step{Name: "bleed_capacity", Says: "water that can come to the surface", Symbol: "Bc", Formula: "kb · w/cm · Cc · h",
		Value: quantity.Words(j.showWater(j.bleed.Capacity)), From: []string{"bleed_share", "water_cement", "cementitious", "thickness"}, Source: sources.ASTMC232})
	limit := dryingLimits[j.kind]
	w.Show(working.Step{Name: "evaporation_limit", Says: fmt.Sprintf("evaporation at which precautions start, %s mix", j.kind),
		Value: quantity.Plain(limit.limit/3600, quantity.AsEvaporation), Source: limit.source})
	if n := len(in.SetsSeen); n > 0 {
		usual := hydration.SetAges(j.curve, j.blend.WaterCement)
		w.Show(working.Step{Name: "sets_seen", Says: fmt.Sprintf("set by %d seen on site, against the usual curve; they scatter %.0f %%", n, 100*j.seenScatter), Formula: "mean of t γ(T)",
			Value: quantity.Plain(j.seen.Initial/usual.Initial, quantity.AsPercent), From: []string{"water_cement"}, Source: sources.ASTMC1074})
		if n >= enoughSets {
			w.Show(working.Step{Name: "sets_scatter", Says: fmt.Sprintf("scatter of those %d sets: it stands for the usual scatter of a day's set", n), Formula: fmt.Sprintf("standard deviation of t γ(T) over its mean, n − 1; at least %.0f %%: the forecast and the eye are off besides", 100*leastScatter),
				Value: quantity.Plain(max(leastScatter, j.seenScatter), quantity.AsPercent), From: []string{"sets_seen"}, Source: sources.OwnRule})
		}
	}
	w.Show(working.Step{Name: "set_ages", Says: "initial and final set at 21.1 °C (70 °F)", Formula: "α = 0.15 and 0.26 w/cm; te = τ/[ln(αu/α)]^(1/β)",
		Value: quantity.Words(fmt.Sprintf("%.1f h and %.1f h", j.set.Initial, j.set.Final)), From: []string{"water_cement", "set_shift"}, Source: sources.Schindler2004})
}

func (j job) showPlace(w *working.Sheet) {
	in := j.in
	if j.steady {
		j.showRead(w)
		return
	}
	working.Given(w, "latitude", "φ", "latitude", in.Latitude, quantity.AsAngle)
	longitude := in.Longitude.Or(known.Guess(quantity.Angle(j.place.Longitude), "the meridian of the site's clock, summer time taken off", sources.OwnRule))
	working.Given(w, "longitude", "", "longitude", longitude, quantity.AsAngle)
	share := in.WindShare.Or(known.Assume(quantity.Ratio(j.windShare), 0.3, 1, "log law from the forecast's height to half a metre", sources.LogLaw))
	working.Given(w, "wind_share", "", "wind at the slab over the forecast's wind", share, "")
	j.showReading(w)
	over := in.ConcreteTemp
	if !over.Given() && !j.forecast.Empty() {
		air, _ := j.forecast.At(j.forecast.Times()[0])
		t := quantity.Temp(j.chuteTemp(air.Air))
		over = known.Assume(t, t-5, t+5, "air at the start plus the cement's heat, never below what the plant heats to", sources.CommonPractice)
	}
	if over.Given() {
		working.Given(w, "concrete_temperature_given", "T0", "concrete temperature at the chute in the first hour of the forecast", over, "")
	}
	ground := in.GroundTemp.Or(known.Assume(quantity.Temp(j.ground), quantity.Temp(j.ground-5), quantity.Temp(j.ground+5), "mean air of the first day", sources.CommonPractice))
	working.Given(w, "ground_temperature", "Tg", "temperature of the base", ground, "")
}

// showAnswer puts the figures on the sheet.
func (j job) showAnswer(r *Result) {
	w, s := &r.Working, r.Chosen
	stamp := func(name, says string, from ...string) working.Step {
		return working.Step{Name: name, Says: says, From: from, Source: sources.Schindler2004}
	}
	if s.Level == check.NotComputed {
		j.showSetOnly(w)
	} else {
		first := s.FloatFrom.Sub(s.At)
		step := stamp("initial_set", "first concrete from chute to initial set: floating may begin", "set_ages")
		step.Formula, step.Value = "∫ γ(T) dt = te, surface temperature", quantity.Plain(first.Seconds(), quantity.AsHours)
		w.Answer(step)
		step = stamp("final_set", "first concrete from chute to final set: too late to finish", "set_ages")
		step.Formula, step.Value = "∫ γ(T) dt = te", quantity.Plain(s.FloatUntil.Sub(s.At).Seconds(), quantity.AsHours)
		w.Answer(step)
		j.showStart(w, s)
	}
	from := []string{"set_ages"}
	if s.Level != check.NotComputed {
		from = []string{"evaporation", "surface_deficit", "initial_set", "final_set", "finished_by", "concrete_temperature"}
	}
	w.Answer(working.Step{Name: "verdict", Says: "pour or not", Value: quantity.Words(VerdictWords(r.Verdict)), From: from, Source: sources.OwnRule})
	w.Answer(working.Step{Name: "start", Says: "when the first concrete is placed", Value: quantity.Words(j.startWords(s)), From: []string{"verdict"}, Source: sources.OwnRule})
}

func (j job) startWords(s StartHour) string {
	if s.At.IsZero() {
		return "not chosen"
	}
	return almanac.Stamp(almanac.On(s.At, j.zone), j.in.Units)
}

// VerdictWords is the verdict as it is printed beside its shape.
func VerdictWords(l check.Level) string {
	switch l {
	case check.Good:
		return "Good to pour"
	case check.Care:
		return "Pour with care"
	case check.Stop:
		return "Don't pour"
	}
	return "Not judged"
}

// showSetOnly gives set times at the temperature at which concrete is expected when nothing is known of the weather.
func (j job) showSetOnly(w *working.Sheet) {
	t := quantity.Celsius(hydration.HydrationRef)
	if j.in.ConcreteTemp.Given() {
		t = j.in.ConcreteTemp.Value
	}
	set, err := j.set.At(t.Celsius(), j.curve.Energy)
	if err != nil {
		return
	}
	says := fmt.Sprintf("at a steady %s", quantity.Show(t, quantity.AsTemp).String(j.in.Units))
	w.Answer(working.Step{Name: "initial_set", Says: "chute to initial set " + says, Formula: "te/γ(T)", Value: quantity.Plain(set.Initial*3600, quantity.AsHours),
		From: []string{"set_ages"}, Source: sources.Schindler2004})
	w.Answer(working.Step{Name: "final_set", Says: "chute to final set " + says, Formula: "te/γ(T)", Value: quantity.Plain(set.Final*3600, quantity.AsHours),
		From: []string{"set_ages"}, Source: sources.Schindler2004})
}

// evaporationDoubt is how far true evaporation may lie from the estimate. Source: Hover (2020).
const evaporationDoubt = 0.40

func (j job) showStart(w *working.Sheet, s StartHour) {
	w.Answer(working.Step{Name: "concrete_temperature", Says: "concrete temperature at the chute", Value: quantity.Show(s.ConcreteTemp, quantity.AsTemp),
		From: j.chuteFrom(), Source: sources.CommonPractice})
	w.Show(working.Step{Name: "hottest_surface", Says: "warmest surface before final set, by the heat of slab, base and ground",
		Formula: "ρc ∂T/∂t = ∂/∂z(k ∂T/∂z) + Q; top aG + ε(L↓ − σTs⁴) − hc(Ts − Ta) − Lv E", Value: quantity.Show(s.Hottest, quantity.AsTemp),
		From: []string{"concrete_temperature", "thickness", "base_thickness", "cementitious", "ground_temperature"}, Source: sources.NISTIR6551})
	w.Answer(working.Step{Name: "evaporation", Says: "strongest evaporation before final set", Symbol: "E",
		Formula: "5([Ts + 18]^2.5 − r[Ta + 18]^2.5)(V + 4)·10⁻⁶", Value: quantity.Show(s.Peak, quantity.AsEvaporation),
		From: []string{"hottest_surface", "evaporation_limit"}, Source: sources.Uno1998})
	low, high := quantity.Show(s.Peak*(1-evaporationDoubt), quantity.AsEvaporation), quantity.Show(s.Peak*(1+evaporationDoubt), quantity.AsEvaporation)
	w.Show(working.Step{Name: "evaporation_range", Says: "range in which the true evaporation usually lies", Formula: "E ± 40 %",
		Value: quantity.Words(j.show(low) + " to " + j.show(high)), From: []string{"evaporation"}, Source: sources.Hover2020})
	w.Answer(working.Step{Name: "surface_deficit", Says: "water missing at the surface at initial set", Symbol: "D", Formula: "max(0, ∫E dt − B)",
		Value: quantity.Words(fmt.Sprintf("%s, %s risk", j.showWater(s.Deficit), riskWord(s.Deficit))), From: []string{"evaporation", "bleed_capacity", "bleed_time", "initial_set"}, Source: sources.CommonPractice})
	w.Answer(working.Step{Name: "keep_up_area", Says: "area these finishers can follow", Symbol: "A_max", Formula: "(Tc − To)/(1/F − 1/P)",
		Value: j.keepUpWords(s), From: []string{"initial_set", "final_set", "finishers", "finish_rate", "placing_rate"}, Source: sources.CommonPractice})
	w.Answer(working.Step{Name: "finished_by", Says: "last concrete floated and broomed", Formula: "max over strips of initial set + area behind / F",
		Value: quantity.Words(j.when(s.FinishedBy, s.At)), From: []string{"initial_set", "placing_time", "finishers", "finish_rate"}, Source: sources.OwnRule})
}

// poundsOnAFoot is 1 kg/m² in lb/ft².
const poundsOnAFoot = 0.3048 * 0.3048 / 0.45359237

// showWater writes water on an area, kg/m², in the job's units.
func (j job) showWater(kg float64) string {
	if j.in.Units == quantity.Metric {
		return fmt.Sprintf("%.2f kg/m²", kg)
	}
	return fmt.Sprintf("%.2f lb/ft²", kg*poundsOnAFoot)
}

func (j job) chuteFrom() []string {
	if j.steady {
		return []string{"reading_concrete"}
	}
	return []string{"concrete_temperature_given"}
}

func (j job) keepUpWords(s StartHour) quantity.Any {
	if float64(s.KeepUp) >= 1e6 {
		return quantity.Words("any: they finish as fast as it is placed")
	}
	return quantity.Show(s.KeepUp, quantity.AsArea)
}

// Heat limits for people: shade temperature and wet bulb, °C.
const (
	hotShade   = 32
	hotWetBulb = 27
)

// cautions are the words for people that belong to the steps of a pour.
func (j job) cautions(s StartHour) []check.Check {
	out := []check.Check{check.WetCement.In("pour")}
	hot, cold := j.peopleWeather(s)
	if hot {
		out = append(out, check.Caution("pour.heat-stress", "Heat can kill: water every 15–20 minutes, shade, rest, new hands break in slowly, nobody works alone. Stop if someone is confused or stops sweating and call for help.",
			sources.HeatStressRule, "Start earlier; more hands; shade and cold water on site."))
	}
	if cold {
		out = append(out, check.HeaterFumes.In("pour"))
	}
	return out
}

// peopleWeather says whether heat or cold is part of the job between first concrete and last broom.
func (j job) peopleWeather(s StartHour) (hot, cold bool) {
	look := func(c weather.Conditions) {
		hot = hot || c.Air > hotShade || weather.WetBulb(c.Air, c.Humidity) > hotWetBulb
		cold = cold || c.Air <= coldAir
	}
	if j.steady {
		look(j.reading)
		return hot, cold
	}
	for at := s.At; !s.At.IsZero() && at.Before(s.FinishedBy); at = at.Add(3 * pace) {
		if c, err := j.forecast.At(at); err == nil {
			look(c)
		}
	}
	return hot, cold
}
