package pour

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// YearOdds is what a weather record says of pouring, by week and by month, for each start hour.
type YearOdds struct {
	Year     int         `json:"year"`
	Span     int         `json:"span"`     // hours of work that must be good, from the start on
	Rejected int         `json:"rejected"` // observations that cannot be
	Weeks    []StartOdds `json:"weeks"`
	Months   []StartOdds `json:"months"`
}

// MarshalJSON tells a record by its size and its print, not by its thousands of numbers.
func (r Record) MarshalJSON() ([]byte, error) {
	hash := sha256.New()
	for _, list := range [][]float64{r.Hour, r.Air, r.Humidity, r.Wind, r.Rain} {
		if err := binary.Write(hash, binary.LittleEndian, list); err != nil {
			return nil, err
		}
	}
	return json.Marshal(map[string]any{"year": r.Year, "hours": len(r.Hour), "print": hex.EncodeToString(hash.Sum(nil))})
}

// date is the day of a record.
func (r Record) date(day int) time.Time {
	return time.Date(r.Year, 1, 1+day, 0, 0, 0, 0, time.UTC)
}

// Week numbers a day's week of its year, 0 to 52; the record's own where it is of no year.
func (r Record) Week(day int) int {
	if r.Year == 0 {
		return Week(day)
	}
	return (r.date(day).YearDay() - 1) / 7
}

// Month is a day's month, 1 to 12.
func (r Record) Month(day int) int { return int(r.date(day).Month()) }

// usualSpan is the hours of work that a start is judged over where no pour of this job was followed, h.
const usualSpan = 10

// countYear counts the odds of the record.
func (j job) countYear(r *Result) {
	if len(j.in.Year.Hour) == 0 {
		return
	}
	span := usualSpan
	if r.Chosen.Level != check.NotComputed {
		span = int(math.Ceil(r.Chosen.SetBy.Sub(r.Chosen.At).Hours()))
	}
	var starts []int
	for h := int(math.Ceil(j.in.Earliest.Value.Hours())); h <= int(j.in.Latest.Value.Hours()); h++ {
		starts = append(starts, h)
	}
	odds := &YearOdds{Year: j.in.Year.Year, Span: span}
	odds.Rejected = LookBack(j.in.Year, 0, 23, adviseFrom).Rejected
	odds.Weeks = Odds(j.in.Year, starts, span, adviseFrom, j.in.Year.Week)
	odds.Months = Odds(j.in.Year, starts, span, adviseFrom, j.in.Year.Month)
	r.Year = odds
	j.showYear(&r.Working, odds)
}

// best is the start hour of a stretch with the best chance, the earliest among equals; false when the record tells nothing of it.
func best(list []StartOdds, stretch int) (StartOdds, bool) {
	var top StartOdds
	found := false
	for _, o := range list {
		if o.Stretch == stretch && o.Days > 0 && (!found || o.Chance() > top.Chance()) {
			top, found = o, true
		}
	}
	return top, found
}

// words say odds as people do: "6 days in 10 from 07:00".
func (o StartOdds) words(system quantity.System) string {
	clock := almanac.Clock(time.Date(2000, 1, 1, o.Start, 0, 0, 0, time.UTC), system)
	return fmt.Sprintf("%.0f days in 10 from %s (%d of %d)", 10*o.Chance(), clock, o.Good, o.Days)
}

func (j job) showYear(w *working.Sheet, y *YearOdds) {
	formula := fmt.Sprintf("days with %d h from the start on without rain, between 41 and 90 °F (5 and 32 °C), evaporation below %s; concrete as warm as the air; record of %d, %d observations left out",
		y.Span, j.show(quantity.Plain(adviseFrom/3600, quantity.AsEvaporation)), y.Year, y.Rejected)
	show := func(name, says string, list []StartOdds, stretch int) {
		if o, ok := best(list, stretch); ok {
			w.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: quantity.Words(o.words(j.in.Units)), From: []string{"placing_time"}, Source: sources.OwnRule})
		}
	}
	if at := j.planned(); !at.IsZero() {
		show("odds_week", fmt.Sprintf("good days in the week of %s, by the record", at.Format("2 January")), y.Weeks, (at.YearDay()-1)/7)
		show("odds_month", fmt.Sprintf("good days in %s, by the record", at.Month()), y.Months, int(at.Month()))
	}
	var top StartOdds
	for m := 1; m <= 12; m++ {
		if o, ok := best(y.Months, m); ok && o.Chance() > top.Chance() {
			top = o
		}
	}
	if top.Days > 0 {
		show("odds_best", fmt.Sprintf("the best month by the record, %s", time.Month(top.Stretch)), y.Months, top.Stretch)
	}
}

