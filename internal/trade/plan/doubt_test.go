package plan

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
)

func TestMoversAreRankedByWorth(t *testing.T) {
	movers := made(t, threeNumbers(t)).Movers()
	if len(movers) < 5 {
		t.Fatalf("%d movers", len(movers))
	}
	for i, m := range movers {
		if m.Moves(quantity.US) == "" || m.Effort.How == "" || !(m.Effort.Time > 0) || !(m.Spared.Money >= 0) {
			t.Errorf("%s.%s says too little: %+v", m.Stage, m.Field, m)
		}
		if i > 0 && len(m.Stops) == len(movers[i-1].Stops) && m.Worth > movers[i-1].Worth {
			t.Errorf("%s stands below a lesser worth", m.Field)
		}
	}
}

// TestOnePriceInDoubt knows everything but the price of concrete: then the worth of asking has a closed form. The cost is linear in
// that one number, so all that must be held back is spared.
func TestOnePriceInDoubt(t *testing.T) {
	j := threeNumbers(t)
	p := made(t, j)
	movers := p.Movers()
	var concrete Mover
	for _, m := range movers {
		if m.Stage+"."+m.Field == "price.materials.concrete" {
			concrete = m
		}
	}
	alone := []Mover{concrete}
	p.value(alone)
	per := float64(concrete.Cost[1]-concrete.Cost[0]) / (concrete.High.SI - concrete.Low.SI)
	width := concrete.High.SI - concrete.Low.SI
	up := (concrete.Value.SI - concrete.Low.SI) / width
	form := distuv.Beta{Alpha: 1 + 4*up, Beta: 5 - 4*up}
	want := per * width * (form.Quantile(0.8) - form.Mean())
	if got := float64(alone[0].Spared.Money); math.Abs(got-want) > 0.02*want {
		t.Errorf("spares %.2f, want %.2f", got, want)
	}
}

func TestPriceRisk(t *testing.T) {
	p := made(t, threeNumbers(t))
	k, err := p.PriceRisk(10000, 4, 1)
	if err != nil {
		t.Fatal(err)
	}
	if !(k.Low < k.Middle && k.Middle < k.Covered && k.Covered < k.High) {
		t.Errorf("quantiles are out of order: %+v", k)
	}
	if k.Quote <= k.Covered || k.Contingency != k.Covered-k.Likely || k.Loss <= 0 || k.Loss >= 1 {
		t.Errorf("the quote does not follow: %+v", k)
	}
	if spread := float64(k.High - k.Low); !(float64(k.Missed) > 0 && float64(k.Missed) < spread) {
		t.Errorf("single moves miss %v of a spread of %v", k.Missed, spread)
	}
	again, _ := made(t, threeNumbers(t)).PriceRisk(10000, 4, 1)
	if again.Covered != k.Covered || again.Missed != k.Missed {
		t.Error("the same seed draws another risk")
	}
	if len(k.Worst) == 0 || k.Worst[0].To-k.Worst[0].From < k.Worst[len(k.Worst)-1].To-k.Worst[len(k.Worst)-1].From {
		t.Error("swings are not ranked")
	}
}

// TestSayingANumberTakesItsDoubtAway: the price of concrete said, the spread of the cost shrinks.
func TestSayingANumberTakesItsDoubtAway(t *testing.T) {
	risk := func(change func(*job.Job)) Risk {
		j := threeNumbers(t)
		change(&j)
		k, err := made(t, j).PriceRisk(4000, 0, 1)
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
	before := risk(func(*job.Job) {})
	after := risk(func(j *job.Job) {
		j.Price.Materials.Concrete = known.Say(quantity.Of[quantity.MoneyVolume](165, "$/yd3"))
		j.Price.Labour.Wage = known.Say(quantity.Of[quantity.MoneyRate](32, "$/h"))
	})
	if after.High-after.Low >= before.High-before.Low {
		t.Errorf("the spread went from %v to %v", before.High-before.Low, after.High-after.Low)
	}
}

func TestAlternativesChangeOneThing(t *testing.T) {
	p := made(t, threeNumbers(t))
	all := p.Alternatives()
	byName := map[string]Alternative{}
	for _, a := range all {
		byName[strings.SplitN(a.Says, ":", 2)[0]] = a
		if a.Price <= 0 || a.More != a.Price-all[0].Price || (a.Chosen != (a.Says == "as planned")) {
			t.Errorf("%s: %+v", a.Says, a)
		}
	}
	if thicker, thinner := byName["thicker"], byName["thinner"]; thicker.More <= 0 || thinner.More >= 0 || thicker.Life < thinner.Life || len(thinner.Stops) < len(thicker.Stops) {
		t.Errorf("thicker %+v, thinner %+v", thicker, thinner)
	}
	if _, same := byName["bars in it"]; same {
		t.Error("bars are offered instead of bars")
	}
	if none := byName["no steel in it"]; none.More >= 0 {
		t.Errorf("leaving steel out costs %v", none.More)
	}
	if trowelled := byName["a smooth trowelled top"]; trowelled.More <= 0 {
		t.Errorf("trowelling costs %v", trowelled.More)
	}
}

func TestNoPriceHasNoRisk(t *testing.T) {
	if _, err := (Plan{ranking: &ranking{}}).PriceRisk(100, 0, 1); err == nil {
		t.Error("a plan without a price has a risk")
	}
}

func BenchmarkPriceRisk(b *testing.B) {
	p := made(b, threeNumbers(b))
	p.Movers()
	for b.Loop() {
		if _, err := p.PriceRisk(10000, 8, 1); err != nil {
			b.Fatal(err)
		}
	}
}

// TestDecisionsAreNoRisk: who comes is decided, so it neither widens the cost nor is named among its swings.
func TestDecisionsAreNoRisk(t *testing.T) {
	p := made(t, threeNumbers(t))
	decided := 0
	for _, m := range p.Movers() {
		if m.Effort.Decided {
			decided++
		}
	}
	if decided == 0 {
		t.Fatal("the job has nothing to decide, so this test shows nothing")
	}
	k, err := p.PriceRisk(1000, 0, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range k.Worst {
		if s.Effort.Decided {
			t.Errorf("%s.%s is decided, not drawn", s.Stage, s.Field)
		}
	}
}

// TestOneBedOfStone: said in either place, the bed is as thick under the slab as in the dig.
func TestOneBedOfStone(t *testing.T) {
	six := known.Say(quantity.Inches(6))
	for name, say := range map[string]func(*job.Job){
		"slab":  func(j *job.Job) { j.Slab.BaseThickness = six },
		"grade": func(j *job.Job) { j.Grade.Base = six },
	} {
		j := threeNumbers(t)
		say(&j)
		p := made(t, j)
		for _, figure := range []string{"slab.base_thickness", "grade.base_thickness"} {
			if step, ok := p.Figure(figure); !ok || math.Abs(step.Value.SI-six.Value.Metres()) > 1e-12 {
				t.Errorf("said for the %s: %s is %v m", name, figure, step.Value.SI)
			}
		}
	}
}
