package terrain

import (
	_ "embed"
	"fmt"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is this package's table of check rows.
func Checks() string { return checksCSV }

const (
	planeGeometry  = "plane-geometry"
	commonPractice = "common-practice"
)

// surfaceFrom reads a surface as a table of checks writes it: shots [x, y, z] and breaklines as pairs of shot positions,
// counted from 0.
func surfaceFrom(shots, breaklines [][]float64) (*Surface, error) {
	list := make([]Shot, len(shots))
	for i, s := range shots {
		if len(s) != 3 {
			return nil, fmt.Errorf("shot %d has %d coordinates, not 3", i, len(s))
		}
		list[i] = Shot{X: s[0], Y: s[1], Z: s[2]}
	}
	lines := make([][]int, len(breaklines))
	for i, chain := range breaklines {
		for _, v := range chain {
			lines[i] = append(lines[i], int(v))
		}
	}
	return Triangulate(list, lines)
}

func polygonFrom(corners [][]float64) (geometry.Polygon, error) {
	var p geometry.Polygon
	for i, c := range corners {
		if len(c) != 2 {
			return p, fmt.Errorf("corner %d has %d coordinates, not 2", i, len(c))
		}
		p.Outer = append(p.Outer, geometry.Point{X: c[0], Y: c[1]})
	}
	return p, nil
}

// volumesOut is how a table reads [Volumes].
type volumesOut = struct {
	Cut      quantity.Volume
	Fill     quantity.Volume
	Net      quantity.Volume `says:"cut minus fill"`
	CutArea  quantity.Area
	FillArea quantity.Area
	Area     quantity.Area
}

func volumesIn(v Volumes) volumesOut {
	return volumesOut{quantity.Volume(v.Cut), quantity.Volume(v.Fill), quantity.Volume(v.Net()),
		quantity.Area(v.CutArea), quantity.Area(v.FillArea), quantity.Area(v.Area)}
}

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	all := append(volumeCalculations(), sectionCalculations()...)
	return append(append(all, surfaceCalculations()...), waterCalculations()...)
}

func volumeCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("terrain.overlay_volume", "exact cut and fill between two triangulated surfaces", planeGeometry, func(in struct {
			Existing           [][]float64 `says:"shots [x, y, z] of the ground" unit:"m"`
			ExistingBreaklines [][]float64 `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
			Design             [][]float64 `says:"points [x, y, z] of the design" unit:"m"`
			DesignBreaklines   [][]float64 `says:"chains of point positions, from 0" unit:"1" default:"[]"`
			Boundary           [][]float64 `says:"corners [x, y]" unit:"m"`
		}) (out volumesOut, err error) {
			existing, design, err := bothSurfaces(in.Existing, in.ExistingBreaklines, in.Design, in.DesignBreaklines)
			if err != nil {
				return out, err
			}
			boundary, err := polygonFrom(in.Boundary)
			if err != nil {
				return out, err
			}
			v, err := VolumesBetween(existing, design, boundary)
			return volumesIn(v), err
		}),
		calc.New("terrain.plane_volume", "exact cut and fill between a triangulated surface and a plane", planeGeometry, func(in struct {
			Existing           [][]float64     `says:"shots [x, y, z] of the ground" unit:"m"`
			ExistingBreaklines [][]float64     `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
			Height             quantity.Length `says:"of the plane at the origin"`
			SlopeEast          quantity.Slope  `says:"rise of the plane per length east" default:"0"`
			SlopeNorth         quantity.Slope  `says:"rise of the plane per length north" default:"0"`
			Boundary           [][]float64     `says:"corners [x, y]" unit:"m"`
		}) (out volumesOut, err error) {
			existing, err := surfaceFrom(in.Existing, in.ExistingBreaklines)
			if err != nil {
				return out, err
			}
			boundary, err := polygonFrom(in.Boundary)
			if err != nil {
				return out, err
			}
			plane := Plane{Height: float64(in.Height), Slope: geometry.Point{X: float64(in.SlopeEast), Y: float64(in.SlopeNorth)}}
			v, err := VolumesBetween(existing, plane, boundary)
			return volumesIn(v), err
		}),
		calc.New("terrain.four_point_grid", "cut and fill by the four-point grid method over the box round a boundary", commonPractice, func(in struct {
			Existing           [][]float64 `says:"shots [x, y, z] of the ground" unit:"m"`
			ExistingBreaklines [][]float64 `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
			Design             [][]float64 `says:"points [x, y, z] of the design" unit:"m"`
			DesignBreaklines   [][]float64 `says:"chains of point positions, from 0" unit:"1" default:"[]"`
			Boundary           [][]float64 `says:"corners [x, y]" unit:"m"`
			Nx                 int         `says:"cells along x"`
			Ny                 int         `says:"cells along y"`
		}) (out volumesOut, err error) {
			existing, design, err := bothSurfaces(in.Existing, in.ExistingBreaklines, in.Design, in.DesignBreaklines)
			if err != nil {
				return out, err
			}
			boundary, err := polygonFrom(in.Boundary)
			if err != nil {
				return out, err
			}
			v, err := FourPointVolumes(existing, design, boundary.Bounds(), in.Nx, in.Ny)
			return volumesIn(v), err
		}),
	}
}

func bothSurfaces(existing, existingLines, design, designLines [][]float64) (top, low *Surface, err error) {
	if top, err = surfaceFrom(existing, existingLines); err != nil {
		return nil, nil, fmt.Errorf("existing: %w", err)
	}
	if low, err = surfaceFrom(design, designLines); err != nil {
		return nil, nil, fmt.Errorf("design: %w", err)
	}
	return top, low, nil
}

func sectionCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("terrain.triangle_prism", "cut and fill over one triangle with linear depth", planeGeometry, func(in struct {
			Area quantity.Area   `says:"in plan"`
			D1   quantity.Length `says:"existing minus design at one corner"`
			D2   quantity.Length `says:"at the next"`
			D3   quantity.Length `says:"at the third"`
		}) (out volumesOut, err error) {
			return volumesIn(TrianglePrism(float64(in.Area), float64(in.D1), float64(in.D2), float64(in.D3))), nil
		}),
		calc.New("terrain.four_point_cell", "cut and fill of one grid cell from its corner depths", commonPractice, func(in struct {
			Area quantity.Area   `says:"of the cell"`
			D1   quantity.Length `says:"existing minus design, corner by corner"`
			D2   quantity.Length
			D3   quantity.Length
			D4   quantity.Length
		}) (out volumesOut, err error) {
			return volumesIn(FourPointCell(float64(in.Area), float64(in.D1), float64(in.D2), float64(in.D3), float64(in.D4))), nil
		}),
		calc.New("terrain.borrow_pit", "volume of a grid whose depths have one sign", commonPractice, func(in struct {
			Cell quantity.Area `says:"area of a cell"`
			H1   []float64     `says:"depths at corners of one cell" unit:"m"`
			H2   []float64     `says:"depths at corners of two cells" unit:"m" default:"[]"`
			H3   []float64     `says:"depths at corners of three cells" unit:"m" default:"[]"`
			H4   []float64     `says:"depths at corners of four cells" unit:"m" default:"[]"`
		}) (out struct{ Volume quantity.Volume }, err error) {
			out.Volume = quantity.Volume(BorrowPitVolume(float64(in.Cell), in.H1, in.H2, in.H3, in.H4))
			return out, nil
		}),
		calc.New("terrain.average_end_area", "volume between two sections by the mean of their areas", commonPractice, func(in struct {
			Length quantity.Length `says:"between the sections" range:">= 0"`
			Area1  quantity.Area   `name:"area1" range:">= 0"`
			Area2  quantity.Area   `name:"area2" range:">= 0"`
		}) (out struct{ Volume quantity.Volume }, err error) {
			v, err := AverageEndArea(float64(in.Length), float64(in.Area1), float64(in.Area2))
			out.Volume = quantity.Volume(v)
			return out, err
		}),
		calc.New("terrain.prismoidal", "volume between two sections with one halfway", planeGeometry, func(in struct {
			Length quantity.Length `says:"between the end sections" range:">= 0"`
			Area1  quantity.Area   `name:"area1" range:">= 0"`
			Middle quantity.Area   `says:"halfway, from averaged dimensions" range:">= 0"`
			Area2  quantity.Area   `name:"area2" range:">= 0"`
		}) (out struct{ Volume quantity.Volume }, err error) {
			v, err := Prismoidal(float64(in.Length), float64(in.Area1), float64(in.Middle), float64(in.Area2))
			out.Volume = quantity.Volume(v)
			return out, err
		}),
	}
}

// placeOnGround is a surface and a place on it.
type placeOnGround = struct {
	Shots      [][]float64     `says:"shots [x, y, z]" unit:"m"`
	Breaklines [][]float64     `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
	X          quantity.Length `says:"of the place, or where the water starts, east"`
	Y          quantity.Length `says:"north"`
}

func surfaceCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("terrain.surface", "size of a triangulated surface", planeGeometry, func(in struct {
			Shots      [][]float64 `says:"shots [x, y, z]" unit:"m"`
			Breaklines [][]float64 `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
		}) (out struct {
			PlanArea  quantity.Area `says:"seen from above"`
			SlopeArea quantity.Area `says:"along the slopes"`
			Triangles int
			Warnings  int
		}, err error) {
			s, err := surfaceFrom(in.Shots, in.Breaklines)
			if err != nil {
				return out, err
			}
			out.PlanArea, out.SlopeArea = quantity.Area(s.PlanArea()), quantity.Area(s.SlopeArea())
			out.Triangles, out.Warnings = s.Len(), len(s.Warnings())
			return out, nil
		}),
		calc.New("terrain.height", "height and slope of a triangulated surface at a place", planeGeometry, func(in placeOnGround) (out struct {
			Z          quantity.Length
			SlopeEast  quantity.Slope `says:"rise per length east"`
			SlopeNorth quantity.Slope `says:"rise per length north"`
		}, err error) {
			s, err := surfaceFrom(in.Shots, in.Breaklines)
			if err != nil {
				return out, err
			}
			p := geometry.Point{X: float64(in.X), Y: float64(in.Y)}
			t, ok := s.Find(p)
			if !ok {
				return out, fmt.Errorf("terrain: no ground at (%g, %g): take shots round it", p.X, p.Y)
			}
			z, _ := s.At(p)
			slope := s.Slope(t)
			out.Z, out.SlopeEast, out.SlopeNorth = quantity.Length(z), quantity.Slope(slope.X), quantity.Slope(slope.Y)
			return out, nil
		}),
		calc.New("terrain.contour", "length of the contour at a level", planeGeometry, func(in struct {
			Shots      [][]float64     `says:"shots [x, y, z]" unit:"m"`
			Breaklines [][]float64     `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
			Level      quantity.Length `says:"height of the contour"`
		}) (out struct {
			Length quantity.Length
			Lines  int
		}, err error) {
			s, err := surfaceFrom(in.Shots, in.Breaklines)
			if err != nil {
				return out, err
			}
			c := s.Contour(float64(in.Level))
			out.Length, out.Lines = quantity.Length(c.Length()), len(c.Lines)
			return out, nil
		}),
		calc.New("terrain.profile", "ground under a straight line, bend by bend", planeGeometry, func(in struct {
			Shots      [][]float64 `says:"shots [x, y, z]" unit:"m"`
			Breaklines [][]float64 `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
			Line       [][]float64 `says:"two points [x, y]" unit:"m"`
		}) (out struct {
			Stations []float64 `unit:"m"`
			Heights  []float64 `unit:"m"`
			Runs     int       `says:"stretches of the line with ground"`
		}, err error) {
			s, err := surfaceFrom(in.Shots, in.Breaklines)
			if err != nil {
				return out, err
			}
			ends, err := polygonFrom(in.Line)
			if err != nil || len(ends.Outer) != 2 {
				return out, fmt.Errorf("terrain: a line takes two points, %d given", len(in.Line))
			}
			runs, err := s.Profile(geometry.Segment{A: ends.Outer[0], B: ends.Outer[1]})
			out.Runs = len(runs)
			for _, run := range runs {
				for _, p := range run {
					out.Stations, out.Heights = append(out.Stations, p.Station), append(out.Heights, p.Z)
				}
			}
			return out, err
		}),
	}
}

func waterCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("terrain.ponds", "water that stands on a surface", "priority-flood", func(in struct {
			Shots      [][]float64 `says:"shots [x, y, z]" unit:"m"`
			Breaklines [][]float64 `says:"chains of shot positions, from 0" unit:"1" default:"[]"`
			Outlets    []int       `says:"positions of the shots where water leaves; none: over the whole rim" default:"[]"`
		}) (out struct {
			Ponds  int
			Area   quantity.Area
			Volume quantity.Volume
			Depth  quantity.Length `says:"of the deepest"`
		}, err error) {
			s, err := surfaceFrom(in.Shots, in.Breaklines)
			if err != nil {
				return out, err
			}
			ponds, err := s.Ponds(in.Outlets)
			out.Ponds = len(ponds)
			for _, p := range ponds {
				out.Area += quantity.Area(p.Area)
				out.Volume += quantity.Volume(p.Volume)
				out.Depth = max(out.Depth, quantity.Length(p.Depth))
			}
			return out, err
		}),
		calc.New("terrain.flow", "way of a drop of water downhill", planeGeometry, func(in placeOnGround) (out struct {
			End    string          `says:"ran off or stands"`
			Length quantity.Length `says:"of its way in plan"`
			X      quantity.Length `says:"where it ends, east"`
			Y      quantity.Length `says:"north"`
		}, err error) {
			s, err := surfaceFrom(in.Shots, in.Breaklines)
			if err != nil {
				return out, err
			}
			path, err := s.Flow(geometry.Point{X: float64(in.X), Y: float64(in.Y)})
			if err != nil {
				return out, err
			}
			last := path.Points[len(path.Points)-1]
			out.End, out.Length = string(path.End), quantity.Length(path.Length())
			out.X, out.Y = quantity.Length(last.X), quantity.Length(last.Y)
			return out, nil
		}),
	}
}
