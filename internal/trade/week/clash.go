package week

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/shop"
)

// Clash is what cannot be, or wants a look, on one day.
type Clash struct {
	Kind  string // crew, finisher, plant, gear, people, list, quote
	Level check.Level
	On    quantity.Date
	Says  string
	Jobs  []string // their ids
}

// clashes finds what cannot be on each day. jobs come by day and hour.
func clashes(jobs []Job, s shop.Shop, plants []PlantDay) []Clash {
	f := finder{shop: s}
	for from := 0; from < len(jobs); {
		to := from
		for to < len(jobs) && jobs[to].On == jobs[from].On {
			to++
		}
		f.day(jobs[from:to])
		from = to
	}
	f.plants(jobs, plants)
	slices.SortStableFunc(f.found, func(a, b Clash) int { return cmp.Or(a.On.DaysSince(b.On), cmp.Compare(b.Level, a.Level)) })
	return f.found
}

type finder struct {
	shop  shop.Shop
	found []Clash
}

func (f *finder) add(kind string, level check.Level, says string, jobs ...Job) {
	c := Clash{Kind: kind, Level: level, On: jobs[0].On, Says: says}
	for _, j := range jobs {
		c.Jobs = append(c.Jobs, j.ID)
	}
	f.found = append(f.found, c)
}

func (f *finder) day(jobs []Job) {
	for i, a := range jobs {
		for _, b := range jobs[i+1:] {
			f.pair(a, b)
		}
		f.alone(a)
	}
	f.gear(jobs)
}

// pair looks at two jobs of a day, the earlier first.
func (f *finder) pair(a, b Job) {
	if !overlap(a, b) {
		return
	}
	level, about := check.Stop, ""
	if a.About {
		level, about = check.Care, ", finishing reckoned without a forecast"
	}
	times := fmt.Sprintf("%s until %s%s, %s from %s", a.Title, a.Last.String(), about, b.Title, b.First)
	if a.Last == 0 {
		level, times = check.Care, fmt.Sprintf("nobody knows yet until when %s takes, %s is from %s", a.Title, b.Title, b.First)
	}
	if b.First <= a.First+placing(a) {
		level = check.Stop // both are placed at once, whatever finishing takes
	}
	if a.Crew != "" && strings.EqualFold(a.Crew, b.Crew) {
		f.add("crew", level, fmt.Sprintf("Crew %s has two pours at once: %s.", a.Crew, times), a, b)
		return
	}
	for _, name := range f.shared(a.Crew, b.Crew) {
		f.add("finisher", level, fmt.Sprintf("%s finishes on two jobs at once: %s.", name, times), a, b)
	}
}

// overlap says whether a crew could not do the later job after the earlier. A job without a known end takes the day.
func overlap(a, b Job) bool { return a.Last == 0 || b.First < a.Last }

// placing is how long a job is placed, in minutes.
func placing(j Job) quantity.Clock {
	if j.Hourly <= 0 {
		return 0
	}
	return quantity.Clock(quantity.Time(float64(j.Concrete) / float64(j.Hourly)).Minutes())
}

// shared are the people who finish in both crews, the foremen counted.
func (f *finder) shared(a, b string) []string {
	names := func(crew string) []string {
		i := slices.IndexFunc(f.shop.Crews, func(c shop.Crew) bool { return crew != "" && strings.EqualFold(c.Name.Value, crew) })
		if i < 0 {
			return nil
		}
		var out []string
		for _, n := range append([]known.Text{f.shop.Crews[i].Foreman}, f.shop.Crews[i].Finishers...) {
			if n.Given() && !slices.Contains(out, n.Value) {
				out = append(out, n.Value)
			}
		}
		return out
	}
	other := names(b)
	return slices.DeleteFunc(names(a), func(n string) bool {
		return !slices.ContainsFunc(other, func(o string) bool { return strings.EqualFold(o, n) })
	})
}

// alone looks at one job: whose crew it is, how many they are, whether the owner said yes.
func (f *finder) alone(j Job) {
	i := slices.IndexFunc(f.shop.Crews, func(c shop.Crew) bool { return strings.EqualFold(c.Name.Value, j.Crew) })
	switch {
	case j.Crew == "" && len(f.shop.Crews) > 0:
		f.add("list", check.Care, fmt.Sprintf("No crew is named for %s.", j.Title), j)
	case i < 0 && len(f.shop.Crews) > 0:
		f.add("list", check.Care, fmt.Sprintf("%s names crew %s, which the shop's lists do not have.", j.Title, j.Crew), j)
	case i >= 0 && j.Hands > 0 && f.shop.Crews[i].People.Given() && j.Hands > int(f.shop.Crews[i].People.Value):
		f.add("people", check.Care, fmt.Sprintf("%s counts on %d hands; crew %s has %.0f.", j.Title, j.Hands, j.Crew, float64(f.shop.Crews[i].People.Value)), j)
	}
	if !j.Declined.IsZero() {
		f.add("quote", check.Stop, fmt.Sprintf("The owner of %s said no on %s.", j.Title, j.Declined), j)
	} else if j.Waiting() {
		f.add("quote", check.Care, fmt.Sprintf("The owner of %s has not said yes to the quote of %s.", j.Title, j.Quoted), j)
	}
}

// gear counts what the jobs of a day want at the same time of what the shop has few of.
func (f *finder) gear(jobs []Job) {
	for _, g := range f.shop.Gear {
		has := 1
		if g.Count.Given() {
			has = int(g.Count.Value)
		}
		for i, a := range jobs {
			together := []Job{}
			for _, b := range jobs[:i+1] {
				if wants(b, g.Name.Value) && (b.ID == a.ID || overlap(b, a)) {
					together = append(together, b)
				}
			}
			if wants(a, g.Name.Value) && len(together) > has {
				f.add("gear", check.Stop, fmt.Sprintf("The shop has %d of: %s. At %s it is wanted on %d jobs: %s.", has, g.Name.Value, a.First, len(together), titles(together)), together...)
			}
		}
	}
}

func wants(j Job, gear string) bool {
	return slices.ContainsFunc(j.Gear, func(g string) bool { return strings.EqualFold(g, gear) })
}

func titles(jobs []Job) string {
	out := make([]string, len(jobs))
	for i, j := range jobs {
		out[i] = j.Title
	}
	return strings.Join(out, ", ")
}
