package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Plate is the plate or roller that packs the stone.
type Plate struct {
	Width      known.Length `yaml:"width" says:"width of its plate or drum" unit:"in|mm" usual:"10..84|250..2100" show:"drop"`
	Overlap    known.Length `yaml:"overlap" says:"how far a run overlaps the one before" unit:"in|mm" usual:"0..24|0..600" show:"drop"`
	Speed      known.Speed  `yaml:"speed" says:"how fast it goes" unit:"mph|km/h" usual:"0.3..5|0.5..8"`
	Passes     known.Number `yaml:"passes" says:"passes over each lift" usual:"1..12|1..12"`
	Efficiency known.Ratio  `yaml:"efficiency" says:"share of the hour it runs" usual:"0.3..1|0.3..1"`
}

// PackTest is one test of how well the stone or the ground is packed: the wet weight a gauge read, or a sand cone.
type PackTest struct {
	Name   string        `yaml:"name" says:"where and which lift"`
	Wet    known.Density `yaml:"wet_weight" says:"wet weight in place, as the gauge or balloon read it" unit:"lb/ft3|kg/m3" usual:"80..180|1280..2900"`
	Water  known.Percent `yaml:"water" says:"water, of the dry weight"`
	Sand   known.Mass    `yaml:"sand" says:"or by sand cone: sand in the hole, cone taken off" unit:"lb|kg" usual:"1..30|0.5..15"`
	Poured known.Density `yaml:"sand_weight" says:"weight of that sand as poured" unit:"lb/ft3|kg/m3" usual:"80..110|1280..1760"`
	Soil   known.Mass    `yaml:"wet_soil" says:"soil out of the hole, wet" unit:"lb|kg" usual:"1..40|0.5..20"`
}

// SoftSpot is ground that is dug out deeper and filled with stone.
type SoftSpot struct {
	Name  string       `yaml:"name" says:"where it is"`
	Area  known.Area   `yaml:"area" says:"how large it is" unit:"ft2|m2" usual:"1..5000|0.1..500"`
	Depth known.Length `yaml:"depth" says:"how much deeper it is dug, until firm" unit:"in|mm" usual:"4..36|100..900" show:"drop"`
}

// defaultPlate is a hand plate. Source: common practice.
func defaultPlate() Plate {
	in := quantity.Inches
	return Plate{
		Width:      known.Assume(in(20), in(16), in(24), "a hand plate", sources.CommonPractice),
		Overlap:    known.Assume(in(4), in(2), in(6), "so that no strip is left", sources.CommonPractice),
		Speed:      known.Assume(quantity.Of[quantity.Speed](0.8, "mph"), quantity.Of[quantity.Speed](0.6, "mph"), quantity.Of[quantity.Speed](1, "mph"), "a slow walk behind the plate", sources.CommonPractice),
		Passes:     known.Assume(quantity.Number(4), 3, 6, "until it rings and no longer sinks", sources.CommonPractice),
		Efficiency: known.Assume(quantity.Ratio(0.75), 0.6, 0.83, "turning, refuelling, raking", sources.CommonPractice),
	}
}

// mostPasses is more than any lift is rolled.
const mostPasses = 30

