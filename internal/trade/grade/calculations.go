package grade

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the stage's table of check rows.
func Checks() string { return checksCSV }

// Calculations offers the stage's formulas by name.
func Calculations() []calc.Calculation {
	return slices.Concat(levelCalculations(), planeCalculations(), curveCalculations(), earthCalculations(), soilCalculations(), waterCalculations(), shapeCalculations(), workCalculations())
}

func levelCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.stake", "rod readings and string drops at one stake, for slab, base and subgrade", string(sources.LevelBooking),
			func(in struct {
				BenchMark quantity.Length `says:"level of the bench mark"`
				Backsight quantity.Length `says:"rod reading on it"`
				Top       quantity.Length `says:"level of the top of slab"`
				Thickness quantity.Length `says:"slab thickness"`
				Base      quantity.Length `says:"compacted stone" default:"0"`
				String    quantity.Length `says:"level of the string; 0 for none" default:"0"`
				Ground    quantity.Length `says:"rod reading on the ground now; 0 for none" default:"0"`
			}) (out struct {
				HeightOfInstrument quantity.Length
				RodTop             quantity.Length
				RodBase            quantity.Length
				RodSubgrade        quantity.Length
				DropTop            quantity.Length `says:"string down to the top of slab"`
				DropBase           quantity.Length
				DropSubgrade       quantity.Length
				Cut                quantity.Length `says:"ground down to subgrade; below zero, up"`
			}, err error) {
				if in.Thickness < 0 || in.Base < 0 {
					return out, errors.New("slab and base are no thinner than zero")
				}
				out.HeightOfInstrument = in.BenchMark + in.Backsight
				out.RodTop = out.HeightOfInstrument - in.Top
				out.RodBase = out.RodTop + in.Thickness
				out.RodSubgrade = out.RodBase + in.Base
				if in.String != 0 {
					out.DropTop = in.String - in.Top
					out.DropBase = out.DropTop + in.Thickness
					out.DropSubgrade = out.DropBase + in.Base
				}
				if in.Ground != 0 {
					out.Cut = out.RodSubgrade - in.Ground
				}
				return out, nil
			}),
		calc.New("grade.fall", "fall over a run at a slope", string(sources.Arithmetic),
			func(in struct {
				Run   quantity.Length
				Slope quantity.Slope
			}) (out struct {
				Fall  quantity.Length
				Tape  quantity.Length `says:"the fall to the nearest 1/8 in"`
				AsSet quantity.Slope  `says:"slope after that rounding"`
				Safe  quantity.Length `says:"the fall to the next 1/8 in that keeps the slope"`
			}, err error) {
				if err := positive("run", float64(in.Run)); err != nil {
					return out, err
				}
				eighth := quantity.Inches(0.125)
				out.Fall = quantity.Length(float64(in.Run) * float64(in.Slope))
				out.Tape = quantity.Length(math.Round(float64(out.Fall/eighth))) * eighth
				out.AsSet = quantity.Slope(out.Tape / in.Run)
				out.Safe = quantity.Length(math.Ceil(float64((out.Fall-tapeRoom)/eighth))) * eighth
				return out, nil
			}),
		calc.New("grade.slope", "a slope in every way it is written", string(sources.Definition),
			func(in struct {
				Fall quantity.Length
				Run  quantity.Length
			}) (out struct {
				Slope quantity.Slope
				Angle quantity.Angle
				OneIn float64 `unit:"1" says:"run over fall: 48 is 1:48"`
			}, err error) {
				if err := errors.Join(positive("fall", float64(in.Fall)), positive("run", float64(in.Run))); err != nil {
					return out, err
				}
				s := float64(in.Fall / in.Run)
				out.Slope, out.Angle, out.OneIn = quantity.Slope(s), quantity.Angle(math.Atan(s)), 1/s
				return out, nil
			}),
		calc.New("grade.string_sag", "how far a stretched string hangs at its middle", string(sources.Statics),
			func(in struct {
				Weight quantity.LineLoad `says:"weight of the string per length"`
				Span   quantity.Length
				Pull   quantity.Force
			}) (out struct{ Sag quantity.Length }, err error) {
				out.Sag, err = sag(in.Weight, in.Span, in.Pull)
				return out, err
			}),
	}
}

func curveCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.curve_chord", "a curved form by its chord: rise at the middle and at a distance from it", string(sources.PlaneGeometry),
			func(in struct {
				Radius quantity.Length
				Chord  quantity.Length
				X      quantity.Length `says:"distance from the middle of the chord" default:"0"`
			}) (out struct {
				MidOrdinate quantity.Length
				Offset      quantity.Length `says:"rise above the chord at x"`
				Approximate quantity.Length `says:"the quick rule, C²/(8R)"`
			}, err error) {
				if err := errors.Join(positive("radius", float64(in.Radius)), positive("chord", float64(in.Chord))); err != nil {
					return out, err
				}
				m, err := geometry.MidOrdinate(in.Radius.Metres(), in.Chord.Metres())
				if err != nil {
					return out, err
				}
				offset, err := geometry.ChordOffset(in.Radius.Metres(), in.Chord.Metres(), in.X.Metres())
				out.MidOrdinate, out.Offset = quantity.Length(m), quantity.Length(offset)
				out.Approximate = quantity.Length(in.Chord.Metres() * in.Chord.Metres() / (8 * in.Radius.Metres()))
				return out, err
			}),
		calc.New("grade.curve_radius", "radius of a curve measured by a chord and the rise at its middle", string(sources.PlaneGeometry),
			func(in struct {
				Chord       quantity.Length
				MidOrdinate quantity.Length
			}) (out struct{ Radius quantity.Length }, err error) {
				r, err := geometry.RadiusFromMidOrdinate(in.Chord.Metres(), in.MidOrdinate.Metres())
				out.Radius = quantity.Length(r)
				return out, err
			}),
		calc.New("grade.curve_tangent_offset", "how far a curve has left its tangent", string(sources.PlaneGeometry),
			func(in struct {
				Radius quantity.Length
				X      quantity.Length `says:"distance along the tangent from where it touches"`
			}) (out struct{ Offset quantity.Length }, err error) {
				y, err := geometry.TangentOffset(in.Radius.Metres(), in.X.Metres())
				out.Offset = quantity.Length(y)
				return out, err
			}),
		calc.New("grade.curve_longest_piece", "longest straight form board that stays on a curve", string(sources.PlaneGeometry),
			func(in struct {
				Radius quantity.Length
				Off    quantity.Length `says:"how far it may be off the curve"`
			}) (out struct{ Chord quantity.Length }, err error) {
				c, err := geometry.LongestChord(in.Radius.Metres(), in.Off.Metres())
				out.Chord = quantity.Length(c)
				return out, err
			}),
	}
}

func earthCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.rectangle", "the whole stage for a rectangle on level ground, by its own guesses", string(sources.PlaneProgram),
			func(in struct {
				Length    quantity.Length
				Width     quantity.Length
				Thickness quantity.Length
				Base      quantity.Length  `default:"0.1016"`
				Margin    quantity.Length  `says:"dig past the edge" default:"0.3048"`
				Least     quantity.Slope   `name:"least_slope" default:"0.02"`
				Waste     quantity.Percent `says:"stone over" default:"0.05"`
			}) (out struct {
				Fall       quantity.Length `says:"to the tape's 1/8 in"`
				LeastSlope quantity.Slope  `says:"after rounding"`
				DigDepth   quantity.Length
				NetVolume  quantity.Volume
				BaseVolume quantity.Volume
				BaseMass   quantity.Mass `name:"base_tons"`
				Cut        quantity.Volume
				Fill       quantity.Volume
				HaulLoads  int
				Lifts      int
			}, err error) {
				job := Defaults()
				job.Outline = geometry.Rectangle(in.Length.Metres(), in.Width.Metres())
				job.Thickness, job.Base, job.Margin = known.Say(in.Thickness), known.Say(in.Base), known.Say(in.Margin)
				job.Least, job.Waste = known.Say(in.Least), known.Say(in.Waste)
				r, err := Design(job)
				out.Fall, out.LeastSlope, out.DigDepth, out.NetVolume = r.Fall, r.Least, r.DigDepth, r.NetVolume
				out.BaseVolume, out.BaseMass, out.Cut, out.Fill, out.HaulLoads, out.Lifts = r.BaseVolume, r.BaseMass, r.Cut, r.Fill, r.HaulLoads, r.Lifts
				return out, err
			}),
		calc.New("grade.base_stone", "stone bed of a rectangle: volume and weight", string(sources.Arithmetic),
			func(in struct {
				Length    quantity.Length
				Width     quantity.Length
				Thickness quantity.Length  `says:"compacted"`
				Margin    quantity.Length  `says:"past the edge on every side" default:"0"`
				DryWeight quantity.Density `says:"compacted, dry; 135 lb/ft³ dense graded" default:"2162.492"`
				Moisture  quantity.Percent `default:"0.05"`
				Waste     quantity.Percent `default:"0"`
			}) (out struct {
				Volume quantity.Volume `says:"compacted"`
				Dry    quantity.Mass
				Moist  quantity.Mass
				Order  quantity.Mass `says:"moist, with waste"`
			}, err error) {
				err = errors.Join(positive("length", float64(in.Length)), positive("width", float64(in.Width)), positive("thickness", float64(in.Thickness)), positive("weight", float64(in.DryWeight)))
				if err != nil || in.Margin < 0 || in.Moisture < 0 || in.Waste < 0 {
					return out, errors.Join(err, errors.New("margin, moisture and waste are no less than zero"))
				}
				out.Volume = quantity.Volume(float64(in.Length+2*in.Margin) * float64(in.Width+2*in.Margin) * float64(in.Thickness))
				out.Dry, out.Moist = stoneMass(out.Volume, in.DryWeight, 0), stoneMass(out.Volume, in.DryWeight, in.Moisture)
				out.Order = quantity.Mass(float64(out.Moist) * (1 + float64(in.Waste)))
				return out, nil
			}),
		calc.New("grade.lifts", "loose lifts of a compacted layer", string(sources.CommonPractice),
			func(in struct {
				Thickness quantity.Length `says:"compacted"`
				Packing   quantity.Ratio  `says:"compacted over loose thickness" default:"0.8"`
				Lift      quantity.Length `says:"deepest loose lift" default:"0.0508"`
			}) (out struct {
				Loose quantity.Length `says:"loose thickness in all"`
				Lifts int
			}, err error) {
				if err := errors.Join(positive("packing", float64(in.Packing)), positive("lift", float64(in.Lift))); err != nil || !(in.Thickness >= 0) || in.Thickness > 100 {
					return out, errors.Join(err, errors.New("the layer is 0 to 100 m thick"))
				}
				out.Loose = quantity.Length(float64(in.Thickness) / float64(in.Packing))
				out.Lifts = lifts(in.Thickness, in.Packing, in.Lift)
				return out, nil
			}),
		calc.New("grade.haul_loads", "truck loads of spoil: volume or weight governs", string(sources.CommonPractice),
			func(in struct {
				Bank    quantity.Volume  `says:"as it lies"`
				Soil    string           `says:"sand, common earth, clay, topsoil, blasted rock, old concrete" default:"common earth"`
				Weight  quantity.Density `says:"moist, as it lies; 0 takes the table's" default:"0"`
				Box     quantity.Volume
				Payload quantity.Mass
			}) (out struct {
				Loose   quantity.Volume
				Mass    quantity.Mass
				Loads   int
				Governs string `says:"volume or weight"`
			}, err error) {
				row, err := soilOf(Soil(in.Soil))
				if err := errors.Join(err, positive("box", float64(in.Box)), positive("payload", float64(in.Payload))); err != nil || !(in.Bank >= 0) || in.Bank > 1e9 {
					return out, errors.Join(err, errors.New("spoil is 0 to 1e9 m³"))
				}
				weight := row.weight()
				if in.Weight > 0 {
					weight = in.Weight
				}
				out.Loose = quantity.Volume(float64(in.Bank) * row.loose)
				out.Mass = quantity.Mass(float64(in.Bank) * float64(weight))
				byWeight := false
				out.Loads, byWeight = haulLoads(out.Loose, out.Mass, in.Box, in.Payload)
				out.Governs = "volume"
				if byWeight {
					out.Governs = "weight"
				}
				return out, nil
			}),
	}
}

func rowsOf(rows [][]float64, n int, what string) error {
	for _, r := range rows {
		if len(r) != n {
			return fmt.Errorf("%s has %d numbers, not %v", what, n, r)
		}
	}
	return nil
}
