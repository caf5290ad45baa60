package cure

import (
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
)

// Update is how readings moved the dates, and why.
type Update struct {
	Until   time.Time     `json:"until,omitzero"` // of the last reading counted; zero: the forecast alone
	Car     time.Time     `json:"car,omitzero"`
	Trailer time.Time     `json:"trailer,omitzero"`
	Moved   quantity.Time `json:"moved"` // the trailer's age against the update before; later is above zero
	Why     string        `json:"why"`
}

// mostUpdates are told: one for each of the last days with readings.
const mostUpdates = 14

// updates computes the dates again with the readings of each day added, and with the cylinders.
func (j job) updates() []Update {
	if len(j.in.Measured) == 0 && j.gain.fit == nil || !j.dated {
		return nil
	}
	bare := j
	bare.hours = new([3][]float64)
	bare.in.Measured, bare.readBias, bare.readUntil = nil, 0, time.Time{}
	if j.gain.fit != nil {
		plain := j.in
		plain.Cylinders = nil
		bare.gain, _ = plain.gain()
	}
	first, before := bare.update("The forecast and the usual curve alone.", time.Time{}, math.NaN())
	out := []Update{first}
	if j.gain.fit != nil {
		bare.gain = j.gain
		var u Update
		why := fmt.Sprintf("%d cylinders: in the end %s, scatter %s.", len(j.in.Cylinders), j.show(quantity.Plain(j.gain.fit.Params[0]*1e6, quantity.AsStrength)),
			j.show(quantity.Plain(j.gain.fit.Scatter*1e6, quantity.AsStrength)))
		u, before = bare.update(why, time.Time{}, before)
		out = append(out, u)
	}
	for _, n := range j.dayEnds() {
		with := bare
		with.hours = new([3][]float64)
		with.in.Measured = j.in.Measured[:n]
		with.readBias, with.readUntil = with.bias()
		var u Update
		u, before = with.update(j.whyMoved(with.readBias, with.readUntil), with.readUntil, before)
		out = append(out, u)
	}
	return out
}

// dayEnds are how many readings there were by the end of each of the last days.
func (j job) dayEnds() []int {
	var ends []int
	list := j.in.Measured
	for i := range list {
		if i+1 == len(list) || !almanac.Midnight(almanac.On(list[i].Time, j.zone), 0).Equal(almanac.Midnight(almanac.On(list[i+1].Time, j.zone), 0)) {
			ends = append(ends, i+1)
		}
	}
	return ends[max(0, len(ends)-mostUpdates):]
}

func (j job) whyMoved(bias float64, until time.Time) string {
	word := "warmer"
	if bias < 0 {
		word = "colder"
	}
	return fmt.Sprintf("Readings to %s: the slab was %s %s than thought in their last day; the slow side counts what is read, and only what is colder of the rest.",
		almanac.Stamp(almanac.On(until, j.zone), j.in.Units), j.show(quantity.Plain(math.Abs(bias), quantity.AsTempDiff)), word)
}

// update is the dates as they stand, and the trailer's age to compare the next with.
func (j job) update(why string, until time.Time, before float64) (Update, float64) {
	u, floor, age := Update{Until: until, Why: why}, 0.0, 0.0
	for _, use := range j.uses() {
		if use.name == "truck" {
			continue
		}
		age = math.Max(j.ageWhen(slow, 0, j.reaches(use.need, j.gain.low)), use.least)
		if use.chained {
			age = math.Max(age, floor)
			floor = age
		}
		if math.IsInf(age, 1) {
			return u, math.NaN()
		}
		switch use.name {
		case "car":
			u.Car = j.rounded(age, true)
		case "trailer":
			u.Trailer = j.rounded(age, true)
		}
	}
	if !math.IsNaN(before) {
		u.Moved = quantity.Hours(age - before)
	}
	return u, age
}

// littleMove is the least move of a date that is spoken of, h.
const littleMove = 2.0

// movedCheck says how the last readings moved the date of what is parked, and why.
func (j job) movedCheck(list []Update) []check.Check {
	if len(list) < 2 || list[0].Trailer.IsZero() {
		return nil
	}
	first, last := list[0], list[len(list)-1]
	day := func(t time.Time) string { return almanac.Date(t, j.in.Units) }
	c := check.Check{ID: "cure.moved", Level: check.Good, Source: sources.OwnRule, Where: almanac.Stamp(almanac.On(last.Until, j.zone), j.in.Units)}
	total := 0.0
	for _, u := range list {
		total += u.Moved.Hours()
	}
	switch {
	case last.Trailer.IsZero():
		c.Level, c.Says = check.Stop, fmt.Sprintf("By the readings the strength for the %s is not proven any more. %s", j.in.Parks.Value, last.Why)
	case math.Abs(total) < littleMove:
		c.Says = fmt.Sprintf("Readings leave the %s at %s. %s", j.in.Parks.Value, day(last.Trailer), last.Why)
	case total > 0:
		c.Level = check.Care
		c.Says = fmt.Sprintf("Readings put the %s off from %s to %s. %s", j.in.Parks.Value, day(first.Trailer), day(last.Trailer), last.Why)
	default:
		c.Says = fmt.Sprintf("Readings bring the %s forward from %s to %s. %s", j.in.Parks.Value, day(first.Trailer), day(last.Trailer), last.Why)
	}
	return []check.Check{c}
}
