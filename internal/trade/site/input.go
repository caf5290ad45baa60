package site

import (
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Input is what is known of the lot.
type Input struct {
	Units quantity.System `yaml:"units" says:"us or metric"`

	Length known.Length `yaml:"length" says:"long side of the slab" unit:"ft|m" usual:"1..400|0.3..120" show:"side"`
	Width  known.Length `yaml:"width" says:"short side of the slab" unit:"ft|m" usual:"1..400|0.3..120" show:"side"`

	Fixed   []Corner `yaml:"fixed" says:"marks that stay where they are, like corners of the house: tapes may run from them"`
	Corners []Corner `yaml:"corners" says:"corners of the slab, one after another round the edge"`
	Tapes   []Tape   `yaml:"tapes" says:"sides and diagonals as taped"`
	Curves  []Curve  `yaml:"curves" says:"sides that are bowed, by the rise of their middle"`

	North     known.Known[quantity.Angle] `yaml:"north" says:"where north is, clockwise from straight up the drawing" unit:"deg"`
	Bench     Bench                       `yaml:"bench_mark" says:"the fixed point all levels start from"`
	Rod       RodKind                     `yaml:"rod" says:"standard: more is lower; direct: more is higher"`
	Book      []Reading                   `yaml:"level_book" says:"the level book, reading by reading, from the bench mark on"`
	ClosesOn  known.Length                `yaml:"closes_on" says:"known level of the last point of the book" unit:"ft|m" show:"elevation"`
	TwoPegs   TwoPegs                     `yaml:"two_peg" says:"test of the level"`
	Shots     []Shot                      `yaml:"shots" says:"levels read on the ground"`
	Breaks    []Breakline                 `yaml:"breaklines" says:"lines the ground bends along, shot by shot: a curb, the top and the foot of a bank"`
	Obstacles []Obstacle                  `yaml:"obstacles" says:"what stands, lies or runs on the lot"`
	Locate    Locate                      `yaml:"locate" says:"the call before digging"`

	SurveyFile SurveyFile `yaml:"survey_file" says:"a survey somebody measured or drew elsewhere: the outline, the ground, its breaklines"`
	Survey     Survey     `yaml:"-"`

	Town    Town                       `yaml:"lot" says:"what the town asks of the lot"`
	DigDate known.Known[quantity.Date] `yaml:"dig_date" says:"day the dig is to start"`

	TapeError     known.Length `yaml:"tape_error" says:"how far off a tape reading may be" unit:"in|mm" show:"drop"`
	RootRadius    known.Ratio  `yaml:"root_radius" says:"root protection radius over trunk diameter" usual:"6..24|6..24"`
	Isolation     known.Length `yaml:"isolation" says:"isolation strip at what stands in or against the slab" unit:"in|mm" show:"drop"`
	DigMargin     known.Length `yaml:"dig_margin" says:"how far the dig runs past the slab edge" unit:"in|mm" show:"drop"`
	ToleranceZone known.Length `yaml:"tolerance_zone" says:"hand-dig zone each side of a buried line's mark" unit:"in|mm" show:"drop"`
}

// Corner is one corner of the slab, from any origin.
type Corner struct {
	X    known.Length `yaml:"x" says:"distance to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
	Y    known.Length `yaml:"y" says:"distance up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
	Name string       `yaml:"name" says:"letter of the corner; A, B, C if left out"`
	Side known.Length `yaml:"side" says:"what the tape said along the side to the next corner, beside the corners" unit:"ft|m" usual:"0.5..400|0.15..120" show:"side"`
}

// Tape is a taped distance between two corners.
type Tape struct {
	From   string       `yaml:"from" says:"corner the tape starts at"`
	To     string       `yaml:"to" says:"corner it ends at"`
	Length known.Length `yaml:"length" says:"what the tape said" unit:"ft|m" usual:"0.5..400|0.15..120" show:"side"`
}

// Bench is the bench mark with the backsight to it.
type Bench struct {
	Name      string       `yaml:"name" says:"what it is: a nail in the post, the stoop"`
	Elevation known.Length `yaml:"elevation" says:"its level" unit:"ft|m" show:"elevation"`
	Backsight known.Length `yaml:"backsight" says:"rod reading on it" unit:"ft|m" show:"elevation"`
	Again     known.Length `yaml:"again" says:"rod reading on it at the end" unit:"ft|m" show:"elevation"`
}

// Shot is one level: at a corner by name or at a place, read on the rod or known as an elevation.
type Shot struct {
	X         known.Length `yaml:"x" says:"distance to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Y         known.Length `yaml:"y" says:"distance up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"distance"`
	Rod       known.Length `yaml:"rod" says:"rod reading" unit:"ft|m" show:"elevation"`
	At        string       `yaml:"at" says:"corner it was read at, instead of x and y"`
	Elevation known.Length `yaml:"elevation" says:"level, instead of a rod reading" unit:"ft|m" show:"elevation"`
	Name      string       `yaml:"name" says:"what it is"`
}

// Breakline is a line along which the ground bends: the shots on it, in order, by their names.
type Breakline struct {
	Name  string   `yaml:"name" says:"what it is: top of curb"`
	Shots []string `yaml:"shots" says:"names of the shots along it, two at least"`
}

// Kind is what an obstacle is.
type Kind string

// The kinds of obstacle.
const (
	Tree     Kind = "tree"
	Building Kind = "building"
	Wall     Kind = "wall"
	Fence    Kind = "fence"
	Post     Kind = "post"
	Lid      Kind = "lid"
	Pipe     Kind = "pipe"
	Old      Kind = "old slab"
	Power    Kind = "power"
	Gas      Kind = "gas"
	Comm     Kind = "communication"
	Drinking Kind = "water"
	Sewer    Kind = "sewer"
	Overhead Kind = "overhead line"
	Lot      Kind = "lot line"
	Eave     Kind = "eave"        // of a roof: what is taller than its height does not pass
	Branch   Kind = "low branch"  // the same of a tree
	Curb     Kind = "curb"        // stops wheels, bodies swing over it
	Drop     Kind = "drop"        // an edge wheels must not roll over: a ditch, a slab's edge
	Soft     Kind = "soft ground" // does not carry wheels
	Culvert  Kind = "culvert"
)

// Choices are the words a file may use.
func (Kind) Choices() []string {
	return []string{string(Tree), string(Building), string(Wall), string(Fence), string(Post), string(Lid), string(Pipe), string(Old),
		string(Power), string(Gas), string(Comm), string(Drinking), string(Sewer), string(Overhead), string(Lot),
		string(Eave), string(Branch), string(Curb), string(Drop), string(Soft), string(Culvert)}
}

// Obstacle is one thing in the way: a round thing by its centre, a line or an outline by its points.
type Obstacle struct {
	Kind   Kind              `yaml:"kind" says:"what it is"`
	Name   string            `yaml:"name" says:"what people call it"`
	X      known.Length      `yaml:"x" says:"centre, to the right" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
	Y      known.Length      `yaml:"y" says:"centre, up the drawing" unit:"ft|m" usual:"-3000..3000|-1000..1000" show:"side"`
	Across known.Length      `yaml:"across" says:"trunk, lid, post or pipe diameter" unit:"in|mm" usual:"0.5..120|10..3000" show:"drop"`
	Stems  []quantity.Length `yaml:"stems" says:"stem diameters of a tree with several" unit:"in|mm" usual:"0.5..60|10..1500" show:"drop"`
	Line   []Corner          `yaml:"line" says:"points it runs through"`
	Depth  known.Length      `yaml:"depth" says:"how deep it lies" unit:"in|mm" show:"drop"`
	Height known.Length      `yaml:"height" says:"lowest height above ground" unit:"ft|m" show:"distance"`
	Volts  string            `yaml:"volts" says:"line voltage, if the utility said"`
}

// Town is what the town asks of the lot; rules differ from town to town, so nothing here is guessed.
type Town struct {
	Area    known.Area    `yaml:"area" says:"area of the lot" unit:"ft2|m2" usual:"1000..500000|100..50000"`
	Hard    known.Area    `yaml:"hard_area" says:"roofs and paving on it now" unit:"ft2|m2" usual:"0..100000|0..10000"`
	Most    known.Percent `yaml:"most_hard" says:"greatest share of hard ground the town allows"`
	Setback known.Length  `yaml:"setback" says:"how far from the lot line a slab must stay" unit:"ft|m" usual:"0..50|0..15" show:"distance"`
	Permit  known.Truth   `yaml:"permit_asked" says:"has the building office been asked"`
}

// Locate is the call before digging.
type Locate struct {
	Ticket     string                     `yaml:"ticket" says:"ticket number"`
	LegalStart known.Known[quantity.Date] `yaml:"legal_start" says:"first day digging is legal"`
	Expires    known.Known[quantity.Date] `yaml:"marks_expire" says:"day the marks run out"`
	Private    known.Truth                `yaml:"private_lines_found" says:"private lines looked for: sprinkler, septic, grill gas, yard power"`
}

// Defaults are the starting guesses.
func Defaults() Input {
	return Input{
		North:         known.Guess(quantity.Angle(0), "straight up the drawing until somebody points", sources.OwnRule),
		TapeError:     known.Assume(quantity.Millimetres(10), quantity.Millimetres(3), quantity.Millimetres(20), "cloth tape on grass", sources.CommonPractice),
		RootRadius:    known.Assume(quantity.Ratio(12), 12, 18, "twelve trunk diameters; some codes ask 15 or 18", sources.RootRadius),
		Isolation:     known.Assume(quantity.Inches(0.5), quantity.Inches(0.25), quantity.Inches(0.5), "half-inch strip, full depth", sources.CommonPractice),
		DigMargin:     known.Assume(quantity.Inches(12), quantity.Inches(6), quantity.Inches(24), "room for boards, stakes and stone past the edge", sources.CommonPractice),
		ToleranceZone: known.Assume(quantity.Inches(24), quantity.Inches(18), quantity.Inches(24), "by state law; the wider one is safe", sources.ToleranceZone),
	}
}

func point(x, y known.Length) geometry.Point {
	return geometry.Point{X: x.Value.Metres(), Y: y.Value.Metres()}
}
