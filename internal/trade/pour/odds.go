package pour

import (
	"math"
	"sort"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
)

// StartOdds is how often a start hour would have been good in one stretch of the year.
type StartOdds struct {
	Stretch int // as the grouping numbers it: week or month
	Start   int // clock hour
	Days    int // with a reading in every hour from start to end of the work
	Good    int // of them dry, neither cold nor hot, and evaporation under the threshold throughout
}

// Chance is the share of good days, "6 days in 10".
func (o StartOdds) Chance() float64 {
	if o.Days == 0 {
		return 0
	}
	return float64(o.Good) / float64(o.Days)
}

// Odds looks back over a record: for each stretch of the year and each start hour, how often the hours of work that follow would
// have been good, by the rules of LookBack. stretch numbers a day counted from the record's midnight, negative: leave out. Days
// with a missing reading or one that cannot be are not counted.
func Odds(r Record, starts []int, span int, threshold float64, stretch func(day int) int) []StartOdds {
	hours := map[int]bool{} // of the readings that can be: whether they are good
	share := weather.WindFactor(10, slabWind, weather.OpenGround)
	first, last := math.MaxInt, math.MinInt
	for i := range r.Hour {
		if len(weather.Problems([]weather.Hour{r.hour(i)})) > 0 {
			continue
		}
		e := 3600 * weather.EvaporationUno(r.Air[i], r.Air[i], r.Humidity[i], share*r.Wind[i])
		h := int(math.Floor(r.Hour[i]))
		hours[h] = r.Rain[i] < spoilingRain && r.Air[i] >= coldDay && r.Air[i] <= hotDay && e < threshold
		first, last = min(first, h/24), max(last, h/24)
	}
	found := map[[2]int]*StartOdds{}
	for day := first; day <= last; day++ {
		group := stretch(day)
		for _, start := range starts {
			if group < 0 {
				continue
			}
			whole, good := true, true
			for h := day*24 + start; h < day*24+start+span; h++ {
				fine, ok := hours[h]
				whole, good = whole && ok, good && fine
			}
			o := found[[2]int{group, start}]
			if o == nil {
				o = &StartOdds{Stretch: group, Start: start}
				found[[2]int{group, start}] = o
			}
			o.Days, o.Good = o.Days+count(whole), o.Good+count(whole && good)
		}
	}
	out := make([]StartOdds, 0, len(found))
	for _, o := range found {
		out = append(out, *o)
	}
	sort.Slice(out, func(a, b int) bool {
		return out[a].Stretch < out[b].Stretch || out[a].Stretch == out[b].Stretch && out[a].Start < out[b].Start
	})
	return out
}

// Week numbers days by sevens from the record's midnight.
func Week(day int) int { return day / 7 }

func startOdds() calc.Calculation {
	return calc.New("pour.station_odds", "how often a start hour would have been good in a week of the station's year, or in a month", "asos-ewr-2013", func(in struct {
		Month     int                  `says:"1 to 12; 0: by week" default:"0" range:"0..12"`
		Week      int                  `says:"from 0; counts when month is 0" default:"0" range:"0..52"`
		Start     int                  `says:"clock hour" range:"0..23"`
		Span      int                  `says:"hours of work" default:"10" range:"1..24"`
		Threshold quantity.Evaporation `default:"0.00013888888888888889" range:"> 0"`
	}) (out struct {
		Days   int
		Good   int
		Chance quantity.Ratio
	}, err error) {
		r, err := newark(in.Month)
		if err != nil {
			return out, err
		}
		group := func(day int) int {
			if in.Month == 0 && Week(day) != in.Week {
				return -1
			}
			return 0
		}
		for _, o := range Odds(r, []int{in.Start}, in.Span, quantity.In(in.Threshold, "kg/m2/h"), group) {
			out.Days, out.Good, out.Chance = o.Days, o.Good, quantity.Ratio(o.Chance())
		}
		return out, nil
	})
}
