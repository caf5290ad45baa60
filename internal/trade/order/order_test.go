package order

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working/workingtest"
)

// apron is the practice job: 14 ft by 40 ft by 6 in.
func apron() Input {
	in := Defaults()
	in.Area = known.Say(quantity.Of[quantity.Area](560, "ft2"))
	in.Thickness = known.Say(quantity.Inches(6))
	return in
}

func designed(t *testing.T, change func(*Input)) Result {
	t.Helper()
	in := apron()
	change(&in)
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func level(r Result, id check.ID) check.Level {
	for _, c := range r.Checks {
		if c.ID == id {
			return c.Level
		}
	}
	return check.NotComputed
}

func yards(v quantity.Volume) float64 { return math.Round(v.CubicYards()*1e6) / 1e6 }

func TestThreeNumbersOrderByTheAllowance(t *testing.T) {
	r := designed(t, func(*Input) {})
	if r.Rule != ByAllowance || yards(r.Yards) != 11.25 || math.Abs(r.Neat.CubicYards()-10.37) > 0.005 {
		t.Errorf("%s: %v of %v", r.Rule, r.Yards.CubicYards(), r.Neat.CubicYards())
	}
	if len(r.Loads) != 2 || yards(r.Loads[0].Volume) != 5.75 || yards(r.Loads[1].Volume) != 5.5 {
		t.Errorf("loads %+v", r.Loads)
	}
	if yards(r.CouldNeed) != 11.5 {
		t.Errorf("could need %v", r.CouldNeed.CubicYards())
	}
}

func TestKnownBaseOrCostsOrderByCost(t *testing.T) {
	for name, change := range map[string]func(*Input){
		"six depths":      func(in *Input) { in.Shots = known.Say(quantity.Number(6)) },
		"a cost said":     func(in *Input) { in.TopUp = known.Say(quantity.Money(900)) },
		"a chance set":    func(in *Input) { in.MostShort = known.Say(quantity.Percent(0.05)) },
		"a chance of 1 %": func(in *Input) { in.MostShort = known.Say(quantity.Percent(0.01)) },
	} {
		r := designed(t, change)
		if r.Rule != ByCost || r.Yards != r.ByCost.Quantity {
			t.Errorf("%s: by %s, %v", name, r.Rule, r.Yards.CubicYards())
		}
		if name == "a chance of 1 %" && r.Outlook.ShortChance > 0.01 {
			t.Errorf("%s: %v", name, r.Outlook.ShortChance)
		}
	}
	if r := designed(t, func(in *Input) { in.Shots = known.Say(quantity.Number(3)) }); r.Rule != ByAllowance {
		t.Error("three depths do not make a survey")
	}
	rough, measured := designed(t, func(*Input) {}), designed(t, func(in *Input) { in.Shots = known.Say(quantity.Number(8)) })
	if measured.SD >= rough.SD {
		t.Error("measuring the base must narrow the need")
	}
}

func TestMetricOrdersInQuartersOfACubicMetre(t *testing.T) {
	in := Defaults()
	in.Units = quantity.Metric
	in.Net = known.From(quantity.Volume(7.93), "grade.net_volume")
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	if r.Yards != 8.5 || r.Call[4].Written != "8.5 m³" || r.Call[4].Spoken != "eight and a half, eight point five cubic metres" {
		t.Errorf("%v, %+v", r.Yards, r.Call[4])
	}
}

func TestWhatAForemanWouldSay(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Input)
		id     check.ID
		want   check.Level
	}{
		"the old edition sets 90 min": {func(in *Input) { in.Edition = known.Say(oldDelivery) }, "order.time-agreed", check.Good},
		"longer than the old edition": {func(in *Input) { in.Edition, in.TimeLimit = known.Say(oldDelivery), known.Say(quantity.Minutes(120)) }, "order.time-agreed", check.Care},
		"the new edition sets none":   {func(in *Input) { in.Edition = known.Say(newDelivery) }, "order.time-agreed", check.Care},
		"13 % short is a risk":        {func(*Input) {}, "order.short", check.Care},
		"a safe order":                {func(in *Input) { in.MostShort = known.Say(quantity.Percent(0.05)) }, "order.short", check.Good},
		"little on top":               {func(in *Input) { in.Allowance = known.Say(quantity.Percent(0.02)) }, "order.allowance", check.Care},
		"two hours of haul":           {func(in *Input) { in.Haul = known.Say(quantity.Hours(2)) }, "order.age", check.Stop},
		"half an hour of haul":        {func(*Input) {}, "order.age", check.Good},
		"nobody agreed a limit":       {func(*Input) {}, "order.time-agreed", check.Care},
		"a limit agreed":              {func(in *Input) { in.TimeLimit = known.Say(quantity.Minutes(90)) }, "order.time-agreed", check.Good},
		"a hot day":                   {func(in *Input) { in.AirTemp = known.Say(quantity.Fahrenheit(92)) }, "order.hot", check.Care},
		"one truck for two loads":     {func(in *Input) { in.Trucks = known.Say(quantity.Number(1)) }, "order.trucks", check.Care},
		"one truck leaves a gap":      {func(in *Input) { in.Trucks = known.Say(quantity.Number(1)) }, "order.gap", check.Care},
		"two yards are a short load":  {func(in *Input) { in.Area = known.Say(quantity.Of[quantity.Area](100, "ft2")) }, "order.short-load", check.Care},
		"backing is a caution":        {func(*Input) {}, "order.backing", check.Care},
		"a pump has its own caution":  {func(in *Input) { in.Method = known.Say("line pump") }, "order.pump", check.Care},
	} {
		if got := level(designed(t, c.change), c.id); got != c.want {
			t.Errorf("%s: %s is %q, not %q", name, c.id, got, c.want)
		}
	}
}

