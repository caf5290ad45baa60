// Package planefit finds the cheapest planes through a piece of ground that is parted into panels: what it costs to cut each
// sample down or fill it up to the plane of its panel, under limits that are linear in the planes' levels and slopes. Limits
// may join two panels: along a hip or a valley their planes meet.
//
// Plane k is z = a_k + b_k·x + c_k·y. A sample i of panel k with ground level g and weight A costs A·w_c per metre the ground
// stands above the plane and A·w_f per metre below it, so the problem is
//
//	min Σ A_i·(w_c·max(r_i, 0) + w_f·max(−r_i, 0)) + ½·ε·Σ (b_k² + c_k²)    r_i = g_i − (a_k + b_k·x_i + c_k·y_i)
//	subject to  G·v ≤ h,  E·v = e                                           v = (a_1, b_1, c_1, a_2, …)
//
// a convex program with a unique answer for any ε > 0. It is solved by a primal-dual interior-point method (Mehrotra's
// predictor and corrector) in which the two epigraph inequalities of each sample are eliminated by hand: a sample adds to the
// 3 × 3 block of its own panel, and the linear system of a step has only as many rows as v and the equalities, whatever the
// number of samples. The multipliers of the limits come out with the answer: they say what relaxing each limit would save.
package planefit

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// Plane is z = A + B·x + C·y, metres and slopes.
type Plane struct{ A, B, C float64 }

// At is the plane's level at (x, y).
func (p Plane) At(x, y float64) float64 { return p.A + p.B*x + p.C*y }

// Sample is a piece of ground: where, how high, how much of the area it stands for, and which panel it lies under.
type Sample struct {
	X, Y, Level, Weight float64
	Panel               int
}

// Limit is a linear limit on a panel's plane: A·a + B·b + C·c ≤ Bound (or = Bound). A limit that joins holds the difference of
// two panels instead: the same sum of Panel less that of Other. Limits of one name stand and fall together when a conflict is
// looked for: the sides of a polygon that stands for one rule, the two ends of a shared edge.
type Limit struct {
	Name    string
	Panel   int
	A, B, C float64
	Joins   bool
	Other   int // the panel whose sum is taken off; only where Joins
	Bound   float64
	Equal   bool
}

// Problem is planes to fit.
type Problem struct {
	Panels  int // zero means one
	Samples []Sample
	Cut     float64 // cost per metre of ground above the plane and unit weight, above zero
	Fill    float64 // cost per metre below it, above zero
	Limits  []Limit
	Flatten float64 // ε; zero means 1e-6, enough to make the answer unique
}

// Binding is a limit that holds the plane back.
type Binding struct {
	Limit
	Saves float64 // cost saved per unit of Bound relaxed, to first order
}

// Result is the cheapest planes, one a panel.
type Result struct {
	Planes  []Plane
	Cost    float64 // Σ of cutting and filling, without the flattening term
	Binding []Binding
	Rounds  int // of the interior-point method
}

// Conflict says that no planes meet all limits; Limits is a smallest set of them that cannot be met together.
type Conflict struct{ Limits []Limit }

// Error names the limits in conflict.
func (c Conflict) Error() string {
	text := "planefit: no plane meets all of"
	for i, l := range c.Limits {
		if i > 0 {
			text += ","
		}
		text += " " + l.Name
	}
	return text
}

var errNoSamples = errors.New("planefit: no ground to fit to")

// bindingShare is the multiplier, as a share of the total weight, above which a limit counts as binding: the interior-point
// method leaves slack limits multipliers near its gap of 1e-10.
const bindingShare = 1e-6

// Fit finds the cheapest planes. It returns a Conflict when the limits contradict one another, and an error for samples or
// costs that are no numbers.
func Fit(ctx context.Context, p Problem) (Result, error) {
	p.Panels = max(p.Panels, 1)
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	s := newScale(p)
	work := s.problem(p)
	if conflict := conflicting(ctx, work); conflict != nil {
		return Result{}, Conflict{s.original(p, conflict)}
	}
	sol, err := solve(ctx, work, func([]float64) bool { return false })
	if err != nil {
		return Result{}, err
	}
	r := Result{Planes: s.planes(sol.v), Rounds: sol.rounds}
	r.Cost = Cost(p, r.Planes...)
	total := 0.0
	for _, q := range p.Samples {
		total += q.Weight * max(p.Cut, p.Fill)
	}
	for i, l := range p.Limits {
		if saves := s.saves(i, sol); math.Abs(saves) > bindingShare*total {
			r.Binding = append(r.Binding, Binding{l, saves})
		}
	}
	return r, nil
}

// Cost is what cutting and filling to the planes of the panels costs.
func Cost(p Problem, planes ...Plane) float64 {
	cost := 0.0
	for _, q := range p.Samples {
		d := q.Level - planes[q.Panel].At(q.X, q.Y)
		cost += q.Weight * (p.Cut*math.Max(d, 0) + p.Fill*math.Max(-d, 0))
	}
	return cost
}

func (p Problem) validate() error {
	if len(p.Samples) == 0 {
		return errNoSamples
	}
	for i, q := range p.Samples {
		if !finite(q.X, q.Y, q.Level, q.Weight) || q.Weight <= 0 {
			return fmt.Errorf("planefit: sample %d (%v, %v, level %v, weight %v) is not ground", i, q.X, q.Y, q.Level, q.Weight)
		}
		if !p.has(q.Panel) {
			return fmt.Errorf("planefit: sample %d lies under panel %d of %d", i, q.Panel, p.Panels)
		}
	}
	for _, l := range p.Limits {
		if !p.has(l.Panel) || l.Joins && (!p.has(l.Other) || l.Other == l.Panel) {
			return fmt.Errorf("planefit: limit %s holds panels %d and %d of %d", l.Name, l.Panel, l.Other, p.Panels)
		}
		if !finite(l.A, l.B, l.C, l.Bound) || (l.A == 0 && l.B == 0 && l.C == 0) {
			return fmt.Errorf("planefit: limit %s is no limit", l.Name)
		}
	}
	if !(p.Cut > 0) || !(p.Fill > 0) || !finite(p.Cut, p.Fill) || p.Flatten < 0 {
		return fmt.Errorf("planefit: costs of cut %v and fill %v must be above zero", p.Cut, p.Fill)
	}
	return nil
}

func (p Problem) has(panel int) bool { return panel >= 0 && panel < p.Panels }

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
