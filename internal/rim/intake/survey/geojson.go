package survey

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/site"
)

// geoObject is any object of GeoJSON (RFC 7946): collections, features and shapes share it.
type geoObject struct {
	Type        string          `json:"type"`
	Features    []geoObject     `json:"features"`
	Geometry    *geoObject      `json:"geometry"`
	Geometries  []geoObject     `json:"geometries"`
	Coordinates json.RawMessage `json:"coordinates"`
	Properties  map[string]any  `json:"properties"`
	ID          any             `json:"id"`
}

// deepest is how far collections may be nested.
const deepest = 16

// readGeoJSON reads points, lines and outlines. By its standard the coordinates are longitude and latitude, in that order; many
// files hold metres or feet instead, so the unit is asked. Degrees become metres east and north of the first place on the WGS 84
// ellipsoid: right to a millimetre in a hundred metres, which is far better than the phone that measured them.
func readGeoJSON(src []byte, told Told) (Import, error) {
	var root geoObject
	if err := json.Unmarshal(src, &root); err != nil {
		var syntax *json.SyntaxError
		line, column := 0, 0
		if errors.As(err, &syntax) {
			before := string(src[:min(len(src), int(syntax.Offset))])
			line, column = 1+strings.Count(before, "\n"), len(before)-strings.LastIndex(before, "\n")-1
		}
		return Import{}, faultAt(line, max(column, min(line, 1)), "file", "", "cannot be read as JSON: "+err.Error()+".", "Export GeoJSON again.")
	}
	if told.Unit == "" {
		return Import{}, fault(0, "unit", "", "GeoJSON is in degrees by its standard, but many files hold metres or feet.", "Type unit: deg, m, ft or survey ft.")
	}
	g := &geoReader{told: told, in: Import{Unit: told.Unit}}
	if err := g.object(root, "", 0); err != nil {
		return Import{}, err
	}
	g.in.Skipped = g.skipped
	return g.in, nil
}

type geoReader struct {
	told    Told
	in      Import
	skipped skips
	based   bool
	base    geometry.Point // longitude and latitude of the first place
}

func (g *geoReader) object(o geoObject, name string, depth int) error {
	if depth > deepest {
		return fault(0, "file", o.Type, fmt.Sprintf("nests more than %d collections.", deepest), "Export it flat.")
	}
	if n := titleOf(o); n != "" {
		name = n
	}
	switch o.Type {
	case "FeatureCollection":
		for _, f := range o.Features {
			if err := g.object(f, name, depth+1); err != nil {
				return err
			}
		}
	case "Feature":
		if o.Geometry != nil {
			return g.object(*o.Geometry, name, depth+1)
		}
		g.skipped.add("feature without a shape")
	case "GeometryCollection":
		for _, s := range o.Geometries {
			if err := g.object(s, name, depth+1); err != nil {
				return err
			}
		}
	default:
		return g.shape(o, name)
	}
	return nil
}

func titleOf(o geoObject) string {
	for _, key := range []string{"name", "Name", "layer", "title"} {
		if s, ok := o.Properties[key].(string); ok && s != "" {
			return s
		}
	}
	if s, ok := o.ID.(string); ok {
		return s
	}
	return ""
}

func (g *geoReader) shape(o geoObject, name string) error {
	bad := func(err error) error {
		return fault(0, "file", o.Type, "has coordinates that cannot be read: "+err.Error()+".", "Export GeoJSON again.")
	}
	switch o.Type {
	case "Point":
		var one []float64
		if err := json.Unmarshal(o.Coordinates, &one); err != nil {
			return bad(err)
		}
		return g.points([][]float64{one}, name)
	case "MultiPoint":
		var many [][]float64
		if err := json.Unmarshal(o.Coordinates, &many); err != nil {
			return bad(err)
		}
		return g.points(many, name)
	case "LineString":
		var line [][]float64
		if err := json.Unmarshal(o.Coordinates, &line); err != nil {
			return bad(err)
		}
		return g.line(line, name, false)
	case "MultiLineString", "Polygon":
		var lines [][][]float64
		if err := json.Unmarshal(o.Coordinates, &lines); err != nil {
			return bad(err)
		}
		return g.rings(lines, name, o.Type == "Polygon")
	case "MultiPolygon":
		var shapes [][][][]float64
		if err := json.Unmarshal(o.Coordinates, &shapes); err != nil {
			return bad(err)
		}
		for _, rings := range shapes {
			if err := g.rings(rings, name, true); err != nil {
				return err
			}
		}
		return nil
	}
	g.skipped.add(o.Type)
	return nil
}

