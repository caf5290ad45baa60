// Package slab answers: how thick must the slab be, and will it hold what stands on it, in a hot afternoon and at a winter
// dawn, this year and in twenty?
//
// It works by closed forms on one panel: Westergaard's wheel in the middle, at the edge and at the corner, the exact plate
// on springs for the wheels beside it, Bradbury for curling, PCA for fatigue. They hold for one panel some radii of
// relative stiffness wide; outside that a check says so.
package slab

import (
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/working"
)

// Input is what is known of the ground, the concrete and what will stand on the slab.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Thickness known.Length `yaml:"thickness" says:"thickness of the slab, if it is decided" unit:"in|mm" usual:"3.5..12|90..300" show:"thickness"`

	Vehicle known.Text  `yaml:"vehicle" says:"what parks or drives on it"`
	Weight  known.Force `yaml:"weight" says:"what the loaded vehicle weighs" unit:"lb|kN" usual:"1500..80000|7..360" show:"force"`
	Axles   []Axle      `yaml:"axles" says:"axles one by one, instead of or beside the vehicle"`
	Posts   []Post      `yaml:"posts" says:"jacks, posts and legs standing on the slab"`

	JackPad       known.Length                    `yaml:"jack_pad" says:"side of the pad under each jack" unit:"in|mm" usual:"2.5..30|60..750" show:"thickness"`
	JackClearance known.Length                    `yaml:"jack_clearance" says:"how far jack pads stay from edges and joints" unit:"in|mm" usual:"0..120|0..3000" show:"thickness"`
	JacksStay     known.Truth                     `yaml:"jacks_stay" says:"jacks stay down for months"`
	PadWidth      known.Length                    `yaml:"pad_width" says:"how wide the pad is where the vehicle drives along it" unit:"ft|m" usual:"8..30|2.4..9" show:"side"`
	EdgeClearance known.Length                    `yaml:"edge_clearance" says:"how far wheels stay from the long edges" unit:"in|mm" usual:"0..60|0..1500" show:"thickness"`
	Passes        known.Known[quantity.Frequency] `yaml:"passes" says:"times it drives on or off" unit:"1/wk" usual:"0.1..500" show:"frequency"`
	Life          known.Time                      `yaml:"life" measure:"no" says:"how long the slab should last" unit:"yr" usual:"5..60" show:"years"`
	StoredLoad    known.Stress                    `yaml:"stored_load" says:"goods stacked beside an open aisle" unit:"psf|kPa" usual:"20..3000|1..150"`
	MixerAge      known.Time                      `yaml:"mixer_age" says:"age at which a loaded concrete truck must drive on it" unit:"d" usual:"3..90" show:"days"`

	Soil            known.Text     `yaml:"soil" says:"what the ground is"`
	SubgradeModulus known.Subgrade `yaml:"subgrade_modulus" says:"modulus of subgrade reaction of the bare ground, from a plate test" unit:"pci|MPa/m" usual:"50..300|13..82"`
	CBR             known.Ratio    `yaml:"cbr" says:"California bearing ratio of the ground, percent" usual:"2..50"`
	Cone            known.Length   `yaml:"cone" says:"dynamic cone penetrometer: sink per blow" unit:"mm" usual:"3..100" show:"deflection"`
	ConeSoil        known.Text     `yaml:"cone_soil" says:"soil the cone went into: CL, CH or other"`
	ConeHammer      known.Mass     `yaml:"cone_hammer" says:"hammer of the cone, 8 or 4.6 kg" unit:"kg"`
	RValue          known.Ratio    `yaml:"r_value" says:"R-value of the ground" usual:"5..80"`
	Base            known.Text     `yaml:"base" says:"what lies under the slab: stone, cement-treated or none"`
	BaseThickness   known.Length   `yaml:"base_thickness" says:"thickness of the base under the slab, compacted" unit:"in|mm" usual:"2..12|50..300" show:"thickness"`
	BaseCompacted   known.Truth    `yaml:"base_compacted" says:"the base is rolled or plated in lifts"`
	Fill            known.Length   `yaml:"fill" says:"deepest fill under the slab" unit:"in|mm" usual:"0..48|0..1200" show:"thickness"`

	Strength     known.Stress `yaml:"strength" says:"concrete strength at 28 days" unit:"psi|MPa" usual:"2500..6000|17..42" show:"strength"`
	Rupture      known.Ratio  `yaml:"rupture_factor" measure:"no" says:"modulus of rupture over √f'c (psi), under wheels" usual:"7..10.5"`
	PostRupture  known.Ratio  `yaml:"post_rupture_factor" measure:"no" says:"the same under jacks and posts" usual:"7..10.5"`
	Elasticity   known.Stress `yaml:"elasticity" measure:"no" says:"modulus of elasticity, if tested" unit:"ksi|GPa" usual:"2500..6000|17..42" show:"modulus"`
	Expansion    known.Ratio  `yaml:"expansion" measure:"no" says:"thermal expansion, millionths per kelvin" usual:"6..14"`
	SafetyWheels known.Ratio  `yaml:"safety_wheels" measure:"no" says:"safety factor under wheels, by how often they come" usual:"1.4..2.5"`
	SafetyPosts  known.Ratio  `yaml:"safety_posts" measure:"no" says:"safety factor under jacks" usual:"1.4..2.5"`
	SafetyRare   known.Ratio  `yaml:"safety_rare" measure:"no" says:"safety factor under a wheel astray, and in the worst hour of curling" usual:"1.2..2"`

	PanelLength   known.Length   `yaml:"panel_length" says:"long side of the largest panel between joints" unit:"ft|m" usual:"4..20|1.2..6" show:"side"`
	PanelWidth    known.Length   `yaml:"panel_width" says:"short side of that panel" unit:"ft|m" usual:"4..20|1.2..6" show:"side"`
	Joint         known.Text     `yaml:"joint" says:"how joints carry load: saw cut, saw cut known open, dowels or free edge"`
	JointOpening  known.Length   `yaml:"joint_opening" says:"how far joints open in winter" unit:"in|mm" show:"deflection"`
	DowelDiameter known.Length   `yaml:"dowel_diameter" says:"diameter of the dowels" unit:"in|mm" usual:"0.5..1.5|12..40" show:"thickness"`
	DowelSpacing  known.Length   `yaml:"dowel_spacing" says:"spacing of the dowels" unit:"in|mm" usual:"9..24|225..600" show:"thickness"`
	DayWarm       known.TempDiff `yaml:"day_difference" measure:"no" says:"top warmer than bottom on a hot afternoon" unit:"°F|K" usual:"5..30|3..17"`
	DawnCold      known.TempDiff `yaml:"dawn_difference" measure:"no" says:"top colder than bottom at dawn" unit:"°F|K" usual:"2..20|1..11"`
	BuiltInByDay  known.Percent  `yaml:"built_in_by_day" measure:"no" says:"share of that which stays on a hot afternoon, and takes from its warmth" show:"percent"`
	BuiltIn       known.TempDiff `yaml:"built_in_difference" measure:"no" says:"shrinkage of the top, as if it were colder by" unit:"°F|K" usual:"5..25|3..14"`

	Tolerance known.Length  `yaml:"tolerance" measure:"no" says:"thickness the slab may miss in places, taken off for the check" unit:"in|mm" usual:"0..1|0..25" show:"thickness"`
	EdgeShare known.Percent `yaml:"edge_share" measure:"no" says:"share of passes astray, along the very edge" show:"percent"`
	HotShare  known.Percent `yaml:"hot_share" measure:"no" says:"share of passes at the hottest hour" show:"percent"`
	BarHeight known.Length  `yaml:"bar_height" says:"height of the bars over the bottom of the slab" unit:"in|mm" show:"thickness"`
}

