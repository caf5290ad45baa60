package survey

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/site"
)

// linearUnits are the unit names of LandXML 1.2. Its foot is the international one.
var linearUnits = map[string]site.SurveyUnit{"meter": site.Metres, "millimeter": site.Millimetres, "centimeter": site.Centimetres, "inch": site.Inches, "foot": site.Feet, "USSurveyFoot": site.SurveyFeet}

// readLandXML reads points (CgPoint, surface points P), breaklines and lists of points, and the lines of plan features and
// parcels, of LandXML 1.2. The standard writes northing before easting.
func readLandXML(src []byte, told Told) (Import, error) {
	r := &xmlReader{told: told, decoder: xml.NewDecoder(bytes.NewReader(src))}
	if told.Axes == site.EastNorth {
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
	r.in.Skipped, r.in.Unit = r.skipped, unit
	return r.in, nil
}

type xmlReader struct {
	told    Told
	decoder *xml.Decoder
	landXML bool
	unit    site.SurveyUnit
	in      Import
	skipped skips
	path    []element
	shape   *Line  // of the plan feature or parcel at hand
	curve   *curve // of the shape, at hand
}

// curve is a round piece of a shape.
type curve struct {
	clockwise          bool
	start, centre, end *Point
}

type element struct{ tag, name, id, code string }

// fault is one at the place the reader has come to.
func (r *xmlReader) fault(field, given, why, instead string) Faults {
	line, column := r.decoder.InputPos()
	return faultAt(line, column, field, given, why, instead)
}

func (r *xmlReader) run() error {
	var text strings.Builder
	for {
		token, err := r.decoder.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return r.fault("file", "", "cannot be read as XML: "+err.Error()+".", "Export LandXML again.")
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
				return r.fault("unit", a.Value, "is no length unit this reads.", "Export in meter, foot or USSurveyFoot.")
			}
			r.unit = unit
		}
	}
	if len(r.path) > 100 {
		return r.fault("file", e.tag, "nests too deep.", "Export LandXML again.")
	}
	r.path = append(r.path, e)
	switch e.tag {
	case "LandXML":
		r.landXML = true
	case "PlanFeature", "Parcel":
		r.shape = &Line{Name: e.name}
	case "Curve":
		r.curve = &curve{}
		for _, a := range t.Attr {
			r.curve.clockwise = r.curve.clockwise || a.Name.Local == "rot" && a.Value == "cw"
		}
	case "Spiral":
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
		if p.Code == "" {
			p.Code = r.title()
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
		l := Line{Name: r.title(), Points: list}
		if n := len(list); n > 3 && list[0] == list[n-1] {
			l.Points, l.Closed = list[:n-1], true
		}
		r.in.Lines = append(r.in.Lines, l)
	case "Start", "Center", "End":
		if r.shape == nil || !r.within("CoordGeom") || strings.TrimSpace(text) == "" {
			return nil
		}
		list, err := r.places(text, 0)
		if err != nil || len(list) == 0 {
			return err
		}
		r.corner(tag, list[0])
	case "Curve":
		r.endCurve()
	case "PlanFeature", "Parcel":
		r.endShape()
	}
	return nil
}

// title is the nearest name round the element at hand.
func (r *xmlReader) title() string {
	for i := len(r.path) - 2; i >= 0; i-- {
		if r.path[i].name != "" {
			return r.path[i].name
		}
	}
	return ""
}

// corner takes an end of a straight piece, or a place of the curve at hand.
func (r *xmlReader) corner(tag string, p Point) {
	switch {
	case r.curve != nil && tag == "Start":
		r.curve.start = &p
	case r.curve != nil && tag == "End":
		r.curve.end = &p
	case r.curve != nil:
		r.curve.centre = &p
	case tag != "Center":
		r.reach(p)
	}
}

// reach leads the shape on to a place, once.
func (r *xmlReader) reach(p Point) {
	if n := len(r.shape.Points); n == 0 || r.shape.Points[n-1].At != p.At {
		r.shape.Points = append(r.shape.Points, p)
	}
}

// endCurve lays the curve at hand as chords that leave it by half a millimetre at most; without its centre, as its chord.
func (r *xmlReader) endCurve() {
	c := r.curve
	r.curve = nil
	if c == nil || r.shape == nil || c.start == nil || c.end == nil {
		return
	}
	r.reach(*c.start)
	if c.centre == nil {
		r.skipped.add("Curve without its centre, taken as its chord")
	} else {
		from, to := c.start.At.Sub(c.centre.At), c.end.At.Sub(c.centre.At)
		sweep := math.Mod(to.Heading()-from.Heading()+4*math.Pi, 2*math.Pi)
		if c.clockwise {
			sweep -= 2 * math.Pi
		}
		unit := r.unit
		if unit == "" {
			unit = r.told.Unit
		}
		for _, at := range arcInner(c.centre.At, from.Length(), from.Heading(), sweep, metres[unit]) {
			r.reach(Point{At: at})
		}
	}
	r.reach(*c.end)
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
		return nil, r.fault("file", strings.Join(fields[:min(len(fields), 4)], " "), "is no list of northing, easting, elevation.", "Export LandXML again.")
	}
	var out []Point
	for i := 0; i < len(fields); i += size {
		var v [3]float64
		for k := range size {
			n, err := strconv.ParseFloat(fields[i+k], 64)
			if err != nil {
				return nil, r.fault("file", fields[i+k], "is not a number.", "Export LandXML again.")
			}
			v[k] = n
		}
		out = append(out, Point{At: geometry.Point{X: v[1], Y: v[0]}, Z: v[2], HasZ: size == 3})
	}
	return out, nil
}
