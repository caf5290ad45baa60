package pour

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"slabwright/internal/engines/daywork"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
)

// tapped carries over what really happened, and says how the set runs against the plan and until when the day is known.
func (j job) tapped(d *daywork.Day, start time.Time) (stretch float64, now time.Time, err error) {
	n := len(d.Pieces)
	real, next := &d.Real, map[string]int{}
	real.Done = make([][]float64, n)
	for i := range real.Done {
		real.Done[i] = unknown(len(steps))
	}
	real.Loads, real.Brought = unknown(len(d.Loads)), unknown(n)
	var ratios []float64
	for i, tap := range j.in.Team.Taps {
		what, at := strings.ToLower(strings.TrimSpace(tap.What)), tap.At.Sub(start).Hours()
		place := tap.Strip - 1
		if tap.Strip == 0 {
			place = next[what]
		}
		next[what] = place + 1
		limit := n
		if what == TruckHere {
			limit = len(d.Loads)
		}
		if place >= limit {
			why, instead := fmt.Sprintf("there is no strip %d: the slab is placed in %d.", place+1, limit), "Say which of them (--strip), or how many there are (pour.team.strips)."
			if what == TruckHere {
				why, instead = fmt.Sprintf("%d loads were planned, and all have come.", limit), "Take it back, or plan more loads."
			}
			return 0, now, check.Faults{{Field: fmt.Sprintf("team.taps[%d]", i+1), Given: tap.What, Why: why, Type: instead}}.Err()
		}
		if why, instead := j.outOfOrder(real, i, what, place); why != "" {
			return 0, now, check.Faults{{Field: fmt.Sprintf("team.taps[%d]", i+1), Given: tap.What, Why: why, Type: instead}}.Err()
		}
		switch what {
		case TruckHere:
			real.Loads[place] = at
		case StruckOff:
			real.Brought[place] = at
		case SheenGone:
			if brought := real.Brought[place]; !math.IsNaN(brought) && at > brought {
				ratios = append(ratios, (at-brought)/d.Windows(floatStep, brought).Opens)
			}
			real.Done[place][bullStep] = at
		default:
			real.Done[place][stepDone(what)] = at
		}
		now = tap.At
	}
	if now.IsZero() {
		return 0, now, nil
	}
	implied(real)
	if j.in.Now.After(now) {
		now = j.in.Now
	}
	real.Now = now.Sub(start).Hours()
	if len(ratios) > 0 {
		sort.Float64s(ratios)
		stretch = math.Max(0.3, math.Min(3, ratios[len(ratios)/2]))
		real.Stretch = stretch
	}
	return stretch, now, nil
}

// longestDay is how long after the first stamp of a day concrete may still come or be struck off.
const longestDay = 16 * time.Hour

// outOfOrder says what a stamp contradicts: the trucks, the strip's own stamps before it, the day. Empty: nothing.
func (j job) outOfOrder(real *daywork.Real, i int, what string, place int) (why, instead string) {
	taps := j.in.Team.Taps
	switch {
	case what == StruckOff && slices.ContainsFunc(taps[i+1:], func(t Tap) bool { return isTap(t, TruckHere) }) && !slices.ContainsFunc(taps[:i], func(t Tap) bool { return isTap(t, TruckHere) }):
		return "it is stamped before the first truck was here.", "Take one of the two back (--undo) and stamp it with its hour (--at)."
	case (what == StruckOff || what == TruckHere) && taps[i].At.Sub(taps[0].At) > longestDay:
		return fmt.Sprintf("the first stamp of this pour is %s old: that was another day.", span(taps[i].At.Sub(taps[0].At))), "For another pour take the line taps_file out of the job file and move the old record away."
	case what == SheenGone && math.IsNaN(real.Brought[place]):
		return fmt.Sprintf("strip %d was not stamped as struck off, and the set is counted from there.", place+1), "Stamp first when it was struck off: struck off --at 7:42."
	}
	if what == TruckHere || what == StruckOff {
		return "", ""
	}
	step := bullStep
	if what != SheenGone {
		step = stepDone(what)
	}
	for k := step + 1; k < len(steps); k++ {
		if !math.IsNaN(real.Done[place][k]) {
			return fmt.Sprintf("strip %d was already stamped as %s before that.", place+1, steps[k].done), "Say which strip it was (--strip), or take the other back (--undo)."
		}
	}
	return "", ""
}

// isTap says whether a tap is of a kind.
func isTap(t Tap, what string) bool { return strings.ToLower(strings.TrimSpace(t.What)) == what }

// implied fills in what must have been done for something stamped to be done: the steps before it on its strip, its placing, and the
// placing of the strips before.
func implied(real *daywork.Real) {
	later := math.NaN()
	for strip := len(real.Done) - 1; strip >= 0; strip-- {
		next := math.NaN()
		for k := len(real.Done[strip]) - 1; k >= 0; k-- {
			if math.IsNaN(real.Done[strip][k]) {
				real.Done[strip][k] = next
			}
			next = earliest(next, real.Done[strip][k])
		}
		if math.IsNaN(real.Brought[strip]) {
			real.Brought[strip] = earliest(next, later)
		}
		later = earliest(later, real.Brought[strip])
	}
}

// earliest is the earlier of two times, either of which may be unknown.
func earliest(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}

func unknown(n int) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = math.NaN()
	}
	return list
}

func stepDone(what string) int {
	for k, s := range steps {
		if s.done == what {
			return k
		}
	}
	return -1
}

// board writes the day as planned, by the clock, with the times between which each step usually falls.
func (j job) board(r *Rehearsal, d daywork.Day, p *daywork.Played, o daywork.Odds) {
	for i, l := range p.Loads {
		row := TruckRow{Number: i + 1, Volume: quantity.Volume(d.Loads[i].Volume), Due: r.at(d.Loads[i].Due), Comes: r.at(l.Came), From: r.at(l.Begun), Empty: r.at(l.Ended),
			Age: quantity.Hours(l.Ended - l.Came + j.in.Team.Made.Value.Hours()), Here: !math.IsNaN(d.Real.Loads[i])}
		r.Trucks = append(r.Trucks, row)
	}
	from := p.Loads[0].Begun
	for s, until := range p.Brought {
		row := BoardRow{Step: "place", Strip: s + 1, From: r.at(from), Until: r.at(until), Hands: d.Bringer, Opens: r.at(from), Earliest: r.at(from), Latest: r.at(until), Done: !math.IsNaN(d.Real.Brought[s])}
		r.Board = append(r.Board, row)
		from = until
		for k := range d.Ops {
			t := p.Of(s, k)
			if t.None {
				continue
			}
			i := s*len(d.Ops) + k
			row := BoardRow{Step: d.Ops[k].Name, Strip: s + 1, From: r.at(t.From), Until: r.at(t.Until), Hands: t.Hands, Opens: r.at(t.Opens), Earliest: r.at(o.From[i]), Latest: r.at(o.Upto[i]),
				Late: t.Late() > 0, Done: !math.IsNaN(d.Real.Done[s][k])}
			if !math.IsInf(t.Closes, 0) {
				row.Closes = r.at(t.Closes)
			}
			r.Board = append(r.Board, row)
		}
	}
	sort.SliceStable(r.Board, func(a, b int) bool { return r.Board[a].From.Before(r.Board[b].From) })
	for _, row := range r.Board {
		if !row.Done {
			r.Next = append(r.Next, row)
		}
	}
}