func TestFaults(t *testing.T) {
	in := Defaults()
	if got := in.Validate().Error(); !strings.Contains(got, "net") {
		t.Errorf("nothing was given: %q", got)
	}
	in = apron()
	in.Net = known.Say(quantity.CubicYards(100)) // 10 times area times thickness
	if got := in.Validate().Error(); !strings.Contains(got, "another unit") {
		t.Errorf("mistaken unit: %q", got)
	}
	in = apron()
	in.Capacity, in.Rate, in.Method = known.Say(quantity.Volume(math.NaN())), known.Say(quantity.VolumeRate(0)), known.Say("crane")
	if got := len(in.Validate()); got != 3 {
		t.Errorf("%d faults: %v", got, in.Validate())
	}
}

func TestEverySourceAndOriginOfTheWorkingIsKnown(t *testing.T) {
	r := designed(t, func(in *Input) { in.Shots, in.Trucks = known.Say(quantity.Number(8)), known.Say(quantity.Number(2)) })
	workingtest.RestsOnSomething(t, r.Report())
}

// anyInput draws inputs a person could give, right or wrong.
func anyInput(t *rapid.T) Input {
	in := Defaults()
	number := func(name string, low, high float64) float64 {
		return rapid.OneOf(rapid.Float64Range(low, high), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), -1, 0, 1e300})).Draw(t, name)
	}
	in.Units = rapid.SampledFrom([]quantity.System{quantity.US, quantity.Metric}).Draw(t, "units")
	in.Net = known.Say(quantity.Volume(number("net", 0.1, 400)))
	if rapid.Bool().Draw(t, "with area") {
		in.Area = known.Say(quantity.Area(number("area", 1, 4000)))
	}
	in.BaseLevel = known.Say(quantity.Length(number("base level", 0, 0.02)))
	in.Capacity = known.Say(quantity.Volume(number("truck holds", 0.7, 9)))
	in.Rate = known.Say(quantity.VolumeRate(number("rate", 0.0005, 0.02)))
	in.Haul = known.Say(quantity.Time(number("haul", 0, 7200)))
	in.Over = known.Say(quantity.MoneyVolume(number("over", 0, 500)))
	in.TopUp = known.Say(quantity.Money(number("top up", 0, 2000)))
	if rapid.Bool().Draw(t, "few trucks") {
		in.Trucks = known.Say(quantity.Number(rapid.IntRange(-1, 9).Draw(t, "trucks")))
	}
	return in
}

