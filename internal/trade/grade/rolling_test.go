package grade

import (
	"math"
	"strings"
	"testing"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func found(checks []check.Check, id check.ID) check.Check {
	for _, c := range checks {
		if c.ID == id {
			return c
		}
	}
	return check.Check{}
}

func pcf(v float64) known.Density { return known.Say(quantity.Of[quantity.Density](v, "lb/ft3")) }

func TestRollingWaterAndFabricByHand(t *testing.T) {
	in := pad()
	in.Margin = inches(0) // 560 ft²
	in.Soil = known.Say(Clay)
	in.Plate = Plate{Width: inches(24), Overlap: inches(6), Speed: known.Say(quantity.Of[quantity.Speed](1, "mph")), Passes: known.Say(quantity.Number(4)), Efficiency: known.Say(quantity.Ratio(0.75))}
	in.Moisture, in.BestMoisture = known.Say(quantity.Percent(0.03)), known.Say(quantity.Percent(0.06))
	r := mustDesign(t, in)
	// 3 lifts · 560 ft² · 4 passes / (1.5 ft · 5280 ft/h · 0.75).
	if want := 3 * 560.0 * 4 / (1.5 * 5280 * 0.75); math.Abs(r.Rolling.Hours()/want-1) > 1e-9 {
		t.Errorf("%v h, not %v", r.Rolling.Hours(), want)
	}
	// 560/3 ft³ of stone of 135 lb/ft³, 3 % short, in water of 62.428 lb/ft³ (1000 kg/m³).
	gallons := float64(r.WaterToAdd) / quantity.Of[quantity.Volume](1, "gal").CubicMetres()
	if want := 560.0 / 3 * 135 * 0.03 / 62.42796 * 7.480519; math.Abs(gallons/want-1) > 1e-6 {
		t.Errorf("%v gal, not %v", gallons, want)
	}
	if want := 560 / (1 - 1.5/12.5); math.Abs(r.FabricArea.SquareFeet()/want-1) > 1e-9 {
		t.Errorf("%v ft² of fabric, not %v", r.FabricArea.SquareFeet(), want)
	}
	in.Moisture = known.Say(quantity.Percent(0.08))
	in.Fabric = known.Say(false)
	if r := mustDesign(t, in); r.WaterToAdd != 0 || r.FabricArea != 0 {
		t.Errorf("wet stone wants %v of water, a refused fabric comes as %v", r.WaterToAdd, r.FabricArea)
	}
}

func TestSoftSpotsAreDugAndFilledWithStone(t *testing.T) {
	in := pad()
	plain := mustDesign(t, in)
	in.SoftSpots = []SoftSpot{{Name: "by the downspout", Area: known.Say(quantity.Of[quantity.Area](54, "ft2")), Depth: inches(12)}}
	soft := mustDesign(t, in)
	for says, more := range map[string]float64{"dug": float64(soft.Cut - plain.Cut), "stone": float64(soft.StoneVolume - plain.StoneVolume)} {
		if math.Abs(more/quantity.CubicYards(2).CubicMetres()-1) > 1e-9 { // 54 ft² · 1 ft
			t.Errorf("%s: %v m³ more, not two yards", says, more)
		}
	}
	if soft.FabricArea == 0 {
		t.Error("no fabric over soft ground")
	}
}

func TestCompactionTestsAreJudged(t *testing.T) {
	in := pad()
	in.Proctor = pcf(140)
	cone := PackTest{Name: "lift 2, north end", Water: known.Say(quantity.Percent(0.062)), Sand: known.Say(quantity.Of[quantity.Mass](5.13, "lb")), Poured: pcf(92.5), Soil: known.Say(quantity.Of[quantity.Mass](7.24, "lb"))}
	for says, c := range map[string]struct {
		test  PackTest
		level check.Level
		word  string
	}{
		"the sand cone of SITE-17: 122.9 of 140":    {cone, check.Stop, "87.8 %"},
		"a gauge: 140.4 wet at 5 %, 133.7 dry":      {PackTest{Wet: pcf(140.4), Water: known.Say(quantity.Percent(0.05))}, check.Good, "95.5 %"},
		"heavier than grains without air: 172 dry":  {PackTest{Wet: pcf(185), Water: known.Say(quantity.Percent(0.075))}, check.Stop, "misread"},
		"dry stone is told to be sprinkled":         {PackTest{Wet: pcf(120), Water: known.Say(quantity.Percent(0.02))}, check.Stop, "under 95.0 %"},
		"a hair under the limit is under the limit": {PackTest{Wet: pcf(132.9 * 1.06), Water: known.Say(quantity.Percent(0.06))}, check.Stop, "94.9 %"},
	} {
		in.Tests = []PackTest{c.test}
		got := found(mustDesign(t, in).Checks, "grade.pack-test")
		if got.Level != c.level || !strings.Contains(got.Says, c.word) {
			t.Errorf("%s: %v %s", says, got.Level, got.Says)
		}
	}
	in.Tests = []PackTest{{Water: known.Say(quantity.Percent(0.05))}}
	if _, err := Design(in); err == nil || !strings.Contains(err.Error(), "compaction_tests[1]") {
		t.Errorf("a test without a weight: %v", err)
	}
	in.Tests, in.Proctor = []PackTest{cone}, known.Density{}
	if got := found(mustDesign(t, in).Checks, "grade.pack-test"); got.Level != check.Care || !strings.Contains(got.Then[0], "proctor_weight") {
		t.Errorf("without a Proctor weight: %+v", got)
	}
}

func TestHandDigIsTheDigWithinTheZone(t *testing.T) {
	in := pad()
	in.Base, in.Margin = inches(6), inches(12)
	level := quantity.Feet(100)
	in.Ground = []Spot{spot(-9, -9, 100), spot(49, -9, 100), spot(49, 23, 100), spot(-9, 23, 100)}
	in.Ties = []Tie{{Corner: "D", Elevation: known.Say(level)}}
	middle := quantity.Feet(20).Metres()
	strip := geometry.Polygon{Outer: []geometry.Point{{X: middle - 0.5, Y: -9}, {X: middle + 0.5, Y: -9}, {X: middle + 0.5, Y: 9}, {X: middle - 0.5, Y: 9}}}
	whole := geometry.Rectangle(40, 40).Translate(geometry.Point{X: -10, Y: -10})
	in.Zones = []Zone{{Name: "gas", Outlines: []geometry.Polygon{strip}}, {Name: "everything", Outlines: []geometry.Polygon{whole}}, {Name: "far off", Outlines: []geometry.Polygon{strip.Translate(geometry.Point{X: 100})}}}
	r := mustDesign(t, in)
	if len(r.ByHand) != 2 || math.Abs(float64(r.ByHand[1].Volume/r.Cut)-1) > 1e-9 {
		t.Fatalf("by hand %+v of %v", r.ByHand, r.Cut)
	}
	// The dig changes evenly along the slab: the metre at its middle is its share of the length.
	length := quantity.Feet(42).Metres()
	if got := float64(r.ByHand[0].Volume) / float64(r.Cut); math.Abs(got*length-1) > 1e-6 {
		t.Errorf("a metre of %v m takes %v of the dig", length, got)
	}
	if c := found(r.Checks, "grade.hand-dig"); c.Where != "gas" || !c.Safety {
		t.Errorf("caution %+v", c)
	}
}

func TestGridAndEndAreasStandBesideTheExactDig(t *testing.T) {
	r := mustDesign(t, apron())
	exact := float64(r.Cut)
	for name, room := range map[string]float64{"cut_by_grid": 0.01, "cut_by_end_areas": 0.01} { // the apron's ground bends along two lines only
		s, ok := r.Working.Find(name)
		if !ok || math.Abs(s.Value.SI/exact-1) > room || s.Value.SI == exact {
			t.Errorf("%s %v beside %v", name, s.Value.SI, exact)
		}
	}
	// A ridge between the grid's corners: the exact volume knows it, the grid does not.
	in := apron()
	in.Ground = append(in.Ground, spot(19.2, -3, 106), spot(19.2, 17, 106), spot(18.9, -3, 99.2), spot(19.5, -3, 99.2), spot(18.9, 17, 99.5), spot(19.5, 17, 99.5))
	in.Ground = append(in.Ground[:4:4], in.Ground[5:]...) // the middle shot stands in the ridge's way
	in.Breaks = [][]int{{4, 5}, {6, 8}, {7, 9}}
	ridge := mustDesign(t, in)
	if c := found(ridge.Checks, "grade.volumes-agree"); c.Level != check.Care {
		t.Errorf("a ridge 0.6 ft wide: %s", c.Says)
	}
	if !strings.Contains(ridge.Ground, "3 breaklines") || ridge.Cut <= r.Cut {
		t.Errorf("%s: dug %v, without the ridge %v", ridge.Ground, ridge.Cut, r.Cut)
	}
}
