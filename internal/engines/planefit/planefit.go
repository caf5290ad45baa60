// Package planefit finds the cheapest plane through a piece of ground: what it costs to cut each sample down or fill it up
// to the plane, under limits that are linear in the plane's level and slopes.
//
// The plane is z = a + b·x + c·y. A sample i with ground level g and weight A costs A·w_c per metre the ground stands above
// the plane and A·w_f per metre below it, so the problem is
//
//	min Σ A_i·(w_c·max(r_i, 0) + w_f·max(−r_i, 0)) + ½·ε·(b² + c²)    r_i = g_i − (a + b·x_i + c·y_i)
//	subject to  G·v ≤ h,  E·v = e                                     v = (a, b, c)
//
// a convex program with a unique answer for any ε > 0. It is solved by a primal-dual interior-point method (Mehrotra's
// predictor and corrector) in which the two epigraph inequalities of each sample are eliminated by hand: the linear system
// of a step has only as many rows as v and the equalities, whatever the number of samples. The multipliers of the limits come
// out with the answer: they say what relaxing each limit would save.
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

// Fall is the steepest slope downhill and the heading it runs to, radians turning left from +x.
func (p Plane) Fall() (slope, heading float64) {
	return math.Hypot(p.B, p.C), math.Atan2(-p.C, -p.B)
}

// Sample is a piece of ground: where, how high, how much of the area it stands for.
type Sample struct{ X, Y, Level, Weight float64 }

// Limit is a linear limit on the plane: A·a + B·b + C·c ≤ Bound (or = Bound). Limits of one name stand and fall together when a
// conflict is looked for: the sides of a polygon that stands for one rule.
type Limit struct {
	Name    string
	A, B, C float64
	Bound   float64
	Equal   bool
}

// Problem is a plane to fit.
type Problem struct {
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

// Result is the cheapest plane.
type Result struct {
	Plane   Plane
	Cost    float64 // Σ of cutting and filling, without the flattening term
	Binding []Binding
	Rounds  int // of the interior-point method
}

// Conflict says that no plane meets all limits; Limits is a smallest set of them that cannot be met together.
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

// Fit finds the cheapest plane. It returns a Conflict when the limits contradict one another, and an error for samples or
// costs that are no numbers.
func Fit(ctx context.Context, p Problem) (Result, error) {
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	s := newScale(p)
	work := s.problem(p)
	if conflict := conflicting(ctx, work); conflict != nil {
		return Result{}, Conflict{s.original(p, conflict)}
	}
	sol, err := solve(ctx, work, func([3]float64) bool { return false })
	if err != nil {
		return Result{}, err
	}
	plane := s.plane(sol.v)
	r := Result{Plane: plane, Cost: Cost(p, plane), Rounds: sol.rounds}
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

// Cost is what cutting and filling to a plane costs.
func Cost(p Problem, plane Plane) float64 {
	cost := 0.0
	for _, q := range p.Samples {
		d := q.Level - plane.At(q.X, q.Y)
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
	}
	for _, l := range p.Limits {
		if !finite(l.A, l.B, l.C, l.Bound) || (l.A == 0 && l.B == 0 && l.C == 0) {
			return fmt.Errorf("planefit: limit %s is no limit", l.Name)
		}
	}
	if !(p.Cut > 0) || !(p.Fill > 0) || !finite(p.Cut, p.Fill) || p.Flatten < 0 {
		return fmt.Errorf("planefit: costs of cut %v and fill %v must be above zero", p.Cut, p.Fill)
	}
	return nil
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
