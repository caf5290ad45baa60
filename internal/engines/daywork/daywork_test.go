package daywork

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

func always(opens, closes float64) func(int, float64) Window {
	return func(int, float64) Window { return Window{opens, closes} }
}

// following is BLD-28's day: placing 800 ft²/h, finishers apart 400 ft²/h, windows 2 to 4 h after each strip of 50 ft².
func following(area float64) Day {
	d := Day{Ops: []Op{{"finish", 400, 1, -1}}, Hands: 2, Bringer: 1, Apart: true, Rate: 800, Loads: []Load{{0, area}}, Windows: always(2, 4)}
	for range int(area / 50) {
		d.Pieces = append(d.Pieces, Piece{50, []float64{50}})
	}
	return d
}

func planned(t *testing.T, d Day) *Played {
	t.Helper()
	p, err := Planned(d)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestKeepUpToTheStrip(t *testing.T) { // BLD-29
	for area, late := range map[float64]int{1550: 0, 1600: 1} {
		p := planned(t, following(area))
		n := 0
		for _, task := range p.Tasks {
			if task.Late() > 0 {
				n++
			}
		}
		if n != late {
			t.Errorf("%v ft²: %d strips late, not %d", area, n, late)
		}
	}
	p := planned(t, following(1550))
	if last := p.Tasks[len(p.Tasks)-1]; math.Abs(last.Until-last.Closes) > 1e-9 {
		t.Errorf("the last strip of 1550 ft² is done %v h before its close, not exactly at it", last.Closes-last.Until)
	}
}

func TestSteadyTrucksWaitAsTheClosedFormSays(t *testing.T) { // BLD-31
	d := Day{Pieces: []Piece{{6, nil}}, Hands: 1, Bringer: 1, Rate: 60.0 / 25, Windows: always(0, 1)}
	for i := range 6 {
		d.Loads = append(d.Loads, Load{float64(i) / 3, 1})
	}
	for i, l := range planned(t, d).Loads {
		if wait := 60 * (l.Begun - l.Came); math.Abs(wait-5*float64(i)) > 1e-9 {
			t.Errorf("load %d waits %v min, not %d", i+1, wait, 5*i)
		}
	}
}

// Random arrivals at a steady server: Wq = ρ/(2μ(1 − ρ)) = 22.5 min for λ 3, μ 4. 3 % is the scatter of 200,000 loads.
func TestRandomArrivalsWaitAsTheClosedFormSays(t *testing.T) { // BLD-30
	d := Day{Hands: 1, Bringer: 1, Rate: 4, Windows: always(0, 1)}
	dice, due := rand.New(rand.NewPCG(1, 2)), 0.0
	for range 200_000 {
		d.Loads = append(d.Loads, Load{due, 1})
		due += dice.ExpFloat64() / 3
	}
	d.Pieces = []Piece{{200_000, nil}}
	waits := 0.0
	for _, l := range planned(t, d).Loads {
		waits += l.Begun - l.Came
	}
	if mean := 60 * waits / 200_000; math.Abs(mean-22.5) > 0.03*22.5 {
		t.Errorf("mean wait %.2f min, not 22.5", mean)
	}
}

// Four works one after another on one piece: the critical path is their sum. BLD-33: mean 24, variance 5, done by 28 with 0.963
// by the normal law; lognormal works lean a little to the late side.
func TestWorksInSeriesAreACriticalPath(t *testing.T) {
	d := Day{Pieces: []Piece{{1e-9, []float64{9, 5, 6, 4}}}, Hands: 1, Bringer: 1, Rate: 1, Loads: []Load{{0, 1e-9}}, Windows: always(0, math.Inf(1)),
		Chance: Chance{Work: math.Sqrt(5.0 / 158)}}
	for range 4 {
		d.Ops = append(d.Ops, Op{"work", 1, 1, -1})
	}
	l, in, sum, square := newLuck(1, 4), 0, 0.0, 0.0
	const days = 40_000
	var p Played
	for day := range days {
		l.draw(d.Chance, d.Real, 7, uint64(day))
		d.play(l, &p)
		sum, square = sum+p.End, square+p.End*p.End
		if p.End <= 28 {
			in++
		}
	}
	mean := sum / days
	if variance := square/days - mean*mean; math.Abs(mean-24) > 0.05 || math.Abs(variance-5) > 0.15 || math.Abs(float64(in)/days-0.963) > 0.012 {
		t.Errorf("mean %.3f, variance %.3f, done by 28 with %.4f", mean, variance, float64(in)/days)
	}
}

// Two pieces at once, each with a hand of its own: E max = μ + 0.5642 σ (BLD-34).
func TestTheLaterOfTwoIsLaterThanEither(t *testing.T) {
	d := Day{Pieces: []Piece{{1e-9, []float64{10}}, {1e-9, []float64{10}}}, Ops: []Op{{"work", 1, 1, -1}}, Hands: 2, Bringer: 1, Rate: 1,
		Loads: []Load{{0, 2e-9}}, Windows: always(0, math.Inf(1)), Chance: Chance{Work: 0.05}}
	l, sum := newLuck(1, 2), 0.0
	const days = 40_000
	var p Played
	for day := range days {
		l.draw(d.Chance, d.Real, 3, uint64(day))
		d.play(l, &p)
		sum += p.End
	}
	if mean := sum / days; math.Abs(mean-(10+0.5642*0.5)) > 0.01 {
		t.Errorf("mean of the later %.4f", mean)
	}
}

// driveway is a usual day: eight strips off four trucks, six operations, one float and one broom.
func driveway(hands int) Day {
	d := Day{Ops: []Op{{"bull float", 800, 1, 0}, {"edge", 90, 1, -1}, {"groove", 60, 1, 1}, {"float", 180, 2, -1}, {"broom", 500, 1, 2}, {"cure", 800, 1, 3}},
		Tools: []int{1, 1, 1, 1}, Hands: hands, Bringer: min(2, hands), Rate: 12, Swap: 0.05, Chance: Chance{Spacing: 0.25, Bring: 0.15, Window: 0.12, Work: 0.2}}
	for range 8 {
		d.Pieces = append(d.Pieces, Piece{1.6, []float64{100, 20, 10, 100, 100, 100}})
	}
	for i := range 4 {
		d.Loads = append(d.Loads, Load{0.4 * float64(i), 3.2})
	}
	d.Windows = func(op int, _ float64) Window {
		if op == 0 {
			return Window{0, 0.6}
		}
		return Window{2.2, 4.2}
	}
	return d
}

func TestSameSeedSameDays(t *testing.T) {
	a, err := Play(driveway(4), Limits{Age: 1.5, Made: 0.5, Wait: 0.6}, 300, 11)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := Play(driveway(4), Limits{Age: 1.5, Made: 0.5, Wait: 0.6}, 300, 11)
	if !reflect.DeepEqual(a, b) {
		t.Error("the same seed gave other days")
	}
	c, _ := Play(driveway(4), Limits{}, 300, 12)
	if a.P50 == c.P50 {
		t.Error("another seed gave the same days")
	}
}

// Hands are in one place only, tools too, operations in order and after their window's opening, nothing twice.
func TestADayKeepsItsRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := driveway(rapid.IntRange(1, 8).Draw(t, "hands"))
		l := newLuck(len(d.Loads), len(d.Pieces)*len(d.Ops))
		l.draw(d.Chance, d.Real, 5, uint64(rapid.IntRange(0, 1000).Draw(t, "day")))
		var p Played
		d.play(l, &p)
		for _, a := range p.Tasks {
			hands, tools := 0, map[int]int{}
			for i, b := range p.Tasks {
				if b.From <= a.From+1e-12 && b.Until > a.From+1e-9 {
					hands += b.Hands
					tools[d.Ops[i%len(d.Ops)].Tool]++
				}
			}
			if hands > d.Hands {
				t.Fatalf("%d hands of %d at %v", hands, d.Hands, a.From)
			}
			for tool, n := range tools {
				if tool >= 0 && n > d.Tools[tool] {
					t.Fatalf("%d of tool %d", n, tool)
				}
			}
		}
		for j := range d.Pieces {
			before := p.Brought[j]
			for k := range d.Ops {
				task := p.Of(j, k)
				if task.From < before-1e-9 || task.From < task.Opens-1e-9 || task.Until <= task.From {
					t.Fatalf("piece %d, operation %d: %+v after %v", j, k, *task, before)
				}
				before = task.Until
			}
		}
	})
}

