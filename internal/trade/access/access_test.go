package access

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/calc/calctest"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }

func pad(lengthFeet, widthFeet float64) Input {
	in := Defaults()
	in.Outline = geometry.Rectangle(quantity.Feet(lengthFeet).Metres(), quantity.Feet(widthFeet).Metres())
	in.Volume = known.Say(quantity.CubicYards(10))
	return in
}

func ExampleDesign() {
	in := pad(40, 14)
	r, err := Design(in)
	fmt.Println(r.Method, r.ReachShare > 0.6, err)
	// Output: chute true <nil>
}

func TestASmallPadNeedsOnlyTheChute(t *testing.T) {
	r, err := Design(pad(12, 8))
	if err != nil || r.Method != Chute || len(r.Beyond) != 0 {
		t.Errorf("%v, %v beyond, %v", r.Method, r.Beyond, err)
	}
}

func TestAFarSlabNeedsAPump(t *testing.T) {
	in := pad(40, 14)
	in.Stands = []Stand{{X: known.Say(quantity.Feet(-60)), Y: known.Say(quantity.Feet(0))}}
	r, err := Design(in)
	if err != nil || r.Method != Pump || r.ReachShare != 0 {
		t.Errorf("%v, share %v, %v", r.Method, r.ReachShare, err)
	}
}

// TestABuggyServesWhereBarrowsAreTooSlow: 10 yd³ all beyond the chute, 60 ft away: four hours by two barrows, 40 min by a buggy, 20 trips.
func TestABuggyServesWhereBarrowsAreTooSlow(t *testing.T) {
	in := pad(40, 14)
	in.Stands = []Stand{{X: known.Say(quantity.Feet(-60)), Y: known.Say(quantity.Feet(7))}}
	if r := mustDesign(t, in); r.Method != Pump || !says(r, "access.reach", "hire a power buggy: 20 trips, about 40 min") {
		t.Errorf("%v, %+v", r.Method, r.Checks)
	}
	in.Buggies = known.Say(quantity.Number(1))
	r := mustDesign(t, in)
	if r.Method != Buggy || r.Trips != 20 || math.Abs(r.CarryTime.Minutes()-40) > 0.1 || r.Farthest < quantity.Feet(100) {
		t.Errorf("%v, %d trips, %v, %v", r.Method, r.Trips, r.CarryTime, r.Farthest)
	}
	if !says(r, "access.buggy", "tips on ramps") {
		t.Error("no caution beside the buggy")
	}
}

// TestWaysGoRoundAFence: a fence across the straight way makes it longer; one all round leaves none, and barrows are out of the question.
func TestWaysGoRoundAFence(t *testing.T) {
	in := pad(40, 14)
	in.Stands = []Stand{{X: known.Say(quantity.Feet(-4)), Y: known.Say(quantity.Feet(7))}}
	in.Volume = known.Say(quantity.CubicYards(1))
	straight := mustDesign(t, in)
	fence := func(points ...geometry.Point) Result {
		in.Walls = []Wall{{Name: "fence", Line: points}}
		return mustDesign(t, in)
	}
	bent := fence(geometry.Point{X: 7, Y: -1}, geometry.Point{X: 7, Y: 20})
	if straight.Method != Barrow || bent.Method != Barrow || bent.Farthest <= straight.Farthest {
		t.Errorf("%v over %v, %v over %v", straight.Method, straight.Farthest, bent.Method, bent.Farthest)
	}
	shut := fence(geometry.Point{X: 7, Y: -9}, geometry.Point{X: 7, Y: 20}, geometry.Point{X: 30, Y: 20}, geometry.Point{X: 30, Y: -9}, geometry.Point{X: 7, Y: -9})
	if shut.Method != Pump || !shut.Blocked || !says(shut, "access.reach", "no way for barrows") {
		t.Errorf("%v, %+v", shut.Method, shut.Checks)
	}
}

