package forms

import (
	_ "embed"
	"slices"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows of this stage.
func Checks() string { return checksCSV }

// Calculations are the formulas of this stage, callable by name.
func Calculations() []calc.Calculation {
	return append(slices.Concat(boardCalculations(), curveCalculations(), practiceCalculations()), formsCalculation())
}

func boardCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("forms.board", "actual size and weight of a board", string(sources.LumberSizes),
			func(in struct {
				Board string `says:"1x4, 2x4, 2x6, 2x8, 2x10 or 2x12"`
			}) (out struct {
				Thickness, Height quantity.Length
				Weight            quantity.LinearMass
			}, err error) {
				b, err := BoardNamed(in.Board)
				out.Thickness, out.Height, out.Weight = b.Thick, b.Height, b.Weight()
				return out, err
			}),
		calc.New("forms.pressure", "push of fresh concrete on an edge form", string(sources.FormPressure),
			func(in struct {
				Height   quantity.Length  `says:"concrete against the form"`
				Concrete quantity.Density `says:"unit weight of fresh concrete" default:"2402.77"`
			}) (out struct {
				Load quantity.LineLoad `says:"per length of form"`
				Foot quantity.Stress   `says:"pressure at the foot"`
			}, err error) {
				out.Load, out.Foot, err = HeadLoad(in.Height, in.Concrete)
				return out, err
			}),
		calc.New("forms.bending", "how a form board holds between stakes", string(sources.BeamFormulas),
			func(in struct {
				Board    string           `says:"1x4 to 2x12"`
				Height   quantity.Length  `says:"concrete against the form"`
				Spacing  quantity.Length  `says:"stakes apart"`
				Concrete quantity.Density `says:"unit weight of fresh concrete" default:"2402.77"`
				Modulus  quantity.Stress  `says:"modulus of elasticity of the wood" default:"9652660210"`
			}) (out struct {
				Load       quantity.LineLoad
				Moment     quantity.Moment
				Stress     quantity.Stress
				Deflection quantity.Length
				Limit      quantity.Length `says:"least of spacing/360 and 1/8 in"`
				Holds      bool            `says:"the bow keeps its limit"`
			}, err error) {
				b, err := BoardNamed(in.Board)
				if err != nil {
					return out, err
				}
				if out.Load, _, err = HeadLoad(in.Height, in.Concrete); err != nil {
					return out, err
				}
				bend, err := Bend(b, out.Load, in.Spacing, in.Modulus)
				out.Moment, out.Stress, out.Deflection, out.Limit = bend.Moment, bend.Stress, bend.Deflection, bend.Limit
				out.Holds = bend.Deflection <= bend.Limit
				return out, err
			}),
		calc.New("forms.shortfall", "what a board lower than the slab costs", string(sources.LumberSizes),
			func(in struct {
				Board     quantity.Length `says:"height of the board"`
				Thickness quantity.Length `says:"slab thickness wanted"`
			}) (out struct {
				Lost     quantity.Percent `says:"thickness lost"`
				Strength quantity.Percent `says:"strength lost"`
			}, err error) {
				out.Lost, out.Strength, err = Shortfall(in.Board, in.Thickness)
				return out, err
			}),
	}
}

func curveCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("forms.mid_ordinate", "how far a straight board leaves a curve", string(sources.Definition),
			func(in struct {
				Radius quantity.Length `says:"radius of the curve"`
				Chord  quantity.Length `says:"stakes apart"`
			}) (out struct{ MidOrdinate quantity.Length }, err error) {
				m, err := geometry.MidOrdinate(in.Radius.Metres(), in.Chord.Metres())
				out.MidOrdinate = quantity.Length(m)
				return out, err
			}),
		calc.New("forms.curve_stakes", "stakes apart round a curve", string(sources.Definition),
			func(in struct {
				Radius      quantity.Length `says:"radius of the curve"`
				MidOrdinate quantity.Length `says:"how far the board may leave it" default:"0.003175"`
			}) (out struct{ Spacing quantity.Length }, err error) {
				out.Spacing, err = CurveStakes(in.Radius, in.MidOrdinate)
				return out, err
			}),
		calc.New("forms.kerfs", "kerfs that let a board close round a curve", string(sources.CommonPractice),
			func(in struct {
				Radius quantity.Length `says:"radius of the curve"`
				Kerf   quantity.Length `says:"width of a kerf"`
				Depth  quantity.Length `says:"depth of a kerf"`
				Board  quantity.Length `says:"thickness of the board; zero: not checked" default:"0"`
				Turn   quantity.Angle  `says:"angle of the curve" default:"0"`
			}) (out struct {
				Spacing quantity.Length
				Each    quantity.Angle `says:"turn of one kerf"`
				Count   int
			}, err error) {
				out.Spacing, out.Each, out.Count, err = Kerfs(in.Radius, in.Kerf, in.Depth, in.Board, in.Turn)
				return out, err
			}),
		calc.New("forms.plywood_radius", "tightest radius of dry plywood", string(sources.PlywoodRadius),
			func(in struct {
				Thickness  quantity.Length `says:"1/4 to 3/4 in"`
				AlongGrain bool            `says:"bent along the face grain" default:"false"`
			}) (out struct{ Radius quantity.Length }, err error) {
				out.Radius, err = PlywoodRadius(in.Thickness, in.AlongGrain)
				return out, err
			}),
		calc.New("forms.strip_radius", "tightest radius of a solid dry strip", string(sources.BeamFormulas),
			func(in struct {
				Thickness quantity.Length `says:"strip thickness"`
				Modulus   quantity.Stress `says:"modulus of elasticity" default:"9652660210"`
				Strength  quantity.Stress `says:"bending strength" default:"10342135.94"`
			}) (out struct{ Radius quantity.Length }, err error) {
				out.Radius, err = StripRadius(in.Thickness, in.Modulus, in.Strength)
				return out, err
			}),
	}
}

// formsCalculation is the whole stage on a rectangle.
func formsCalculation() calc.Calculation {
	return calc.New("forms.rectangle", "boards and stakes round a rectangle", string(sources.CommonPractice),
		func(in struct {
			Length    quantity.Length `says:"long side"`
			Width     quantity.Length `says:"short side"`
			Thickness quantity.Length `says:"slab thickness"`
			Stock     quantity.Length `says:"length of a board" default:"4.8768"`
			Spacing   quantity.Length `says:"stakes apart" default:"0.9144"`
		}) (out struct {
			Board       string
			Boards      int
			BoardLength quantity.Length
			Stakes      int
			Splices     int
		}, err error) {
			stage := Defaults()
			stage.Outline = geometry.Rectangle(in.Length.Metres(), in.Width.Metres())
			stage.Thickness, stage.Stock, stage.Stakes = known.Say(in.Thickness), known.Say(in.Stock), known.Say(in.Spacing)
			r, err := Design(stage)
			out.Board, out.Boards, out.BoardLength, out.Stakes, out.Splices = r.Board.Name, r.Boards, r.BoardLength, r.Stakes, r.Splices
			return out, err
		})
}