func TestWhatHappenedIsKept(t *testing.T) {
	d := driveway(4)
	nan := math.NaN()
	d.Real = Real{Now: 1, Loads: []float64{0.2, 0.9}, Brought: []float64{0.4, 0.7}, Done: [][]float64{{0.5}, {nan}}}
	p := planned(t, d)
	if p.Loads[0].Came != 0.2 || p.Loads[1].Came != 0.9 || p.Brought[0] != 0.4 || p.Brought[1] != 0.7 || p.Of(0, 0).Until != 0.5 {
		t.Errorf("%+v, %v, %+v", p.Loads, p.Brought, p.Of(0, 0))
	}
	for j := 2; j < len(p.Brought); j++ {
		if p.Brought[j] < 1 {
			t.Errorf("piece %d came at %v, before now", j, p.Brought[j])
		}
	}
	if p.Of(1, 0).From < 1 || p.Loads[2].Came < 1 {
		t.Errorf("something not known happened before now: %+v, %+v", p.Of(1, 0), p.Loads[2])
	}
	d.Real.Stretch = 1.5
	if late := planned(t, d); late.Of(3, 1).From < p.Of(3, 1).From+0.5 {
		t.Errorf("windows that run slow open at %v, not after %v", late.Of(3, 1).From, p.Of(3, 1).From)
	}
}

func TestDaysThatCannotBeAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Day){
		"no pieces": func(d *Day) { d.Pieces = nil }, "no hands": func(d *Day) { d.Hands = 0 }, "rate": func(d *Day) { d.Rate = math.NaN() },
		"little": func(d *Day) { d.Loads = d.Loads[:2] }, "tool": func(d *Day) { d.Ops[0].Tool = 9 }, "work": func(d *Day) { d.Pieces[0].Work = nil },
		"chance": func(d *Day) { d.Chance.Work = math.NaN() }, "order": func(d *Day) { d.Loads[3].Due = 0 }, "nobody": func(d *Day) { d.Apart, d.Hands = true, 2 },
		"volume": func(d *Day) { d.Pieces[2].Volume = -1 }, "op": func(d *Day) { d.Ops[1].Rate = 0 }, "nan work": func(d *Day) { d.Pieces[0].Work[0] = math.NaN() },
	} {
		d := driveway(4)
		spoil(&d)
		if _, err := Planned(d); err == nil {
			t.Errorf("%s passed", name)
		}
	}
	if _, err := Play(driveway(4), Limits{}, 0, 1); err == nil {
		t.Error("no days passed")
	}
}

func BenchmarkTenThousandDays(b *testing.B) {
	d := driveway(4)
	for b.Loop() {
		if _, err := Play(d, Limits{Age: 1.5, Made: 0.5, Wait: 0.6}, 10_000, 1); err != nil {
			b.Fatal(err)
		}
	}
}