func (in Input) rollingFaults(l *bounds.List) {
	inches, feet, pcf := quantity.Inches, quantity.Feet, func(v float64) quantity.Density { return quantity.Of[quantity.Density](v, "lb/ft3") }
	p := in.Plate
	bounds.Needed(l, "grade.plate.width", p.Width, inches(4), feet(10), quantity.AsDrop)
	bounds.Needed(l, "grade.plate.overlap", p.Overlap, 0, p.Width.Value/2, quantity.AsDrop)
	bounds.Needed(l, "grade.plate.speed", p.Speed, quantity.Of[quantity.Speed](0.1, "mph"), quantity.Of[quantity.Speed](10, "mph"), quantity.AsSpeed)
	if n := float64(p.Passes.Value); !(n >= 1 && n <= mostPasses) {
		l.Add("grade.plate.passes", p.Passes.Text, "cannot be how often it goes over a lift.", fmt.Sprintf("Type a number from 1 to %d.", mostPasses))
	}
	bounds.Needed(l, "grade.plate.efficiency", p.Efficiency, 0.1, 1, quantity.AsRatio)
	bounds.Needed(l, "grade.best_moisture", in.BestMoisture, 0, 0.5, quantity.AsPercent)
	bounds.Between(l, "grade.proctor_weight", in.Proctor, pcf(50), pcf(180), quantity.AsDensity)
	bounds.Needed(l, "grade.packed_to", in.PackedTo, 0.5, 1.1, quantity.AsPercent)
	for i, s := range in.SoftSpots {
		field := fmt.Sprintf("grade.soft_spots[%d]", i+1)
		bounds.Needed(l, field+".area", s.Area, 0.01, 1e5, quantity.AsArea)
		bounds.Needed(l, field+".depth", s.Depth, 0, feet(10), quantity.AsDrop)
	}
	for i, t := range in.Tests {
		field := fmt.Sprintf("grade.compaction_tests[%d]", i+1)
		bounds.Needed(l, field+".water", t.Water, 0, 1, quantity.AsPercent)
		if _, err := t.wet(); err != nil {
			l.Add(field, t.Name, "has no weight: "+err.Error()+".", "Give wet_weight, or sand, sand_weight and wet_soil of a sand cone.")
		}
	}
}

// wet is the wet weight in place, by gauge or by sand cone.
func (t PackTest) wet() (quantity.Density, error) {
	if t.Wet.Given() {
		return t.Wet.Value, positive("wet weight", float64(t.Wet.Value))
	}
	_, wet, _, err := sandCone(t.Sand.Value, t.Poured.Value, t.Soil.Value, 0)
	return wet, err
}

// undercut is what soft spots take beyond the dig, dug and filled with stone again.
func (in Input) undercut() quantity.Volume {
	sum := quantity.Volume(0)
	for _, s := range in.SoftSpots {
		sum += quantity.Volume(float64(s.Area.Value) * s.Depth.Value.Metres())
	}
	return sum
}

// rollHours is how long the plate runs: every lift, every pass.
//
//	t = A·n / ((B − o)·v·η / p)
//
// A area of the bed, n lifts, B width, o overlap, v speed, η efficiency, p passes. Source: common practice.
func (w *work) rollHours() (quantity.Time, error) {
	p := w.in.Plate
	rate, err := plateRate(plateWork{Width: p.Width.Value, Overlap: p.Overlap.Value, Speed: p.Speed.Value, Passes: int(math.Round(float64(p.Passes.Value))), Efficiency: p.Efficiency.Value})
	if err != nil {
		return 0, fmt.Errorf("grade: plate: %w", err)
	}
	return quantity.Time(w.digArea() * float64(w.Lifts) / float64(rate.Rate)), nil
}

// waterToAdd is what is sprinkled on stone that comes too dry, to bring it to the water at which it packs best.
//
//	V_w = γ_d·V·max(0, w_best − w)/ρ_w
//
// γ_d dry weight compacted, V compacted volume, w water by dry weight. Source: definition of the water content.
func (w *work) waterToAdd(dry quantity.Density) quantity.Volume {
	short := math.Max(0, float64(w.in.BestMoisture.Value-w.in.Moisture.Value))
	return quantity.Volume(float64(dry) * float64(w.StoneVolume) * short / waterDensity)
}

// Fabric between soft ground and stone comes on rolls of this width and is lapped, more on soft ground. Source: common practice.
var (
	fabricRoll = quantity.Feet(12.5)
	lapFirm    = quantity.Inches(18)
	lapSoft    = quantity.Inches(36)
)

