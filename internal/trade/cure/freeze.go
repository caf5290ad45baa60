package cure

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// UnderCover is how cold the young slab gets under one cover, by its heat through the forecast.
type UnderCover struct {
	Cover     string              `json:"cover"`
	Value     quantity.Insulation `json:"value"`
	Lowest    quantity.Temp       `json:"lowest"`    // at the coldest place followed, in the days of protection
	LowestAt  quantity.Time       `json:"lowest_at"` // age
	Frost     quantity.Time       `json:"frost"`     // age at which it first freezes; zero: it does not
	Strength  quantity.Stress     `json:"strength"`  // there and then, on the slow side
	Where     string              `json:"where"`     // edge by rule, or edge and corner in section
	Withstood bool                `json:"withstood"` // strong enough for one freeze by then, or no frost
}

// covers that are tried, with their resistance as multiples of one blanket.
var covers = []struct {
	name, step string
	times      float64
	tent       bool
}{{"no cover", "coldest_bare", 0, false}, {"one blanket", "coldest_one_blanket", 1, false}, {"two blankets", "coldest_two_blankets", 2, false}, {"a heated tent", "coldest_tent", 0, true}}

// tentCover is the place of the tent among them.
const tentCover = 3

// edgesGovern is how cold the edge by rule must get for the section through it to be followed, °C: warmer than that nothing freezes.
const edgesGovern = 2.0

// coldEnough is the air, °C, from which freezing is looked into.
const coldEnough = 5.0

// underCovers follows the slab under each cover through the days of protection, when the forecast is cold. Where the edge by rule comes
// near freezing, the edge is followed in section, bare form boards at its side, and the corner by the product rule.
func (j job) underCovers() []UnderCover {
	hours := min(len(j.warmth.states), protectionDays*24)
	coldest := math.Inf(1)
	for h := range hours {
		coldest = math.Min(coldest, j.airTemp(middle, float64(h)))
	}
	if hours == 0 || coldest > coldEnough {
		return nil
	}
	var out []UnderCover
	for _, c := range covers {
		slab := j.warmth.slab
		slab.Depths, slab.Covers = nil, nil
		u := UnderCover{Cover: c.name, Value: quantity.Insulation(c.times * float64(j.in.CoverValue.Value)), Lowest: quantity.Temp(math.Inf(1))}
		with := j
		with.in.Tent.Value = c.tent
		switch {
		case c.tent:
			slab.Covers = []hydration.Cover{j.tent()}
		case u.Value > 0:
			slab.Covers = []hydration.Cover{j.blanket(float64(u.Value))}
		}
		temps, ages, where, err := with.coldestByRule(slab, hours)
		if err == nil && (j.in.Thorough.Value || slices.Min(temps) < edgesGovern) {
			temps, ages, where, err = with.coldestInSection(slab, hours)
		}
		if err != nil {
			continue
		}
		u.Where = where
		u.read(temps, ages, j.gain)
		out = append(out, u)
	}
	return out
}

// read notes the lowest temperature and the first frost of hourly temperatures, with the strength by hourly ages.
func (u *UnderCover) read(temps, ages []float64, g gain) {
	u.Withstood = true
	for h, t := range temps {
		if t < u.Lowest.Celsius() {
			u.Lowest, u.LowestAt = quantity.Temp(t), quantity.Hours(float64(h+1))
		}
		if t < 0 && u.Frost == 0 {
			s := g.low(ages[h] / 24)
			u.Frost, u.Strength, u.Withstood = quantity.Hours(float64(h+1)), quantity.MPa(s), s >= freezeStrength
		}
	}
}

// coldestByRule is the top brought half way to the air.
func (j job) coldestByRule(slab hydration.Slab, hours int) (temps, ages []float64, where string, err error) {
	states, err := slab.Warmth(float64(hours))
	for _, s := range states {
		temps, ages = append(temps, j.atEdge(s.Top, s.Hour)), append(ages, s.TopStrengthAge)
	}
	return temps, ages, "edge, by rule", err
}

// proud is how far a slab stands above the ground beside it, as a share of its thickness.
const proud = 0.5

// coldestInSection is the corner of the section.
func (j job) coldestInSection(slab hydration.Slab, hours int) (temps, ages []float64, where string, err error) {
	states, err := slab.Edge(float64(hours), hydration.Rim{Proud: proud * slab.Thickness, Form: hydration.FormBoard, Over: true})
	for _, s := range states {
		temps, ages = append(temps, s.Corner), append(ages, s.StrengthAge)
	}
	return temps, ages, "corner, from the section through the edge", err
}

