package grade

import (
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Input is the slab on its ground, what it must meet, and how the crew digs, fills, rolls and hauls.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Outline   geometry.Polygon `yaml:"outline" says:"the slab, box-outs as holes"`
	Corners   []Place          `yaml:"corners" says:"corners of the outline, in its order, by name"`
	Against   []string         `yaml:"against" says:"for each side, the wall it runs along; empty where it is free"`
	Ground    []Spot           `yaml:"ground" says:"levels of the ground as it is"`
	Breaks    [][]int          `yaml:"breaklines" says:"lines the ground bends along, as positions in ground, the first is 0"`
	BaseShots []Spot           `yaml:"base_shots" says:"levels shot on the finished base, for the true concrete"`
	Zones     []Zone           `yaml:"zones" says:"ground within the hand-dig zones of buried lines"`
	Folds     []Fold           `yaml:"folds" says:"hips and valleys: lines along which the slab bends"`
	Ties      []Tie            `yaml:"ties" says:"levels the slab must meet or stay below or above"`

	Thickness   known.Length `yaml:"thickness" says:"slab thickness" unit:"in|mm" usual:"2..24|50..600" show:"thickness"`
	ThicknessAt []ThickSpot  `yaml:"thickness_at" says:"places where the slab is thicker or thinner; even between them"`
	ThickEdges  []ThickEdge  `yaml:"thick_edges" says:"edges poured deeper than the slab"`
	Curbs       []Curb       `yaml:"curbs" says:"curbs poured on the edge"`
	Steps       []Steps      `yaml:"steps" says:"flights of solid steps"`

	Base   known.Length `yaml:"base_thickness" says:"compacted stone under the slab" unit:"in|mm" usual:"0..24|0..600" show:"thickness"`
	Margin known.Length `yaml:"dig_margin" says:"how far dig and stone run past the slab edge" unit:"in|mm" usual:"0..48|0..1200" show:"drop"`
	Dress  known.Length `yaml:"dressed_width" says:"width of the ground that is dressed to the slab round it" unit:"ft|m" usual:"0.5..15|0.15..5" show:"distance"`
	Reveal known.Length `yaml:"reveal" says:"top of the slab above the ground along its low edge" unit:"in|mm" usual:"-6..12|-150..300" show:"drop"`

	Drain      known.Text                  `yaml:"drain" says:"where the water goes: away from wall, to side BC, south, or degrees from north"`
	North      known.Known[quantity.Angle] `yaml:"north" says:"where north is, clockwise from straight up the drawing" unit:"deg"`
	Least      known.Slope                 `yaml:"least_slope" says:"least fall the way the water runs" unit:"%" usual:"0.5..6|0.5..6"`
	Greatest   known.Slope                 `yaml:"greatest_slope" says:"greatest slope in any direction" unit:"%" usual:"1..20|1..20"`
	Cross      known.Slope                 `yaml:"cross_slope" says:"greatest slope across the way the water runs" unit:"%" usual:"0..6|0..6"`
	Break      known.Slope                 `yaml:"grade_break" says:"greatest change of slope across a hip or valley" unit:"%" usual:"1..12|1..12"`
	Valley     known.Slope                 `yaml:"valley_slope" says:"least fall along a valley" unit:"%" usual:"0.3..4|0.3..4"`
	Accessible known.Truth                 `yaml:"accessible" says:"must it serve as an accessible route or parking place"`
	CutCost    known.Ratio                 `yaml:"cut_cost" says:"cost of a yard dug, as a share of digging one yard"`
	FillCost   known.Ratio                 `yaml:"fill_cost" says:"cost of a yard filled and rolled, as a share of digging one"`

	Flatness known.Length                     `yaml:"flatness" says:"gap under a straightedge of 10 ft or 3 m that finishing leaves" unit:"in|mm" usual:"0.0625..1|2..25" show:"drop"`
	Rain     known.Known[quantity.LengthRate] `yaml:"rain" says:"heaviest five minutes of rain in ten years" unit:"in/h|mm/h" usual:"2..15|50..380" show:"rain"`
	Arriving []Arrival                        `yaml:"arriving" says:"water that comes onto the slab: downspouts, banks"`
	Drains   []Drain                          `yaml:"drains" says:"trench drains and inlets to be sized"`

	Height known.Length `yaml:"height_of_instrument" says:"level of the laser or level" unit:"ft|m" show:"elevation"`
	String known.Length `yaml:"string_height" says:"level string above the highest corner" unit:"in|mm" usual:"0..36|0..900" show:"drop"`
	Stakes known.Length `yaml:"stake_spacing" says:"greatest distance between grade stakes" unit:"ft|m" usual:"2..50|0.6..15" show:"distance"`

	Clear     known.Length       `yaml:"board_clearance" says:"batter boards stand this far from the dig" unit:"ft|m" usual:"1..10|0.3..3" show:"distance"`
	Screed    known.Length       `yaml:"screed_length" says:"what the screed spans" unit:"ft|m" usual:"4..30|1.2..9" show:"distance"`
	Curves    []Curve            `yaml:"bows" says:"curved sides of the outline, as positions of their corners"`
	JointEnds []geometry.Segment `yaml:"joint_ends" says:"joints whose ends are staked, metres"`

	Soil         known.Known[Soil]  `yaml:"soil" says:"what is dug"`
	SoilWeight   known.Density      `yaml:"soil_weight" says:"weight of the soil as it lies, moist" unit:"lb/ft3|kg/m3" usual:"70..150|1100..2400"`
	Soft         known.Truth        `yaml:"soft_ground" says:"soft, black, frozen, swelling or pumping ground found"`
	Frost        known.Length       `yaml:"frost_depth" says:"local frost depth" unit:"in|mm" usual:"0..100|0..2500" show:"drop"`
	Stone        known.Known[Stone] `yaml:"stone" says:"what the base is made of"`
	StoneWeight  known.Density      `yaml:"stone_weight" says:"dry weight of the base, compacted" unit:"lb/ft3|kg/m3" usual:"90..150|1450..2400"`
	Moisture     known.Percent      `yaml:"stone_moisture" says:"water in the stone as it comes"`
	Waste        known.Percent      `yaml:"stone_waste" says:"stone ordered over what the drawing takes"`
	Packing      known.Ratio        `yaml:"packing" says:"compacted over loose thickness of the stone"`
	BestMoisture known.Percent      `yaml:"best_moisture" says:"water at which the stone packs best, by its Proctor test"`
	Plate        Plate              `yaml:"plate" says:"the plate or roller that packs it"`
	Proctor      known.Density      `yaml:"proctor_weight" says:"heaviest dry weight in the Proctor test" unit:"lb/ft3|kg/m3" usual:"90..160|1450..2560"`
	PackedTo     known.Percent      `yaml:"packed_to" says:"share of the Proctor weight it is packed to"`
	Tests        []PackTest         `yaml:"compaction_tests" says:"tests of how well it is packed"`
	SoftSpots    []SoftSpot         `yaml:"soft_spots" says:"soft ground that is dug out deeper and filled with stone"`
	Fabric       known.Truth        `yaml:"fabric" says:"is fabric laid between ground and stone"`
	Lift         known.Length       `yaml:"loose_lift" says:"deepest loose lift the compactor rolls" unit:"in|mm" usual:"1..12|25..300" show:"drop"`

	Box     known.Volume  `yaml:"truck_box" says:"box of the haul truck" unit:"yd3|m3" usual:"1..25|1..20"`
	Payload known.Mass    `yaml:"truck_payload" says:"what the haul truck may carry" unit:"ton|t" usual:"1..30|1..30" show:"tons"`
	Keep    known.Percent `yaml:"kept_on_site" says:"share of the dug ground that stays on site"`
}

