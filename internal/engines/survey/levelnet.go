package survey

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// LevelPoint is a point of a net of levels, metres.
type LevelPoint struct {
	Name  string
	Z     float64 // when fixed
	Fixed bool
}

// LevelDifference is a measured difference of height z_To − z_From, metres.
type LevelDifference struct {
	Name     string
	From, To int // positions in the net's list
	Value    float64
	Sigma    float64 // above zero; for weights 1/length take √length, for 1/set-ups take √set-ups
}

// LevelNet is points and the differences of height between them.
type LevelNet struct {
	Points      []LevelPoint
	Differences []LevelDifference
}

// AdjustedLevels is an adjusted net.
type AdjustedLevels struct {
	Fit
	Points []AdjustedLevel
}

// AdjustedLevel is the height of a point and its standard deviation by the given sigmas, metres.
type AdjustedLevel struct {
	Name  string
	Z     float64
	Sigma float64
}

// Adjust fits the heights to the differences by weighted least squares and tests the fit.
//
//	z_to − z_from = Δ + v
//
// Errors: differences that name no point or have no sigma; [*Floating] naming a point that no difference ties to a
// fixed one. Source: observation equations of adjustment-computation textbooks. Checked: SITE-02.
func (n LevelNet) Adjust() (AdjustedLevels, error) {
	var free []int
	number := make([]int, len(n.Points))
	for i, p := range n.Points {
		number[i] = -1
		if !p.Fixed {
			number[i] = len(free)
			free = append(free, i)
		}
	}
	if err := n.check(len(free)); err != nil {
		return AdjustedLevels{}, err
	}
	s := n.system(free, number)
	sol, err := s.solve(make([]float64, len(free)))
	if err != nil {
		return AdjustedLevels{}, err
	}
	names, observed := make([]string, len(n.Differences)), make([]float64, len(n.Differences))
	for i, d := range n.Differences {
		names[i], observed[i] = d.Name, d.Value
		if d.Name == "" {
			names[i] = n.Points[d.From].Name + "–" + n.Points[d.To].Name
		}
	}
	out := AdjustedLevels{Fit: s.fit(sol, names, observed)}
	for i, p := range n.Points {
		a := AdjustedLevel{Name: p.Name, Z: p.Z}
		if k := number[i]; k >= 0 {
			a.Z, a.Sigma = sol.x[k], math.Sqrt(sol.cofactor.At(k, k))
		}
		out.Points = append(out.Points, a)
	}
	return out, nil
}

func (n LevelNet) check(free int) error {
	if free == 0 {
		return errors.New("survey: every height is fixed: there is nothing to adjust")
	}
	if len(n.Differences) == 0 {
		return errors.New("survey: no difference of height was measured")
	}
	for _, p := range n.Points {
		if err := finite("height of "+p.Name, p.Z); err != nil {
			return err
		}
	}
	for _, d := range n.Differences {
		for _, i := range [2]int{d.From, d.To} {
			if i < 0 || i >= len(n.Points) {
				return fmt.Errorf("survey: level difference %q names point %d; there are %d points", d.Name, i+1, len(n.Points))
			}
		}
		if err := errors.Join(aboveZero("sigma of a level difference", d.Sigma), finite("level difference "+d.Name, d.Value)); err != nil {
			return err
		}
	}
	return nil
}

func (n LevelNet) system(free, number []int) system {
	sigma := make([]float64, len(n.Differences))
	for i, d := range n.Differences {
		sigma[i] = d.Sigma
	}
	return system{
		sigma: sigma,
		owner: func(k int) string { return n.Points[free[k]].Name },
		at: func(x []float64) (*mat.Dense, []float64) {
			design := mat.NewDense(len(n.Differences), len(free), nil)
			misfit := make([]float64, len(n.Differences))
			height := func(i int) float64 {
				if k := number[i]; k >= 0 {
					return x[k]
				}
				return n.Points[i].Z
			}
			for row, d := range n.Differences {
				misfit[row] = d.Value - (height(d.To) - height(d.From))
				if k := number[d.To]; k >= 0 {
					design.Set(row, k, design.At(row, k)+1)
				}
				if k := number[d.From]; k >= 0 {
					design.Set(row, k, design.At(row, k)-1)
				}
			}
			return design, misfit
		},
	}
}
