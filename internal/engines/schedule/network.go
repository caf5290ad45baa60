package schedule

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Activity is a piece of work with its three guesses of time and what must be done before it.
type Activity struct {
	Name              string
	Low, Likely, High float64
	After             []string
}

// Mean of the three guesses, (a + 4m + b)/6.
func (a Activity) Mean() float64 { return (a.Low + 4*a.Likely + a.High) / 6 }

// Variance of the three guesses, ((b − a)/6)².
func (a Activity) Variance() float64 { return (a.High - a.Low) * (a.High - a.Low) / 36 }

// Times of one activity, by mean durations.
type Times struct {
	Start, Finish, Float float64 // earliest start and finish, and how much later it may finish without moving the end
}

// Path is the longest way through a network.
type Path struct {
	Names    []string
	Mean     float64
	Variance float64 // sum along the path
	Times    []Times // of every activity, in the order given
}

// By is the chance that the path is done by t, a normal law with the path's mean and variance. Other paths that are nearly as
// long make the true chance smaller: this one is an upper bound.
func (p Path) By(t float64) float64 {
	if p.Variance == 0 {
		if t >= p.Mean {
			return 1
		}
		return 0
	}
	return normal((t - p.Mean) / math.Sqrt(p.Variance))
}

// Within is the time by which the path is done with chance share, above 0 and below 1.
func (p Path) Within(share float64) float64 {
	return p.Mean + math.Sqrt2*math.Sqrt(p.Variance)*math.Erfinv(2*share-1)
}

func normal(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// Critical finds the longest path by mean durations (PERT: Malcolm, Roseboom, Clark and Fazar 1959, recalled). Among paths of
// one length it takes the one with the greater variance. It refuses empty networks, repeated or unknown names, guesses out of
// order and circles. Pinned by BLD-32 and BLD-33.
func Critical(activities []Activity) (Path, error) {
	order, before, err := sorted(activities)
	if err != nil {
		return Path{}, err
	}
	path := Path{Times: make([]Times, len(activities))}
	spread, from := make([]float64, len(activities)), make([]int, len(activities))
	last := -1
	for _, i := range order {
		from[i] = -1
		for _, j := range before[i] {
			if from[i] < 0 || later(path.Times[j].Finish, spread[j], path.Times[from[i]].Finish, spread[from[i]]) {
				from[i] = j
			}
			path.Times[i].Start = max(path.Times[i].Start, path.Times[j].Finish)
		}
		t := &path.Times[i]
		if from[i] >= 0 {
			spread[i] = spread[from[i]]
		}
		t.Finish = t.Start + activities[i].Mean()
		spread[i] += activities[i].Variance()
		if last < 0 || later(t.Finish, spread[i], path.Times[last].Finish, spread[last]) {
			last = i
		}
	}
	for _, t := range path.Times {
		path.Mean = max(path.Mean, t.Finish)
	}
	path.Variance = spread[last]
	for i := last; i >= 0; i = from[i] {
		path.Names = append(path.Names, activities[i].Name)
	}
	slices.Reverse(path.Names)
	path.floats(activities, order, before)
	return path, nil
}

// later says whether a way of length a comes after one of length b; equal lengths by their spread.
func later(a, spreadA, b, spreadB float64) bool {
	if math.Abs(a-b) > 1e-9*math.Max(1, math.Abs(b)) {
		return a > b
	}
	return spreadA > spreadB
}

func (p *Path) floats(activities []Activity, order []int, before [][]int) {
	latest := make([]float64, len(activities))
	for i := range latest {
		latest[i] = p.Mean
	}
	for _, i := range slices.Backward(order) {
		for _, j := range before[i] {
			latest[j] = math.Min(latest[j], latest[i]-activities[i].Mean())
		}
		p.Times[i].Float = math.Max(0, latest[i]-p.Times[i].Finish)
	}
}

// sorted puts the activities in an order in which each comes after what it waits for, and gives those by position.
func sorted(activities []Activity) (order []int, before [][]int, err error) {
	at := map[string]int{}
	for i, a := range activities {
		if _, twice := at[a.Name]; twice || a.Name == "" {
			return nil, nil, fmt.Errorf("schedule: activity %d: %q is no name of its own", i+1, a.Name)
		}
		if !(a.Low >= 0 && a.Low <= a.Likely && a.Likely <= a.High && a.High < math.MaxFloat64/1e6) {
			return nil, nil, fmt.Errorf("schedule: %s: guesses go from low over likely to high, none below zero", a.Name)
		}
		at[a.Name] = i
	}
	if len(activities) == 0 {
		return nil, nil, errors.New("schedule: no activities")
	}
	before, waiting, after := make([][]int, len(activities)), make([]int, len(activities)), make([][]int, len(activities))
	for i, a := range activities {
		for _, name := range a.After {
			j, ok := at[name]
			if !ok {
				return nil, nil, fmt.Errorf("schedule: %s waits for %q, which is no activity", a.Name, name)
			}
			before[i], after[j] = append(before[i], j), append(after[j], i)
			waiting[i]++
		}
	}
	for i := range activities {
		if waiting[i] == 0 {
			order = append(order, i)
		}
	}
	for k := 0; k < len(order); k++ {
		for _, i := range after[order[k]] {
			if waiting[i]--; waiting[i] == 0 {
				order = append(order, i)
			}
		}
	}
	if len(order) < len(activities) {
		return nil, nil, errors.New("schedule: activities wait for one another in a circle")
	}
	return order, before, nil
}

// LaterOf is the mean of the later of two independent normal times (Clark 1961, recalled):
//
//	E max = μ₁Φ(α) + μ₂Φ(−α) + θφ(α), θ² = σ₁² + σ₂², α = (μ₁ − μ₂)/θ
//
// It shows what a lone critical path leaves out: two alike paths end at μ + σ/√π. Pinned by BLD-34.
func LaterOf(mean1, sd1, mean2, sd2 float64) float64 {
	theta := math.Hypot(sd1, sd2)
	if theta == 0 {
		return math.Max(mean1, mean2)
	}
	alpha := (mean1 - mean2) / theta
	density := math.Exp(-alpha*alpha/2) / math.Sqrt(2*math.Pi)
	return mean1*normal(alpha) + mean2*normal(-alpha) + theta*density
}
