// Package job is what a person knows of one job: the three numbers it starts from, and a section for each stage that may
// say as much or as little as is known. A section has the fields of its stage's input; what is left out is assumed.
package job

import (
	"fmt"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/access"
	"slabwright/internal/trade/backing"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/forms"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/hold"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/mix"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/price"
	"slabwright/internal/trade/record"
	"slabwright/internal/trade/site"
	"slabwright/internal/trade/slab"
	"slabwright/internal/trade/steel"
)

// Gear names something the shop has few of.
type Gear string

// Job is one job file.
type Job struct {
	Name     string `yaml:"name" says:"what the job is called"`
	Number   string `yaml:"number" says:"the shop's number for it"`
	Address  string `yaml:"address" says:"where it is"`
	Owner    string `yaml:"owner" says:"whose slab it is"`
	Shop     string `yaml:"shop" says:"who builds it"`
	Phone    string `yaml:"phone" says:"the shop's call-back number"`
	DrawnBy  string `yaml:"drawn_by" says:"who measured and drew it"`
	Revision string `yaml:"revision" says:"revision of the drawings, like R2"`
	Permit   string `yaml:"permit" says:"permit number"`
	Crew     string `yaml:"crew" says:"which of the shop's crews builds it"`
	Foreman  string `yaml:"foreman" says:"who runs the crew there"`
	Gear     []Gear `yaml:"gear" says:"what of the shop's gear it needs on the day: laser screed"`
	Code     string `yaml:"code" says:"edition of the code the inspector works to, as he names it"`
	Practice bool   `yaml:"practice" says:"yes marks every sheet as practice with invented data"`

	Units    quantity.System `yaml:"units" says:"us or metric"`
	Locale   string          `yaml:"locale" says:"language and region, like en-US; decides decimal mark and date order"`
	Currency string          `yaml:"currency" says:"sign before money, $ if left out"`
	Paper    string          `yaml:"paper" says:"letter or a4; by the units if left out"`

	Length    known.Length `yaml:"length" says:"long side of the slab" unit:"ft|m" usual:"1..400|0.3..120" show:"side"`
	Width     known.Length `yaml:"width" says:"short side of the slab" unit:"ft|m" usual:"1..400|0.3..120" show:"side"`
	Thickness known.Length `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
	Use       known.Text   `yaml:"use" says:"the heaviest thing that stands on it, like travel trailer"`

	Date      known.Known[quantity.Date]  `yaml:"pour_date" says:"day of the pour"`
	Start     known.Known[quantity.Clock] `yaml:"first_truck" says:"when the first truck is on site"`
	Quoted    known.Known[quantity.Date]  `yaml:"quoted_on" says:"day the quote went to the owner"`
	Accepted  known.Known[quantity.Date]  `yaml:"accepted_on" says:"day the owner said yes"`
	Declined  known.Known[quantity.Date]  `yaml:"declined_on" says:"day the owner said no"`
	Zone      string                      `yaml:"time_zone" says:"time zone of the site, like America/Chicago"`
	Latitude  known.Known[quantity.Angle] `yaml:"latitude" says:"latitude, north positive" unit:"deg"`
	Longitude known.Known[quantity.Angle] `yaml:"longitude" says:"longitude, east positive" unit:"deg"`

	ForecastFile        string `yaml:"forecast_file" says:"hourly forecast beside the job file: a table (CSV), or a weather service's answer as it came"`
	ForecastTable       string `yaml:"forecast_table" says:"hourly forecast typed or pasted here: a header like time,air_f,humidity_pct,wind_mph and a row an hour"`
	ForecastService     string `yaml:"forecast_service" says:"address of a weather service, asked only by slabwright day --renew; {latitude} and {longitude} stand for the site"`
	SlabTemperatureFile string `yaml:"slab_temperature_file" says:"log of a probe in the slab, beside the job file: a table with time and slab_f or slab_c"`
	TapsFile            string `yaml:"taps_file" says:"what was stamped on the day of the pour, beside the job file; slabwright pour writes it"`
	WeatherYearFile     string `yaml:"weather_year_file" says:"a year of hourly observations near the site, beside the job file: the odds of a good pour by week and hour"`
	LabFile             string `yaml:"lab_file" says:"the laboratory's breaks of this mix, oldest first, beside the job file: a table with name, job, age_days, cylinder_1, cylinder_2"`

	Site   site.Input   `yaml:"site" says:"outline, levels, what is in the way"`
	Mix    mix.Input    `yaml:"mix" says:"exposure and what the plant offers"`
	Slab   slab.Input   `yaml:"slab" says:"loads, soil and base"`
	Grade  grade.Input  `yaml:"grade" says:"where water goes, what must meet what"`
	Joints joints.Input `yaml:"joints" says:"joint rules"`
	Steel  steel.Input  `yaml:"steel" says:"bars, mesh or fibre"`
	Forms  forms.Input  `yaml:"forms" says:"boards and stakes"`
	Order  order.Input  `yaml:"order" says:"plant, trucks, allowances"`
	Access access.Input `yaml:"access" says:"where the truck can stand"`
	Pour   pour.Input   `yaml:"pour" says:"weather, crew and the day"`
	Cure   cure.Input   `yaml:"cure" says:"curing, temperatures and when it is used"`
	Price  price.Input  `yaml:"price" says:"the shop's prices"`

	Record record.Input `yaml:"record" says:"what was written down of the day"`

	Hold    hold.Input    `yaml:"hold" says:"what the check on the real panels needs beyond the slab"`
	Backing backing.Input `yaml:"backing" says:"the vehicle that gets in, its street and how it shall stand"`

	Photos map[string][]byte `yaml:"-"` // small JPEG files of the photos the record names; set by whoever prints sheets

	AsOf time.Time `yaml:"-"` // when the plan is made; set by whoever reads the file
}

// Title is the job's name, or its size where nobody named it.
func (j Job) Title() string {
	if j.Name != "" {
		return j.Name
	}
	if n := len(j.Site.Corners); n > 0 && !j.Site.Length.Given() {
		return fmt.Sprintf("Slab with %d corners", n)
	}
	if !j.Site.Length.Given() || !j.Site.Width.Given() {
		return "Slab"
	}
	return "Slab " + j.Site.Width.Show(quantity.AsSide).String(j.Units) + " × " + j.Site.Length.Show(quantity.AsSide).String(j.Units)
}

// defaultStart is seven in the morning, the hour most flatwork crews want their first truck.
const defaultStart = quantity.Clock(7 * 60)

// Settle carries the three numbers and the job's units into the sections that use them, and counts the day of the pour.
// It is called once, after reading.
func (j *Job) Settle() error {
	j.Site.Length, j.Site.Width = j.Site.Length.Or(j.Length), j.Site.Width.Or(j.Width)
	j.Slab.Thickness = j.Slab.Thickness.Or(j.Thickness)
	j.Slab.Vehicle = j.Slab.Vehicle.Or(j.Use)
	if j.Currency == "" {
		j.Currency = "$"
	}
	_, err := j.Location()
	return err
}

// Location is the site's time zone; without one, the zone of the moment the plan is made.
func (j Job) Location() (*time.Location, error) {
	if j.Zone == "" {
		return j.AsOf.Location(), nil
	}
	zone, err := time.LoadLocation(j.Zone)
	if err != nil {
		return time.UTC, check.Faults{{Field: "time_zone", Given: j.Zone, Why: "is not a time zone.", Type: "Type one like America/Chicago or Europe/Rome."}}
	}
	return zone, nil
}

// PourAt is when the first truck is on site, and whether a person said the day: without a day, one week from the making of the
// plan, moved off a weekend.
func (j Job) PourAt() (at time.Time, said bool) {
	zone, err := j.Location()
	if err != nil {
		zone = time.UTC
	}
	clock := defaultStart
	if j.Start.Given() {
		clock = j.Start.Value
	}
	day := j.AsOf.In(zone).AddDate(0, 0, 7)
	for day.Weekday() == time.Saturday || day.Weekday() == time.Sunday {
		day = day.AddDate(0, 0, 1)
	}
	if j.Date.Given() {
		d := j.Date.Value
		day = time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, zone)
	}
	return time.Date(day.Year(), day.Month(), day.Day(), int(clock)/60, int(clock)%60, 0, 0, zone), j.Date.Given()
}
