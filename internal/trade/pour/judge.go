package pour

import (
	"fmt"
	"math"
	"time"

	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/schedule"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/sources"
)

// judge follows one start and says how it goes. A start that the forecast does not reach is not computed.
func (j job) judge(start time.Time, sun almanac.Day) StartHour {
	out := StartHour{At: start}
	o, err := j.followAll(start, j.touch, false)
	if err != nil {
		out.Checks = []check.Check{{ID: "pour.forecast-reach", Level: check.NotComputed, Source: sources.OwnRule,
			Says: "Not judged: " + j.reachWords(err) + ".", Then: []string{"Ask again when the forecast reaches further."}}}
		return out
	}
	j.describe(&out, o)
	out.Checks = j.dryingChecks(o)
	out.Checks = append(out.Checks, j.heatCheck(o), j.coldCheck(o), j.finishCheck(o))
	if !j.steady {
		out.Checks = append(out.Checks, j.rainCheck(o), j.frostCheck(o), j.lightCheck(o, sun))
	}
	out.Level = check.Worst(out.Checks)
	out.Strain = j.strain(o, sun)
	return out
}

func (j job) describe(out *StartHour, o run) {
	dry, peak := o.worstDry(), o.worstPeak()
	first := o.strips[0]
	out.PlacedBy, out.FloatFrom, out.FloatUntil = o.strips[strips-1].placed, first.initial, first.final
	out.FinishedBy, out.SetBy, out.Dries, out.Deficit = o.finished, o.setBy(), dry.dries, dry.deficit
	out.Peak, out.PeakAt = perHour(peak.peak), peak.peakAt
	out.ConcreteTemp, out.Hottest = quantity.Temp(first.chute), quantity.Temp(peak.hottest)
	out.Lateness = quantity.Time(o.late.Seconds())
	keep := schedule.KeepUp(first.initial.Sub(first.placed).Hours(), first.final.Sub(first.placed).Hours(), j.crew.finishing, j.crew.placing, 0)
	out.KeepUp = quantity.Area(math.Min(keep, 1e6))
}

// when writes an instant, or the hours after the start where no clock is known.
func (j job) when(t, start time.Time) string {
	if j.timed() {
		return almanac.Clock(almanac.On(t, j.zone), j.in.Units)
	}
	return fmt.Sprintf("%.1f h after the first concrete", t.Sub(start).Hours())
}

func (j job) timed() bool { return !j.steady || !j.in.Start.IsZero() || !j.in.Now.IsZero() }

// dryLevel weighs the strongest evaporation and the water missing at initial set.
func (j job) dryLevel(peak, deficit float64) check.Level {
	switch limit := dryingLimits[j.kind].limit; {
	case peak >= limit:
		return check.Stop
	case peak >= adviseFrom, deficit > highDeficit && peak >= mildest:
		return check.Care
	}
	return check.Good
}

// dryingChecks hold evaporation against its limit and against bleeding.
func (j job) dryingChecks(o run) []check.Check {
	peak, dry, limit := o.worstPeak(), o.worstDry(), dryingLimits[j.kind]
	rate := check.Check{ID: "pour.drying", Level: j.dryLevel(peak.peak, 0), Value: quantity.Plain(peak.peak/3600, quantity.AsEvaporation),
		Limit: quantity.Plain(limit.limit/3600, quantity.AsEvaporation), Where: j.when(peak.peakAt, o.start), Source: limit.source}
	rate.Says = fmt.Sprintf("At most %s evaporates, at %s; precautions start at %s for this mix.", j.show(rate.Value), rate.Where, j.show(rate.Limit))
	surface := check.Check{ID: "pour.surface-dries", Level: j.dryLevel(math.Min(dry.peak, adviseFrom*0.999), dry.deficit), Source: sources.CommonPractice,
		Value: quantity.Words(riskWord(dry.deficit) + " risk"), Where: j.when(dry.initial, o.start)}
	switch {
	case dry.dries.IsZero():
		surface.Says = "Bleed water keeps the surface wet until it has its initial set."
	default:
		surface.Where = j.when(dry.dries, o.start)
		surface.Says = fmt.Sprintf("The surface looks dry from %s, %s before initial set at %s: %s risk of plastic cracks; a dry skin may still bleed below.",
			surface.Where, span(dry.initial.Sub(dry.dries)), j.when(dry.initial, o.start), riskWord(dry.deficit))
	}
	if worst := max(rate.Level, surface.Level); worst > check.Good && !j.brief {
		then := j.relieve(o, worst)
		for _, c := range []*check.Check{&rate, &surface} {
			if c.Level > check.Good {
				c.Then = then
			}
		}
	}
	return []check.Check{rate, surface}
}

