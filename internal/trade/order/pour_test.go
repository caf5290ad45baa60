package order

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func depths(inches ...float64) []known.Length {
	var out []known.Length
	for _, d := range inches {
		out = append(out, known.Say(quantity.Inches(d)))
	}
	return out
}

func TestDepthsSplitLevelFromRoughness(t *testing.T) {
	flat := designed(t, func(in *Input) { in.Depths = depths(6.5, 6.5, 6.5, 6.5, 6.5, 6.5, 6.5, 6.5) })
	wavy := designed(t, func(in *Input) { in.Depths = depths(5.5, 7.5, 5.5, 7.5, 5.5, 7.5, 5.5, 7.5) })
	guess := designed(t, func(*Input) {})
	if flat.Rule != ByCost || flat.SD >= guess.SD || flat.Mean <= guess.Mean {
		t.Errorf("eight depths half an inch low: %s, %v ± %v against %v ± %v", flat.Rule, flat.Mean, flat.SD, guess.Mean, guess.SD)
	}
	if wavy.Base.Roughness <= flat.Base.Roughness || wavy.Base.Level <= flat.Base.Level {
		t.Errorf("a wavy base is rougher and its level less sure: %+v against %+v", wavy.Base, flat.Base)
	}
	if few := designed(t, func(in *Input) { in.Depths = depths(6.5, 6.5, 6.5) }); few.Rule != ByAllowance || few.SD >= guess.SD {
		t.Errorf("three depths narrow the need but make no survey: %s", few.Rule)
	}
	if flat.ShotValue >= guess.ShotValue || guess.ShotValue <= 0 {
		t.Errorf("the first depth is worth more than the ninth: %v, %v", guess.ShotValue, flat.ShotValue)
	}
}

// TestMoreDepthsNeverLessSure: the level is never less sure after depths that scatter as usual, and never surer than the string.
func TestMoreDepthsNeverLessSure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first := Base{Low: quantity.Inches(0.125), Level: quantity.Inches(rapid.Float64Range(0.01, 1).Draw(t, "level")), Roughness: quantity.Inches(rapid.Float64Range(0.01, 1).Draw(t, "rough"))}
		over := rapid.SliceOfN(rapid.Float64Range(-0.05, 0.05), 1, 30).Draw(t, "over")
		seen := make([]quantity.Length, len(over))
		for i, v := range over {
			seen[i] = quantity.Length(v)
		}
		b := first.Seen(seen)
		if !(b.Level <= first.Level) || !quantity.Finite(float64(b.Low), float64(b.Level), float64(b.Roughness)) {
			t.Fatalf("from %+v to %+v", first, b)
		}
		if again := b.OneMore(first); again > b.Level || again <= 0 {
			t.Fatalf("one more: %v after %v", again, b.Level)
		}
	})
}

// TestRestAgainstSimulatedPours draws whole pours, keeps those whose first half took what was seen, and looks at their second half.
func TestRestAgainstSimulatedPours(t *testing.T) {
	u := Uncertain{Net: 8, Area: 80, BaseMean: 0.003, BaseLevel: 0.006, Roughness: 0.01, Cell: 2, Yield: 0.01, Waste: 0.1, WasteSD: 0.04}
	const a, placed = 0.5, 4.4
	want, sd := u.Rest(Progress{Placed: placed, Done: a})
	dice := rand.New(rand.NewPCG(5, 5))
	sum, square, n := 0.0, 0.0, 0.0
	for range 400000 {
		level := float64(u.BaseMean) + float64(u.BaseLevel)*dice.NormFloat64()
		off := doneError * dice.NormFloat64() * 8
		half := func(yield float64) float64 {
			return 4 + 40*level + 0.01*math.Sqrt(2*40)*dice.NormFloat64() + 0.01*yield*dice.NormFloat64()
		}
		if first := half(placed) + off; math.Abs(first-placed) > 0.02 {
			continue
		}
		second := half(4) + 0.1 + 0.04*dice.NormFloat64() + doneError*8*dice.NormFloat64()
		sum, square, n = sum+second, square+second*second, n+1
	}
	mean := sum / n
	got := math.Sqrt(square/n - mean*mean)
	// Some thousand kept pours: three standard errors.
	if n < 1000 || math.Abs(mean-float64(want)) > 3*got/math.Sqrt(n) || math.Abs(got-float64(sd)) > 0.05*got {
		t.Errorf("closed %v ± %v, drawn %v ± %v of %v pours", want, sd, mean, got, n)
	}
}

