package access

import (
	_ "embed"
	"errors"
	"math"

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
				turn, err := steadyTurn(in.Wheelbase.Metres(), in.Hitch.Metres(), in.Tongue.Metres(), float64(in.Steering))
				out.RearAxle, out.HitchRadius, out.TrailerAxle = quantity.Length(turn.rear), quantity.Length(turn.hitch), quantity.Length(turn.trailer)
				out.Articulation = quantity.Angle(turn.articulation)
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

// turn is a steady circle, metres and radians.
type turn struct{ rear, hitch, trailer, articulation float64 }

// steadyTurn is the circle a tow vehicle and its trailer settle on.
//
//	R0 = L/tan δ   Rh = √(R0² + M²)   R1 = √(Rh² − L1²)   γ = atan2(M, R0) + asin(L1/Rh)
//
// Source: plane geometry of rolling without slip. No steady circle when L1 > Rh: the trailer folds. Checked: SITE-29.
func steadyTurn(l, m, l1, steer float64) (turn, error) {
	if l <= 0 || l1 < 0 || steer <= 0 || steer >= math.Pi/2 {
		return turn{}, errors.New("lengths are above zero and steering between 0° and 90°")
	}
	r0 := l / math.Tan(steer)
	rh := math.Hypot(r0, m)
	if l1 > rh {
		return turn{}, errors.New("there is no steady circle: the trailer is longer than the hitch's radius and folds")
	}
	return turn{r0, rh, math.Sqrt(rh*rh - l1*l1), math.Atan2(m, r0) + math.Asin(l1/rh)}, nil
}
