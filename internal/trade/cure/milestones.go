package cure

import (
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// use is something people want to do with the slab.
type use struct {
	name, says string
	need       known.Stress
	least      float64 // age, h, below which it is not done whatever the strength
	wholeDay   bool    // the date is a day, not an hour
	chained    bool    // not before the use before it
	source     sources.Key
}

// Least ages, h: usual times of the trade, the floor under every date.
const (
	leastStrip   = 12
	leastFoot    = 24
	leastCar     = 7 * 24
	leastWarmCar = 3 * 24
	leastTrailer = 7 * 24
	leastTruck   = 28 * 24
	leastProven  = 7 * 24 // of a truck whose strength another stage has asked for
)

// warmEnough is the mean slab temperature of the first three days from which cars may come after three, °C.
const warmEnough = 16

// freezeStrength is the strength that withstands one freeze, MPa.
const freezeStrength = 3.5

func (j job) uses() []use {
	in := j.in
	car := float64(leastCar)
	if j.meanSlab(slow, leastWarmCar) >= warmEnough {
		car = leastWarmCar
	}
	list := []use{
		{"freeze_safe", "withstand one freeze", known.Guess(quantity.MPa(freezeStrength), "500 psi", sources.PCAFreeze), 0, false, false, sources.PCAFreeze},
		{"strip", "strip the side forms", in.StripAt, leastStrip, false, false, sources.CommonPractice},
		{"foot", "walk on it", in.FootAt, leastFoot, false, true, sources.CommonPractice},
		{"car", "drive a car on it", in.CarAt, car, true, true, sources.ACI330Opening},
		{"trailer", "park the " + in.Parks.Value, in.TrailerAt, leastTrailer, true, true, sources.CommonPractice},
	}
	truck := use{"truck", "let a truck on", in.TruckAt, leastProven, true, true, sources.CommonPractice}
	if !j.proven() {
		truck.least = leastTruck
	}
	return append(list, truck)
}

func (j job) meanSlab(s side, hours int) float64 {
	sum := 0.0
	for h := range hours {
		sum += j.inHour(s, h)
	}
	return sum / float64(hours)
}

// milestones finds every date. A date is the latest of three: strength on the slow side, the least age, the use before it.
func (j job) milestones(r *Result) {
	floor := 0.0
	for _, u := range j.uses() {
		m := j.milestone(u, floor)
		if u.chained {
			floor = m.Age.Hours()
		}
		r.Milestones = append(r.Milestones, m)
		j.showMilestone(&r.Working, u, m)
	}
	end := j.curingEnd()
	r.Milestones = append(r.Milestones, end)
	j.showMilestone(&r.Working, use{name: end.Name, says: end.Says, source: sources.ACI308}, end)
}

func (j job) milestone(u use, floor float64) Milestone {
	m := Milestone{Name: u.name, Says: u.says, Need: u.need.Or(j.in.Strength).Value, By: "strength"}
	age := j.ageWhen(slow, 0, j.reaches(u.need, j.gain.low))
	m.Soonest = quantity.Hours(math.Min(j.ageWhen(fast, 0, j.reaches(u.need, j.gain.high)), horizon))
	if math.IsInf(age, 1) || u.chained && floor >= horizon {
		m.Never, m.Age = true, quantity.Hours(horizon)
		m.Forward = []string{"Break cylinders: what is known of this mix does not prove that strength."}
		if !math.IsInf(age, 1) {
			m.By = "the use before it"
		}
		return m
	}
	if u.least > age {
		age, m.By = u.least, "least age"
	}
	if floor > age {
		age, m.By = floor, "the use before it"
	}
	m.Age = quantity.Hours(age)
	m.At = j.rounded(age, u.wholeDay)
	if m.By == "strength" {
		m.Forward = j.forward(u)
	}
	return m
}

// provenAge is the equivalent age, days, at which a mix has the strength it was ordered for.
const provenAge = 28

// proven says whether a truck's strength is asked for or tested, not only ordered.
func (j job) proven() bool { return j.in.TruckAt.Given() || j.gain.fit != nil }

// reaches is the test of a strength by the given edge. Without a strength of its own and without cylinders a truck waits for
// 28 days at 20 °C, the age for which the order is made.
func (j job) reaches(need known.Stress, edge func(te float64) float64) func(te float64) bool {
	if !need.Given() && !j.proven() {
		return func(te float64) bool { return te >= provenAge }
	}
	strength := need.Or(j.in.Strength).Value.MPa()
	return func(te float64) bool { return edge(te) >= strength }
}

// rounded is an age as a date, always later: to the next whole hour, or to the day after.
func (j job) rounded(age float64, wholeDay bool) time.Time {
	if !j.dated {
		return time.Time{}
	}
	at := j.at(age)
	if wholeDay {
		return almanac.NextMidnight(at)
	}
	return almanac.Later(at, time.Hour)
}

// warmer is how much a curing blanket adds to a young slab's mean in cool weather, K.
const warmer = 5

// forward says what would bring a date forward, and to when.
func (j job) forward(u use) []string {
	var out []string
	if age := j.ageWhen(slow, warmer, j.reaches(u.need, j.gain.low)); !math.IsInf(age, 1) {
		out = append(out, fmt.Sprintf("Blankets that keep it %s warmer: %s.", quantity.Plain(warmer, quantity.AsTempDiff).String(j.in.Units), j.dateWords(math.Max(age, u.least), u.wholeDay)))
	}
	if j.gain.fit == nil && u.need.Given() {
		tested := gain{curve: j.gain.curve, spread: j.gain.spread / 2, energy: j.gain.energy}
		if age := j.ageWhen(slow, 0, j.reaches(u.need, tested.low)); !math.IsInf(age, 1) {
			out = append(out, fmt.Sprintf("Cylinders of this mix that halve the doubt: %s.", j.dateWords(math.Max(age, u.least), u.wholeDay)))
		}
	}
	if len(j.in.Measured) == 0 {
		out = append(out, "Temperatures read in the slab: it is usually warmer than the air.")
	}
	return out
}

// dateWords writes an age as a date with weekday, or as an age where the pour is not dated.
func (j job) dateWords(age float64, wholeDay bool) string {
	switch {
	case !j.dated && wholeDay:
		return fmt.Sprintf("%.0f days after the pour", math.Ceil(age/24-1e-9))
	case !j.dated:
		return fmt.Sprintf("%.0f h after the pour", math.Ceil(age-1e-9))
	case wholeDay:
		return almanac.Date(j.rounded(age, true), j.in.Units)
	}
	return almanac.Stamp(j.rounded(age, false), j.in.Units)
}

// untilWords writes an age after which it is too late, rounded earlier to the whole hour.
func (j job) untilWords(age float64) string {
	if !j.dated {
		return fmt.Sprintf("%.0f h after the pour", math.Floor(age))
	}
	at := j.at(age)
	if whole := almanac.Later(at, time.Hour); whole.After(at) {
		at = whole.Add(-time.Hour)
	}
	return almanac.Stamp(at, j.in.Units)
}

func (j job) milestoneWords(m Milestone, wholeDay bool) string {
	if m.Never {
		return "not proven: break cylinders"
	}
	return j.dateWords(m.Age.Hours(), wholeDay)
}

// Length of curing: days, the share of the ordered strength it must bring, and the days for Type III cement.
const (
	curingDays     = 7
	curingDaysIII  = 3
	curedShare     = 0.70
	fastCementType = "III"
)

// curingEnd is when curing may end: after seven days (three with Type III) and not before the slab has 70 % of the ordered
// strength by the usual curve in the coldest air thought of.
func (j job) curingEnd() Milestone {
	least := float64(curingDays * 24)
	if j.in.Cement.Value == fastCementType {
		least = curingDaysIII * 24
	}
	need := known.Guess(quantity.Stress(curedShare*float64(j.in.Strength.Value)), "70 % of the strength ordered", sources.ACI308)
	m := Milestone{Name: "cure_until", Says: "end curing", Need: need.Value, By: "least age"}
	age := j.ageWhen(slow, 0, j.reaches(need, j.gain.curve.At))
	m.Soonest = quantity.Hours(least)
	if math.IsInf(age, 1) {
		m.Never, m.Age = true, quantity.Hours(horizon)
		return m
	}
	if age > least {
		m.By = "strength"
	}
	m.Age = quantity.Hours(math.Max(age, least))
	m.At = j.rounded(m.Age.Hours(), true)
	return m
}

// showMilestone puts a date and what it rests on on the sheet.
func (j job) showMilestone(w *working.Sheet, u use, m Milestone) {
	age := m.Name + "_days"
	need := working.Step{Name: m.Name + "_strength", Says: "strength to " + m.Says, Symbol: "S*", Value: quantity.Show(m.Need, quantity.AsStrength), Source: u.source}
	need.Origin, need.Reason, need.Typed = u.need.Origin, u.need.Reason, u.need.Text
	if u.need.Source != "" {
		need.Source = u.need.Source
	}
	if m.Name == "truck" && !j.proven() {
		need.Value = quantity.Words("the strength ordered, at 28 days of 20 °C (68 °F)")
	}
	w.Show(need)
	w.Answer(working.Step{Name: age, Says: "age to " + m.Says + ", slow mix in cold air; governed by " + m.By, Symbol: "t",
		Formula: "(1 − spread) S(te) ≥ S*, te = ∫ exp[Ea/R (1/Tr − 1/T)] dt", Value: quantity.Show(m.Age, quantity.AsDays),
		From: []string{m.Name + "_strength", "ultimate_strength", "gain_per_day", "strength_begins", "spread", "later_air"}, Source: sources.ASTMC1074})
	wholeDay := u.wholeDay || m.Name == "cure_until"
	w.Answer(working.Step{Name: m.Name, Says: "earliest to " + m.Says, Formula: "poured + age, rounded later", Value: quantity.Words(j.milestoneWords(m, wholeDay)),
		From: []string{age, "poured"}, Source: sources.OwnRule})
}