// wantsFabric says whether stone and ground are to be kept apart: as said; else on clay, silt and where soft ground was found.
func (w *work) wantsFabric() bool {
	if w.in.Fabric.Given() {
		return w.in.Fabric.Value
	}
	row, _ := soilOf(w.in.Soil.Value)
	return w.in.Soft.Value || len(w.in.SoftSpots) > 0 || row.frost && w.in.Soil.Origin != known.Assumed
}

// fabricArea is the fabric to buy: the dig and the laps, A/(1 − lap/roll).
func (w *work) fabricArea() quantity.Area {
	if !w.wantsFabric() {
		return 0
	}
	lap := lapFirm
	if w.in.Soft.Value || len(w.in.SoftSpots) > 0 {
		lap = lapSoft
	}
	return quantity.Area(w.digArea() / (1 - float64(lap/fabricRoll)))
}

// pack works out how the bed is rolled.
func (w *work) pack(dry quantity.Density) error {
	hours, err := w.rollHours()
	w.Rolling, w.WaterToAdd, w.FabricArea = hours, w.waterToAdd(dry), w.fabricArea()
	return err
}

// explainRolling writes how the stone is packed.
func (w *work) explainRolling() {
	in, s := w.in, &w.Working
	p := in.Plate
	from := []string{"dig_area", "lifts",
		working.Given(s, "plate_width", "B", "width of the plate or roller", p.Width, quantity.AsDrop),
		working.Given(s, "plate_overlap", "o", "overlap of its runs", p.Overlap, quantity.AsDrop),
		working.Given(s, "plate_speed", "v", "its speed", p.Speed, quantity.AsSpeed),
		working.Given(s, "plate_passes", "p", "passes over each lift", p.Passes, ""),
		working.Given(s, "plate_efficiency", "η", "share of the hour it runs", p.Efficiency, quantity.AsRatio)}
	s.Answer(working.Step{Name: "rolling_time", Says: "time the plate runs", Formula: "A_d · lifts · p / ((B − o) · v · η)", Value: quantity.Show(w.Rolling, quantity.AsHours), From: from, Source: sources.CommonPractice})
	best := working.Given(s, "best_moisture", "w_best", "water at which the stone packs best", in.BestMoisture, quantity.AsPercent)
	s.Answer(working.Step{Name: "water_to_add", Says: "water to sprinkle on the stone", Formula: "γ_d · V · (w_best − w), none where it comes wet enough", Value: quantity.Show(w.WaterToAdd, quantity.AsWater),
		From: []string{"stone_volume", "stone_weight", "stone_moisture", best}, Source: sources.Proctor})
	if w.FabricArea > 0 {
		s.Answer(working.Step{Name: "fabric", Says: "fabric between ground and stone, laps counted", Formula: "A_d / (1 − lap/roll)", Value: quantity.Show(w.FabricArea, quantity.AsArea), From: []string{"dig_area"}, Source: sources.CommonPractice})
	}
	for i, spot := range in.SoftSpots {
		working.Given(s, fmt.Sprintf("soft_spot_%d_area", i+1), "", "soft spot "+spot.Name+", area", spot.Area, quantity.AsArea)
		working.Given(s, fmt.Sprintf("soft_spot_%d_depth", i+1), "", "soft spot "+spot.Name+", dug deeper by", spot.Depth, quantity.AsDrop)
	}
	if u := in.undercut(); u > 0 {
		s.Answer(working.Step{Name: "undercut", Says: "soft spots dug out and filled with stone", Formula: "Σ area · depth", Value: quantity.Show(u, quantity.AsVolume), Source: sources.Arithmetic})
	}
	w.explainTests()
}