// Axle is one axle typed in. Tyres on an axle are two, or four as dual pairs.
type Axle struct {
	Load     known.Force  `yaml:"load" says:"load on the whole axle" unit:"lb|kN" usual:"500..34000|2..150"`
	Tyres    known.Number `yaml:"tyres" says:"tyres on it: 2 or 4"`
	Gauge    known.Length `yaml:"gauge" says:"between the middles of its left and right wheels" unit:"ft|m" usual:"3..8|1..2.5" show:"side"`
	At       known.Length `yaml:"at" says:"distance behind the first axle" unit:"ft|m" show:"side"`
	Pressure known.Stress `yaml:"pressure" says:"tyre pressure" unit:"psi|kPa" usual:"30..130|200..900"`
}

// Post is one or several equal jacks, posts or legs. Spacing is between neighbours of the same line.
type Post struct {
	Name    string       `yaml:"name" says:"what it is: jack, leg, rack post"`
	Load    known.Force  `yaml:"load" says:"load on each" unit:"lb|kN" usual:"200..20000|1..90"`
	Pad     known.Length `yaml:"pad" says:"side of its pad or foot plate" unit:"in|mm" usual:"2.5..30|60..750" show:"thickness"`
	Count   known.Number `yaml:"count" says:"how many"`
	Spacing known.Length `yaml:"spacing" says:"distance to the next" unit:"ft|m" show:"side"`
}

