package pour_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
)

func rehearse(t *testing.T, in pour.Input, hour int) pour.Rehearsal {
	t.Helper()
	r, err := pour.Rehearse(in, june11.Add(time.Duration(hour)*time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// quick plays few days: these tests look at rules, not at shares.
func quick() pour.Input {
	in := apron(fineDays(june11, 60))
	in.Team.Days = known.Say[quantity.Number](200)
	in.Team.Grooves = known.Say(quantity.Of[quantity.Length](42, "ft"))
	return in
}

func TestARehearsalIsTheSameEveryTime(t *testing.T) {
	a, b := rehearse(t, quick(), 7), rehearse(t, quick(), 7)
	if !reflect.DeepEqual(a, b) {
		t.Error("two rehearsals of one day differ")
	}
	if _, err := json.Marshal(a); err != nil {
		t.Error(err)
	}
	in := quick()
	in.Team.Seed = known.Say[quantity.Number](2)
	if c := rehearse(t, in, 7); c.EndP50.Equal(a.EndP50) && c.Idle == a.Idle {
		t.Error("another seed gives the same days")
	}
}

func TestMoreHandsAreNeverLater(t *testing.T) {
	r := rehearse(t, quick(), 9)
	for i := 1; i < len(r.Crews); i++ {
		if a, b := r.Crews[i-1], r.Crews[i]; a.Sets == b.Sets && (b.Late > a.Late || b.End > a.End) {
			t.Errorf("%d hands: late %v until %v; %d hands: late %v until %v", a.Hands, a.Late, a.End, b.Hands, b.Late, b.End)
		}
	}
	if len(r.Crews) < 5 || r.Crews[0].Late < r.Crews[len(r.Crews)-1].Late {
		t.Errorf("%+v", r.Crews)
	}
}

func TestTheBoardIsInTheOrderOfTheWork(t *testing.T) {
	r := rehearse(t, quick(), 7)
	last := map[int]time.Time{}
	order := map[string]int{"place": 0, "bull float": 1, "edge": 2, "groove": 3, "float": 4, "broom": 5, "cure": 6}
	at := map[int]int{}
	for _, row := range r.Board {
		if row.From.Before(last[row.Strip].Add(-time.Second)) || order[row.Step] < at[row.Strip] {
			t.Errorf("strip %d: %s at %v after %v", row.Strip, row.Step, row.From, last[row.Strip])
		}
		last[row.Strip], at[row.Strip] = row.Until, order[row.Step]
		if row.Earliest.After(row.Latest) {
			t.Errorf("%s of strip %d between %v and %v", row.Step, row.Strip, row.Earliest, row.Latest)
		}
	}
	if len(last) != r.Strips || len(r.Next) != len(r.Board) {
		t.Errorf("%d strips on the board of %d; %d steps to do of %d", len(last), r.Strips, len(r.Next), len(r.Board))
	}
}

func TestTapsMoveTheDay(t *testing.T) {
	in := quick()
	start := june11.Add(7 * time.Hour)
	plan := rehearse(t, in, 7)
	in.Now = june11.Add(5 * time.Hour)
	in.Team.Taps = []pour.Tap{{At: start.Add(20 * time.Minute), What: "Truck here"}, {At: start.Add(40 * time.Minute), What: "struck off"}, {At: start.Add(55 * time.Minute), What: "struck off"},
		{At: start.Add(6 * time.Hour), What: "sheen gone", Strip: 1}}
	r := rehearse(t, in, 7)
	if !r.Trucks[0].Comes.Equal(start.Add(20*time.Minute)) || !r.Trucks[0].Here {
		t.Errorf("the truck came %v", r.Trucks[0].Comes)
	}
	if r.Stretch < 1.2 {
		t.Errorf("the sheen went late, yet the set runs at %v", r.Stretch)
	}
	if !r.EndP50.After(plan.EndP50) || r.Now != start.Add(6*time.Hour) {
		t.Errorf("ends %v, planned %v; now %v", r.EndP50, plan.EndP50, r.Now)
	}
	for _, row := range r.Next {
		if row.Until.Before(r.Now) {
			t.Errorf("%s of strip %d is to do at %v, before now", row.Step, row.Strip, row.From)
		}
	}
	in.Team.Taps = []pour.Tap{{At: start, What: "lunch"}}
	if _, err := pour.Rehearse(in, start); err == nil || !strings.Contains(err.Error(), "taps[1]") {
		t.Errorf("lunch: %v", err)
	}
}

func TestTheRehearsalIsAskedFor(t *testing.T) {
	in := at(quick(), 7)
	r := design(t, in)
	if _, ok := r.Working.Find("late_chance"); ok || r.Rehearsal != nil {
		t.Error("played unasked")
	}
	in.Rehearse = known.Say(true)
	r = design(t, in)
	if s, ok := r.Working.Find("late_chance"); !ok || !s.Figure || !strings.Contains(s.Formula, "seed 1") {
		t.Errorf("no chance with its seed: %+v", s)
	}
	find(t, r, "pour.crew")
	pictures := pour.Picture(in, r)
	if len(pictures) != 2 {
		t.Fatalf("%d pictures", len(pictures))
	}
	board := pictures[1]
	if board.Name != "finishing-board" || len(board.Table.Rows) != len(r.Rehearsal.Board)+len(r.Rehearsal.Trucks) || !strings.Contains(board.Says, "seed 1") {
		t.Errorf("%s: %s; %d rows", board.Name, board.Says, len(board.Table.Rows))
	}
	allowed := map[string]bool{}
	for _, l := range draft.Layers() {
		allowed[l.Name] = true
	}
	for _, m := range board.Marks {
		if !allowed[drawing.LayerOf(m).Name] {
			t.Errorf("a mark on layer %q", drawing.LayerOf(m).Name)
		}
	}
}

func TestMeasuresSayWhatTheyBuy(t *testing.T) {
	hours := fineDays(june11, 60)
	for i := range hours {
		hours[i].Wind *= 2
	}
	r := design(t, at(apron(hours), 11))
	by := map[string]pour.Measure{}
	for _, m := range r.Measures {
		by[m.Name] = m
	}
	if len(by) < 10 {
		t.Fatalf("%d measures", len(by))
	}
	if m := by["wind breaks"]; m.Peak >= r.Chosen.Peak || m.Level > r.Chosen.Level {
		t.Errorf("wind breaks: %+v", m)
	}
	if m := by["two more finishers"]; m.Lateness > r.Chosen.Lateness || !m.Finished.Before(r.Chosen.FinishedBy.Add(time.Second)) {
		t.Errorf("more hands: %+v", m)
	}
	if m := by["retarder, two hours"]; !m.Finished.After(r.Chosen.FinishedBy.Add(time.Hour)) {
		t.Errorf("retarder: %+v", m)
	}
	if m := by["fog over the slab until it is floated"]; m.Deficit != 0 || m.Peak != 0 {
		t.Errorf("fog: %+v", m)
	}
}

// Warmer air with the same moisture in it, everything else alike, never sets later.
func TestWarmerNeverSetsLater(t *testing.T) {
	run := func(by float64, dew quantity.Temp) pour.StartHour {
		hours := fineDays(june11, 30)
		for i := range hours {
			hours[i].Air, hours[i].Humidity, hours[i].Dew = hours[i].Air+quantity.Temp(by), nil, &dew
		}
		in := at(apron(hours), 8)
		in.ConcreteTemp, in.GroundTemp = known.Say(quantity.Celsius(20)), known.Say(quantity.Celsius(15))
		return design(t, in).Chosen
	}
	for _, dew := range []float64{-2, 3, 8} {
		last := run(0, quantity.Celsius(dew))
		for _, warmer := range []float64{1, 4, 8} {
			s := run(warmer, quantity.Celsius(dew))
			if s.FloatFrom.After(last.FloatFrom) || s.SetBy.After(last.SetBy) {
				t.Errorf("%v K warmer at dew point %v °C: float from %v, set %v; cooler %v, %v", warmer, dew, s.FloatFrom, s.SetBy, last.FloatFrom, last.SetBy)
			}
			last = s
		}
	}
}

func BenchmarkRehearsal(b *testing.B) {
	in := apron(fineDays(june11, 60))
	for b.Loop() {
		if _, err := pour.Rehearse(in, june11.Add(7*time.Hour)); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleRehearse() {
	in := apron(fineDays(june11, 60))
	r, err := pour.Rehearse(in, june11.Add(7*time.Hour))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d strips, %d hands, trucks %.0f min apart, seed %d\n", r.Strips, r.Hands, r.Spacing.Minutes(), r.Seed)
	for _, row := range r.Board[:4] {
		fmt.Println(row.From.Format("15:04"), row.Step, "strip", row.Strip)
	}
	fmt.Println(r.Need, "hands keep the risk")
	// Output:
	// 8 strips, 4 hands, trucks 25 min apart, seed 1
	// 07:00 place strip 1
	// 07:06 bull float strip 1
	// 07:06 place strip 2
	// 07:12 bull float strip 2
	// 5 hands keep the risk
}

func TestOddsGoByWeekAndHour(t *testing.T) {
	var r pour.Record
	for h := range 28 * 24 { // afternoons too hot in the first two weeks
		air := 20.0
		if h < 14*24 && h%24 >= 13 {
			air = 35
		}
		r.Hour, r.Air, r.Humidity, r.Wind, r.Rain = append(r.Hour, float64(h)), append(r.Air, air), append(r.Humidity, 0.7), append(r.Wind, 2), append(r.Rain, 0)
	}
	r.Wind[5*24+8] = 468 // a slip of the station: that morning does not count
	odds := pour.Odds(r, []int{6, 10}, 6, 0.5, pour.Week)
	if len(odds) != 8 {
		t.Fatalf("%+v", odds)
	}
	if o := odds[0]; o.Days != 6 || o.Chance() != 1 {
		t.Errorf("week 0 at six: %+v", o)
	}
	if o := odds[1]; o.Days != 7 || o.Chance() != 0 {
		t.Errorf("week 0 at ten: %+v", o)
	}
	if o := odds[7]; o.Chance() != 1 {
		t.Errorf("week 3 at ten: %+v", o)
	}
}
