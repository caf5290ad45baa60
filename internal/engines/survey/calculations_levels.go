package survey

import (
	"fmt"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

func levelCalculations() []calc.Calculation {
	return append(levelRuns(), levelInstrument()...)
}

func levelRuns() []calc.Calculation {
	return []calc.Calculation{
		calc.New("survey.level_net", "heights from more differences than needed, by least squares", leastSquares, func(in struct {
			Known       []float64 `says:"heights of the first points, which are fixed" unit:"m"`
			Unknown     int       `says:"how many more points there are"`
			From        []int     `says:"where each difference starts, from 0"`
			To          []int     `says:"where it ends"`
			Differences []float64 `says:"height of the end less height of the start" unit:"m"`
			Weights     []float64 `says:"relative weights; none: all one" unit:"1" default:"[]"`
		}) (out struct {
			Heights   []float64 `unit:"m" says:"of all points"`
			Residuals []float64 `unit:"m"`
			S0        float64   `name:"s0" unit:"m" says:"of unit weight"`
			Freedom   int
		}, err error) {
			var n LevelNet
			for i, z := range in.Known {
				n.Points = append(n.Points, LevelPoint{Name: fmt.Sprint(i), Z: z, Fixed: true})
			}
			for i := range max(0, min(in.Unknown, 1000)) {
				n.Points = append(n.Points, LevelPoint{Name: fmt.Sprint(len(in.Known) + i)})
			}
			if len(in.From) != len(in.Differences) || len(in.To) != len(in.Differences) || len(in.Weights) != 0 && len(in.Weights) != len(in.Differences) {
				return out, fmt.Errorf("%d differences need as many ends, and as many weights or none", len(in.Differences))
			}
			for k, d := range in.Differences {
				sigma := 1.0
				if len(in.Weights) > 0 {
					sigma = 1 / math.Sqrt(in.Weights[k])
				}
				n.Differences = append(n.Differences, LevelDifference{From: in.From[k], To: in.To[k], Value: d, Sigma: sigma})
			}
			a, err := n.Adjust()
			for _, p := range a.Points {
				out.Heights = append(out.Heights, p.Z)
			}
			for _, r := range a.Residuals {
				out.Residuals = append(out.Residuals, r.V)
			}
			out.S0, out.Freedom = a.S0, a.Freedom
			return out, err
		}),
		calc.New("survey.level_book", "heights from a run of levels, with the page check and the misclosure spread", levelBooking, func(in struct {
			Start    quantity.Length `says:"height of the first point"`
			End      []float64       `says:"known height of the last point, when there is one" unit:"m" default:"[]"`
			Sights   []string        `says:"back, intermediate, fore, as read"`
			Readings []float64       `says:"of the rod" unit:"m"`
		}) (out struct {
			Heights    []float64 `unit:"m" says:"one per reading, as booked"`
			Adjusted   []float64 `unit:"m"`
			Lines      []float64 `unit:"m" says:"height of instrument, one per reading"`
			BackSum    quantity.Length
			ForeSum    quantity.Length
			RiseSum    quantity.Length
			FallSum    quantity.Length
			Misclosure quantity.Length
			Agrees     bool `says:"the page check"`
		}, err error) {
			if len(in.Sights) != len(in.Readings) {
				return out, fmt.Errorf("%d sights and %d readings", len(in.Sights), len(in.Readings))
			}
			b := LevelBook{Start: float64(in.Start)}
			if len(in.End) > 0 {
				b.End, b.EndKnown = in.End[0], true
			}
			for i, s := range in.Sights {
				b.Readings = append(b.Readings, RodReading{Sight: Sight(s), Reading: in.Readings[i]})
			}
			l, err := b.Reduce()
			for _, p := range l.Points {
				out.Heights, out.Adjusted, out.Lines = append(out.Heights, p.Z), append(out.Adjusted, p.Adjusted), append(out.Lines, p.HI)
			}
			out.BackSum, out.ForeSum = quantity.Length(l.BackSum), quantity.Length(l.ForeSum)
			out.RiseSum, out.FallSum = quantity.Length(l.RiseSum), quantity.Length(l.FallSum)
			out.Misclosure, out.Agrees = quantity.Length(l.Misclosure), l.ArithmeticAgrees
			return out, err
		}),
		calc.New("survey.allowable_misclosure", "misclosure allowed to a run of levels", "geodetic-control-standards", func(in struct {
			Constant float64         `says:"c in mm per root kilometre" unit:"1"`
			Length   quantity.Length `says:"of the run"`
		}) (out struct{ Allowed quantity.Length }, err error) {
			e, err := AllowableMisclosure(in.Constant, float64(in.Length))
			out.Allowed = quantity.Length(e)
			return out, err
		}),
		calc.New("survey.short_loop_misclosure", "misclosure allowed to a loop on one site", commonPractice, func(in struct {
			Setups int `says:"set-ups of the level"`
		}) (out struct{ Allowed quantity.Length }, err error) {
			e, err := ShortLoopMisclosure(in.Setups)
			out.Allowed = quantity.Length(e)
			return out, err
		}),
	}
}

func levelInstrument() []calc.Calculation {
	return []calc.Calculation{
		calc.New("survey.two_peg", "error of a level by the two-peg test", tapeTexts, func(in struct {
			MidwayA   quantity.Length `says:"rod on A, level midway"`
			MidwayB   quantity.Length `says:"rod on B, level midway"`
			NearA     quantity.Length `says:"rod on A, level near A"`
			NearB     quantity.Length `says:"rod on B, level near A"`
			DistanceA quantity.Length `says:"level near A to A"`
			DistanceB quantity.Length `says:"level near A to B"`
		}) (out struct {
			Collimation quantity.Slope `says:"rise of the line of sight"`
			Adjust      bool           `says:"beyond 3 mm in 30 m"`
		}, err error) {
			c, err := TwoPeg(float64(in.MidwayA-in.MidwayB), float64(in.NearA-in.NearB), float64(in.DistanceA), float64(in.DistanceB))
			out.Collimation, out.Adjust = quantity.Slope(c), math.Abs(c) > CollimationLimit
			return out, err
		}),
		calc.New("survey.curvature_and_refraction", "by how much a rod reads too high at a distance", tapeTexts, func(in struct {
			Distance quantity.Length `says:"of the rod" range:">= 0"`
		}) (out struct{ Error quantity.Length }, err error) {
			out.Error = quantity.Length(CurvatureAndRefraction(float64(in.Distance)))
			return out, nil
		}),
		calc.New("survey.rod_for", "reading of the rod for a design height", "definition", func(in struct {
			Known  quantity.Length `says:"height of the benchmark"`
			Back   quantity.Length `says:"rod on the benchmark"`
			Design quantity.Length `says:"height wanted"`
			Ground quantity.Length `says:"rod on the ground now; 0: not read" default:"0"`
		}) (out struct {
			Hi  quantity.Length `says:"height of instrument"`
			Rod quantity.Length `says:"reading wanted"`
			Cut quantity.Length `says:"how far the ground must go down; up negative"`
		}, err error) {
			hi := float64(in.Known + in.Back)
			rod := RodFor(hi, float64(in.Design))
			out.Hi, out.Rod = quantity.Length(hi), quantity.Length(rod)
			if in.Ground != 0 {
				out.Cut = quantity.Length(CutAtRod(rod, float64(in.Ground)))
			}
			return out, nil
		}),
	}
}