// Place is a named point.
type Place struct {
	Name string         `yaml:"name" says:"letter of the corner"`
	At   geometry.Point `yaml:"at" says:"where it is, metres"`
}

// Zone is the ground near a buried line, where nothing but hands and vacuum dig.
type Zone struct {
	Name     string             `yaml:"name" says:"the line"`
	Outlines []geometry.Polygon `yaml:"outlines" says:"its zone in plan, metres"`
}

// Spot is a level at a place.
type Spot struct {
	Name      string         `yaml:"name" says:"what it is"`
	At        geometry.Point `yaml:"at" says:"where it is, metres"`
	Elevation known.Length   `yaml:"elevation" says:"its level" unit:"ft|m" show:"elevation"`
}

// TieKind says how a tie holds the slab.
type TieKind string

// The kinds of tie.
const (
	Meet  TieKind = "meet"  // the slab's top is there exactly
	Below TieKind = "below" // it is there or lower: under a door sill
	Above TieKind = "above" // it is there or higher: over a pipe, above flood
)

// Choices are the words a file may use.
func (TieKind) Choices() []string { return []string{string(Meet), string(Below), string(Above)} }

// Tie is a level that holds the slab at a corner, along a side or at a place.
type Tie struct {
	Corner    string       `yaml:"corner" says:"corner it is at"`
	Side      string       `yaml:"side" says:"or the side it runs along, like BC"`
	X         known.Length `yaml:"x" says:"or distance to the right" unit:"ft|m" usual:"-400..400|-120..120" show:"distance"`
	Y         known.Length `yaml:"y" says:"and distance up the drawing" unit:"ft|m" usual:"-400..400|-120..120" show:"distance"`
	Elevation known.Length `yaml:"elevation" says:"its level" unit:"ft|m" show:"elevation"`
	Step      known.Length `yaml:"step" says:"step from that level down to the slab (up, for above)" unit:"in|mm" usual:"0..24|0..600" show:"drop"`
	Kind      TieKind      `yaml:"kind" says:"meet, below or above"`
	Name      string       `yaml:"name" says:"what it is: threshold, street"`
}

