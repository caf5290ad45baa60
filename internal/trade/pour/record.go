package pour

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"math"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
)

// Counted is a look back over a weather record: what its hours and days would have been for pouring.
type Counted struct {
	Hours     int // readings in working hours
	Above     int // of them with at least the threshold of evaporation
	Days      int // days with a reading in every working hour
	Rainy     int // of them with spoiling rain
	Cold      int // with an hour below 5 °C
	Hot       int // with an hour above 32 °C
	Good      int // with none of these and evaporation below the threshold all day
	Rejected  int // readings dropped for a wind that cannot be
	WorstWind float64
}

// Record is readings of a station: hours of its standard clock counted from a midnight, °C, relative humidity 0–1,
// m/s at 10 m, m of rain.
type Record struct {
	Year                            int // whose first midnight the hours are counted from; zero: of no year
	Hour, Air, Humidity, Wind, Rain []float64
}

// The air temperatures that spoil a day in the look back, °C.
const (
	coldDay = 5.0
	hotDay  = 32.0
)

// LookBack counts hours and days of a record. Concrete is taken at air temperature, wind at the slab by the log law. Hours
// between from and to, both counted; a day counts when it has a reading in each. Checked: CUR-51 … CUR-54.
func LookBack(r Record, from, to int, threshold float64) Counted {
	var c Counted
	share := weather.WindFactor(10, slabWind, weather.OpenGround)
	type day struct {
		hours           int
		rain, cold, hot bool
		strongest       float64
	}
	days := map[int]*day{}
	var order []int
	for i := range r.Hour {
		c.WorstWind = math.Max(c.WorstWind, r.Wind[i])
		if len(weather.Problems([]weather.Hour{r.hour(i)})) > 0 {
			c.Rejected++
			continue
		}
		date, clock := int(math.Floor(r.Hour[i]/24)), int(math.Mod(r.Hour[i], 24))
		if clock < from || clock > to {
			continue
		}
		e := 3600 * weather.EvaporationUno(r.Air[i], r.Air[i], r.Humidity[i], share*r.Wind[i])
		c.Hours++
		if e >= threshold {
			c.Above++
		}
		d := days[date]
		if d == nil {
			d = &day{}
			days[date], order = d, append(order, date)
		}
		d.hours++
		d.rain, d.cold, d.hot = d.rain || r.Rain[i] >= spoilingRain, d.cold || r.Air[i] < coldDay, d.hot || r.Air[i] > hotDay
		d.strongest = math.Max(d.strongest, e)
	}
	for _, date := range order {
		d := days[date]
		if d.hours <= to-from {
			continue
		}
		c.Days++
		c.Rainy, c.Cold, c.Hot = c.Rainy+count(d.rain), c.Cold+count(d.cold), c.Hot+count(d.hot)
		c.Good += count(!d.rain && !d.cold && !d.hot && d.strongest < threshold)
	}
	return c
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

// anyDay stands for the date of readings whose date does not matter.
var anyDay = time.Unix(0, 0).UTC()

func (r Record) hour(i int) weather.Hour {
	humidity := quantity.Percent(r.Humidity[i])
	return weather.Hour{Time: anyDay, Air: quantity.Temp(r.Air[i]), Humidity: &humidity, Wind: quantity.Speed(r.Wind[i]), Rain: quantity.Length(r.Rain[i])}
}

//go:embed testdata/hourly-weather.csv
var newarkCSV string

// newark reads the station year kept with this package (see testdata/README.md); month 0 is all of it. Rows without a wind are
// left out.
func newark(month int) (Record, error) {
	rows, err := csv.NewReader(strings.NewReader(newarkCSV)).ReadAll()
	if err != nil {
		return Record{}, err
	}
	var r Record
	midnight := time.Date(2013, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, row := range rows[1:] {
		at, err := time.Parse("2006-01-02T15:04", row[0])
		if err != nil {
			return Record{}, err
		}
		if (month != 0 && int(at.Month()) != month) || row[4] == "" {
			continue
		}
		var v [4]float64
		for i, column := range []int{1, 3, 4, 7} { // air_c, rh_pct, wind10_ms, precip_mm
			if v[i], err = strconv.ParseFloat(row[column], 64); err != nil {
				return Record{}, err
			}
		}
		r.Hour, r.Air, r.Humidity = append(r.Hour, at.Sub(midnight).Hours()), append(r.Air, v[0]), append(r.Humidity, v[1]/100)
		r.Wind, r.Rain = append(r.Wind, v[2]), append(r.Rain, v[3]/1000)
	}
	return r, nil
}

// backPorts are the counts of a look back.
type backPorts struct {
	Hours, Above, Days, Rainy, Cold, Hot, Good, Rejected quantity.Number
	StrongestWind                                        quantity.Speed
}

func ported(c Counted) backPorts {
	n := func(i int) quantity.Number { return quantity.Number(i) }
	return backPorts{n(c.Hours), n(c.Above), n(c.Days), n(c.Rainy), n(c.Cold), n(c.Hot), n(c.Good), n(c.Rejected), quantity.Speed(c.WorstWind)}
}

func yearOfRecord() calc.Calculation {
	return calc.New("pour.station_year", "look back over the hourly observations kept with the program, station EWR, 2013 without May", "asos-ewr-2013", func(in struct {
		Month     quantity.Number      `says:"1 to 12; 0: all" default:"0"`
		From      quantity.Number      `says:"first working hour" default:"7"`
		To        quantity.Number      `says:"last working hour" default:"18"`
		Threshold quantity.Evaporation `says:"evaporation that spoils a day" default:"0.00013888888888888889"`
	}) (backPorts, error) {
		r, err := newark(int(in.Month))
		return ported(LookBack(r, int(in.From), int(in.To), quantity.In(in.Threshold, "kg/m2/h"))), err
	})
}

func dayOfRecord() calc.Calculation {
	return calc.New("pour.look_back", "working hours and days of a weather record by their evaporation, rain and temperature", "uno-1998", func(in struct {
		Hours     []quantity.Time      `says:"standard clock, counted from a midnight"`
		Air       []quantity.Temp      `says:"air temperature"`
		Humidity  []quantity.Ratio     `says:"relative humidity, 0 to 1"`
		Wind      []quantity.Speed     `says:"wind at 10 m"`
		Rain      []quantity.Length    `says:"rain in the hour"`
		From      quantity.Number      `says:"first working hour" default:"7"`
		To        quantity.Number      `says:"last working hour" default:"18"`
		Threshold quantity.Evaporation `says:"evaporation that spoils a day" default:"0.00013888888888888889"`
	}) (out backPorts, err error) {
		n := len(in.Hours)
		if len(in.Air) != n || len(in.Humidity) != n || len(in.Wind) != n || len(in.Rain) != n {
			return out, errors.New("the lists are not of one length")
		}
		r := Record{}
		for i := range n {
			r.Hour, r.Air, r.Humidity = append(r.Hour, in.Hours[i].Hours()), append(r.Air, in.Air[i].Celsius()), append(r.Humidity, float64(in.Humidity[i]))
			r.Wind, r.Rain = append(r.Wind, float64(in.Wind[i])), append(r.Rain, in.Rain[i].Metres())
		}
		return ported(LookBack(r, int(in.From), int(in.To), quantity.In(in.Threshold, "kg/m2/h"))), nil
	})
}
