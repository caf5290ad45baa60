package access

import (
	_ "embed"
	"errors"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the stage's table of check rows.
func Checks() string { return checksCSV }

// Calculations offers the stage's formulas by name.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("access.reach_share", "share of a slab within reach of a chute from given stands", string(sources.PlaneGeometry),
			func(in struct {
				Outline [][]float64     `unit:"m" says:"corners [x, y]"`
				Stands  [][]float64     `unit:"m" says:"stands [x, y]"`
				Reach   quantity.Length `says:"useful reach"`
			}) (out struct{ Share quantity.Percent }, err error) {
				share, err := reachShare(in.Outline, in.Stands, in.Reach)
				out.Share = quantity.Percent(share)
				return out, err
			}),
		calc.New("access.break_over", "break in grade at which a vehicle just touches midway between its axles", string(sources.BreakOver),
			func(in struct {
				Wheelbase quantity.Length `says:"axle to axle"`
				Clearance quantity.Length `says:"ground clearance midway"`
			}) (out struct {
				Angle       quantity.Angle `says:"whole break, tan(β/2) = 2h/L"`
				GradeChange quantity.Slope `says:"small-angle rule 4h/L"`
				Tangent     quantity.Slope `says:"tangent of the whole break"`
			}, err error) {
				if in.Wheelbase <= 0 || in.Clearance < 0 {
					return out, errors.New("wheelbase and clearance are longer than zero")
				}
				half := 2 * float64(in.Clearance) / float64(in.Wheelbase)
				out.Angle = quantity.Angle(2 * math.Atan(half))
				out.GradeChange, out.Tangent = quantity.Slope(2*half), quantity.Slope(math.Tan(float64(out.Angle)))
				return out, nil
			}),
		calc.New("access.departure", "break in grade at which an overhang just touches, and the crest a wheelbase just clears", string(sources.BreakOver),
			func(in struct {
				Overhang  quantity.Length `says:"axle to the low point beyond it"`
				Height    quantity.Length `says:"of that point"`
				Wheelbase quantity.Length `says:"axle to axle"`
				Clearance quantity.Length `says:"ground clearance midway"`
			}) (out struct {
				Angle       quantity.Angle  `says:"tan = h / overhang"`
				CrestRadius quantity.Length `says:"smallest round crest without contact, L²/(8h)"`
			}, err error) {
				if in.Overhang <= 0 || in.Height < 0 || in.Wheelbase <= 0 || in.Clearance <= 0 {
					return out, errors.New("lengths and heights are above zero")
				}
				out.Angle = quantity.Angle(math.Atan(float64(in.Height) / float64(in.Overhang)))
				out.CrestRadius = quantity.Length(sq(in.Wheelbase) / (8 * in.Clearance.Metres()))
				return out, nil
			}),
		calc.New("access.steady_turn", "circle of a tow vehicle and its trailer at constant steering", string(sources.PlaneGeometry),
			func(in struct {
				Wheelbase quantity.Length `says:"L, tow vehicle axle to axle"`
				Hitch     quantity.Length `says:"M, hitch behind the rear axle; ahead of it negative"`
				Tongue    quantity.Length `says:"L1, hitch to trailer axle"`
				Steering  quantity.Angle  `says:"δ, of the single front wheel"`
			}) (out struct {
				RearAxle     quantity.Length `says:"radius of the tow vehicle's rear axle"`
				HitchRadius  quantity.Length
				TrailerAxle  quantity.Length
				Articulation quantity.Angle
			}, err error) {
				rig := rollout.Rig{Wheelbase: in.Wheelbase.Metres(), Hitch: in.Hitch.Metres(), Tongue: in.Tongue.Metres()}
				turn, err := rig.Steady(float64(in.Steering))
				out.RearAxle, out.HitchRadius, out.TrailerAxle = quantity.Length(turn.Rear), quantity.Length(turn.Hitch), quantity.Length(turn.Trailer)
				out.Articulation = quantity.Angle(turn.Bend)
				return out, err
			}),
		calc.New("access.inside_radius", "least inside radius of a vehicle (with or without trailer) in a steady turn", string(sources.GreenBook),
			func(in struct {
				Centreline quantity.Length `says:"turning radius at the middle of the front axle"`
				Wheelbase  quantity.Length `says:"axle to axle"`
				Hitch      quantity.Length `says:"rear axle to hitch" default:"0"`
				Tongue     quantity.Length `says:"hitch to trailer axle" default:"0"`
				HalfWidth  quantity.Length `says:"half the width of the last axle"`
			}) (out struct{ Inside quantity.Length }, err error) {
				under := sq(in.Centreline) - sq(in.Wheelbase) + sq(in.Hitch) - sq(in.Tongue)
				if under <= 0 {
					return out, errors.New("there is no steady circle: the vehicle is longer than the turn")
				}
				out.Inside = quantity.Length(math.Sqrt(under)) - in.HalfWidth
				return out, nil
			}),
	}
}

func sq(l quantity.Length) float64 { return l.Metres() * l.Metres() }

func reachShare(outline, stands [][]float64, reach quantity.Length) (float64, error) {
	in := Defaults()
	for _, p := range outline {
		if len(p) != 2 {
			return 0, errors.New("a corner is [x, y]")
		}
		in.Outline.Outer = append(in.Outline.Outer, geometry.Point{X: p[0], Y: p[1]})
	}
	for _, p := range stands {
		if len(p) != 2 {
			return 0, errors.New("a stand is [x, y]")
		}
		in.Stands = append(in.Stands, Stand{X: known.Say(quantity.Length(p[0])), Y: known.Say(quantity.Length(p[1]))})
	}
	in.Reach, in.Short, in.Volume = known.Say(reach), known.Say(quantity.Length(0)), known.Say(quantity.Volume(1))
	r, err := Design(in)
	return float64(r.ReachShare), err
}