// Contact is one print on the slab: what stands where. X runs along the vehicle from its first axle back, Y across it.
type Contact struct {
	Name  string          `json:"name"`
	At    geometry.Point  `json:"at"`
	Force quantity.Force  `json:"force"`
	Area  quantity.Area   `json:"area"`
	Along quantity.Length `json:"along"` // length of the print
	Wide  quantity.Length `json:"wide"`
	Post  bool            `json:"post"` // stands still on a pad
}

// Case is one way the load meets the slab, with its demand and what is allowed.
type Case struct {
	Name        string          `json:"name"`
	Says        string          `json:"says"`
	Where       string          `json:"where"` // middle, edge, joint, corner, pad
	Face        string          `json:"face"`  // bottom or top: where the tension is
	Contact     string          `json:"contact,omitempty"`
	Wheel       quantity.Stress `json:"wheel"`
	Curl        quantity.Stress `json:"curl"`
	Demand      quantity.Any    `json:"demand"`
	Limit       quantity.Any    `json:"limit"`
	Utilisation float64         `json:"utilisation"`
	Deflection  quantity.Length `json:"deflection"`
}

// Candidate is one thickness that could be built.
type Candidate struct {
	Thickness   quantity.Length `json:"thickness"`
	Effective   quantity.Length `json:"effective"` // with the tolerance taken off
	Radius      quantity.Length `json:"radius"`    // of relative stiffness
	Cases       []Case          `json:"cases"`
	Governs     int             `json:"governs"` // index in Cases
	Utilisation float64         `json:"utilisation"`
	Damage      float64         `json:"damage"` // Miner sum over the life
	Holds       bool            `json:"holds"`
}

// Worst is the case that governs.
func (c Candidate) Worst() Case { return c.Cases[c.Governs] }

// Alternative is another way to the same end.
type Alternative struct {
	Says      string          `json:"says"`
	Thickness quantity.Length `json:"thickness"`
	Edge      quantity.Length `json:"edge,omitempty"` // thickness of the free edges where it differs
}

// Result is the answer.
type Result struct {
	Thickness       quantity.Length          `json:"thickness"`   // to build: as said, or as recommended
	Recommended     quantity.Length          `json:"recommended"` // least that holds and is not under practice; 0: none does
	PracticeFloor   quantity.Length          `json:"practice_floor"`
	Strict          quantity.Length          `json:"strict"`           // with wheels on the very edge ten times a day, safety factor 2; 0: none would hold
	Subgrade        quantity.SubgradeModulus `json:"subgrade"`         // of the bare ground
	SubgradeModulus quantity.SubgradeModulus `json:"subgrade_modulus"` // at the underside of the slab
	Flexural        quantity.Stress          `json:"flexural_strength"`
	Elasticity      quantity.Stress          `json:"elasticity"`
	Utilisation     float64                  `json:"utilisation"`
	Chosen          Candidate                `json:"chosen"`
	Candidates      []Candidate              `json:"candidates"`
	Alternatives    []Alternative            `json:"alternatives"`
	Life            quantity.Time            `json:"life"` // by passes; a hundred years means that or more
	OpeningStrength quantity.Stress          `json:"opening_strength"`
	Contacts        []Contact                `json:"contacts"`
	Deeper          Deeper                   `json:"deeper"`
	working.Answer
}

// Deeper is what a computation on the real panels needs of this judgement beside the figures.
type Deeper struct {
	PostFlexural   quantity.Stress          `json:"post_flexural_strength"`
	JointStiffness quantity.Ratio           `json:"joint_stiffness"` // over k l, at the thickness to build
	DowelStiffness quantity.Ratio           `json:"dowel_stiffness"` // the same with dowels
	BetterSupport  quantity.SubgradeModulus `json:"better_support"`  // with 4 in more of compacted base; as it is where none can be
	DayWarm        quantity.TempDiff        `json:"day_difference"`  // with what is built in taken off
	DawnCold       quantity.TempDiff        `json:"dawn_difference"` // with what is built in
	SafetyWheels   quantity.Ratio           `json:"safety_wheels"`
	SafetyPosts    quantity.Ratio           `json:"safety_posts"`
	SafetyRare     quantity.Ratio           `json:"safety_rare"`
	EdgeClearance  quantity.Length          `json:"edge_clearance"`
	JackClearance  quantity.Length          `json:"jack_clearance"`
	Mixer          *Mixer                   `json:"mixer,omitempty"` // a loaded concrete truck on the young slab, if one must
}