func TestTheBalanceDuringThePour(t *testing.T) {
	low := designed(t, func(in *Input) { // half done, and it took 6 of the 11 1/4: the base is low
		in.Placed, in.Done = known.Say(quantity.CubicYards(6.2)), known.Say(quantity.Percent(0.5))
	})
	if low.Balance == nil || low.Balance.Call <= 0 || level(low, "order.balance") != check.Care {
		t.Fatalf("%+v", low.Balance)
	}
	fine := designed(t, func(in *Input) {
		in.Placed, in.Done = known.Say(quantity.CubicYards(5.1)), known.Say(quantity.Percent(0.5))
	})
	if fine.Balance.Call != 0 || level(fine, "order.balance") != check.Good {
		t.Errorf("%+v", fine.Balance)
	}
	held := designed(t, func(in *Input) { // the last load is on call: phone only what the rest needs
		in.Placed, in.Done, in.OnCall = known.Say(quantity.CubicYards(5.1)), known.Say(quantity.Percent(0.5)), known.Say(quantity.CubicYards(5.5))
	})
	if c := yards(held.Balance.Call); c < 4.75 || c > 6 || held.Balance.Firm.CubicYards() > 1 {
		t.Errorf("%+v", held.Balance)
	}
	in := apron()
	in.Placed = known.Say(quantity.CubicYards(5))
	if _, err := Design(in); err == nil {
		t.Error("placed without its share of the area says nothing")
	}
}

// TestPlayedOrdersAgreeWithTheClosedForm where errors do not hang together, and scatter more where they do.
func TestPlayedOrdersAgreeWithTheClosedForm(t *testing.T) {
	u := Uncertain{Net: 6.8, Area: 44.6, Perimeter: 31.7, Depth: 0.1524, BaseMean: 0.003175, BaseLevel: 0.00635, Roughness: 0.009525, Cell: 2.322576, Bow: 0.00635, Yield: 0.01, Waste: 0.076, WasteSD: 0.038}
	mean, sd := Total(u.Net, u.Parts())
	n := Need{Mean: mean, SD: sd, Over: 250, Under: 50, TopUp: 350}
	const runs = 40000
	want, got := n.Outlook(7.45), u.Play(n, 7.45, 0, runs, 3)
	error3 := 3 * math.Sqrt(want.ShortChance*(1-want.ShortChance)/runs)
	if math.Abs(got.ShortChance-want.ShortChance) > error3 || math.Abs(float64(got.Mean-mean)) > 3*float64(sd)/math.Sqrt(runs) || math.Abs(float64(got.SD/sd)-1) > 0.02 {
		t.Errorf("closed %+v, played %+v", want, got)
	}
	if math.Abs(float64(got.Cost-want.Cost)) > 0.03*float64(want.Cost) {
		t.Errorf("cost %v closed, %v played", want.Cost, got.Cost)
	}
	near := u.Play(n, 7.45, 3, runs, 3)
	f := fieldOf(u, 3)
	rough := float64(u.Area) * float64(u.Roughness) * CorrelatedScatter(f.side, f.near)
	alone := float64(u.Area) * float64(u.Roughness) / math.Sqrt(float64(u.Area/u.Cell))
	closed := math.Sqrt(float64(sd*sd) - alone*alone + rough*rough)
	if near.SD <= got.SD || math.Abs(float64(near.SD)/closed-1) > 0.02 {
		t.Errorf("correlated: played %v, closed %v, apart %v", near.SD, closed, got.SD)
	}
	if u.Play(n, 7.45, 3, 500, 9) != u.Play(n, 7.45, 3, 500, 9) {
		t.Error("same seed, other pours")
	}
}

