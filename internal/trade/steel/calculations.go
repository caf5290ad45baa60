package steel

import (
	_ "embed"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/stock"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/spoken"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows of this stage.
func Checks() string { return checksCSV }

// Calculations are the formulas of this stage, callable by name.
func Calculations() []calc.Calculation {
	return slices.Concat(areas(), splices(), layouts(), smallCalculations())
}

func areas() []calc.Calculation {
	return []calc.Calculation{
		calc.New("steel.drag_area", "steel that drags half a slab over its base", string(sources.DragExample),
			func(in struct {
				Friction      quantity.Ratio  `says:"friction of slab on base" default:"1.5"`
				Length        quantity.Length `says:"distance between free joints"`
				Weight        quantity.Stress `says:"weight of slab per area"`
				WorkingStress quantity.Stress `says:"working stress of the steel"`
			}) (out struct{ Area quantity.SteelArea }, err error) {
				out.Area, err = DragArea(in.Friction, in.Length, in.Weight, in.WorkingStress)
				return out, err
			}),
		calc.New("steel.slab_weight", "weight of a slab per area at 150 lb/ft³", string(sources.DragExample),
			func(in struct {
				Thickness quantity.Length `says:"slab thickness" range:">= 0"`
			}) (out struct{ Weight quantity.Stress }, err error) {
				out.Weight = SlabWeight(in.Thickness)
				return out, nil
			}),
		calc.New("steel.structural_minimum", "shrinkage steel of a structural slab, for comparison", string(sources.ShrinkageSteel),
			func(in struct {
				Thickness quantity.Length `says:"slab thickness" range:">= 0"`
			}) (out struct{ Area quantity.SteelArea }, err error) {
				out.Area = StructuralMinimum(in.Thickness)
				return out, nil
			}),
		calc.New("steel.bar_area", "steel per width of bars at a spacing", string(sources.BarTable),
			func(in struct {
				Bar     string          `says:"size: #3 to #8"`
				Spacing quantity.Length `says:"bars apart"`
			}) (out struct {
				Area     quantity.SteelArea
				Diameter quantity.Length
				Weight   quantity.LinearMass `says:"of one bar per length"`
			}, err error) {
				bar, ok := spoken.BarNamed(in.Bar)
				if !ok || !(in.Spacing > 0) {
					return out, fmt.Errorf("steel: %q every %g m is no grid", in.Bar, in.Spacing)
				}
				grid := spoken.BarGrid{Area: bar.Area, Spacing: in.Spacing}
				out.Area, out.Diameter, out.Weight = grid.PerWidth(), bar.Diameter, bar.LinearMass
				return out, nil
			}),
		calc.New("steel.wire_area", "steel per width of welded wire", string(sources.WireTable),
			func(in struct {
				Wire    float64         `unit:"1" says:"wire number, W or D"`
				Spacing quantity.Length `says:"wires apart"`
			}) (out struct {
				Area     quantity.SteelArea
				Diameter quantity.Length
			}, err error) {
				out.Area, out.Diameter, err = WireArea(in.Wire, in.Spacing)
				return out, err
			}),
		calc.New("steel.fibre", "fibre for a volume of concrete", string(sources.FibreFAQ),
			func(in struct {
				Kind   string           `says:"micro, fibrillated, macro or steel"`
				Dose   quantity.Density `says:"fibre per volume"`
				Volume quantity.Volume  `says:"concrete"`
			}) (out struct {
				Mass    quantity.Mass
				Least   quantity.Density `says:"least dose of the kind"`
				Verdict string           `says:"enough, or below the least dose"`
			}, err error) {
				out.Mass, out.Least, err = FibreMass(in.Kind, in.Dose, in.Volume)
				out.Verdict = "enough"
				if in.Dose < out.Least*(1-1e-9) {
					out.Verdict = fmt.Sprintf("below %.1f minimum", quantity.In(out.Least, "lb/yd3"))
				}
				return out, err
			}),
		calc.New("steel.bar_height", "how high the middle of the mat stands", string(sources.CommonPractice),
			func(in struct {
				Thickness quantity.Length `says:"slab thickness"`
				Bar       quantity.Length `says:"bar diameter"`
				SawDepth  quantity.Length `says:"depth of saw cuts" default:"0.0254"`
			}) (out struct{ Height quantity.Length }, err error) {
				out.Height, err = BarHeight(in.Thickness, in.Bar, in.SawDepth)
				return out, err
			}),
	}
}

func splices() []calc.Calculation {
	return []calc.Calculation{
		calc.New("steel.development_length", "length over which a bar takes its full pull, and its laps", string(sources.DevelopmentLength),
			func(in struct {
				Bar      string          `says:"size: #3 to #8"`
				Yield    quantity.Stress `says:"yield strength" default:"413685437.6"`
				Strength quantity.Stress `says:"concrete strength"`
				Crowded  bool            `says:"clear spacing under 2 diameters or cover under 1" default:"false"`
				Epoxy    bool            `says:"epoxy coated" default:"false"`
			}) (out struct {
				Development   quantity.Length `says:"before the 12 in floor"`
				ClassBLap     quantity.Length `name:"class_b_lap"`
				ClassBRounded quantity.Length `name:"class_b_rounded" says:"up to a whole inch"`
				TradeLap      quantity.Length `says:"40 diameters"`
			}, err error) {
				bar, ok := spoken.BarNamed(in.Bar)
				if !ok {
					return out, fmt.Errorf("steel: no bar is called %q", in.Bar)
				}
				s := Splice{bar.Diameter, in.Yield, in.Strength, in.Crowded, in.Epoxy}
				if _, out.Development, err = Development(s); err != nil {
					return out, err
				}
				out.ClassBLap, out.ClassBRounded, err = ClassBLap(s)
				out.TradeLap = TradeLap(bar.Diameter)
				return out, err
			}),
		calc.New("steel.lap_pieces", "sticks that a long run takes", string(sources.Arithmetic),
			func(in struct {
				Run   quantity.Length `says:"length of the run"`
				Stock quantity.Length `says:"length of a stick"`
				Lap   quantity.Length `says:"overlap"`
			}) (out struct{ Pieces int }, err error) {
				out.Pieces, err = LapPieces(in.Run, in.Stock, in.Lap)
				return out, err
			}),
		calc.New("steel.dowels", "smooth dowels across a construction joint", string(sources.DowelTable),
			func(in struct {
				Thickness quantity.Length `says:"slab thickness"`
				Joint     quantity.Length `says:"length of the joint"`
				End       quantity.Length `says:"first dowel from the edge" default:"0.1524"`
			}) (out struct {
				Count                     int
				Diameter, Length, Spacing quantity.Length
			}, err error) {
				d, n, err := DowelRow(in.Thickness, in.Joint, in.End)
				out.Count, out.Diameter, out.Length, out.Spacing = n, d.Diameter, d.Length, d.Spacing
				return out, err
			}),
	}
}

func layouts() []calc.Calculation {
	return []calc.Calculation{
		calc.New("steel.grid", "bars over a slab without joints", string(sources.CommonPractice),
			func(in struct {
				Corners   [][]float64     `unit:"m" says:"corners of the outline, in order; main bars run along x"`
				Bar       string          `says:"size: #3 to #8"`
				Spacing   quantity.Length `says:"bars never farther apart than"`
				EdgeClear quantity.Length `says:"bar end to slab edge" default:"0.0762"`
				Thickness quantity.Length `says:"slab thickness" default:"0.1524"`
			}) (out struct {
				Lengthwise  int             `says:"bars along x"`
				Crosswise   int             `says:"bars along y"`
				LongBar     quantity.Length `says:"longest bar along x"`
				CrossBar    quantity.Length `says:"longest bar along y"`
				TotalLength quantity.Length `says:"without laps"`
				Weight      quantity.Mass   `says:"without laps"`
				Chairs      int             `says:"4 ft apart, with spares"`
			}, err error) {
				stage := Defaults()
				stage.Outline, err = outlineOf(in.Corners)
				bar, ok := spoken.BarNamed(in.Bar)
				if err != nil || !ok {
					return out, fmt.Errorf("steel: bar %q on this outline cannot be laid", in.Bar)
				}
				stage.Thickness, stage.EdgeClear = known.Say(in.Thickness), known.Say(in.EdgeClear)
				stage.Grid = known.Say(spoken.BarGrid{Size: bar.Size, Diameter: bar.Diameter, Area: bar.Area, LinearMass: bar.LinearMass, Spacing: in.Spacing, BothWays: true})
				stage.Trim = known.Say(false)
				r, err := Design(stage)
				if err != nil {
					return out, err
				}
				for _, b := range r.Bars {
					length := quantity.Length(b.Line.Length())
					out.TotalLength += length
					if b.Upper {
						out.Crosswise++
						out.CrossBar = max(out.CrossBar, length)
					} else {
						out.Lengthwise++
						out.LongBar = max(out.LongBar, length)
					}
				}
				out.Weight, out.Chairs = quantity.Mass(float64(bar.LinearMass)*out.TotalLength.Metres()), r.Chairs
				return out, nil
			}),
		calc.New("steel.cutting", "cheapest stock to cut pieces from, with its bounds", string(sources.Recomputed),
			func(in struct {
				Lengths  []quantity.Length `says:"lengths of the pieces"`
				Counts   []float64         `unit:"1" says:"how many of each"`
				Stocks   []quantity.Length `says:"lengths that can be bought"`
				Kerf     quantity.Length   `says:"width lost at a cut" default:"0"`
				ByLength bool              `says:"buy the least total length; otherwise the fewest bars" default:"false"`
			}) (out struct {
				Bars          int
				TotalLength   quantity.Length `says:"of stock bought"`
				MaterialBound int             `says:"bars no plan can go below, by length alone (fewest bars)"`
				LpBound       float64         `unit:"1" says:"the linear relaxation (fewest bars)"`
				FirstFit      int             `says:"bars by first-fit decreasing (fewest bars)"`
				Proven        bool            `says:"no plan can be cheaper"`
				Waste         float64         `unit:"%" says:"stock not in pieces"`
			}, err error) {
				p, scale, err := problemOf(in.Lengths, in.Counts, in.Stocks, in.Kerf, in.ByLength)
				if err != nil {
					return out, err
				}
				plan, err := stock.Solve(p)
				if err != nil {
					return out, err
				}
				out.Bars, out.MaterialBound, out.LpBound, out.FirstFit, out.Proven = plan.Bars, plan.Material, plan.LP, plan.FirstFit, plan.Proven
				bought, used := 0, 0
				for _, c := range plan.Cuts {
					bought += c.Times * p.Stocks[c.Stock].Length
				}
				for _, piece := range p.Pieces {
					used += piece.Length * piece.Count
				}
				out.TotalLength = quantity.Length(float64(bought) * scale)
				if bought > 0 {
					out.Waste = 100 * float64(bought-used) / float64(bought)
				}
				return out, nil
			}),
	}
}

// problemOf writes lengths as whole numbers of 1/64 in if they all are, else of 0.1 mm.
func problemOf(lengths []quantity.Length, counts []float64, stocks []quantity.Length, kerf quantity.Length, byLength bool) (p stock.Problem, scale float64, err error) {
	if len(lengths) != len(counts) {
		return p, 0, fmt.Errorf("steel: %d lengths and %d counts do not go together", len(lengths), len(counts))
	}
	scale = 0.0254 / 64
	for _, l := range append(append([]quantity.Length{kerf}, lengths...), stocks...) {
		if n := l.Metres() / scale; math.Abs(n-math.Round(n)) > 1e-6*math.Max(1, n) {
			scale = 0.0001
			break
		}
	}
	whole := func(l quantity.Length) int { return int(math.Round(l.Metres() / scale)) }
	p.Kerf = whole(kerf)
	for i, l := range lengths {
		if counts[i] != math.Trunc(counts[i]) || math.Abs(counts[i]) > 1e6 || l > 1e3 {
			return p, 0, fmt.Errorf("steel: %g pieces of %g m cannot be cut", counts[i], l)
		}
		p.Pieces = append(p.Pieces, stock.Piece{Length: whole(l), Count: int(counts[i])})
	}
	for _, l := range stocks {
		if l > 1e3 {
			return p, 0, fmt.Errorf("steel: stock of %g m is not sold", l)
		}
		s := stock.Stock{Length: whole(l), Price: 1}
		if byLength {
			s.Price = s.Length
		}
		p.Stocks = append(p.Stocks, s)
	}
	return p, scale, nil
}

// outlineOf makes a polygon of corner lists.
func outlineOf(corners [][]float64) (geometry.Polygon, error) {
	var p geometry.Polygon
	for i, c := range corners {
		if len(c) != 2 {
			return p, fmt.Errorf("steel: corner %d has %d coordinates, not 2", i+1, len(c))
		}
		p.Outer = append(p.Outer, geometry.Point{X: c[0], Y: c[1]})
	}
	return p, nil
}