func (w *work) explainTests() {
	s := &w.Working
	if len(w.in.Tests) == 0 {
		return
	}
	var most []string
	if w.in.Proctor.Given() {
		most = append(most, working.Given(s, "proctor_weight", "γ_max", "heaviest dry weight in the Proctor test", w.in.Proctor, quantity.AsDensity))
	}
	for i, t := range w.in.Tests {
		dry, err := t.dry()
		if err != nil {
			continue
		}
		name := fmt.Sprintf("test_%d_dry", i+1)
		s.Show(working.Step{Name: name, Symbol: "γ_d", Says: "test " + t.title(i) + ", dry weight in place", Formula: "γ_wet / (1 + w)", Value: quantity.Show(dry, quantity.AsDensity), Source: sources.SandCone})
		if w.in.Proctor.Given() {
			s.Show(working.Step{Name: fmt.Sprintf("test_%d", i+1), Says: "test " + t.title(i) + ", packed to", Formula: "γ_d / γ_max", Value: quantity.Show(w.packed(dry), quantity.AsPercent), From: append([]string{name}, most...), Source: sources.Proctor})
		}
	}
}

func (t PackTest) title(i int) string {
	if t.Name != "" {
		return t.Name
	}
	return fmt.Sprint(i + 1)
}

func (t PackTest) dry() (quantity.Density, error) {
	wet, err := t.wet()
	return quantity.Density(float64(wet) / (1 + float64(t.Water.Value))), err
}

func (w *work) packed(dry quantity.Density) quantity.Percent {
	return quantity.Percent(float64(dry) / float64(w.in.Proctor.Value))
}

// heaviestGrains is the specific gravity of the heaviest usual grains: a test above the weight they allow was misread.
const heaviestGrains = 2.8

// testChecks judges each test: possible at all, packed enough, wet enough.
func (w *work) testChecks() []check.Check {
	var out []check.Check
	for i, t := range w.in.Tests {
		dry, err := t.dry()
		most, limit := zeroAirVoids(heaviestGrains, float64(t.Water.Value))
		if err != nil || limit != nil {
			continue
		}
		name := t.title(i)
		switch {
		case dry > most:
			out = append(out, check.Check{ID: "grade.pack-test", Level: check.Stop, Where: name, Value: quantity.Show(dry, quantity.AsDensity), Limit: quantity.Show(most, quantity.AsDensity), Source: sources.ZeroAirVoids,
				Says: fmt.Sprintf("Test %s reads %s dry: heavier than grains with no air between them. It was misread.", name, w.text(quantity.Show(dry, quantity.AsDensity))), Then: []string{"Test again; check the water and the gauge's standard count."}})
		case !w.in.Proctor.Given():
			out = append(out, check.Check{ID: "grade.pack-test", Level: check.Care, Where: name, Source: sources.Proctor,
				Says: fmt.Sprintf("Test %s reads %s dry; nobody said how heavy the stone can be packed.", name, w.text(quantity.Show(dry, quantity.AsDensity))), Then: []string{"Ask the quarry for its Proctor weight: proctor_weight."}})
		default:
			share := w.packed(dry)
			c := check.AtLeast("grade.pack-test", quantity.Show(share, quantity.AsPercent), w.in.PackedTo.Show(quantity.AsPercent), check.Stop,
				fmt.Sprintf("Test %s is packed to %s.", name, w.text(quantity.Show(share, quantity.AsPercent))),
				fmt.Sprintf("Test %s is packed to %s, under %s: roll that lift again before the next.", name, w.text(quantity.Show(share, quantity.AsPercent)), w.text(w.in.PackedTo.Show(quantity.AsPercent))),
				sources.Proctor, w.wetWords(t.Water.Value))
			c.Where = name
			out = append(out, c)
		}
	}
	return out
}

// moistureRoom is how far from the best water stone still packs.
const moistureRoom = 0.02

// wetWords says what the water has to do with a test that failed.
func (w *work) wetWords(water quantity.Percent) string {
	best := w.in.BestMoisture.Value
	switch {
	case water < best-moistureRoom:
		return "It is dry: sprinkle, wait, roll."
	case water > best+moistureRoom:
		return "It is wet: let it dry, or rip and turn it."
	}
	return "Its water is right: more passes, thinner lifts or a heavier plate."
}