// planned is the day asked about: fixed, planned or today.
func (j job) planned() time.Time {
	for _, t := range []time.Time{j.in.Start, j.in.Day, j.in.Now} {
		if !t.IsZero() {
			return almanac.On(t, j.zone)
		}
	}
	return time.Time{}
}

// The steps of the odds, good days in ten from which each begins.
var oddSteps = [4]float64{2, 4, 6, 8}

// yearPicture shows good days in ten by week and start hour: dark is good; the table has the months in words.
func (j job) yearPicture(y *YearOdds) drawing.Picture {
	p := drawing.Picture{Name: "year-odds", Space: drawing.Paper, Table: drawing.Table{Header: []string{"month", "best start", "days in 10", "good of", "days"}}}
	first, last := y.Weeks[0].Start, y.Weeks[0].Start
	for _, o := range y.Weeks {
		first, last = min(first, o.Start), max(last, o.Start)
	}
	width, height := stripWidth/53, (stripHeight+20)/float64(last-first+1)
	for _, o := range y.Weeks {
		if o.Days == 0 {
			continue
		}
		step := 0
		for step < len(oddSteps) && 10*o.Chance() >= oddSteps[step] {
			step++
		}
		x, low := stripLeft+width*float64(o.Stretch), stripBottom+height*float64(last-o.Start)
		p.Marks = append(p.Marks, drawing.Path{Layer: draft.Steps[step], Closed: true, Points: []drawing.Point{{X: x, Y: low}, {X: x + width, Y: low}, {X: x + width, Y: low + height}, {X: x, Y: low + height}}})
	}
	for h := first; h <= last; h++ {
		clock := almanac.Clock(time.Date(2000, 1, 1, h, 0, 0, 0, time.UTC), j.in.Units)
		p.Marks = append(p.Marks, note(stripLeft-1.5, stripBottom+height*(float64(last-h)+0.5), clock, drawing.Right))
	}
	for m := time.January; m <= time.December; m++ {
		at := time.Date(2001, m, 15, 0, 0, 0, 0, time.UTC)
		label := m.String()[:3]
		if o, ok := best(y.Months, int(m)); ok {
			p.Table.Rows = append(p.Table.Rows, []string{m.String(), almanac.Clock(time.Date(2000, 1, 1, o.Start, 0, 0, 0, time.UTC), j.in.Units), fmt.Sprintf("%.0f", 10*o.Chance()), fmt.Sprint(o.Good), fmt.Sprint(o.Days)})
			label += fmt.Sprintf("\n%.0f in 10", 10*o.Chance())
		}
		p.Marks = append(p.Marks, note(stripLeft+stripWidth*float64(at.YearDay())/365, stripBottom-1.5, label, drawing.Below))
	}
	p.Title = "Days that would have been good to pour, by week and start hour"
	if at := j.planned(); !at.IsZero() {
		if o, ok := best(y.Months, int(at.Month())); ok {
			p.Title = fmt.Sprintf("Good to pour in %s: %s", at.Month(), o.words(j.in.Units))
		}
	}
	p.Says = p.Title + ". Each column is a week of the year, each row a start hour; dark is good."
	p.Legend = []drawing.LegendRow{{Layer: draft.Steps[0], Says: "under 2 days in 10"}}
	for i, from := range oddSteps {
		says := fmt.Sprintf("%.0f to %.0f", from, from+2)
		p.Legend = append(p.Legend, drawing.LegendRow{Layer: draft.Steps[i+1], Says: says})
	}
	return p
}
