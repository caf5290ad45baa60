package pour

import (
	"fmt"
	"sort"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
)

// judgeDays judges every start hour of every day of the forecast and chooses one.
func (j job) judgeDays(r *Result) {
	first, last := j.forecast.Span()
	for day := almanac.Midnight(first.In(j.zone), 0); day.Before(last); day = almanac.Midnight(day, 1) {
		if plan := j.judgeDay(day, first); len(plan.Starts) > 0 {
			r.Days = append(r.Days, plan)
		}
	}
	j.choose(r)
	r.Verdict, r.Start = r.Chosen.Level, r.Chosen.At
	r.Check(r.Chosen.Checks...)
	j.pointToBetter(r)
	if o, err := j.followAll(r.Start, noRelief, true); err == nil {
		r.Moments = o.strips[0].moments
	}
	trusted := j.forecastChecks()
	r.Check(trusted...)
	if r.Verdict != check.NotComputed {
		r.Verdict = max(r.Verdict, check.Worst(trusted))
	}
}

// judgeDay judges the starts of one day that are not past and not before the forecast.
func (j job) judgeDay(day, from time.Time) DayPlan {
	sun := almanac.DayAt(day.Add(12*time.Hour), j.place)
	plan := DayPlan{Date: day, Best: -1, Second: -1, Sun: Sunlight{sun.Rise, sun.Set}}
	for _, at := range j.startsOf(day) {
		if !at.Before(from) && (!at.Before(j.in.Now) || j.underWay(at)) {
			plan.Starts = append(plan.Starts, j.judge(at.In(j.zone), sun))
		}
	}
	order := make([]int, 0, len(plan.Starts))
	for i, s := range plan.Starts {
		if s.Level != check.NotComputed {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return plan.Starts[order[a]].betterThan(plan.Starts[order[b]]) })
	if len(order) > 0 {
		plan.Best = order[0]
	}
	if len(order) > 1 {
		plan.Second = order[1]
	}
	return plan
}

// underWay says whether this is the start of a pour that has begun: something of it was stamped.
func (j job) underWay(at time.Time) bool { return len(j.in.Team.Taps) > 0 && at.Equal(j.in.Start) }

// startsOf lists the whole hours of a day at which a pour may start, and the fixed start if it is that day.
func (j job) startsOf(day time.Time) []time.Time {
	year, month, date := day.Date()
	var out []time.Time
	fixed := !j.in.Start.IsZero() && almanac.Midnight(j.in.Start.In(j.zone), 0).Equal(day)
	for minutes := int(j.in.Earliest.Value.Minutes() + 0.5); minutes <= int(j.in.Latest.Value.Minutes()+0.5); minutes += 60 {
		at := time.Date(year, month, date, 0, minutes, 0, 0, j.zone)
		if fixed && at.Equal(j.in.Start) {
			fixed = false
		}
		out = append(out, at)
	}
	if fixed {
		out = append(out, j.in.Start)
		sort.Slice(out, func(a, b int) bool { return out[a].Before(out[b]) })
	}
	return out
}

// betterThan ranks starts: first by level, then by strain.
func (s StartHour) betterThan(o StartHour) bool {
	if s.Level != o.Level {
		return s.Level < o.Level
	}
	return s.Strain < o.Strain
}

// choose takes the fixed start, or the best of the planned day, or the best of the first day with starts.
func (j job) choose(r *Result) {
	planned := j.in.Day
	if !j.in.Start.IsZero() {
		planned = j.in.Start
	}
	for _, d := range r.Days {
		if !planned.IsZero() && !almanac.Midnight(planned.In(j.zone), 0).Equal(d.Date) {
			continue
		}
		for _, s := range d.Starts {
			if s.At.Equal(j.in.Start) {
				r.Chosen = s
				return
			}
		}
		if d.Best >= 0 && j.in.Start.IsZero() {
			r.Chosen = d.Starts[d.Best]
			return
		}
	}
	j.chooseNone(r, planned)
}