func TestATruckOnASepticLidIsStopped(t *testing.T) {
	in := pad(20, 10)
	in.Stands = []Stand{{X: known.Say(quantity.Feet(5)), Y: known.Say(quantity.Feet(-4))}}
	lid := func(x, y float64) check.Level {
		in.Weak = []Weak{{Name: "septic lid", Line: []geometry.Point{{X: quantity.Feet(x).Metres(), Y: quantity.Feet(y).Metres()}}}}
		for _, c := range mustDesign(t, in).Checks {
			if c.ID == "access.weak" {
				return c.Level
			}
		}
		return check.NotComputed
	}
	if got := lid(5, -4); got != check.Stop {
		t.Errorf("on it: %v", got)
	}
	if got := lid(5, -12); got != check.Care {
		t.Errorf("8 ft off: %v", got)
	}
	if got := lid(5, -15); got != check.NotComputed {
		t.Errorf("11 ft off: %v", got)
	}
	in.Weak = []Weak{{Name: "wet corner", Line: []geometry.Point{{X: -9, Y: -9}, {X: 9, Y: -9}, {X: 9, Y: 0}, {X: -9, Y: 0}}}}
	if r := mustDesign(t, in); !says(r, "access.weak", "stands on wet corner") {
		t.Errorf("%+v", r.Checks)
	}
}

func says(r Result, id check.ID, words string) bool {
	for _, c := range r.Checks {
		if c.ID == id && strings.Contains(c.Says+strings.Join(c.Then, " "), words) {
			return true
		}
	}
	return false
}

func TestAnUnmeasuredGateIsNeverGood(t *testing.T) {
	in := pad(12, 8)
	for _, c := range mustDesign(t, in).Checks {
		if c.ID == "access.gate" && c.Level != check.NotComputed {
			t.Errorf("guessed gate gives %v", c.Level)
		}
	}
	in.Gate = known.Say(quantity.Feet(9))
	for _, c := range mustDesign(t, in).Checks {
		if c.ID == "access.gate" && c.Level != check.Stop {
			t.Errorf("9 ft gate gives %v", c.Level)
		}
	}
}

func mustDesign(t interface{ Fatal(...any) }, in Input) Result {
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestFaultsSayWhatToType(t *testing.T) {
	in := pad(12, 8)
	in.Volume, in.Reach = known.Volume{}, known.Say(quantity.Feet(1))
	_, err := Design(in)
	if faults, ok := err.(check.Faults); !ok || len(faults) != 2 {
		t.Errorf("got %v", err)
	}
}

func TestMoreReachNeverServesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := pad(rapid.Float64Range(8, 80).Draw(t, "length"), rapid.Float64Range(6, 40).Draw(t, "width"))
		in.Reach = known.Say(quantity.Feet(rapid.Float64Range(6, 20).Draw(t, "reach")))
		in.Stands = []Stand{{X: known.Say(quantity.Feet(rapid.Float64Range(-10, 30).Draw(t, "x"))), Y: known.Say(quantity.Feet(rapid.Float64Range(-10, 30).Draw(t, "y")))}}
		near := mustDesign(t, in)
		in.Reach.Value *= 1.5
		far := mustDesign(t, in)
		// 1e-9: areas of a clipped polygon carry about 1e-12 relative rounding.
		if far.ReachShare < near.ReachShare-1e-9 {
			t.Fatalf("reach %v gives %v, half as much again %v", in.Reach.Value/1.5, near.ReachShare, far.ReachShare)
		}
	})
}

// TestTheReachAgainstCountedPoints: what the chute reaches, cut out by the geometry library, is the share of points of a fine grid
// that lie in the slab and within the useful reach of a stand. A grid of 2 cm misses a border of half a cell: 1 % of the slab.
func TestTheReachAgainstCountedPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := pad(rapid.Float64Range(12, 30).Draw(t, "long"), rapid.Float64Range(8, 20).Draw(t, "wide"))
		for range rapid.IntRange(1, 3).Draw(t, "stands") {
			metres := func(name string) known.Length {
				return known.Say(quantity.Metres(rapid.Float64Range(-4, 12).Draw(t, name)))
			}
			in.Stands = append(in.Stands, Stand{X: metres("x"), Y: metres("y")})
		}
		r, err := Design(in)
		if err != nil {
			t.Fatal(err)
		}
		reach, box := (in.Reach.Value - in.Short.Value).Metres(), in.Outline.Bounds()
		const step = 0.02
		inside, reached := 0.0, 0.0
		for x := box.Min.X + step/2; x < box.Max.X; x += step {
			for y := box.Min.Y + step/2; y < box.Max.Y; y += step {
				inside++
				for _, s := range r.Stands {
					if s.Distance(geometry.Point{X: x, Y: y}) <= reach {
						reached++
						break
					}
				}
			}
		}
		if got, want := float64(r.ReachShare), reached/inside; got < want-0.01 || got > want+0.01 {
			t.Fatalf("share %.4f, counted %.4f", got, want)
		}
	})
}