// TestAnyInput: whatever is given, the answer is a refusal, or an order in whole steps that is not below neat, whose loads add
// up, fit the trucks and never overlap, and whose picture lies on listed layers.
func TestAnyInput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyInput(t)
		r, err := Design(in)
		if err != nil {
			return
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		step := quarter(in.Units)
		if off := math.Abs(math.Remainder(float64(r.Yards/step), 1)); r.Yards < r.Neat-1e-9*step || off > 1e-6 {
			t.Fatalf("orders %v of neat %v in steps of %v", r.Yards, r.Neat, step)
		}
		sum, free := quantity.Volume(0), quantity.Time(math.Inf(-1))
		for _, l := range r.Loads {
			sum += l.Volume
			if l.Volume > in.Capacity.Value+1e-9 || l.Starts < free-1e-6 || l.Wait < 0 || l.Gap < 0 || l.Age <= 0 {
				t.Fatalf("load %+v", l)
			}
			free = l.Ends
		}
		if math.Abs(float64(sum-r.Yards)) > 1e-9 {
			t.Fatalf("loads add to %v, not %v", sum, r.Yards)
		}
		for _, p := range Picture(in, r) {
			checkLayers(t, p)
		}
	})
}

func checkLayers(t interface{ Errorf(string, ...any) }, p drawing.Picture) {
	for _, m := range p.Marks {
		if !slices.Contains(draft.Layers(), drawing.LayerOf(m)) {
			t.Errorf("a mark lies on %q", drawing.LayerOf(m).Name)
		}
	}
}

// TestBestOrderAgainstBruteForce counts the cost over a fine discretisation of the need itself, an independent way.
func TestBestOrderAgainstBruteForce(t *testing.T) {
	for _, n := range []Need{
		{Mean: 9.6, SD: 0.35, Over: 180, Under: 720},
		{Mean: 9.6, SD: 0.35, Over: 180, Under: 60, TopUp: 400},
		{Mean: 30, SD: 1.2, Over: 250, Under: 0, TopUp: 900},
		{Mean: 4, SD: 0.5, Over: 300, Under: 100, TopUp: 50},
	} {
		const increment = 0.25
		best, least := 0.0, math.Inf(1)
		for q := increment; q < float64(n.Mean+7*n.SD); q += increment {
			if cost := counted(n, q); cost < least {
				best, least = q, cost
			}
		}
		got := n.BestOnGrid(increment, 0, 0)
		// The sum of 40,000 slices is good to 1e-4 of the cost.
		if float64(got.Quantity) != best || math.Abs(float64(got.Cost)-least) > 1e-4*least {
			t.Errorf("%+v: %v for %v, counted %v for %v", n, got.Quantity, got.Cost, best, least)
		}
		if _, free := n.Best(); free.Cost > got.Cost+1e-9 {
			t.Errorf("%+v: the best of any size costs %v, more than in steps %v", n, free.Cost, got.Cost)
		}
	}
}

// counted is the expected cost of q by summing over slices of the need.
func counted(n Need, q float64) float64 {
	const slices = 40000
	low, width := float64(n.Mean-8*n.SD), 16*float64(n.SD)/slices
	sum, weight := 0.0, 0.0
	for i := range slices {
		need := low + (float64(i)+0.5)*width
		z := (need - float64(n.Mean)) / float64(n.SD)
		p := math.Exp(-z * z / 2)
		weight += p
		if need > q {
			sum += p * (float64(n.Under)*(need-q) + float64(n.TopUp))
		} else {
			sum += p * float64(n.Over) * (q - need)
		}
	}
	return sum / weight
}