// Defaults are the starting guesses.
func Defaults() Input {
	in, pct := quantity.Inches, func(v float64) quantity.Slope { return quantity.Slope(v / 100) }
	return Input{
		Base:         known.Assume(in(4), in(3), in(8), "the usual bed under outdoor flatwork", sources.CommonPractice),
		Margin:       known.Assume(in(12), in(6), in(24), "room for boards and stakes, stone carried past the edge", sources.CommonPractice),
		Dress:        known.Assume(quantity.Feet(3), quantity.Feet(1), quantity.Feet(10), "what a crew rakes to the slab when the forms are off", sources.OwnRule),
		Reveal:       known.Assume(in(1), in(0), in(3), "water and mud run off the slab, not onto it", sources.CommonPractice),
		Drain:        known.Guess("", "away from the wall it runs along, else the way the ground falls", sources.CommonPractice),
		North:        known.Guess(quantity.Angle(0), "straight up the drawing until somebody points", sources.OwnRule),
		Least:        known.Assume(pct(2), pct(100.0/96), pct(2.5), "the usual fall of outdoor slabs; half of it is the least for a broomed one", sources.DrainRules),
		Greatest:     known.Assume(pct(5), pct(100.0/48), pct(10), "walk and park in comfort; a ramp is another matter", sources.DrainRules),
		Cross:        known.Assume(pct(1), 0, pct(2), "what a level-looking slab may lean across its fall", sources.DrainRules),
		Break:        known.Assume(pct(6), pct(3), pct(8), "most vehicles pass 3 %; 6 to 8 % may work", sources.DrivewayGrades),
		Valley:       known.Assume(pct(1), pct(0.5), pct(2), "what a broomed swale sheds", sources.DrainRules),
		Accessible:   known.Guess(false, "nobody asked for an accessible route", sources.OwnRule),
		CutCost:      known.Assume(quantity.Ratio(1), 1, 1, "the yardstick", sources.Definition),
		FillCost:     known.Assume(quantity.Ratio(3), 2, 5, "fill is bought, brought, spread and rolled", sources.OwnRule),
		Flatness:     known.Assume(in(0.25), in(0.125), in(0.5), "what exterior flatwork is held to", sources.CommonPractice),
		Rain:         known.Assume(quantity.Of[quantity.LengthRate](6, "in/h"), quantity.Of[quantity.LengthRate](4, "in/h"), quantity.Of[quantity.LengthRate](10, "in/h"), "no local 10-year 5-minute rain was given", sources.RationalMethod),
		String:       known.Assume(in(4), in(2), in(12), "clear of the boards and the strike-off", sources.CommonPractice),
		Stakes:       known.Assume(quantity.Feet(10), quantity.Feet(4), quantity.Feet(25), "a string sags where its pins stand far apart", sources.CommonPractice),
		Clear:        known.Assume(quantity.Feet(3), quantity.Feet(2), quantity.Feet(6), "the machine turns its bucket inside them", sources.CommonPractice),
		Screed:       known.Assume(quantity.Feet(16), quantity.Feet(10), quantity.Feet(20), "what two people pull", sources.CommonPractice),
		Soil:         known.Guess(Earth, "nobody dug yet", sources.OwnRule),
		Stone:        known.Guess(DenseGraded, "crusher run with fines packs hardest", sources.CommonPractice),
		Moisture:     known.Assume(quantity.Percent(0.05), 0.02, 0.08, "stone is sold damp", sources.CommonPractice),
		Waste:        known.Assume(quantity.Percent(0.05), 0.03, 0.10, "soft spots, edges, what stays in the yard", sources.CommonPractice),
		Packing:      known.Assume(quantity.Ratio(0.80), 0.75, 0.85, "compacted over loose", sources.CommonPractice),
		BestMoisture: known.Assume(quantity.Percent(0.06), 0.05, 0.08, "crusher run packs best damp", sources.CommonPractice),
		Plate:        defaultPlate(),
		PackedTo:     known.Assume(quantity.Percent(0.95), 0.95, 0.98, "of the standard Proctor weight, under slabs", sources.Proctor),
		Lift:         known.Assume(in(2), in(2), in(6), "a hand plate; heavier plates take twice to three times that, a ride-on roller more", sources.CommonPractice),
		Box:          known.Assume(quantity.CubicYards(10), quantity.CubicYards(5), quantity.CubicYards(14), "a tandem dump truck", sources.CommonPractice),
		Payload:      known.Assume(quantity.Of[quantity.Mass](13, "ton"), quantity.Of[quantity.Mass](6, "ton"), quantity.Of[quantity.Mass](15, "ton"), "a tandem dump truck within its legal weight", sources.CommonPractice),
		Keep:         known.Assume(quantity.Percent(0), 0, 0.5, "all hauled off until somebody shows a place for it", sources.OwnRule),
	}
}
