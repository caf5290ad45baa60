package order

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func TestTheTruckIsHeldAgainstTheWayIn(t *testing.T) {
	pounds := func(v float64) known.Mass { return known.Say(quantity.Of[quantity.Mass](v, "lb")) }
	ask := func(limit float64) Result {
		return designed(t, func(in *Input) {
			in.TruckEmpty, in.Density = pounds(28000), known.Say(quantity.Of[quantity.Density](145, "lb/ft3"))
			if limit > 0 {
				in.WayLimit = pounds(limit)
			}
		})
	}
	// 28,000 lb and 5 3/4 yd3 of 145 lb/ft3 (3,915 lb/yd3): 50,511 lb.
	open := ask(0)
	if got := quantity.In(open.TruckWeight, "lb"); math.Abs(got-50511.25) > 0.01 {
		t.Errorf("%v lb", got)
	}
	if level(open, "order.driveway") != check.Care {
		t.Error("a way that nobody has asked about needs care")
	}
	if level(ask(51000), "order.driveway") != check.Good {
		t.Error("50,511 lb keep to 51,000")
	}
	over := ask(40000)
	for _, c := range over.Checks {
		if c.ID == "order.driveway" && (c.Level != check.Stop || !strings.Contains(c.Then[0], "3 yd³")) { // 12,000 lb of room hold 3.06 yd3
			t.Errorf("%+v", c)
		}
	}
}

func TestASmallerLoadKeepsTheLimitAndTheNextDoesNot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		empty, limit := quantity.Mass(rapid.Float64Range(9000, 15000).Draw(t, "empty")), quantity.Mass(rapid.Float64Range(5000, 40000).Draw(t, "limit"))
		density, step := quantity.Density(rapid.Float64Range(2000, 2500).Draw(t, "density")), quarter(quantity.US)
		load := LoadUnder(limit, empty, density, step)
		if load > 0 && TruckWeight(empty, load, density) > limit*(1+1e-9) || TruckWeight(empty, load+step, density) <= limit*(1-1e-9) {
			t.Fatalf("%v over %v", load, limit)
		}
	})
}

// TestManyLoadsDoNotQueue: the last truck waits no longer than the first ones' spacing lets it.
func TestManyLoadsDoNotQueue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		discharge, loads := quantity.Minutes(rapid.Float64Range(0.5, 120).Draw(t, "discharge")), rapid.IntRange(2, 30).Draw(t, "loads")
		spacing := spacingOf(discharge, loads)
		if spacing <= 0 || spacing > discharge+1e-6 {
			t.Fatalf("%v of %v", spacing, discharge)
		}
		if queued := quantity.Time(loads-1) * (discharge - spacing); queued > mostQueued+quantity.Time(loads)*oneMinute {
			t.Fatalf("the last of %d waits %v min", loads, queued.Minutes())
		}
	})
}

func TestLoadsAreSplitFurtherWhenThatAloneKeepsThemYoung(t *testing.T) {
	run := Delivery{Rate: quantity.Of[quantity.VolumeRate](10, "yd3/h"), Batch: quantity.Minutes(10), Haul: quantity.Minutes(30), SetUp: quantity.Minutes(5), Wash: quantity.Minutes(10)}
	step, limit := quarter(quantity.US), quantity.Minutes(90)
	two := Split(quantity.CubicYards(16), quantity.CubicYards(9), step)
	any := func([]quantity.Volume) bool { return true }
	if got := run.Younger(two, step, limit, func([]quantity.Volume) bool { return false }); len(got) != 2 {
		t.Errorf("a split that is not worth it is not made: %v", got)
	}
	if got := run.Younger(two, step, limit, any); len(got) != 3 {
		t.Errorf("two loads of 8 yd3 are 93 min old at the end, three of 5 1/3 are not: %v", got)
	}
	if one := []quantity.Volume{step}; len(run.Younger(one, step, quantity.Minutes(40), any)) != 1 {
		t.Error("the smallest load cannot be split")
	}
	far := run
	far.Haul = quantity.Minutes(85)
	if got := far.Younger(two, step, limit, any); len(got) != 2 {
		t.Errorf("no split helps where the haul alone takes the time: %v", got)
	}
	sum := quantity.Volume(0)
	for _, l := range run.Younger(two, step, limit, any) {
		sum += l
	}
	if math.Abs(float64(sum-quantity.CubicYards(16))) > 1e-9 {
		t.Errorf("%v", sum)
	}
}
