// Package pour answers the question of five in the morning: pour, or not, and if not, when? For every start hour of the days
// that a forecast covers it follows the fresh slab from the chute to final set: how fast it dries against how fast it bleeds,
// how warm it gets, when it sets, whether the crew can finish it in time, what rain, frost, heat and darkness do to it; and it
// names the hour at which a start goes wrong and the measure that would change that.
package pour

import (
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Input is what the pour is judged from.
type Input struct {
	Units quantity.System `yaml:"units"`

	Zone      string                      `yaml:"zone" says:"time zone of the site, like America/Chicago"`
	Latitude  known.Known[quantity.Angle] `yaml:"latitude" says:"latitude of the site, north positive" unit:"deg|deg" usual:"24..50|24..60" show:"angle"`
	Longitude known.Known[quantity.Angle] `yaml:"longitude" says:"longitude of the site, east positive" unit:"deg|deg" usual:"-125..-66|-125..40" show:"angle"`
	Now       time.Time                   `yaml:"now" says:"when the question is asked"`
	Day       time.Time                   `yaml:"day" says:"the day planned for the pour"`
	Start     time.Time                   `yaml:"start" says:"when the first truck discharges, if that is fixed"`
	Earliest  known.Time                  `yaml:"earliest_start" says:"earliest start, hours after midnight" unit:"h|h" usual:"3..9|3..9" show:"hours"`
	Latest    known.Time                  `yaml:"latest_start" says:"latest start, hours after midnight" unit:"h|h" usual:"9..18|9..18" show:"hours"`

	Forecast       []weather.Hour `yaml:"forecast" says:"hourly forecast"`
	ForecastIssued time.Time      `yaml:"forecast_issued" says:"when the forecast was made"`
	WindHeight     known.Length   `yaml:"wind_height" says:"height above ground of the forecast's wind" unit:"ft|m" usual:"1..40|0.5..12"`
	WindShare      known.Ratio    `yaml:"wind_share" says:"wind at the slab as a share of the forecast's wind" usual:"0.3..1|0.3..1"`
	Reading        Reading        `yaml:"reading" says:"four numbers read on site: in place of a forecast, or to move that day's forecast to them"`
	Year           Record         `yaml:"-"` // hours of weather, of a year or several; empty: none

	Area        known.Area       `yaml:"area" says:"area of the slab" unit:"ft2|m2" usual:"20..20000|2..2000"`
	Thickness   known.Length     `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"3..24|75..600" show:"thickness"`
	Base        known.Length     `yaml:"base" says:"thickness of the compacted stone under it" unit:"in|mm" usual:"0..12|0..300" show:"thickness"`
	Concrete    known.Volume     `yaml:"concrete" says:"concrete to place" unit:"yd3|m3" usual:"0.5..300|0.5..250"`
	PlacingRate known.VolumeRate `yaml:"placing_rate" says:"concrete placed and struck off in an hour" unit:"yd3/h|m3/h" usual:"3..40|2..30"`
	Finishers   known.Number     `yaml:"finishers" says:"hands that float, edge and broom"`
	FinishRate  known.AreaRate   `yaml:"finish_rate" says:"area one finisher floats, edges and brooms in an hour" unit:"ft2/h|m2/h" usual:"80..400|8..40"`

	Team     Team        `yaml:"team" says:"who places and finishes, off which trucks"`
	Rehearse known.Truth `yaml:"rehearse" says:"play the day through, many times by chance?"`

	Strength      known.Stress  `yaml:"strength" says:"strength ordered" unit:"psi|MPa" usual:"2500..6000|17..45" show:"strength"`
	Cement        known.Text    `yaml:"cement" says:"cement type: I, I/II, II, III or V"`
	Cementitious  known.Density `yaml:"cementitious" says:"cement, fly ash and slag together" unit:"lb/yd3|kg/m3" usual:"400..800|240..480" show:"content"`
	WaterCement   known.Ratio   `yaml:"water_cement" says:"water over cementitious" usual:"0.38..0.60|0.38..0.60"`
	FlyAsh        known.Percent `yaml:"fly_ash" says:"fly ash as a share of cementitious" unit:"%|%" usual:"0..40|0..40" show:"percent"`
	FlyAshLime    known.Percent `yaml:"fly_ash_lime" says:"CaO of the fly ash" unit:"%|%" usual:"3..30|3..30" show:"percent"`
	Slag          known.Percent `yaml:"slag" says:"slag as a share of cementitious" unit:"%|%" usual:"0..50|0..50" show:"percent"`
	SilicaFume    known.Percent `yaml:"silica_fume" says:"silica fume as a share of cementitious" unit:"%|%" usual:"0..12|0..12" show:"percent"`
	Air           known.Percent `yaml:"air" says:"air in the fresh concrete" unit:"%|%" usual:"0..9|0..9" show:"percent"`
	SetShift      known.Time    `yaml:"set_shift" says:"hours a retarder adds to the set at 20 °C; an accelerator's are negative" unit:"h|h" usual:"-4..4|-4..4" show:"hours"`
	SupplierFirst known.Time    `yaml:"supplier_initial_set" says:"initial set told by the plant" unit:"h|h" usual:"2..12|2..12" show:"hours"`
	SupplierFinal known.Time    `yaml:"supplier_final_set" says:"final set told by the plant" unit:"h|h" usual:"3..16|3..16" show:"hours"`
	SupplierTemp  known.Temp    `yaml:"supplier_set_temperature" says:"concrete temperature of the plant's set times" unit:"°F|°C" usual:"60..90|15..32"`
	SetsSeen      []SetSeen     `yaml:"observed_sets" says:"set times of this mix seen on site or told by the plant, one for each pour"`

	ConcreteTemp known.Temp     `yaml:"concrete_temperature" says:"concrete temperature at the chute" unit:"°F|°C" usual:"50..95|10..35"`
	OverAir      known.TempDiff `yaml:"concrete_over_air" says:"how much warmer than the air concrete usually arrives" unit:"°F|K" usual:"0..20|0..10"`
	Coldest      known.Temp     `yaml:"coldest_delivery" says:"temperature the plant heats to in cold weather" unit:"°F|°C" usual:"50..70|10..21"`
	HotLimit     known.Temp     `yaml:"hot_limit" says:"highest concrete temperature agreed at the chute" unit:"°F|°C" usual:"80..100|27..38"`
	GroundTemp   known.Temp     `yaml:"ground_temperature" says:"temperature of the base" unit:"°F|°C" usual:"33..95|1..35"`
	Frozen       known.Truth    `yaml:"frozen_ground" says:"is the base frozen?"`
	FrostDepth   known.Length   `yaml:"frost_depth" says:"how deep the ground is frozen" unit:"in|mm" usual:"1..36|25..900" show:"thickness"`
	TentAir      known.Temp     `yaml:"tent_air" says:"air that a heated tent would be kept at" unit:"°F|°C" usual:"45..75|7..24"`
	Shade        known.Ratio    `yaml:"shade" says:"share of the sun that trees, walls or a roof keep off the slab" usual:"0..1|0..1"`
	Covers       known.Truth    `yaml:"covers" says:"are curing blankets on site?"`

	BleedShare  known.Ratio `yaml:"bleed_share" says:"share of the mixing water that bleeds" usual:"0..0.06|0..0.06"`
	BleedTime   known.Time  `yaml:"bleed_time" says:"time in which two thirds of the bleeding is done at 20 °C" unit:"h|h" usual:"0.5..2|0.5..2" show:"hours"`
	ForecastAge known.Time  `yaml:"forecast_good_for" says:"how long a forecast may be trusted" unit:"h|h" usual:"3..24|3..24" show:"hours"`
}

// Reading is four numbers typed on site: when there is no forecast, or at dawn to move the forecast of the day to them.
type Reading struct {
	At       time.Time     `yaml:"at" says:"when they were read; left out: when it is asked"`
	Air      known.Temp    `yaml:"air" says:"air temperature in the shade" unit:"°F|°C" usual:"20..105|-7..40"`
	Humidity known.Percent `yaml:"humidity" says:"relative humidity" unit:"%|%" usual:"10..100|10..100" show:"percent"`
	Wind     known.Speed   `yaml:"wind" says:"wind half a metre (20 in) above the slab" unit:"mph|km/h" usual:"0..25|0..40"`
	Concrete known.Temp    `yaml:"concrete" says:"concrete temperature" unit:"°F|°C" usual:"50..95|10..35"`
}

// SetSeen is how long one pour of this mix took to set.
type SetSeen struct {
	Concrete quantity.Temp `yaml:"concrete" json:"concrete" says:"temperature of the slab until it set" unit:"°F|°C"`
	Initial  quantity.Time `yaml:"initial" json:"initial" says:"hours from the chute until a footprint was a quarter inch (6 mm) deep" unit:"h|h"`
	Final    quantity.Time `yaml:"final" json:"final,omitzero" says:"hours from the chute until a boot only scuffed it; left out: not seen" unit:"h|h"`
}

// Result is the answer.
type Result struct {
	Verdict   check.Level `json:"verdict"` // of the start below; not computed when nothing could be judged
	Start     time.Time   `json:"start,omitzero"`
	Chosen    StartHour   `json:"chosen"`
	Days      []DayPlan   `json:"days,omitempty"`
	Moments   []Moment    `json:"moments,omitempty"`   // the first strip of the chosen start, step by step
	Measures  []Measure   `json:"measures,omitempty"`  // what each would change at the chosen start
	Rehearsal *Rehearsal  `json:"rehearsal,omitempty"` // of the chosen start, when asked for
	Year      *YearOdds   `json:"year,omitempty"`      // when there is a weather record
	working.Answer
}

// DayPlan is one day's starts, in clock order.
type DayPlan struct {
	Date   time.Time   `json:"date"` // first instant of the day on site
	Best   int         `json:"best"` // index of the best start; −1 when none could be judged
	Second int         `json:"second"`
	Starts []StartHour `json:"starts"`
	Sun    Sunlight    `json:"sun"`
}

// Sunlight is the day's sunrise and sunset; zero where the sun does not rise or set.
type Sunlight struct {
	Rise time.Time `json:"rise,omitzero"`
	Set  time.Time `json:"set,omitzero"`
}

// StartHour is one start and how it goes.
type StartHour struct {
	At           time.Time            `json:"at,omitzero"`
	Level        check.Level          `json:"level"`
	PlacedBy     time.Time            `json:"placed_by,omitzero"`   // last concrete struck off
	FloatFrom    time.Time            `json:"float_from,omitzero"`  // initial set of the first strip
	FloatUntil   time.Time            `json:"float_until,omitzero"` // final set of the first strip
	FinishedBy   time.Time            `json:"finished_by,omitzero"` // last strip broomed
	SetBy        time.Time            `json:"set_by,omitzero"`      // final set of the last strip
	Dries        time.Time            `json:"dries,omitzero"`       // when the first strip to dry loses its bleed water; zero: not before initial set
	Deficit      float64              `json:"deficit"`              // water missing at initial set, kg/m²
	Peak         quantity.Evaporation `json:"peak"`                 // strongest evaporation before final set
	PeakAt       time.Time            `json:"peak_at,omitzero"`
	ConcreteTemp quantity.Temp        `json:"concrete_temperature"` // at the chute
	Hottest      quantity.Temp        `json:"hottest_surface"`
	Lateness     quantity.Time        `json:"lateness"` // of the finishers past final set; at most zero: in time
	KeepUp       quantity.Area        `json:"keep_up_area"`
	Strain       float64              `json:"strain"` // ranks starts of one level: less is better
	Checks       []check.Check        `json:"checks"`
}

// Moment is one step in the life of the first strip.
type Moment struct {
	At          time.Time            `json:"at"`
	Evaporation quantity.Evaporation `json:"evaporation"`
	Bleeding    quantity.Evaporation `json:"bleeding"`
	Air         quantity.Temp        `json:"air"`
	Surface     quantity.Temp        `json:"surface"`
}

// Design judges the pour.
func Design(in Input) (Result, error) {
	job, faults := prepare(in)
	if len(faults) > 0 {
		return Result{}, faults.Err()
	}
	var r Result
	job.showInputs(&r)
	switch {
	case !job.forecast.Empty():
		job.judgeDays(&r)
	case in.Reading.complete():
		job.judgeReading(&r)
	default:
		job.unjudged(&r)
	}
	job.weighMeasures(&r)
	job.countYear(&r)
	if err := job.playThrough(&r); err != nil {
		return Result{}, err
	}
	job.showAnswer(&r)
	if r.Rehearsal != nil {
		job.showRehearsal(&r.Working, *r.Rehearsal)
	}
	r.Check(job.cautions(r.Chosen)...)
	return r, nil
}

func (rd Reading) complete() bool {
	return rd.Air.Given() && rd.Humidity.Given() && rd.Wind.Given() && rd.Concrete.Given()
}
