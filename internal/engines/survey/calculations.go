package survey

import (
	_ "embed"
	"fmt"
	"math"

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
	leastSquares   = "adjustment-computations"
	tapeTexts      = "elementary-surveying"
	levelBooking   = "level-booking"
	commonPractice = "common-practice"
)

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	all := append(constructions(), tapeCalculations()...)
	return append(append(all, networkCalculations()...), levelCalculations()...)
}

func constructions() []calc.Calculation {
	return []calc.Calculation{
		calc.New("survey.point_from_two_tapes", "point at two distances from two marks", planeGeometry, func(in struct {
			Ax    quantity.Length `says:"first mark, east"`
			Ay    quantity.Length `says:"north"`
			R1    quantity.Length `name:"r1" says:"tape from the first mark"`
			Bx    quantity.Length `says:"second mark, east"`
			By    quantity.Length `says:"north"`
			R2    quantity.Length `name:"r2" says:"tape from the second mark"`
			Right bool            `says:"on the right of the line from the first mark to the second, not on the left" default:"false"`
		}) (out struct {
			X        quantity.Length
			Y        quantity.Length
			Crossing quantity.Angle `says:"between the tapes"`
			Weak     bool           `says:"they cross at less than 30° or more than 150°"`
		}, err error) {
			p, err := PointFromTwoTapes(geometry.Point{X: float64(in.Ax), Y: float64(in.Ay)}, float64(in.R1),
				geometry.Point{X: float64(in.Bx), Y: float64(in.By)}, float64(in.R2), !in.Right)
			out.X, out.Y, out.Crossing, out.Weak = quantity.Length(p.At.X), quantity.Length(p.At.Y), quantity.Angle(p.Crossing), p.Weak
			return out, err
		}),
		calc.New("survey.point_on_baseline", "point by station and offset from a baseline", planeGeometry, func(in struct {
			Ax      quantity.Length `says:"start of the baseline, east"`
			Ay      quantity.Length `says:"north"`
			Bx      quantity.Length `says:"a point along it, east"`
			By      quantity.Length `says:"north"`
			Station quantity.Length `says:"along the baseline"`
			Offset  quantity.Length `says:"to its left; right negative"`
		}) (out struct{ X, Y quantity.Length }, err error) {
			p, err := PointOnBaseline(geometry.Point{X: float64(in.Ax), Y: float64(in.Ay)},
				geometry.Point{X: float64(in.Bx), Y: float64(in.By)}, float64(in.Station), float64(in.Offset))
			out.X, out.Y = quantity.Length(p.X), quantity.Length(p.Y)
			return out, err
		}),
		calc.New("survey.offset_error", "slip along the baseline of an offset laid off at a wrong angle", planeGeometry, func(in struct {
			Offset quantity.Length `says:"length of the offset"`
			Angle  quantity.Angle  `says:"error of the right angle"`
		}) (out struct{ Slip quantity.Length }, err error) {
			out.Slip = quantity.Length(OffsetError(float64(in.Offset), float64(in.Angle)))
			return out, nil
		}),
		calc.New("survey.corner_angle", "angle at a corner from two sides and the tie across", planeGeometry, func(in struct {
			A quantity.Length `says:"one side"`
			B quantity.Length `says:"the other side"`
			C quantity.Length `says:"tie across"`
		}) (out struct {
			Angle    quantity.Angle
			OffRight quantity.Angle `says:"angle less a right angle"`
		}, err error) {
			angle, err := CornerAngle(float64(in.A), float64(in.B), float64(in.C))
			out.Angle, out.OffRight = quantity.Angle(angle), quantity.Angle(angle-math.Pi/2)
			return out, err
		}),
		calc.New("survey.rectangle_diagonal", "diagonal of a rectangle", planeGeometry, func(in struct {
			Length quantity.Length
			Width  quantity.Length
		}) (out struct{ Diagonal quantity.Length }, err error) {
			d, err := RectangleDiagonal(float64(in.Length), float64(in.Width))
			out.Diagonal = quantity.Length(d)
			return out, err
		}),
		calc.New("survey.out_of_square", "how far a rectangle is racked, from its diagonals", planeGeometry, func(in struct {
			Length quantity.Length
			Width  quantity.Length
			P      quantity.Length `says:"one diagonal"`
			Q      quantity.Length `says:"the other"`
		}) (out struct{ Angle quantity.Angle }, err error) {
			angle, err := OutOfSquare(float64(in.Length), float64(in.Width), float64(in.P), float64(in.Q))
			out.Angle = quantity.Angle(angle)
			return out, err
		}),
		calc.New("survey.quadrilateral_area", "area from four sides and both diagonals, as measured", planeGeometry, func(in struct {
			A quantity.Length `says:"sides in order"`
			B quantity.Length
			C quantity.Length
			D quantity.Length
			P quantity.Length `says:"diagonal"`
			Q quantity.Length `says:"the other"`
		}) (out struct{ Area quantity.Area }, err error) {
			k, err := QuadrilateralArea(float64(in.A), float64(in.B), float64(in.C), float64(in.D), float64(in.P), float64(in.Q))
			out.Area = quantity.Area(k)
			return out, err
		}),
	}
}

