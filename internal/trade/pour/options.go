package pour

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/daywork"
	"slabwright/internal/engines/quantity"
)

// mostSets is how many times the tools on site are thought of.
const mostSets = 2

// gapShares are the truck spacings tried, as shares of the one planned.
var gapShares = []float64{0.6, 0.8, 1, 1.2, 1.5, 2}

// options tries other numbers of hands, with the tools on site and with twice as many, and other spacings, against the same luck.
// More hands are never worse: a foreman may leave some idle, so an option is as good as the best with fewer.
func (j job) options(r *Rehearsal, day daywork.Day) error {
	for sets := 1; sets <= mostSets; sets++ {
		if err := j.crews(r, day, sets); err != nil {
			return err
		}
	}
	if len(day.Loads) < 2 {
		return nil
	}
	list, err := j.spacings(r, day, 1)
	if err != nil {
		return err
	}
	r.Spacings = list
	if o := j.leastWaiting(list, day.Bringer); o != nil {
		r.Best, r.Choice = o.Spacing, o
		return nil
	}
	if r.Need == 0 {
		return nil
	}
	day.Hands = max(day.Hands, r.Need)
	if list, err = j.spacings(r, day, r.NeedSets); err == nil {
		r.Choice = j.leastWaiting(list, day.Bringer)
	}
	return err
}

// tried plays a day as an option.
func (j job) tried(r *Rehearsal, d daywork.Day, sets int) (Option, error) {
	d.Tools = append([]int{}, d.Tools...)
	for _, tool := range handTools {
		d.Tools[tool] *= sets
	}
	o, err := daywork.Play(d, j.dayLimits(), min(r.Days, optionDays), uint64(r.Seed))
	return Option{Hands: d.Hands, Sets: sets, Late: quantity.Percent(o.Late), TooOld: quantity.Percent(o.TooOld), Idle: quantity.Hours(o.Idle), Queue: quantity.Hours(o.Queue), End: quantity.Hours(o.P90)}, err
}

// crews tries hands with so many sets of tools.
func (j job) crews(r *Rehearsal, day daywork.Day, sets int) error {
	first := len(r.Crews)
	for hands := max(1, day.Bringer); hands <= max(mostHands, day.Hands); hands++ {
		d := day
		d.Hands = hands
		o, err := j.tried(r, d, sets)
		if err != nil {
			return err
		}
		if n := len(r.Crews); n > first {
			before := r.Crews[n-1]
			o.Late, o.TooOld, o.End = min(o.Late, before.Late), min(o.TooOld, before.TooOld), min(o.End, before.End)
		}
		if r.Crews = append(r.Crews, o); r.Need == 0 && o.Late <= j.in.Team.Risk.Value {
			r.Need, r.NeedSets = hands, sets
		}
	}
	return nil
}

// spacings tries trucks closer and farther.
func (j job) spacings(r *Rehearsal, day daywork.Day, sets int) ([]Option, error) {
	var list []Option
	tried := map[float64]bool{}
	for _, share := range gapShares {
		gap := math.Max(spacingRound, math.Round(share*r.Spacing.Seconds()/spacingRound)*spacingRound) / 3600
		if tried[gap] {
			continue
		}
		tried[gap] = true
		d := day
		d.Loads = append([]daywork.Load{}, day.Loads...)
		for i := range d.Loads {
			d.Loads[i].Due = float64(i) * gap
		}
		o, err := j.tried(r, d, sets)
		if err != nil {
			return nil, err
		}
		o.Spacing = quantity.Hours(gap)
		list = append(list, o)
	}
	return list, nil
}

// leastWaiting is the spacing that keeps the chosen risk of late work and of old loads and waits least, hands' minutes and trucks'
// minutes counted alike; nil when none keeps it.
func (j job) leastWaiting(list []Option, placers int) *Option {
	var best *Option
	least, risk := math.Inf(1), j.in.Team.Risk.Value
	for i, o := range list {
		if waits := o.Idle.Hours()*float64(placers) + o.Queue.Hours(); o.Late <= risk && o.TooOld <= risk && waits < least {
			least, best = waits, &list[i]
		}
	}
	return best
}

// choiceWords say who and what keeps the chosen risk.
func (j job) choiceWords(r Rehearsal) string {
	if r.Need == 0 {
		return fmt.Sprintf("more than %d hands", r.Crews[len(r.Crews)-1].Hands)
	}
	words := fmt.Sprintf("%d hands", r.Need)
	if r.NeedSets > 1 {
		words += " with " + j.moreTools()
	}
	if c := r.Choice; c != nil && c.Spacing > 0 {
		words = fmt.Sprintf("%d hands", c.Hands)
		if c.Sets > 1 {
			words += " with " + j.moreTools()
		}
		words += fmt.Sprintf(", trucks %s apart", j.show(quantity.Show(c.Spacing, quantity.AsMinutes)))
	}
	return words
}

// moreTools names the tools that twice as many of are thought of.
func (j job) moreTools() string {
	t := j.in.Team
	var list []string
	for _, tool := range []struct {
		n    int
		name string
		used bool
	}{{int(t.BullFloats.Value), "bull floats", true}, {int(t.Groovers.Value), "groovers", t.Grooves.Value > 0}, {int(t.Brooms.Value), "brooms", true}} {
		if tool.used {
			list = append(list, fmt.Sprintf("%d %s", mostSets*tool.n, tool.name))
		}
	}
	return strings.Join(list, " and ")
}