func TestTicketsAreJudgedAsTheyAreTyped(t *testing.T) {
	clock := func(h, m int) known.Known[quantity.Clock] { return known.Say(quantity.Clock(60*h + m)) }
	r := designed(t, func(in *Input) {
		in.Strength, in.Slump, in.Air = known.Say(quantity.PSI(4500)), known.Say(quantity.Inches(4)), known.Say(quantity.Percent(0.06))
		in.Tickets = []Ticket{
			{Volume: known.Say(quantity.CubicYards(5.75)), Strength: known.Say(quantity.PSI(4500)), Batched: clock(23, 40), Arrived: clock(0, 20)},
			{Volume: known.Say(quantity.CubicYards(5.75)), Strength: known.Say(quantity.PSI(3000)), Slump: known.Say(quantity.Inches(2))},
		}
	})
	first, second := r.Receipts[0], r.Receipts[1]
	if first.Age != quantity.Minutes(40) || check.Worst(first.Checks) != check.Good {
		t.Errorf("first: %+v", first)
	}
	if yards(second.Total) != 11.5 || second.Balance >= 0 || level(r, "order.ticket-mix") != check.Good || check.Worst(second.Checks) != check.Stop {
		t.Errorf("second: %+v", second)
	}
	if got := (Ordered{}).JudgeTicket(1, 0, Ticket{}); len(got.Checks) != 0 {
		t.Errorf("nothing typed, nothing judged: %+v", got.Checks)
	}
}

// TestMoreWaterIsNeverBetter: letting water in never turns a load from don't to good.
func TestMoreWaterIsNeverBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Ordered{WaterCement: rapid.Float64Range(0.35, 0.6).Draw(t, "limit"), TimeLimit: 5400}
		ticket := Ticket{Cementitious: known.Say(quantity.Mass(rapid.Float64Range(500, 4000).Draw(t, "binder"))), Water: known.Say(quantity.Volume(rapid.Float64Range(0.1, 2).Draw(t, "water")))}
		before := o.JudgeTicket(1, 0, ticket)
		ticket.Added = known.Say(quantity.Volume(rapid.Float64Range(0, 0.2).Draw(t, "added")))
		after := o.JudgeTicket(1, 0, ticket)
		if after.WaterCement < before.WaterCement || after.MayAdd > before.MayAdd || check.Worst(after.Checks) < check.Worst(before.Checks) {
			t.Fatalf("%+v then %+v", before, after)
		}
	})
}

func ExampleOrdered_JudgeTicket() {
	o := Ordered{WaterCement: 0.45, TimeLimit: quantity.Minutes(90), Volume: quantity.CubicYards(11.25)}
	ticket := Ticket{Volume: known.Say(quantity.CubicYards(5.75)), Cementitious: known.Say(quantity.Of[quantity.Mass](3550, "lb")),
		Water: known.Say(quantity.Of[quantity.Volume](180, "gal"))}
	for _, c := range o.JudgeTicket(1, 0, ticket).Checks {
		fmt.Println(c.Says)
	}
	// Output:
	// Load 1: water to binder is 0.423 of 0.45 allowed: 11.4 gal may still be let in, once, before unloading.
	// Load 1: 5.75 yd³ received, 5.50 yd³ still to come.
}

func BenchmarkDesign(b *testing.B) {
	in := apron()
	for b.Loop() {
		if _, err := Design(in); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPlay: 10,000 pours of a large slab with correlated errors, budget 100 ms.
func BenchmarkPlay(b *testing.B) {
	u := Uncertain{Net: 60, Area: 400, BaseLevel: 0.006, Roughness: 0.01, Cell: 2.3, Yield: 0.01}
	for b.Loop() {
		u.Play(Need{Over: 250, TopUp: 350}, 62, 3, 10000, 1)
	}
}
