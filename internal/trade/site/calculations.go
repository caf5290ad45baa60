package site

import (
	_ "embed"
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the stage's table of check rows.
func Checks() string { return checksCSV }

// Calculations offers the stage's formulas by name.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("site.rectangle", "area, edge and diagonal of a rectangular slab", string(sources.PlaneGeometry),
			func(in struct {
				Length quantity.Length `says:"long side"`
				Width  quantity.Length `says:"short side"`
			}) (out struct {
				Area      quantity.Area
				Perimeter quantity.Length
				Diagonal  quantity.Length
			}, err error) {
				p := geometry.Rectangle(in.Length.Metres(), in.Width.Metres())
				if p.Area() <= 0 {
					return out, errors.New("a side is longer than zero")
				}
				out.Area, out.Perimeter = quantity.Area(p.Area()), quantity.Length(p.Perimeter())
				out.Diagonal = quantity.Length(math.Hypot(in.Length.Metres(), in.Width.Metres()))
				return out, nil
			}),
		calc.New("site.outline", "area and edge of an outline by its corners", string(sources.PlaneGeometry),
			func(in struct {
				Corners [][]float64 `unit:"m" says:"corners [x, y], one after another round the edge"`
			}) (out struct {
				Area      quantity.Area
				Perimeter quantity.Length
				Reentrant int `says:"corners that point into the slab"`
			}, err error) {
				p, err := polygonOf(in.Corners)
				if err != nil {
					return out, err
				}
				out.Area, out.Perimeter, out.Reentrant = quantity.Area(p.Area()), quantity.Length(p.Perimeter()), len(p.ReentrantCorners())
				return out, nil
			}),
		calc.New("site.root_zone", "root protection radius and area of one trunk", string(sources.RootRadius),
			func(in struct {
				Trunk  quantity.Length `says:"trunk diameter"`
				Factor quantity.Ratio  `says:"radius over diameter: 12 is 1 ft per inch" default:"12"`
			}) (out struct {
				Radius quantity.Length
				Area   quantity.Area
			}, err error) {
				if in.Trunk <= 0 {
					return out, errors.New("a trunk is thicker than zero")
				}
				r := float64(in.Factor) * in.Trunk.Metres()
				out.Radius, out.Area = quantity.Length(r), quantity.Area(math.Pi*r*r)
				return out, nil
			}),
		calc.New("site.root_zone_of_stems", "root protection radius of a tree with several stems", string(sources.StemsRule),
			func(in struct {
				Stems []float64 `unit:"m" says:"stem diameters"`
			}) (out struct{ Radius quantity.Length }, err error) {
				r, err := stemsRadius(in.Stems)
				out.Radius = quantity.Length(r)
				return out, err
			}),
		calc.New("site.root_share", "share of a root zone cut off by a straight dig edge", string(sources.PlaneGeometry),
			func(in struct {
				Radius   quantity.Length `says:"root protection radius"`
				Distance quantity.Length `says:"stem to the edge of the dig"`
			}) (out struct{ Share quantity.Percent }, err error) {
				share, err := geometry.SegmentShare(in.Radius.Metres(), in.Distance.Metres())
				out.Share = quantity.Percent(share)
				return out, err
			}),
		calc.New("site.overhead_clearance", "distance equipment keeps from an overhead line", string(sources.OverheadLines),
			func(in struct {
				Kilovolts float64 `unit:"1" says:"line voltage in kV"`
			}) (out struct{ Clearance quantity.Length }, err error) {
				out.Clearance, err = overheadClearance(in.Kilovolts)
				return out, err
			}),
		calc.New("site.rod_reading", "rod reading for a level from a bench mark and its backsight", string(sources.LevelBooking),
			func(in struct {
				BenchMark quantity.Length `says:"level of the bench mark"`
				Backsight quantity.Length `says:"rod reading on it"`
				Level     quantity.Length `says:"level wanted"`
			}) (out struct {
				HeightOfInstrument quantity.Length
				Rod                quantity.Length
			}, err error) {
				out.HeightOfInstrument = in.BenchMark + in.Backsight
				out.Rod = out.HeightOfInstrument - in.Level
				return out, nil
			}),
	}
}

func polygonOf(rows [][]float64) (geometry.Polygon, error) {
	var p geometry.Polygon
	for _, r := range rows {
		if len(r) != 2 {
			return p, fmt.Errorf("a corner is [x, y], not %v", r)
		}
		p.Outer = append(p.Outer, geometry.Point{X: r[0], Y: r[1]})
	}
	if bad := p.Faults(); len(bad) > 0 {
		return p, errors.New(bad[0].Says)
	}
	return p, nil
}

// stemsRadius is the root protection radius of several stems: 12·√Σd² up to five, 12·d_mean·√n beyond.
//
// Source: BS 5837:2012, recalled. Diameters d in metres, measured 1.5 m up.
func stemsRadius(d []float64) (float64, error) {
	if len(d) == 0 {
		return 0, errors.New("give at least one stem")
	}
	sum, squares := 0.0, 0.0
	for _, v := range d {
		if v <= 0 {
			return 0, errors.New("a stem is thicker than zero")
		}
		sum, squares = sum+v, squares+v*v
	}
	if n := float64(len(d)); len(d) > 5 {
		return 12 * sum / n * math.Sqrt(n), nil
	}
	return 12 * math.Sqrt(squares), nil
}

// clearances are the steps of 29 CFR 1926.1408 Table A: up to kV, feet.
var clearances = []struct{ kV, feet float64 }{{50, 10}, {200, 15}, {350, 20}, {500, 25}, {750, 35}, {1000, 45}}

// overheadClearance is the least distance of equipment from an overhead line of the given voltage. Above 1000 kV the
// utility or an engineer sets it, so the answer is refused.
func overheadClearance(kV float64) (quantity.Length, error) {
	for _, c := range clearances {
		if kV > 0 && kV <= c.kV {
			return quantity.Feet(c.feet), nil
		}
	}
	return 0, fmt.Errorf("%v kV is outside the table (above 0 to 1000 kV); ask the utility", kV)
}