// TestMoreUncertaintyIsNotFewerYards holds where short costs more than over and nothing is fixed.
func TestMoreUncertaintyIsNotFewerYards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		over := rapid.Float64Range(10, 300).Draw(t, "over")
		n := Need{Mean: quantity.Volume(rapid.Float64Range(2, 60).Draw(t, "mean")), SD: quantity.Volume(rapid.Float64Range(0.05, 1).Draw(t, "sd")),
			Over: quantity.MoneyVolume(over), Under: quantity.MoneyVolume(over * rapid.Float64Range(1.01, 9).Draw(t, "under"))}
		wider := n
		wider.SD *= quantity.Volume(rapid.Float64Range(1, 4).Draw(t, "wider"))
		a, b := n.BestOnGrid(0.25, 0, 0), wider.BestOnGrid(0.25, 0, 0)
		// Equal costs of two neighbouring steps may fall either way by rounding.
		if b.Quantity < a.Quantity && wider.Outlook(a.Quantity).Cost > b.Cost*(1+1e-9) {
			t.Fatalf("sd %v orders %v, sd %v orders %v", n.SD, a.Quantity, wider.SD, b.Quantity)
		}
	})
}

func TestWithoutScatterTheNeedIsOrdered(t *testing.T) {
	n := Need{Mean: 9.6, Over: 180, Under: 720, TopUp: 400}
	if got := n.BestOnGrid(0.25, 0, 0).Quantity; got != 9.75 {
		t.Errorf("ordered %v", got)
	}
	if z, best := n.Best(); z != 0 || best.Quantity != 9.6 || best.Cost != 0 {
		t.Errorf("z %v, %+v", z, best)
	}
}

func TestSimulatedDeliveryFollowsItsSeedAndItsSlack(t *testing.T) {
	d := Delivery{Rate: quantity.Of[quantity.VolumeRate](10, "yd3/h"), Batch: 600, Haul: 1800, SetUp: 300, Wash: 600}
	loads := []quantity.Volume{quantity.CubicYards(5.75), quantity.CubicYards(5.5)}
	limits := Limits{Gap: 1800, Age: 5400, FreeTime: 2700, WaitRate: 0.03}
	tight, late := d.Timeline(loads, 1800, 2), d.Timeline(loads, 3600, 2)
	a, b := d.Chances(tight, limits, 7), d.Chances(tight, limits, 7)
	if a != b {
		t.Errorf("same seed: %+v and %+v", a, b)
	}
	if c := d.Chances(late, limits, 7); c.Gap <= a.Gap {
		t.Errorf("a later truck must leave more gaps: %v against %v", c.Gap, a.Gap)
	}
	if c := d.Chances(tight, Limits{Gap: 1e9, Age: 1e9, FreeTime: 1e9}, 7); c != (Chances{}) {
		t.Errorf("no limits, no chances: %+v", c)
	}
}

func TestThePictureSaysWhatItFinds(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Input)
		title  string
	}{
		"steady":    {func(*Input) {}, "2 loads, 30 min apart: no long wait"},
		"one truck": {func(in *Input) { in.Trucks = known.Say(quantity.Number(1)) }, "2 loads, 30 min apart: the crew waits 85 min before load 2"},
		"one load":  {func(in *Input) { in.Area = known.Say(quantity.Of[quantity.Area](300, "ft2")) }, "One load, placed in 36 min"},
	} {
		in := apron()
		c.change(&in)
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		p := Picture(in, r)[0]
		if p.Title != c.title || len(p.Table.Rows) != len(r.Loads) || p.Space != drawing.Paper {
			t.Errorf("%s: %q, %d rows", name, p.Title, len(p.Table.Rows))
		}
		checkLayers(t, p)
	}
}

func Example() {
	in := Defaults()
	in.Area, in.Thickness = known.Say(quantity.Of[quantity.Area](14*40, "ft2")), known.Say(quantity.Inches(6))
	r, err := Design(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s to order (%.2f neat), by %s\n", WriteAmount(r.Yards, in.Units), r.Neat.CubicYards(), r.Rule)
	fmt.Println("say:", r.Call[4].Spoken)
	fmt.Println("say:", r.Call[6].Spoken)
	fmt.Println(r.Checks[0].Says)
	// Output:
	// 11 1/4 yd³ to order (10.37 neat), by allowance
	// say: eleven and a quarter, one-one point two-five yards
	// say: two loads: five and three quarters, five point seven-five, then five and a half, five point five, thirty minutes apart, ten yards an hour
	// 11 1/4 yd³ leaves a 13 % chance of running short and about 0.56 yd³ over: could need 11 1/2 yd³.
}