func (g *geoReader) points(list [][]float64, name string) error {
	for _, c := range list {
		p, err := g.place(c)
		if err != nil {
			return err
		}
		p.Name, p.Code = name, name
		g.in.Points = append(g.in.Points, p)
	}
	return nil
}

func (g *geoReader) rings(rings [][][]float64, name string, closed bool) error {
	for _, r := range rings {
		if err := g.line(r, name, closed); err != nil {
			return err
		}
	}
	return nil
}

// line takes a chain; a ring's last point, which is its first again, is left out.
func (g *geoReader) line(list [][]float64, name string, closed bool) error {
	l := Line{Name: name, Closed: closed}
	for _, c := range list {
		p, err := g.place(c)
		if err != nil {
			return err
		}
		l.Points = append(l.Points, p)
	}
	if n := len(l.Points); n > 3 && l.Points[0].At == l.Points[n-1].At {
		l.Points, l.Closed = l.Points[:n-1], true
	}
	if len(l.Points) < 2 {
		g.skipped.add("line of one point")
		return nil
	}
	g.in.Lines = append(g.in.Lines, l)
	return nil
}

func (g *geoReader) place(c []float64) (Point, error) {
	if len(c) < 2 {
		return Point{}, fault(0, "file", fmt.Sprint(c), "is no place: it has fewer than two coordinates.", "Export GeoJSON again.")
	}
	p := Point{At: geometry.Point{X: c[0], Y: c[1]}, HasZ: len(c) > 2}
	if g.told.Axes == site.NorthEast {
		p.At = geometry.Point{X: c[1], Y: c[0]}
	}
	if g.told.Unit != site.Degrees {
		scale := metres[g.told.Unit]
		p.At = p.At.Scale(scale)
		if p.HasZ {
			p.Z = c[2] * scale
		}
		return p, nil
	}
	if math.Abs(p.At.X) > 180 || math.Abs(p.At.Y) >= 90 {
		return Point{}, fault(0, "unit", fmt.Sprint(c), "is no longitude and latitude.", "Type the unit the file is in, or axes: north east if it writes latitude first.")
	}
	if !g.based {
		g.base, g.based = p.At, true
	}
	p.At = g.metresFrom(p.At)
	if p.HasZ {
		p.Z = c[2]
	}
	return p, nil
}

// The WGS 84 ellipsoid: half its greatest diameter, m, and its first eccentricity squared. Source: definition.
const (
	earthRadius  = 6378137.0
	eccentricity = 6.69437999014e-3
)

// metresFrom is a place's distance east and north of the base on the ellipsoid's radii of curvature there:
//
//	N = a/√(1 − e² sin²φ),  M = a(1 − e²)/(1 − e² sin²φ)^1.5;   east = Δλ·N·cos φ,  north = Δφ·M
func (g *geoReader) metresFrom(p geometry.Point) geometry.Point {
	const rad = math.Pi / 180
	sin, cos := math.Sincos((g.base.Y + p.Y) / 2 * rad)
	w := 1 - eccentricity*sin*sin
	n, m := earthRadius/math.Sqrt(w), earthRadius*(1-eccentricity)/math.Pow(w, 1.5)
	return geometry.Point{X: (p.X - g.base.X) * rad * n * cos, Y: (p.Y - g.base.Y) * rad * m}
}
