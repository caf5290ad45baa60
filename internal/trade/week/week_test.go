package week

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/shop"
)

var thursday = quantity.Date{Year: 2027, Month: 6, Day: 17}

func crews() shop.Shop {
	return shop.Shop{
		Crews: []shop.Crew{{Name: known.Say("North"), People: known.Say(quantity.Number(4)), Finishers: []known.Text{known.Say("Ada"), known.Say("Bo")}},
			{Name: known.Say("South"), People: known.Say(quantity.Number(3)), Foreman: known.Say("bo")}},
		Plants: []shop.Plant{{Name: known.Say("Riverside"), Hourly: known.Say(quantity.Of[quantity.VolumeRate](20, "yd3/h"))}},
		Gear:   []shop.Gear{{Name: known.Say("laser screed")}},
	}
}

// pouring is a job of that Thursday; concrete in yards, placed at so many an hour.
func pouring(id, crew string, first, last quantity.Clock, yards, hourly float64) Job {
	return Job{ID: id, Title: id, Crew: crew, Plant: "Riverside", On: thursday, First: first, Last: last, Planned: true, Trust: enough,
		Concrete: quantity.CubicYards(yards), Hourly: quantity.Of[quantity.VolumeRate](hourly, "yd3/h")}
}

func kinds(w Week) string {
	var out []string
	for _, c := range w.Clashes {
		out = append(out, c.Kind+" "+c.Level.Word())
	}
	return strings.Join(out, ", ")
}

func week(jobs ...Job) Week { return Make(Monday(thursday), 7, jobs, crews()) }

func TestClashes(t *testing.T) {
	at := func(h float64) quantity.Clock { return quantity.Clock(60 * h) }
	about := pouring("a", "North", at(7), at(13), 10, 10)
	about.About = true
	screeds := func(id, crew string, first, last float64) Job {
		j := pouring(id, crew, at(first), at(last), 2, 10)
		j.Gear = []string{"Laser screed"}
		return j
	}
	quoted := pouring("a", "North", at(7), at(9), 5, 10)
	quoted.Quoted = thursday.Add(-9)
	declined := quoted
	declined.Declined = thursday.Add(-2)
	many := pouring("a", "South", at(7), at(9), 5, 10)
	many.Hands = 5
	for _, c := range []struct {
		name string
		jobs []Job
		want string
	}{
		{"one crew one after the other", []Job{pouring("a", "North", at(7), at(12), 9, 9), pouring("b", "north", at(12), at(16), 9, 9)}, ""},
		{"one crew two pours at overlapping hours", []Job{pouring("a", "North", at(7), at(12), 9, 9), pouring("b", "north", at(11), at(16), 9, 9)}, "crew stop"},
		{"only finishing overlaps, and it is reckoned", []Job{about, pouring("b", "North", at(12), at(16), 9, 9)}, "crew care"},
		{"both placed at once, whatever finishing takes", []Job{about, pouring("b", "North", at(7.5), at(16), 5, 9)}, "crew stop"},
		{"two crews with one finisher", []Job{pouring("a", "North", at(7), at(12), 9, 9), pouring("b", "South", at(11), at(16), 9, 9)}, "finisher stop"},
		{"a plant asked for more than it has", []Job{pouring("a", "North", at(7), at(12), 12, 12), pouring("b", "", at(7.5), at(16), 12, 12)}, "list care"},
		{"two finely shared hours over the limit", []Job{pouring("a", "North", at(7), at(8), 12, 12), pouring("b", "North", at(8), at(9), 24, 24)}, "plant stop"},
		{"one laser screed for two", []Job{screeds("a", "North", 7, 10), screeds("b", "", 9, 11)}, "gear stop, list care"},
		{"one laser screed for two, one after the other", []Job{screeds("a", "North", 7, 10), screeds("b", "North", 10, 11)}, ""},
		{"a crew nobody listed", []Job{pouring("a", "East", at(7), at(12), 9, 9)}, "list care"},
		{"no yes yet", []Job{quoted}, "quote care"},
		{"a no", []Job{declined}, "quote stop"},
		{"more hands than the crew has", []Job{many}, "people care"},
		{"an end nobody knows", []Job{pouring("a", "North", at(7), 0, 5, 10), pouring("b", "North", at(14), at(16), 5, 10)}, "crew care"},
	} {
		if got := kinds(week(c.jobs...)); got != c.want {
			t.Errorf("%s: %q, not %q: %+v", c.name, got, c.want, week(c.jobs...).Clashes)
		}
	}
}

