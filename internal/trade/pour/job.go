package pour

import (
	"errors"
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// job is the input made ready: SI numbers, curves, the clock of the site.
type job struct {
	in        Input
	zone      *time.Location
	place     almanac.Place
	forecast  weather.Forecast
	windShare float64
	steady    bool // four typed numbers: the air and the concrete stay as read
	reading   sky
	reread    *reread // the reading beside a forecast; nil: none

	area, thickness, volume float64
	content, water          float64
	blend                   hydration.Blend
	curve                   hydration.Curve
	set                     hydration.Set
	seen                    hydration.Set // by what was seen to set; zero: nothing was
	seenScatter             float64       // of those sets about their mean, as a share
	kind                    mixKind
	bleed                   Bleed
	bleedShare              known.Ratio
	ground                  float64
	slab                    hydration.Slab
	cold                    ColdRule
	crew                    crew
	touch                   relief // what is done against sun, wind and drying
	brief                   bool   // what would help is not asked
}

// slabWind is the height at which the evaporation forms want the wind, m.
const slabWind = 0.5

// prepare turns the input into a job, or says what is wrong with it.
func prepare(in Input) (job, check.Faults) {
	if faults := in.Validate(); len(faults) > 0 {
		return job{}, faults
	}
	j := job{in: in, area: in.Area.Value.SquareMetres(), touch: noRelief, thickness: in.Thickness.Value.Metres()}
	j.zone = in.clock()
	j.volume = j.area * j.thickness
	if in.Concrete.Given() {
		j.volume = in.Concrete.Value.CubicMetres()
	}
	j.prepareMix()
	j.preparePlace()
	j.prepareSlab()
	j.crew = crew{area: j.area, placing: 3600 * float64(in.PlacingRate.Value) * j.area / j.volume,
		finishing: 3600 * float64(in.FinishRate.Value) * float64(in.Finishers.Value)}
	j.cold = ColdRuleFor(j.thickness)
	return j, nil
}

func (j *job) prepareMix() {
	in := j.in
	cement, _ := hydration.CementOf(in.Cement.Value)
	j.blend = hydration.Blend{Cement: cement, FlyAsh: float64(in.FlyAsh.Value), FlyAshLime: float64(in.FlyAshLime.Value),
		Slag: float64(in.Slag.Value), WaterCement: float64(in.WaterCement.Value)}
	j.curve, _ = hydration.CurveOf(j.blend)
	j.content = float64(in.Cementitious.Value)
	j.water = j.content * j.blend.WaterCement
	j.set = hydration.SetAges(j.curve, j.blend.WaterCement)
	if in.SupplierFirst.Given() {
		told := hydration.Set{Initial: in.SupplierFirst.Value.Hours(), Final: in.SupplierFinal.Value.Hours()}
		j.set = hydration.SetFrom(told, in.SupplierTemp.Value.Celsius(), j.curve.Energy)
	}
	j.seen, j.seenScatter = setsSeen(in.SetsSeen, j.set, j.curve.Energy)
	switch {
	case len(in.SetsSeen) > 0:
		j.set = j.seen
		j.scatterSeen()
	case in.SetShift.Origin == known.Assumed && !in.SupplierFirst.Given():
		j.in.SetShift = j.ashShift()
	}
	j.set = j.set.Shift(j.in.SetShift.Value.Hours(), j.curve.Energy)
	j.kind = kindOf(float64(in.Air.Value), j.blend.FlyAsh+j.blend.Slag, float64(in.SilicaFume.Value), j.blend.WaterCement)
	j.bleedShare = in.BleedShare.Or(j.kind.bleedShare())
	j.bleed = Bleed{Capacity: float64(j.bleedShare.Value) * j.water * j.thickness, Time: in.BleedTime.Value.Hours()}
}

// setsSeen is the set ages that sets seen at their temperatures come to, on average, and how far they scatter; the final set, where none
// was seen, keeps its ratio to the initial.
func setsSeen(seen []SetSeen, usual hydration.Set, energy float64) (hydration.Set, float64) {
	var initial, final, squares, n float64
	for _, s := range seen {
		told := hydration.Set{Initial: s.Initial.Hours(), Final: s.Final.Hours()}
		if s.Final == 0 {
			told.Final = told.Initial * usual.Final / usual.Initial
		}
		age := hydration.SetFrom(told, s.Concrete.Celsius(), energy)
		initial, final, squares, n = initial+age.Initial, final+age.Final, squares+age.Initial*age.Initial, n+1
	}
	if n == 0 {
		return hydration.Set{}, 0
	}
	mean := initial / n
	return hydration.Set{Initial: mean, Final: final / n}, math.Sqrt(max(0, squares-n*mean*mean)/max(1, n-1)) / mean
}

// enoughSets is how many sets must have been seen before their scatter is believed; leastScatter what even sets that agree are taken to
// scatter: the forecast and the eye that sees the set are off besides. Own rule.
const (
	enoughSets   = 3
	leastScatter = 0.05
)

// scatterSeen lets the scatter of the sets seen say how far a day's set may lie off the clock, where nobody said it.
func (j *job) scatterSeen() {
	if len(j.in.SetsSeen) >= enoughSets {
		known.Feed(&j.in.Team.WindowScatter, quantity.Percent(min(1, max(leastScatter, j.seenScatter))), "sets_scatter")
	}
}

// What fly ash of low lime and slag usually add to both sets at 20 °C, hours for each whole share of the cementitious: 20 % ash half an
// hour to two, 35 % slag half an hour to one and a half. Common practice.
var ashHours, slagHours = [3]float64{2.5, 6.25, 10}, [3]float64{1.4, 2.9, 4.3}

// ashShift is what ash and slag add beyond what the hydration curve of the blend already says of them.
func (j *job) ashShift() known.Time {
	if j.blend.FlyAsh+j.blend.Slag == 0 {
		return j.in.SetShift
	}
	plain := j.blend
	plain.FlyAsh, plain.Slag = 0, 0
	curve, err := hydration.CurveOf(plain)
	if err != nil {
		return j.in.SetShift
	}
	with, _ := j.set.At(20, j.curve.Energy)
	without, _ := hydration.SetAges(curve, plain.WaterCement).At(20, curve.Energy)
	already := with.Initial - without.Initial
	edge := func(i int) quantity.Time {
		return quantity.Hours(max(0, ashHours[i]*j.blend.FlyAsh+slagHours[i]*j.blend.Slag-already))
	}
	return known.Assume(edge(1), edge(0), edge(2), "fly ash and slag delay the set; more when it is cold", sources.CommonPractice)
}

func (j *job) preparePlace() {
	in := j.in
	j.place = almanac.Place{Latitude: float64(in.Latitude.Value), Longitude: float64(in.Longitude.Value)}
	if !in.Longitude.Given() && len(in.Forecast) > 0 {
		j.place.Longitude = almanac.Meridian(in.Forecast[0].Time.In(j.zone))
	}
	j.windShare = weather.WindFactor(in.WindHeight.Value.Metres(), slabWind, weather.OpenGround)
	if in.WindShare.Given() {
		j.windShare = float64(in.WindShare.Value)
	}
	j.forecast, _ = weather.NewForecast(in.Forecast, j.place)
	if j.forecast.Empty() && in.Reading.complete() {
		j.steady = true
		air, humidity := in.Reading.Air.Value.Celsius(), float64(in.Reading.Humidity.Value)
		j.reading = sky{Air: air, Humidity: humidity, Dew: weather.DewPoint(air, humidity), Wind: float64(in.Reading.Wind.Value), Cloud: weather.UsualCloud}
	}
	j.ground = j.groundTemp()
	j.holdReading()
}

// groundTemp is the base's temperature: said, or the mean of the first day's air, never frozen unless said.
func (j *job) groundTemp() float64 {
	if j.in.GroundTemp.Given() {
		return j.in.GroundTemp.Value.Celsius()
	}
	if j.steady {
		return j.reading.Air
	}
	sum, n := 0.0, 0
	for i, t := range j.forecast.Times() {
		if t.Sub(j.forecast.Times()[0]) < 24*time.Hour {
			sum += j.in.Forecast[i].Air.Celsius()
			n++
		}
	}
	if n == 0 {
		return hydration.HydrationRef
	}
	return max(0, sum/float64(n))
}

// air is the sky over the slab at an instant, wind at slab height.
func (j job) air(at time.Time) (sky, error) {
	if j.steady {
		return j.reading, nil
	}
	c, err := j.forecast.At(at)
	c.Wind *= j.windShare
	return j.shaded(c), err
}

// chuteTemp is the concrete's temperature at the chute in air of a temperature, °C.
func (j job) chuteTemp(air float64) float64 {
	switch {
	case j.steady:
		return j.in.Reading.Concrete.Value.Celsius()
	case j.in.ConcreteTemp.Given():
		return j.in.ConcreteTemp.Value.Celsius()
	case j.in.Reading.Concrete.Given():
		return j.in.Reading.Concrete.Value.Celsius()
	}
	return max(air+float64(j.in.OverAir.Value), j.in.Coldest.Value.Celsius())
}

func momentAt(at time.Time, rate, bleeding, air, surface float64) Moment {
	return Moment{At: at, Evaporation: perHour(rate), Bleeding: perHour(bleeding), Air: quantity.Temp(air), Surface: quantity.Temp(surface)}
}

// perHour is kg/m²/h in SI.
func perHour(rate float64) quantity.Evaporation { return quantity.Evaporation(rate / 3600) }

// reachWords says why a start could not be followed to its set.
func (j job) reachWords(err error) string {
	_, last := j.forecast.Span()
	if errors.Is(err, weather.ErrGap) {
		return "the forecast has a hole of more than three hours in it"
	}
	return fmt.Sprintf("the forecast ends %s, before this concrete is set", almanac.Stamp(almanac.On(last, j.zone), j.in.Units))
}

// clock is the site's: its zone, or the one the forecast or the start was written with.
func (in Input) clock() *time.Location {
	zone, _ := in.zone()
	switch {
	case zone != nil:
		return zone
	case len(in.Forecast) > 0:
		return in.Forecast[0].Time.Location()
	case !in.Start.IsZero():
		return in.Start.Location()
	}
	return in.Now.Location()
}