func (j job) show(v quantity.Any) string { return v.String(j.in.Units) }

// span writes a duration in hours and minutes to five minutes.
func span(d time.Duration) string {
	minutes := int(math.Round(d.Minutes()/5)) * 5
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

// measures against drying, in the order of their effect; the first that helps is named first. Effects: common practice.
var measures = []struct {
	says string
	relief
}{
	{"wind breaks on the windy side", relief{0.5, 1, 1, 0}},
	{"evaporation film sprayed after strike-off (it is no finishing aid)", relief{1, 1, 0.4, 0}},
	{"shade over the slab", relief{1, 0.2, 1, 0}},
	{"concrete 5 °C (9 °F) cooler", relief{1, 1, 1, 5}},
	{"wind breaks and evaporation film together", relief{0.5, 1, 0.4, 0}},
}

// relieve names the first measure that betters the drying of a start, and what it brings it to.
func (j job) relieve(o run, level check.Level) []string {
	for _, m := range measures {
		if j.steady && m.sun != 1 {
			continue
		}
		peak, err := j.follow(o.worstPeak().placed, m.relief, false)
		dry := peak
		if placed := o.worstDry().placed; err == nil && !placed.Equal(peak.placed) {
			dry, err = j.follow(placed, m.relief, false)
		}
		if err != nil {
			continue
		}
		if got := max(j.dryLevel(peak.peak, 0), j.dryLevel(dry.peak, dry.deficit)); got < level {
			return []string{fmt.Sprintf("With %s: at most %s, %s.", m.says, j.show(quantity.Plain(peak.peak/3600, quantity.AsEvaporation)), got)}
		}
	}
	return []string{"Another hour or another day; fog the air upwind and cover with sheet between operations if it must be today."}
}

// The concrete temperatures at the chute from which heat deserves care, °C.
const warmConcrete = 32

func (j job) heatCheck(o run) check.Check {
	chute := o.strips[0].chute
	for _, s := range o.strips {
		chute = math.Max(chute, s.chute)
	}
	limit := j.in.HotLimit.Value
	c := check.Check{ID: "pour.concrete-hot", Level: check.Good, Value: quantity.Plain(chute, quantity.AsTemp),
		Limit: quantity.Show(limit, quantity.AsTemp), Source: sources.ACI305R}
	c.Says = fmt.Sprintf("Concrete arrives at about %s; the limit at the chute is %s.", j.show(c.Value), j.show(c.Limit))
	switch {
	case chute > limit.Celsius():
		c.Level, c.Then = check.Stop, []string{"Ask for cooled water or ice at the plant, or start earlier.", "Turn a load away that is over the limit."}
	case chute > min(warmConcrete, limit.Celsius()-1):
		c.Level, c.Then = check.Care, []string{"Start earlier; ask for cool water; dampen base and forms; more hands."}
	}
	return c
}

func (j job) coldCheck(o run) check.Check {
	chute := o.strips[0].chute
	for _, s := range o.strips {
		chute = math.Min(chute, s.chute)
	}
	air, _ := j.air(o.start)
	mixed := quantity.Plain(j.cold.MixedAt(air.Air), quantity.AsTemp)
	c := check.Check{ID: "pour.concrete-cold", Level: check.Good, Value: quantity.Plain(chute, quantity.AsTemp),
		Limit: quantity.Plain(j.cold.Placed, quantity.AsTemp), Source: j.cold.Source}
	c.Says = fmt.Sprintf("Concrete of this thickness must be placed at %s or warmer and kept so; it arrives at about %s.", j.show(c.Limit), j.show(c.Value))
	if chute < j.cold.Placed {
		c.Level = check.Stop
		c.Then = []string{fmt.Sprintf("Order it mixed at %s or warmer.", j.show(mixed))}
	}
	if j.frozen() {
		c.Level, c.Says = check.Stop, "The base is frozen: it will thaw under the slab and let it down."
		c.Then = j.thawing()
	}
	return c
}

// mostFinishers is how many finishers are thought of before another day is.
const mostFinishers = 8

// tooLate is a lateness that no extra hand on the day makes good.
const tooLate = 2 * time.Hour

func (j job) finishCheck(o run) check.Check {
	first := o.strips[0]
	c := check.Check{ID: "pour.finishers", Level: check.Good, Where: j.when(o.lateAt, o.start), Source: sources.ACI302Window,
		Value: quantity.Plain(o.late.Hours()*3600, quantity.AsHours)}
	c.Says = fmt.Sprintf("Float and broom the first concrete between %s (sheen gone, a footprint 1/4 in, 6 mm deep) and %s; %d finishers are through at %s. "+
		"Never finish bleed water in; no hard steel trowel on air-entrained concrete outdoors.",
		j.when(first.initial, o.start), j.when(first.final, o.start), int(j.in.Finishers.Value), j.when(o.finished, o.start))
	if o.late <= 0 {
		return c
	}
	c.Level = check.Care
	c.Says = fmt.Sprintf("%d finishers come %s too late: the concrete placed last has its final set at %s.",
		int(j.in.Finishers.Value), span(o.late), c.Where)
	if need := j.finishersNeeded(o); need > 0 {
		c.Then = []string{fmt.Sprintf("%d finishers keep up.", need)}
	} else {
		c.Then = []string{"Pour it in two parts, or ask for a retarder."}
	}
	if o.late > tooLate {
		c.Level = check.Stop
	}
	return c
}

// finishersNeeded is the smallest crew of finishers in time; zero: none up to mostFinishers.
func (j job) finishersNeeded(o run) int {
	each := j.crew.finishing / float64(j.in.Finishers.Value)
	for n := int(j.in.Finishers.Value) + 1; n <= mostFinishers; n++ {
		more := j.crew
		more.finishing = each * float64(n)
		if o.finish(more); o.late <= 0 {
			return n
		}
	}
	return 0
}

// The rain that spoils a fresh surface, and the chances from which it counts.
const (
	spoilingRain = 0.00025 // m in an hour
	careChance   = 0.30
	stopChance   = 0.60
)

func (j job) rainCheck(o run) check.Check {
	c := check.Check{ID: "pour.rain", Level: check.Good, Source: sources.OwnRule,
		Says: "No rain is forecast from the first concrete to the last final set."}
	for at := o.start.Truncate(time.Hour); at.Before(o.setBy()); at = at.Add(time.Hour) {
		air, err := j.forecast.At(at)
		if err != nil {
			continue
		}
		if level := rainLevel(air.Rain, air.RainChance); level > c.Level {
			c.Level, c.Where = level, j.when(at, o.start)
			c.Value, c.Limit = quantity.Plain(air.RainChance, quantity.AsPercent), quantity.Plain(stopChance, quantity.AsPercent)
			c.Says = fmt.Sprintf("Rain on fresh concrete at %s: %s chance, %s.", c.Where, j.show(c.Value), rainWord(air.Rain, j.in.Units))
			c.Then = []string{"Start so that it is set before, wait for a dry day, or have sheets on frames ready."}
		}
	}
	return c
}

func rainLevel(rain, chance float64) check.Level {
	switch {
	case chance >= stopChance && (rain == 0 || rain >= spoilingRain):
		return check.Stop
	case chance >= careChance, rain >= spoilingRain, rain > 0 && chance > 0:
		return check.Care
	}
	return check.Good
}

func rainWord(rain float64, system quantity.System) string {
	switch {
	case rain == 0:
		return "amount not told"
	case system == quantity.Metric:
		return fmt.Sprintf("%.1f mm", 1000*rain)
	}
	return fmt.Sprintf("%.2f in", quantity.Length(rain).Inches())
}

// freezeStrength is the strength from which concrete withstands one freeze, MPa, and slowSide the share of the usual curve
// that a slow mix reaches.
const (
	freezeStrength = 3.5
	slowSide       = 0.8
)

// protection is how long after placing cold is watched: a slab outdoors that carries nothing yet, three days.
const protection = 72 * time.Hour

// coldAir is the air temperature at or below which cold-weather rules begin, °C.
const coldAir = 4

func (j job) frostCheck(o run) check.Check {
	curve := hydration.DefaultStrength(j.in.Strength.Value.MPa())
	age, lowest, reached := 0.0, math.Inf(1), false
	lowestAt, frost := o.start, time.Time{}
	last := o.strips[strips-1].placed
	for at := last.Truncate(time.Hour); at.Sub(last) < protection; at = at.Add(time.Hour) {
		air, err := j.forecast.At(at)
		if err != nil {
			break
		}
		if air.Air < lowest {
			lowest, lowestAt = air.Air, at
		}
		reached = slowSide*curve.At(age/24) >= freezeStrength
		if air.Air < 0 && !reached && frost.IsZero() {
			frost = at
		}
		age += hydration.AgeFactor(air.Air, hydration.StrengthEnergy, hydration.StrengthRef)
	}
	return j.frostVerdict(o, lowest, lowestAt, frost, reached)
}

func (j job) frostVerdict(o run, lowest float64, lowestAt, frost time.Time, reached bool) check.Check {
	stamp := func(t time.Time) string { return almanac.Stamp(almanac.On(t, j.zone), j.in.Units) }
	c := check.Check{ID: "pour.frost", Level: check.Good, Value: quantity.Plain(lowest, quantity.AsTemp),
		Limit: quantity.Plain(coldAir, quantity.AsTemp), Where: stamp(lowestAt), Source: sources.ACI306R}
	c.Says = fmt.Sprintf("The coldest air of the first three days in the forecast is %s, %s.", j.show(c.Value), c.Where)
	strength := j.show(quantity.Plain(freezeStrength*1e6, quantity.AsStrength))
	switch {
	case !frost.IsZero():
		c.Level, c.Limit, c.Source, c.Where = check.Stop, quantity.Plain(0, quantity.AsTemp), sources.PCAFreeze, stamp(frost)
		c.Says = fmt.Sprintf("Frost at %s before the concrete has %s: frozen so young it can lose half its strength.", c.Where, strength)
		c.Then = []string{"Blankets on as soon as it is broomed, and left on; or wait for warmer nights."}
		if j.in.Covers.Value {
			c.Level = check.Care
		}
	case lowest <= coldAir:
		c.Level = check.Care
		c.Then = []string{"Cold-weather rules: blankets at hand, keep it warm for three days."}
	case !reached:
		c.Says += fmt.Sprintf(" The forecast ends before the concrete has %s.", strength)
		c.Level, c.Then = check.Care, []string{"Look at the nights again when the forecast reaches further."}
		if lowest >= safelyWarm {
			c.Level = check.Good
		}
	}
	return c
}

// safelyWarm is a lowest air temperature from which a frost within days is not thought of, °C.
const safelyWarm = 10

// twilight is how long before sunrise and after sunset there is light to work by.
const twilight = 30 * time.Minute

func (j job) lightCheck(o run, sun almanac.Day) check.Check {
	c := check.Check{ID: "pour.light", Level: check.Good, Source: sources.OwnRule, Says: "There is daylight from the first concrete to the last broom."}
	before, after := darkness(o, sun)
	switch {
	case sun.Kind == almanac.PolarNight:
		c.Level, c.Says = check.Care, "The sun does not rise: the whole pour is by lamps."
	case after > 0:
		c.Level, c.Where = check.Care, j.when(sun.Set.Add(twilight), o.start)
		c.Says = fmt.Sprintf("Dark from %s; the last broom is at %s.", c.Where, j.when(o.finished, o.start))
		c.Then = []string{"Start earlier, or set up lamps for the whole slab before dusk."}
	case before > 0:
		c.Level, c.Where = check.Care, j.when(o.start, o.start)
		c.Says = fmt.Sprintf("It is dark at %s; there is light from %s.", c.Where, j.when(sun.Rise.Add(-twilight), o.start))
		c.Then = []string{"Lamps at the chute and a light for the man who guides the truck."}
	}
	return c
}

// darkness is how long is worked before the morning's and after the evening's light.
func darkness(o run, sun almanac.Day) (before, after time.Duration) {
	if sun.Kind != almanac.Ordinary {
		return 0, 0
	}
	return max(0, sun.Rise.Add(-twilight).Sub(o.start)), max(0, o.finished.Sub(sun.Set.Add(twilight)))
}

// strain ranks starts of one level: evaporation over its limit, plus an hour for every hour the finishers are late, plus a
// quarter for every hour worked in the dark.
func (j job) strain(o run, sun almanac.Day) float64 {
	before, after := darkness(o, sun)
	return o.worstPeak().peak/dryingLimits[j.kind].limit + max(0, o.late.Hours()) + (before+after).Hours()/4
}