// showCovers puts the cold under each cover on the sheet.
func (j job) showCovers(r *Result) {
	r.Freeze = j.underCovers()
	for i, u := range r.Freeze {
		r.Working.Show(working.Step{Name: covers[i].step, Says: fmt.Sprintf("coldest concrete of the first three days, %s; %s", u.Cover, u.Where), Formula: "ρc ∂T/∂t = ∇(k ∇T) + Q",
			Value: quantity.Show(u.Lowest, quantity.AsTemp), From: []string{"poured", "cover_value", "placed_temperature"}, Source: sources.Schindler2005})
	}
	if len(r.Freeze) > 0 {
		r.Check(j.coverCheck(r.Freeze), j.keptWarmCheck(r.Freeze))
	}
	r.Check(j.heaterFumes(r.Freeze)...)
	if drop, ok := j.coolDown(); ok {
		r.Working.Show(working.Step{Name: "cool_down", Says: "how much the top cools in the day after the blankets come off", Value: quantity.Plain(drop, quantity.AsTempDiff),
			From: []string{"cover_value", "placed_temperature"}, Source: sources.Schindler2005})
		r.Check(j.coolDownCheck(drop))
	}
}

// coolDown is how far the top falls in the day after the cover of the plan comes off, K.
func (j job) coolDown() (drop float64, ok bool) {
	off := protectionDays * 24
	states := j.warmth.states
	if !j.covered() || len(states) < off+24 {
		return 0, false
	}
	for _, s := range states[off : off+24] {
		drop = math.Max(drop, states[off-1].Top-s.Top)
	}
	return drop, true
}

// mostDrop is how far a thin slab may cool in the day after protection ends, K.
const mostDrop = 28.0

func (j job) coolDownCheck(drop float64) check.Check {
	value, limit := quantity.Plain(drop, quantity.AsTempDiff), quantity.Plain(mostDrop, quantity.AsTempDiff)
	return check.AtMost("cure.cool-down", value, limit, check.Care,
		fmt.Sprintf("With the blankets off after three days it cools %s in a day.", j.show(value)),
		fmt.Sprintf("With the blankets off after three days it cools %s in a day, more than %s.", j.show(value), j.show(limit)), sources.ACI306Table,
		"Take them off in the warm of the day, one layer at a time.")
}

// inPlan is the cover that lies on the slab in the plan.
func (j job) inPlan(list []UnderCover) UnderCover {
	switch {
	case j.in.Tent.Value && len(list) > tentCover:
		return list[tentCover]
	case j.covered() && len(list) > 1:
		return list[1]
	}
	return list[0]
}

// coverCheck says what each cover does against frost.
func (j job) coverCheck(list []UnderCover) check.Check {
	u := j.inPlan(list)
	c := check.Check{ID: "cure.freeze-cover", Level: check.Good, Value: quantity.Show(u.Lowest, quantity.AsTemp), Limit: quantity.Plain(0, quantity.AsTemp),
		Where: u.Where, Source: sources.PCAFreeze}
	c.Says = fmt.Sprintf("With %s the coldest concrete falls to %s, %s.", u.Cover, j.show(c.Value), j.dateWords(u.LowestAt.Hours(), false))
	if u.Withstood {
		return c
	}
	c.Level = check.Stop
	c.Says = fmt.Sprintf("With %s it freezes from %s with %s; it needs %s.", u.Cover, j.dateWords(u.Frost.Hours(), false),
		j.show(quantity.Show(u.Strength, quantity.AsStrength)), j.show(quantity.Plain(freezeStrength*1e6, quantity.AsStrength)))
	for i, other := range list {
		if !other.Withstood {
			continue
		}
		words := other.Cover + ", doubled at edges and corners"
		if i == tentCover {
			words = fmt.Sprintf("%s kept at %s, its heater vented outside", other.Cover, j.show(j.in.TentAir.Show("")))
		}
		c.Then = append(c.Then, fmt.Sprintf("%s: not below %s before it is strong enough.", words, j.show(quantity.Show(other.Lowest, quantity.AsTemp))))
		if j.in.Covers.Value && other.Cover == "two blankets" {
			c.Level = check.Care
		}
		return c
	}
	c.Then = []string{"Heated concrete, an accelerator, a warmer tent, or wait."}
	return c
}

// keptWarm is the least temperature at which a thin slab is to be kept in cold weather, °C; warned of below it.
const keptWarm = 13.0

func (j job) keptWarmCheck(list []UnderCover) check.Check {
	u := j.inPlan(list)
	c := check.Check{ID: "cure.kept-warm", Level: check.Good, Value: quantity.Show(u.Lowest, quantity.AsTemp), Limit: quantity.Plain(keptWarm, quantity.AsTemp), Source: sources.ACI306Table}
	c.Says = fmt.Sprintf("A slab this thin is to stay at %s for three days; with %s it falls to %s.", j.show(c.Limit), u.Cover, j.show(c.Value))
	if u.Lowest.Celsius() < keptWarm {
		c.Level = check.Care
		c.Then = []string{"Heated mix, an accelerator, more blankets, a heated tent, or wait."}
	}
	return c
}