func tapeCalculations() []calc.Calculation {
	type corrected = struct {
		Correction quantity.Length `says:"to add to the reading"`
	}
	return []calc.Calculation{
		calc.New("survey.tape_sigma", "standard deviation of a taped distance", commonPractice, func(in struct {
			Tape     string          `says:"steel, cloth or pacing"`
			Distance quantity.Length `says:"taped"`
		}) (out struct{ Sigma quantity.Length }, err error) {
			s, err := TapeSigma(TapeClass(in.Tape), float64(in.Distance))
			out.Sigma = quantity.Length(s)
			return out, err
		}),
		calc.New("survey.slope_distance", "level distance of a taped slope", planeGeometry, func(in struct {
			Slope quantity.Length `says:"taped along the slope"`
			Rise  quantity.Length `says:"difference of height of the ends"`
		}) (out struct{ Level quantity.Length }, err error) {
			h, err := SlopeDistance(float64(in.Slope), float64(in.Rise))
			out.Level = quantity.Length(h)
			return out, err
		}),
		calc.New("survey.temperature_correction", "correction of a steel tape for temperature", tapeTexts, func(in struct {
			Length      quantity.Length `says:"reading"`
			Temperature quantity.Temp   `says:"of the tape"`
		}) (out corrected, err error) {
			out.Correction = quantity.Length(TemperatureCorrection(float64(in.Length), float64(in.Temperature)))
			return out, nil
		}),
		calc.New("survey.sag_correction", "correction of a tape hanging free", tapeTexts, func(in struct {
			Mass quantity.LinearMass `says:"of the tape per length"`
			Span quantity.Length     `says:"unsupported"`
			Pull quantity.Force      `says:"on the tape"`
		}) (out corrected, err error) {
			c, err := SagCorrection(float64(in.Mass), float64(in.Span), float64(in.Pull))
			out.Correction = quantity.Length(c)
			return out, err
		}),
		calc.New("survey.pull_correction", "correction of a tape for its pull", tapeTexts, func(in struct {
			Length   quantity.Length `says:"reading"`
			Pull     quantity.Force  `says:"on the tape"`
			Standard quantity.Force  `says:"pull it was made for"`
			Section  quantity.Area   `says:"cross-section of the tape"`
			Modulus  quantity.Stress `says:"of the tape's steel"`
		}) (out corrected, err error) {
			c, err := PullCorrection(float64(in.Length), float64(in.Pull), float64(in.Standard), float64(in.Section), float64(in.Modulus))
			out.Correction = quantity.Length(c)
			return out, err
		}),
	}
}

// tapedPoints is a network of distances as a table of checks writes it. Points are counted from 0.
type tapedPoints = struct {
	Points [][]float64 `says:"places [x, y]: true where fixed, else from a sketch" unit:"m"`
	Fixed  []int       `says:"points held in place, from 0"`
	FixedY []int       `says:"points held north and south only" default:"[]"`
	From   []int       `says:"where each tape starts"`
	To     []int       `says:"where it ends"`
	Tapes  []float64   `says:"readings" unit:"m"`
	Sigma  []float64   `says:"standard deviations; one for all" unit:"m"`
}

// networkOf reads such a network.
func networkOf(in tapedPoints) (Network, error) {
	var n Network
	for i, p := range in.Points {
		if len(p) != 2 {
			return n, fmt.Errorf("point %d has %d coordinates, not 2", i, len(p))
		}
		n.Points = append(n.Points, NetworkPoint{Name: fmt.Sprint(i), At: geometry.Point{X: p[0], Y: p[1]}})
	}
	for _, i := range append(append([]int(nil), in.Fixed...), in.FixedY...) {
		if i < 0 || i >= len(n.Points) {
			return n, fmt.Errorf("there is no point %d to fix", i)
		}
		n.Points[i].FixedY = true
	}
	for _, i := range in.Fixed {
		n.Points[i].FixedX = true
	}
	if len(in.From) != len(in.Tapes) || len(in.To) != len(in.Tapes) || len(in.Sigma) != 1 && len(in.Sigma) != len(in.Tapes) {
		return n, fmt.Errorf("%d tapes need as many ends and one sigma or as many", len(in.Tapes))
	}
	for k, d := range in.Tapes {
		s := in.Sigma[0]
		if len(in.Sigma) > 1 {
			s = in.Sigma[k]
		}
		n.Observations = append(n.Observations, Observation{Kind: Distance, From: in.From[k], To: in.To[k], Value: d, Sigma: s})
	}
	return n, nil
}

func networkCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("survey.adjust_tapes", "places of points from more tapes than needed, by least squares", leastSquares, func(in tapedPoints) (out struct {
			Points       [][]float64 `says:"adjusted" unit:"m"`
			Residuals    []float64   `says:"adjusted minus read" unit:"m"`
			Standardised []float64   `unit:"1"`
			Redundancy   []float64   `unit:"1"`
			Worst        int         `says:"tape with the largest standardised residual, from 0"`
			WorstT       float64     `unit:"1" says:"its standardised residual"`
			S0           float64     `name:"s0" unit:"1"`
			Freedom      int
			Low          float64       `unit:"1" says:"95 % range of the sum of squares"`
			High         float64       `unit:"1"`
			Passes       bool          `says:"the global test"`
			Area         quantity.Area `says:"of the points in their order"`
			SigmaX       []float64     `unit:"m" says:"by the given sigmas"`
			SigmaY       []float64     `unit:"m"`
			Major        []float64     `unit:"m" says:"error ellipses, by the given sigmas"`
			Minor        []float64     `unit:"m"`
			Azimuth      []float64     `unit:"deg" says:"of the major axes from north"`
		}, err error) {
			n, err := networkOf(in)
			if err != nil {
				return out, err
			}
			a, err := n.Adjust()
			if err != nil {
				return out, err
			}
			for _, p := range a.Points {
				e := p.Ellipse()
				out.Points = append(out.Points, []float64{p.At.X, p.At.Y})
				out.SigmaX, out.SigmaY = append(out.SigmaX, math.Sqrt(p.QXX)), append(out.SigmaY, math.Sqrt(p.QYY))
				out.Major, out.Minor = append(out.Major, e.Major), append(out.Minor, e.Minor)
				out.Azimuth = append(out.Azimuth, e.Azimuth*180/math.Pi)
			}
			for _, r := range a.Residuals {
				out.Residuals = append(out.Residuals, r.V)
				out.Standardised = append(out.Standardised, r.Standardised)
				out.Redundancy = append(out.Redundancy, r.Redundancy)
			}
			out.Worst, _ = a.Suspect(0)
			out.WorstT = a.Residuals[out.Worst].Standardised
			out.S0, out.Freedom, out.Low, out.High, out.Passes = a.S0, a.Freedom, a.Low, a.High, a.Passes()
			out.Area = quantity.Area(a.Polygon().Area())
			return out, nil
		}),
		calc.New("survey.find_wrong_tape", "tapes taken out one at a time until the rest agree", leastSquares, func(in tapedPoints) (out struct {
			Wrong     []float64   `unit:"1" says:"positions of the tapes taken out"`
			Errors    []float64   `unit:"m" says:"estimated error of each"`
			Ambiguous bool        `says:"something is wrong and nothing tells which"`
			Points    [][]float64 `unit:"m" says:"from the rest"`
			S0        float64     `name:"s0" unit:"1" says:"of the rest"`
			FirstS0   float64     `name:"first_s0" unit:"1" says:"of all"`
			FirstT    []float64   `unit:"1" says:"standardised residual of each tape taken out, before"`
		}, err error) {
			n, err := networkOf(in)
			if err != nil {
				return out, err
			}
			s, err := n.Snoop()
			if err != nil {
				return out, err
			}
			for _, r := range s.Removed {
				out.Wrong, out.Errors = append(out.Wrong, float64(r.Index)), append(out.Errors, r.Error)
				out.FirstT = append(out.FirstT, r.Standardised)
			}
			for _, p := range s.Points {
				out.Points = append(out.Points, []float64{p.At.X, p.At.Y})
			}
			out.Ambiguous, out.S0, out.FirstS0 = s.Ambiguous, s.S0, s.First.S0
			return out, nil
		}),
		calc.New("survey.global_test", "95 % range of the weighted sum of squares", leastSquares, func(in struct {
			Freedom int `says:"observations less unknowns"`
		}) (out struct {
			Low  float64 `unit:"1"`
			High float64 `unit:"1"`
		}, err error) {
			out.Low, out.High, err = GlobalTest(in.Freedom)
			return out, err
		}),
		calc.New("survey.ellipse_factor", "what makes a standard ellipse hold the place 95 times in 100", leastSquares, func(in struct {
			Freedom int `says:"of s0; 0 when the sigmas are trusted" default:"0"`
		}) (out struct {
			Factor float64 `unit:"1"`
		}, err error) {
			out.Factor = EllipseFactor95(in.Freedom)
			return out, nil
		}),
	}
}