func (j job) chooseNone(r *Result, planned time.Time) {
	says := "No start hour could be judged: the forecast is too short."
	if !planned.IsZero() {
		first, last := j.forecast.Span()
		day := func(t time.Time) string { return almanac.Date(t.In(j.zone), j.in.Units) }
		says = fmt.Sprintf("%s is not in the forecast, which runs from %s to %s, or the hour is not.", day(planned), day(first), day(last))
		if planned.Before(j.in.Now) {
			says = fmt.Sprintf("%s is past.", almanac.Stamp(planned.In(j.zone), j.in.Units))
		}
	}
	r.Chosen = StartHour{At: j.in.Start, Checks: []check.Check{{ID: "pour.forecast-reach", Level: check.NotComputed, Says: says,
		Source: sources.OwnRule, Then: []string{"Give an hourly forecast that covers the pour and the night after it."}}}}
}

// pointToBetter adds, to the gravest check of a start that is not good, the nearest start that is better.
func (j job) pointToBetter(r *Result) {
	if r.Chosen.Level <= check.Good {
		return
	}
	for _, d := range r.Days {
		if d.Best < 0 || d.Starts[d.Best].Level >= r.Chosen.Level {
			continue
		}
		best := d.Starts[d.Best]
		for i := range r.Checks {
			if c := &r.Checks[i]; c.Level == r.Chosen.Level {
				c.Then = append(append([]string{}, c.Then...), fmt.Sprintf("%s: %s.", almanac.Stamp(best.At, j.in.Units), best.Level))
				return
			}
		}
	}
}

// ageCheck says how old the forecast is.
func (j job) ageCheck() check.Check {
	limit := j.in.ForecastAge
	c := check.Check{ID: "pour.forecast-age", Level: check.Care, Limit: limit.Show(""), Source: sources.OwnRule,
		Says: "Nobody said when this forecast was made.", Then: []string{"Type when the forecast was made and what time it is now."}}
	if j.in.ForecastIssued.IsZero() || j.in.Now.IsZero() {
		return c
	}
	age := j.in.Now.Sub(j.in.ForecastIssued)
	c.Then = []string{"Get the newest forecast before you call the plant."}
	if age < 0 {
		c.Says = "The forecast was made after the time you asked: one of the two clocks is wrong."
		return c
	}
	c.Says = fmt.Sprintf("The forecast is from %s, %s old.", almanac.Stamp(j.in.ForecastIssued.In(j.zone), j.in.Units), span(age))
	if age.Seconds() <= limit.Value.Seconds() {
		c.Level, c.Then = check.Good, nil
	}
	return c
}

// judgeReading judges from four typed numbers: steady air, no sky.
func (j job) judgeReading(r *Result) {
	start := j.in.Start
	if start.IsZero() {
		start = j.in.Now
	}
	r.Chosen = j.judge(almanac.On(start, j.zone), almanac.Day{})
	missing := check.Check{ID: "pour.no-forecast", Level: check.Care, Source: sources.OwnRule,
		Says: "Judged from four numbers only: rain, tonight's low and the afternoon's wind are not in it.",
		Then: []string{"Give an hourly forecast."}}
	r.Check(append(r.Chosen.Checks, j.airCheck(), missing)...)
	r.Verdict, r.Start = check.Worst(r.Checks), r.Chosen.At
	if o, err := j.followAll(start, noRelief, true); err == nil {
		r.Moments = o.strips[0].moments
	}
}

// airCheck holds the typed air against cold and hot weather.
func (j job) airCheck() check.Check {
	air := j.in.Reading.Air
	c := check.Check{ID: "pour.air", Level: check.Good, Value: air.Show(""), Source: sources.ACI306R}
	c.Says = fmt.Sprintf("The air is at %s.", j.show(c.Value))
	switch t := air.Value.Celsius(); {
	case t < 0 && !j.in.Covers.Value:
		c.Level, c.Then = check.Stop, []string{"Wait for air above freezing, or have blankets on site and say so."}
	case t <= coldAir:
		c.Level, c.Then = check.Care, []string{"Cold-weather rules: blankets at hand, keep it warm for three days."}
	case t > hotShade:
		c.Level, c.Source, c.Then = check.Care, sources.ACI305R, []string{"Start earlier; dampen base and forms; more hands."}
	}
	return c
}

// unjudged says honestly that nothing can be said.
func (j job) unjudged(r *Result) {
	r.Check(check.Check{ID: "pour.no-forecast", Level: check.NotComputed, Source: sources.OwnRule,
		Says: "Pour or not cannot be said: there is no forecast and no reading from the site.",
		Then: []string{"No forecast: type air temperature, humidity, wind at the slab and concrete temperature, or give an hourly forecast."}})
}
