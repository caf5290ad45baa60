package site

import (
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/known"
)

// SurveyUnit is the unit a survey file's coordinates are in.
type SurveyUnit string

// The units. A US survey foot is 1200/3937 m, two millionths longer than the international foot.
const (
	Metres      SurveyUnit = "m"
	Millimetres SurveyUnit = "mm"
	Centimetres SurveyUnit = "cm"
	Inches      SurveyUnit = "in"
	Feet        SurveyUnit = "ft"
	SurveyFeet  SurveyUnit = "survey ft"
	Degrees     SurveyUnit = "deg" // longitude and latitude, WGS 84
)

// Choices are the words a file may use.
func (SurveyUnit) Choices() []string {
	return []string{string(Metres), string(Millimetres), string(Centimetres), string(Inches), string(Feet), string(SurveyFeet), string(Degrees)}
}

// SurveyAxes is the order in which a survey file writes its coordinates.
type SurveyAxes string

// The orders.
const (
	EastNorth SurveyAxes = "east north"
	NorthEast SurveyAxes = "north east"
)

// Choices are the words a file may use.
func (SurveyAxes) Choices() []string { return []string{string(EastNorth), string(NorthEast)} }

// SurveyFile names a file that somebody measured or drew elsewhere and says what in it is what. What the file does not say
// itself (its unit, which coordinate is which) is asked, never guessed.
type SurveyFile struct {
	File       string     `yaml:"file" says:"CSV, DXF, GeoJSON or LandXML file beside the job file"`
	Unit       SurveyUnit `yaml:"unit" says:"unit of its coordinates, where it does not say: m, mm, cm, in, ft, survey ft, deg"`
	Axes       SurveyAxes `yaml:"axes" says:"which comes first, where it does not say: east north, or north east"`
	Outline    string     `yaml:"outline" says:"layer, feature or code of the slab's outline; its only closed line if left out and no size is given"`
	Ground     []string   `yaml:"ground" says:"layers, features or codes of the shots on the ground; all that have a height if left out"`
	Breaklines []string   `yaml:"breaklines" says:"layers, features or codes of lines the ground bends along: curbs, top and foot of banks"`
	Things     []Surveyed `yaml:"things" says:"what else in it stands, lies or runs on the lot: walls, trees, pipes"`
	Origin     string     `yaml:"origin" says:"what is 0, 0 of the job: a point's name, or east and north as the file writes them"`
}

// Surveyed says what the lines or points under one name of a survey file are.
type Surveyed struct {
	In     string       `yaml:"in" says:"layer, feature or code they are under"`
	Kind   Kind         `yaml:"kind" says:"what they are"`
	Name   string       `yaml:"name" says:"what people call it; the layer or code if left out"`
	Across known.Length `yaml:"across" says:"trunk, lid, post or pipe diameter" unit:"in|mm" usual:"0.5..120|10..3000" show:"drop"`
	Height known.Length `yaml:"height" says:"lowest height above ground" unit:"ft|m" show:"distance"`
}

// Survey is what was read from a survey file: shots on the ground and the lines it bends along.
type Survey struct {
	Shots []terrain.Shot
	Lines [][]int // breaklines as positions in Shots
	Says  string  // what was taken, how it was read and what was left
}