// Mixer is a loaded concrete truck and the slab at the age at which it must drive on it.
type Mixer struct {
	Age        quantity.Time   `json:"age"`
	Contacts   []Contact       `json:"contacts"`
	Elasticity quantity.Stress `json:"elasticity"`
	Flexural   quantity.Stress `json:"flexural_strength"`
}

// Design finds the thickness: what the ground carries, what the concrete carries, what stands on it, and then every
// thickness that could be built, the one that holds, and what would hold instead.
func Design(in Input) (Result, error) {
	in = in.Filled()
	if faults := in.Validate(); len(faults) > 0 {
		return Result{}, faults.Err()
	}
	under := findGround(in)
	m := newModel(in, under)
	r := Result{
		Subgrade: quantity.SubgradeModulus(under.bare), SubgradeModulus: quantity.SubgradeModulus(under.k),
		Flexural: quantity.Stress(m.rupture), Elasticity: quantity.Stress(m.elasticity),
		PracticeFloor: practiceFloor(m.axle, in.Units), Contacts: append(append([]Contact{}, m.wheels...), m.posts...),
	}
	r.Candidates = m.candidates(in, r.PracticeFloor)
	r.Recommended = recommended(r.Candidates, r.PracticeFloor)
	r.Thickness = thicknessToBuild(in, r)
	r.Chosen, _ = among(r.Candidates, r.Thickness)
	r.Utilisation = r.Chosen.Utilisation
	r.Life = lifeOf(r.Chosen, in.Life.Value)
	r.OpeningStrength = m.openingStrength(r.Thickness.Metres())
	r.Alternatives = alternatives(in, m, r)
	r.Strict = m.strict(in.Units, r)
	r.Deeper = m.deeper(in, r)
	explain(&r, in, under, m)
	r.Check(checks(in, r, under, m)...)
	return r, nil
}

// thicknessToBuild is what a person decided, or what holds; the thickest candidate when none holds.
func thicknessToBuild(in Input, r Result) quantity.Length {
	switch {
	case in.Thickness.Given():
		return in.Thickness.Value
	case r.Recommended > 0:
		return r.Recommended
	}
	return r.Candidates[len(r.Candidates)-1].Thickness
}

func (m model) deeper(in Input, r Result) Deeper {
	p := m.plate(r.Thickness.Metres())
	dowelled := m
	dowelled.joint = jointDowels
	d := Deeper{PostFlexural: quantity.Stress(m.postRupture), BetterSupport: r.SubgradeModulus,
		JointStiffness: quantity.Ratio(m.jointR(p)), DowelStiffness: quantity.Ratio(dowelled.jointR(p)),
		DayWarm: quantity.TempDiff(m.day), DawnCold: quantity.TempDiff(m.dawn),
		SafetyWheels: quantity.Ratio(m.safety.wheels), SafetyPosts: quantity.Ratio(m.safety.posts), SafetyRare: quantity.Ratio(m.safety.rare),
		EdgeClearance: in.EdgeClearance.Value, JackClearance: in.JackClearance.Value}
	if in.MixerAge.Given() {
		young := m.truckAtAge(in, in.MixerAge.Value)
		d.Mixer = &Mixer{Age: in.MixerAge.Value, Contacts: young.wheels, Elasticity: quantity.Stress(young.elasticity), Flexural: quantity.Stress(young.rupture)}
	}
	if deeper, ok := withMoreBase(in); ok {
		d.BetterSupport = quantity.SubgradeModulus(findGround(deeper).k)
	}
	return d
}

// longest is the life past which passes are no longer what ends a slab.
const longest = 100 * year

// lifeOf is how long the slab lasts at the design's passes, at most a hundred years.
func lifeOf(c Candidate, design quantity.Time) quantity.Time {
	if design.Seconds() >= c.Damage*longest.Seconds() {
		return longest
	}
	return quantity.Time(design.Seconds() / c.Damage)
}
