package survey

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"slabwright/internal/engines/geometry"
)

// linearUnits are the unit names of LandXML 1.2. Its foot is the international one.
var linearUnits = map[string]Unit{"meter": Metres, "millimeter": Millimetres, "centimeter": Centimetres, "inch": Inches, "foot": Feet, "USSurveyFoot": SurveyFeet}

// readLandXML reads points (CgPoint, surface points P), breaklines and lists of points, and the lines of plan features and
// parcels, of LandXML 1.2. The standard writes northing before easting.
func readLandXML(src []byte, told Told) (Import, error) {
	r := &xmlReader{told: told, decoder: xml.NewDecoder(bytes.NewReader(src))}
	if told.Axes == EastNorth {
		return Import{}, fault(0, "axes", string(told.Axes), "but LandXML writes northing first by its standard.", "Leave axes out.")
	}
	if err := r.run(); err != nil {
		return Import{}, err
	}
	if !r.landXML {
		return Import{}, fault(1, "file", "", "is no LandXML.", "Export LandXML 1.2.")
	}
	unit := r.unit
	switch {
	case unit == "" && told.Unit == "":
		return Import{}, askUnit("")
	case unit == "":
		unit = told.Unit
	case told.Unit != "" && told.Unit != unit:
		return Import{}, fault(0, "unit", string(told.Unit), fmt.Sprintf("but the file says %s.", unit), "Leave unit out, or correct the file.")
	}
	scale, ok := metres[unit]
	if !ok {
		return Import{}, askUnit(string(unit))
	}
	r.in.each(func(p *Point) { p.At, p.Z = p.At.Scale(scale), p.Z*scale })
	r.in.Skipped = r.skipped
	return r.in, nil
}

type xmlReader struct {
	told    Told
	decoder *xml.Decoder
	landXML bool
	unit    Unit
	in      Import
	skipped skips
	path    []element
	shape   *Line // of the plan feature or parcel at hand
}

type element struct{ tag, name, id, code string }

func (r *xmlReader) line() int {
	line, _ := r.decoder.InputPos()
	return line
}

func (r *xmlReader) run() error {
	var text strings.Builder
	for {
		token, err := r.decoder.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fault(r.line(), "file", "", "cannot be read as XML: "+err.Error()+".", "Export LandXML again.")
		}
		switch t := token.(type) {
		case xml.StartElement:
			text.Reset()
			if err := r.open(t); err != nil {
				return err
			}
		case xml.CharData:
			text.Write(t)
		case xml.EndElement:
			if err := r.close(t.Name.Local, text.String()); err != nil {
				return err
			}
			text.Reset()
		}
	}
}

func (r *xmlReader) open(t xml.StartElement) error {
	e := element{tag: t.Name.Local}
	for _, a := range t.Attr {
		switch a.Name.Local {
		case "name":
			e.name = a.Value
		case "id":
			e.id = a.Value
		case "code", "desc":
			e.code = a.Value
		case "linearUnit":
			unit, ok := linearUnits[a.Value]
			if !ok {
				return fault(r.line(), "unit", a.Value, "is no length unit this reads.", "Export in meter, foot or USSurveyFoot.")
			}
			r.unit = unit
		}
	}
	if len(r.path) > 100 {
		return fault(r.line(), "file", e.tag, "nests too deep.", "Export LandXML again.")
	}
	r.path = append(r.path, e)
	switch e.tag {
	case "LandXML":
		r.landXML = true
	case "PlanFeature", "Parcel":
		r.shape = &Line{Name: e.name}
	case "Curve", "Spiral":
		r.skipped.add(e.tag + ", taken as its chord")
	}
	return nil
}

// within says whether the element at hand lies in one of that name.
func (r *xmlReader) within(tag string) bool {
	for _, e := range r.path {
		if e.tag == tag {
			return true
		}
	}
	return false
}

func (r *xmlReader) close(tag, text string) error {
	e := r.path[len(r.path)-1]
	defer func() { r.path = r.path[:len(r.path)-1] }()
	switch tag {
	case "CgPoint", "P":
		if strings.TrimSpace(text) == "" {
			return nil // a reference to another point
		}
		list, err := r.places(text, 0)
		if err != nil || len(list) == 0 {
			return err
		}
		p := list[0]
		p.Name, p.Code = e.name, e.code
		if p.Name == "" {
			p.Name = e.id
		}
		r.in.Points = append(r.in.Points, p)
	case "PntList3D", "PntList2D":
		size := 3
		if tag == "PntList2D" {
			size = 2
		}
		list, err := r.places(text, size)
		if err != nil || len(list) < 2 {
			return err
		}
		l := Line{Points: list}
		for i := len(r.path) - 1; i >= 0 && l.Name == ""; i-- {
			l.Name = r.path[i].name
		}
		if n := len(list); n > 3 && list[0] == list[n-1] {
			l.Points, l.Closed = list[:n-1], true
		}
		r.in.Lines = append(r.in.Lines, l)
	case "Start", "End":
		if r.shape == nil || !r.within("CoordGeom") || strings.TrimSpace(text) == "" {
			return nil
		}
		list, err := r.places(text, 0)
		if err != nil || len(list) == 0 {
			return err
		}
		if n := len(r.shape.Points); n == 0 || r.shape.Points[n-1].At != list[0].At {
			r.shape.Points = append(r.shape.Points, list[0])
		}
	case "PlanFeature", "Parcel":
		r.endShape()
	}
	return nil
}

func (r *xmlReader) endShape() {
	if l := r.shape; l != nil && len(l.Points) > 1 {
		if n := len(l.Points); n > 3 && l.Points[0].At == l.Points[n-1].At {
			l.Points, l.Closed = l.Points[:n-1], true
		}
		r.in.Lines = append(r.in.Lines, *l)
	}
	r.shape = nil
}

// places reads numbers as northing, easting and, where there are three, elevation; size 0: one place of two or three.
func (r *xmlReader) places(text string, size int) ([]Point, error) {
	fields := strings.Fields(text)
	if size == 0 {
		size = len(fields)
	}
	if size != 2 && size != 3 || len(fields)%size != 0 {
		return nil, fault(r.line(), "file", strings.Join(fields[:min(len(fields), 4)], " "), "is no list of northing, easting, elevation.", "Export LandXML again.")
	}
	var out []Point
	for i := 0; i < len(fields); i += size {
		var v [3]float64
		for k := range size {
			n, err := strconv.ParseFloat(fields[i+k], 64)
			if err != nil {
				return nil, fault(r.line(), "file", fields[i+k], "is not a number.", "Export LandXML again.")
			}
			v[k] = n
		}
		out = append(out, Point{At: geometry.Point{X: v[1], Y: v[0]}, Z: v[2], HasZ: size == 3})
	}
	return out, nil
}
