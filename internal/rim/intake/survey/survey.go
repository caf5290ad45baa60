// Package survey imports shots and outlines that somebody measured or drew elsewhere: tables of a total station or phone, DXF
// drawings, GeoJSON, LandXML 1.2. What a file does not say (its unit, which axis is which, international or US survey feet) is
// asked, never guessed; what a file says and a person says otherwise is a fault.
package survey

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/site"
)

// MaxSize is the largest file read, in bytes.
const MaxSize = 64 << 20

// metres is the length of each unit. Source: definition; US survey foot: Mendenhall order of 1893.
var metres = map[site.SurveyUnit]float64{site.Metres: 1, site.Millimetres: 1e-3, site.Centimetres: 1e-2, site.Inches: 0.0254, site.Feet: 0.3048, site.SurveyFeet: 1200.0 / 3937}

// Told is what a person says about a file; empty where the file says it itself.
type Told struct {
	Unit site.SurveyUnit
	Axes site.SurveyAxes
}

// Point is a shot: where, and, where HasZ, how high, metres.
type Point struct {
	Name string
	Code string // what the surveyor called it, or the layer it is drawn on
	At   geometry.Point
	Z    float64
	HasZ bool
}

// Line is a chain of points: an outline where Closed.
type Line struct {
	Name   string // its name, or the layer it is drawn on
	Points []Point
	Closed bool
}

// Skipped is something in the file that was not read.
type Skipped struct {
	What  string
	Count int
}

// Import is what a file holds, in metres.
type Import struct {
	Points  []Point
	Lines   []Line
	Skipped []Skipped
	Unit    site.SurveyUnit // its coordinates were in
	Origin  geometry.Point  // what was taken off every place
}

// Fault is why a file cannot be taken, with its place (line 0: the file as a whole, or what was told about it).
type Fault struct {
	Line   int `json:"line"`
	Column int `json:"column"`
	check.Fault
}

// Faults are all faults of a file.
type Faults []Fault

// Error lists the faults, one a line.
func (f Faults) Error() string {
	var lines []string
	for _, one := range f {
		text := one.Fault.Error()
		if one.Line > 0 {
			text = fmt.Sprintf("line %d, column %d: %s", one.Line, one.Column, text)
		}
		lines = append(lines, text)
	}
	return strings.Join(lines, "\n")
}

func faultAt(line, column int, field, given, why, instead string) Faults {
	return Faults{{line, column, check.Fault{Field: field, Given: given, Why: why, Type: instead}}}
}

// fault is one about a whole line, or (line 0) about the whole file.
func fault(line int, field, given, why, instead string) Faults {
	return faultAt(line, min(line, 1), field, given, why, instead)
}

func askUnit(known string) Faults {
	return fault(0, "unit", known, "does not say the unit of its coordinates, or not which foot.", "Type unit: m, mm, cm, in, ft, or survey ft (US survey feet, as in old state plane coordinates).")
}

func askAxes() Faults {
	return fault(0, "axes", "", "does not say which coordinate is which.", "Type axes: east north (x first), or north east (as most total stations write).")
}

// Read imports a file; its kind is told by its name's ending, or else by its beginning. Errors are [Faults]: questions too.
func Read(name string, src []byte, told Told) (Import, error) {
	if len(src) > MaxSize {
		return Import{}, fault(0, "file", "", fmt.Sprintf("has %d bytes; at most %d are read.", len(src), MaxSize), "Send the points and outlines alone.")
	}
	if _, ok := metres[told.Unit]; told.Unit != "" && told.Unit != site.Degrees && !ok {
		return Import{}, fault(0, "unit", string(told.Unit), "is no unit known here.", "Type one of "+strings.Join(site.SurveyUnit("").Choices(), ", ")+".")
	}
	if told.Axes != "" && told.Axes != site.EastNorth && told.Axes != site.NorthEast {
		return Import{}, fault(0, "axes", string(told.Axes), "is no order of axes.", "Type east north or north east.")
	}
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	read := kindOf(strings.ToLower(name), src)
	in, err := read(src, told)
	if err != nil {
		return Import{}, err
	}
	if len(in.Points) == 0 && len(in.Lines) == 0 {
		return Import{}, fault(0, "file", "", "holds no point and no line that can be used.", "Export points, polylines or breaklines.")
	}
	return in, in.sound()
}

type reader func(src []byte, told Told) (Import, error)

func kindOf(name string, src []byte) reader {
	head := string(bytes.TrimSpace(src[:min(len(src), 200)]))
	switch {
	case strings.HasSuffix(name, ".dxf") || strings.HasPrefix(head, "0\nSECTION") || strings.HasPrefix(head, "0\r\nSECTION") || strings.HasPrefix(head, "AutoCAD Binary DXF") || strings.HasPrefix(head, "999"):
		return readDXF
	case strings.HasSuffix(name, ".geojson") || strings.HasSuffix(name, ".json") || strings.HasPrefix(head, "{"):
		return readGeoJSON
	case strings.HasSuffix(name, ".xml") || strings.HasPrefix(head, "<"):
		return readLandXML
	}
	return readTable
}

// farthest is how far from its origin a coordinate may lie, m: half way round the earth.
const farthest = 2.1e7

// sound refuses what is no place.
func (in Import) sound() error {
	bad := func(p Point) bool {
		return !p.At.IsFinite() || max(math.Abs(p.At.X), math.Abs(p.At.Y)) > farthest || p.HasZ && !(math.Abs(p.Z) < farthest)
	}
	for _, p := range in.Points {
		if bad(p) {
			return fault(0, "file", p.Name, "holds a point that is no place on earth.", "Check its unit.")
		}
	}
	for _, l := range in.Lines {
		for _, p := range l.Points {
			if bad(p) {
				return fault(0, "file", l.Name, "holds a line that is no place on earth.", "Check its unit.")
			}
		}
	}
	return nil
}

func (in Import) each(visit func(*Point)) {
	for i := range in.Points {
		visit(&in.Points[i])
	}
	for i := range in.Lines {
		for k := range in.Lines[i].Points {
			visit(&in.Lines[i].Points[k])
		}
	}
}

// skips counts what was not read, in the order it first came.
type skips []Skipped

func (s *skips) add(what string) {
	for i := range *s {
		if (*s)[i].What == what {
			(*s)[i].Count++
			return
		}
	}
	*s = append(*s, Skipped{what, 1})
}