func TestThePlantsDayByTheHour(t *testing.T) {
	w := week(pouring("a", "North", 7*60+30, 12*60, 15, 10), pouring("b", "South", 9*60, 10*60, 4, 16))
	if len(w.Plants) != 1 {
		t.Fatalf("%+v", w.Plants)
	}
	p := w.Plants[0]
	want := []float64{5, 10, 4} // 7:30 to 9:00 at ten yards an hour, then a quarter hour at sixteen
	if len(p.Hours) != len(want) || p.Hours[0].At != 7 {
		t.Fatalf("hours %+v", p.Hours)
	}
	for i, yards := range want {
		if got := float64(p.Hours[i].Volume / quantity.CubicYards(1)); math.Abs(got-yards) > 1e-9 {
			t.Errorf("hour %d: %v yards, not %v", p.Hours[i].At, got, yards)
		}
	}
	pic := p.Picture(quantity.US)
	if len(pic.Table.Rows) != 3 || pic.Table.Rows[1][2] != "10.00 yd³" || len(pic.Marks) < 8 {
		t.Errorf("table %v, %d marks", pic.Table.Rows, len(pic.Marks))
	}
}

// The hours of a plant hold all its concrete, whatever the jobs and however they come, and each job stands in exactly one cell.
func TestNothingOfAWeekIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var jobs []Job
		sum, inWeek := 0.0, 0
		for i := range rapid.IntRange(0, 12).Draw(t, "jobs") {
			j := pouring(string(rune('a'+i)), rapid.SampledFrom([]string{"North", "south", "East", ""}).Draw(t, "crew"), quantity.Clock(rapid.IntRange(0, 1439).Draw(t, "first")), 0,
				rapid.Float64Range(0.25, 200).Draw(t, "yards"), rapid.Float64Range(1, 60).Draw(t, "hourly"))
			j.On = thursday.Add(rapid.IntRange(-9, 9).Draw(t, "day"))
			j.Plant = rapid.SampledFrom([]string{"Riverside", "Quarry", ""}).Draw(t, "plant")
			if d := j.On.DaysSince(Monday(thursday)); d >= 0 && d < 7 {
				sum, inWeek = sum+float64(j.Concrete), inWeek+1
			}
			jobs = append(jobs, j)
		}
		w := week(jobs...)
		got, slots := 0.0, map[string]int{}
		for _, p := range w.Plants {
			hours := 0.0
			for _, h := range p.Hours {
				hours += float64(h.Volume)
			}
			if math.Abs(hours-float64(p.Total)) > 1e-9*(1+hours) {
				t.Fatalf("hours hold %v of %v", hours, p.Total)
			}
			got += hours
		}
		if math.Abs(got-sum) > 1e-9*(1+sum) {
			t.Fatalf("%v of %v", got, sum)
		}
		for _, r := range w.Rows {
			for _, c := range r.Cells {
				for _, s := range c {
					slots[s.ID]++
				}
			}
		}
		for id, n := range slots {
			if n != 1 {
				t.Fatalf("%s stands %d times", id, n)
			}
		}
		if len(slots) != inWeek {
			t.Fatalf("%d of %d jobs", len(slots), inWeek)
		}
		reversed := make([]Job, len(jobs))
		for i, j := range jobs {
			reversed[len(jobs)-1-i] = j
		}
		if !reflect.DeepEqual(week(reversed...), w) {
			t.Fatal("the order of the jobs matters")
		}
	})
}

func TestWhatWaits(t *testing.T) {
	poured := pouring("a", "North", 420, 700, 5, 10)
	poured.On, poured.Load = thursday.Add(-5), thursday.Add(3)
	ready, later := poured, poured
	ready.ID, ready.Load = "b", thursday
	later.ID, later.On = "c", thursday.Add(1)
	if got := Undrivable([]Job{ready, later, poured}, thursday); len(got) != 1 || got[0].ID != "a" {
		t.Errorf("%+v", got)
	}
	open, older, said := Job{ID: "a", Quoted: thursday}, Job{ID: "b", Quoted: thursday.Add(-3)}, Job{ID: "c", Quoted: thursday, Accepted: thursday}
	if got := Waiting([]Job{open, said, older}); len(got) != 2 || got[0].ID != "b" {
		t.Errorf("%+v", got)
	}
}

func TestASummaryIsWrittenAndReadBack(t *testing.T) {
	j := pouring("", "North", 420, 700, 5.25, 10)
	j.Quoted, j.Units, j.Gear, j.Money = thursday, quantity.Metric, []string{"laser screed"}, 8120
	text, err := json.Marshal(j)
	if err != nil {
		t.Fatal(err)
	}
	var back Job
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(j, back) {
		t.Errorf("%v\n%+v\n%+v\n%s", err, j, back, text)
	}
}

func TestMondayIsTheFirst(t *testing.T) {
	for i := range 7 {
		if got := Monday(quantity.Date{Year: 2027, Month: 6, Day: 14 + i}); got.Day != 14 {
			t.Errorf("the week of the %d begins on the %d", 14+i, got.Day)
		}
	}
	if Monday(thursday).Weekday().String() != "Monday" || check.Stop <= check.Care {
		t.Error("no Monday")
	}
}
