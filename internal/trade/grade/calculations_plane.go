package grade

import (
	"context"
	"errors"
	"fmt"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/planefit"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// planePorts are the inputs of a plane fit.
type planePorts struct {
	Points     [][]float64     `says:"ground samples [x, y, z], each standing for one square metre" unit:"m"`
	Thickness  quantity.Length `says:"slab and base: the plane lies this far above its subgrade" default:"0"`
	CutWeight  float64         `says:"cost of a volume cut" unit:"1" default:"1"`
	FillWeight float64         `says:"cost of a volume filled" unit:"1" default:"3"`
	DrainX     float64         `says:"where the water goes, east" unit:"1" default:"0"`
	DrainY     float64         `says:"where the water goes, north" unit:"1" default:"0"`
	Least      quantity.Slope  `name:"least_slope" says:"least fall that way; needs a drain direction" default:"0"`
	Greatest   quantity.Slope  `name:"greatest_slope" says:"in any direction; 0 for none" default:"0"`
	Cross      quantity.Slope  `name:"cross_slope" says:"across the drain direction; 1 for none" default:"1"`
	Ties       [][]float64     `says:"places [x, y, z] the plane passes through" unit:"m" default:"[]"`
	Ceilings   [][]float64     `says:"places [x, y, z] it stays under" unit:"m" default:"[]"`
	Floors     [][]float64     `says:"places [x, y, z] it stays over" unit:"m" default:"[]"`
}

func planeCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("grade.plane_fit", "cheapest plane over ground samples that keeps ties, ceilings, floors and falls", string(sources.PlaneProgram),
			func(in planePorts) (out struct {
				Objective quantity.Volume `says:"weighted cut and fill"`
				A         quantity.Length `says:"level at the origin"`
				B         quantity.Slope  `says:"rise east"`
				C         quantity.Slope  `says:"rise north"`
				Binding   int             `says:"limits that hold it back"`
			}, err error) {
				problem, err := in.problem()
				if err != nil {
					return out, err
				}
				r, err := planefit.Fit(context.Background(), problem)
				if err != nil {
					return out, err
				}
				out.Objective, out.A, out.B, out.C = quantity.Volume(r.Cost), quantity.Length(r.Planes[0].A), quantity.Slope(r.Planes[0].B), quantity.Slope(r.Planes[0].C)
				out.Binding = len(r.Binding)
				return out, nil
			}),
		calc.New("grade.plane_cost", "weighted cut and fill of a given plane over ground samples", string(sources.PlaneProgram),
			func(in struct {
				Points     [][]float64     `says:"ground samples [x, y, z], each standing for one square metre" unit:"m"`
				Thickness  quantity.Length `default:"0"`
				CutWeight  float64         `unit:"1" default:"1"`
				FillWeight float64         `unit:"1" default:"3"`
				A          quantity.Length `says:"level at the origin"`
				B          quantity.Slope  `says:"rise east"`
				C          quantity.Slope  `says:"rise north"`
			}) (out struct{ Objective quantity.Volume }, err error) {
				problem, err := planePorts{Points: in.Points, Thickness: in.Thickness, CutWeight: in.CutWeight, FillWeight: in.FillWeight, Cross: 1}.problem()
				if err != nil {
					return out, err
				}
				out.Objective = quantity.Volume(planefit.Cost(problem, planefit.Plane{A: float64(in.A), B: float64(in.B), C: float64(in.C)}))
				return out, nil
			}),
	}
}

// problem writes the ports as a program.
func (in planePorts) problem() (planefit.Problem, error) {
	err := errors.Join(rowsOf(in.Points, 3, "a ground sample"), rowsOf(in.Ties, 3, "a tie"), rowsOf(in.Ceilings, 3, "a ceiling"), rowsOf(in.Floors, 3, "a floor"))
	if err != nil {
		return planefit.Problem{}, err
	}
	p := planefit.Problem{Cut: in.CutWeight, Fill: in.FillWeight}
	for _, q := range in.Points {
		p.Samples = append(p.Samples, planefit.Sample{X: q[0], Y: q[1], Level: q[2] + float64(in.Thickness), Weight: 1})
	}
	for i, q := range in.Ties {
		p.Limits = append(p.Limits, planefit.Limit{Name: fmt.Sprintf("tie %d", i+1), A: 1, B: q[0], C: q[1], Bound: q[2], Equal: true})
	}
	for i, q := range in.Ceilings {
		p.Limits = append(p.Limits, planefit.Limit{Name: fmt.Sprintf("ceiling %d", i+1), A: 1, B: q[0], C: q[1], Bound: q[2]})
	}
	for i, q := range in.Floors {
		p.Limits = append(p.Limits, planefit.Limit{Name: fmt.Sprintf("floor %d", i+1), A: -1, B: -q[0], C: -q[1], Bound: -q[2]})
	}
	return p, in.slopes(&p)
}

func (in planePorts) slopes(p *planefit.Problem) error {
	d := geometry.Point{X: in.DrainX, Y: in.DrainY}.Unit()
	if d == (geometry.Point{}) && (in.Least > 0 || in.Cross < 1) {
		return errors.New("a least or cross slope needs a drain direction: drain_x, drain_y")
	}
	if in.Least > 0 {
		p.Limits = append(p.Limits, planefit.Limit{Name: "least slope", B: d.X, C: d.Y, Bound: -float64(in.Least)})
	}
	n := d.Left()
	switch {
	case in.Cross >= 1:
	case in.Cross < slopeRoom:
		p.Limits = append(p.Limits, planefit.Limit{Name: "cross slope", B: n.X, C: n.Y, Equal: true})
	default:
		p.Limits = append(p.Limits, planefit.Limit{Name: "cross slope", B: n.X, C: n.Y, Bound: float64(in.Cross)}, planefit.Limit{Name: "cross slope", B: -n.X, C: -n.Y, Bound: float64(in.Cross)})
	}
	for k := 0; in.Greatest > 0 && k < coneSides; k++ {
		u := geometry.Direction(d.Heading() + 2*math.Pi*(float64(k)+0.5)/coneSides)
		p.Limits = append(p.Limits, planefit.Limit{Name: "greatest slope", B: u.X, C: u.Y, Bound: float64(in.Greatest) * math.Cos(math.Pi/coneSides)})
	}
	return nil
}
