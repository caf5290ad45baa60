package survey

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"slabwright/internal/engines/geometry"
)

// NetworkPoint is a point of a tape network. Its place is where it is when fixed, else where a sketch puts it: within
// about a third of the true distances is near enough.
type NetworkPoint struct {
	Name   string
	At     geometry.Point
	FixedX bool
	FixedY bool
}

// Kind says what an observation measures.
type Kind string

// The kinds of observation in plan.
const (
	Distance Kind = "distance" // From to To, m
	Station  Kind = "station"  // along the line From–Along to the foot of To, m from From
	Offset   Kind = "offset"   // To to the left of the line From–Along, m
	Angle    Kind = "angle"    // at From, from the direction of Along counter-clockwise to To, rad
	East     Kind = "east"     // x of To, m: a point known to some sigma
	North    Kind = "north"    // y of To, m
)

// Observation is one measured number in plan. Points are named by their position in the network's list.
type Observation struct {
	Name            string // as booked; empty: made of its kind and points
	Kind            Kind
	From, Along, To int
	Value           float64 // m, for an angle rad
	Sigma           float64 // standard deviation, above zero
}

// Network is a figure of points and measured numbers.
type Network struct {
	Points       []NetworkPoint
	Observations []Observation
}

// AdjustedPoint is where a point lies after adjustment, and how well that is known.
type AdjustedPoint struct {
	Name          string
	At            geometry.Point
	QXX, QXY, QYY float64 // cofactors, m²: the variances when the given sigmas are right
}

// Ellipse is the standard error ellipse of a point: it holds the true place 39 times in 100.
type Ellipse struct {
	Major, Minor float64 // semi-axes, m
	Azimuth      float64 // of the major axis, radians clockwise from north in [0, π)
}

// Ellipse returns the error ellipse by the given sigmas; scale it by [Fit].S0 to go by the residuals instead.
//
//	m = (q_xx + q_yy)/2,   g = √(((q_xx − q_yy)/2)² + q_xy²),   semi-axes √(m ± g)
//	azimuth = ½ atan2(2 q_xy, q_yy − q_xx)
//
// Source: adjustment-computation textbooks. Checked: SITE-01, SITE-04.
func (p AdjustedPoint) Ellipse() Ellipse {
	m, g := (p.QXX+p.QYY)/2, math.Hypot((p.QXX-p.QYY)/2, p.QXY)
	azimuth := math.Atan2(2*p.QXY, p.QYY-p.QXX) / 2
	if azimuth < 0 {
		azimuth += math.Pi
	}
	return Ellipse{math.Sqrt(m + g), math.Sqrt(max(0, m-g)), azimuth}
}

// Scaled returns the ellipse k times as large.
func (e Ellipse) Scaled(k float64) Ellipse { return Ellipse{e.Major * k, e.Minor * k, e.Azimuth} }

// EllipseFactor95 returns what to multiply a standard ellipse by so that it holds the place 95 times in 100.
//
//	trusted sigmas: √χ²(0.95, 2) = 2.448;   s0 from the residuals: √(2 F(0.95; 2, f))
//
// f degrees of freedom; zero or less means trusted sigmas. Source: adjustment-computation textbooks (recalled).
func EllipseFactor95(freedom int) float64 {
	if freedom <= 0 {
		return math.Sqrt(distuv.ChiSquared{K: 2}.Quantile(0.95))
	}
	// With two degrees above, F has a closed form: 2F = f (0.05^(−2/f) − 1).
	f := float64(freedom)
	return math.Sqrt(f * (math.Pow(0.05, -2/f) - 1))
}

// Adjustment is an adjusted network.
type Adjustment struct {
	Fit
	Points []AdjustedPoint
}

// Polygon returns the adjusted points in their order as an outline.
func (a Adjustment) Polygon() geometry.Polygon {
	var ring []geometry.Point
	for _, p := range a.Points {
		ring = append(ring, p.At)
	}
	return geometry.Polygon{Outer: ring}
}

// Adjust fits the network to its observations by weighted least squares (weights 1/σ²) and tests the fit.
//
//	distance:  D = |P_to − P_from|
//	station:   u·(P_to − P_from),  offset: u × (P_to − P_from),   u unit vector From → Along
//	angle:     heading(From → To) − heading(From → Along)
//
// Errors: an observation that names no point, has no sigma above zero or cannot be; [*Floating] naming the point that
// nothing holds; no convergence. Source: observation equations of adjustment-computation textbooks.
// Checked: SITE-01, SITE-03, SITE-04, SITE-05.
func (n Network) Adjust() (Adjustment, error) {
	if err := n.check(); err != nil {
		return Adjustment{}, err
	}
	index, start := n.unknowns()
	if len(start) == 0 {
		return Adjustment{}, fmt.Errorf("survey: every point is fixed: there is nothing to adjust")
	}
	s := n.system(index)
	sol, err := s.solve(start)
	if err != nil {
		return Adjustment{}, err
	}
	names, observed := make([]string, len(n.Observations)), make([]float64, len(n.Observations))
	for i, o := range n.Observations {
		names[i], observed[i] = n.name(o), o.Value
	}
	return Adjustment{s.fit(sol, names, observed), n.places(index, sol)}, nil
}

func (n Network) check() error {
	if len(n.Observations) == 0 {
		return errors.New("survey: nothing was measured: give at least one tape")
	}
	for _, p := range n.Points {
		if !p.At.IsFinite() {
			return fmt.Errorf("survey: point %s has no usable starting place", p.Name)
		}
	}
	for _, o := range n.Observations {
		for _, i := range []int{o.From, o.Along, o.To} {
			if i < 0 || i >= len(n.Points) {
				return fmt.Errorf("survey: observation %q names point %d; there are %d points", o.Name, i+1, len(n.Points))
			}
		}
		if err := aboveZero("sigma of "+n.name(o), o.Sigma); err != nil {
			return err
		}
		if err := finite(n.name(o), o.Value); err != nil {
			return err
		}
		if err := n.possible(o); err != nil {
			return err
		}
	}
	return nil
}

func (n Network) possible(o Observation) error {
	switch o.Kind {
	case Distance:
		if o.From == o.To {
			return fmt.Errorf("survey: %s runs from a point to itself", n.name(o))
		}
		return aboveZero(n.name(o), o.Value)
	case Station, Offset, Angle:
		if o.From == o.Along || o.Kind == Angle && o.From == o.To {
			return fmt.Errorf("survey: %s needs a line between two different points", n.name(o))
		}
		return nil
	case East, North:
		return nil
	}
	return fmt.Errorf("survey: no observation is of kind %q: say distance, station, offset, angle, east or north", o.Kind)
}

// name is how people call the observation.
func (n Network) name(o Observation) string {
	if o.Name != "" {
		return o.Name
	}
	from, to := n.Points[o.From].Name, n.Points[o.To].Name
	switch o.Kind {
	case Distance:
		return from + "–" + to
	case East, North:
		return string(o.Kind) + " of " + to
	}
	return string(o.Kind) + " of " + to + " from " + from + "–" + n.Points[o.Along].Name
}

// unknowns numbers the free coordinates: index[i] holds those of point i, −1 where fixed.
func (n Network) unknowns() (index [][2]int, start []float64) {
	for _, p := range n.Points {
		at := [2]int{-1, -1}
		if !p.FixedX {
			at[0] = len(start)
			start = append(start, p.At.X)
		}
		if !p.FixedY {
			at[1] = len(start)
			start = append(start, p.At.Y)
		}
		index = append(index, at)
	}
	return index, start
}

func (n Network) at(index [][2]int, x []float64, i int) geometry.Point {
	p := n.Points[i].At
	if k := index[i][0]; k >= 0 {
		p.X = x[k]
	}
	if k := index[i][1]; k >= 0 {
		p.Y = x[k]
	}
	return p
}

func (n Network) system(index [][2]int) system {
	owners := map[int]string{}
	for i, at := range index {
		owners[at[0]], owners[at[1]] = n.Points[i].Name, n.Points[i].Name
	}
	unknowns := 0
	for _, at := range index {
		unknowns = max(unknowns, at[0]+1, at[1]+1)
	}
	sigma := make([]float64, len(n.Observations))
	for i, o := range n.Observations {
		sigma[i] = o.Sigma
	}
	return system{
		sigma: sigma,
		owner: func(k int) string { return owners[k] },
		at: func(x []float64) (*mat.Dense, []float64) {
			design := mat.NewDense(len(n.Observations), unknowns, nil)
			misfit := make([]float64, len(n.Observations))
			for row, o := range n.Observations {
				computed, slopes := o.equation(n.at(index, x, o.From), n.at(index, x, o.Along), n.at(index, x, o.To))
				misfit[row] = o.Value - computed
				if o.Kind == Angle {
					misfit[row] = math.Remainder(misfit[row], 2*math.Pi)
				}
				for k, i := range [3]int{o.From, o.Along, o.To} {
					for axis, d := range [2]float64{slopes[k].X, slopes[k].Y} {
						if col := index[i][axis]; col >= 0 {
							design.Set(row, col, design.At(row, col)+d)
						}
					}
				}
			}
			return design, misfit
		},
	}
}

// equation returns what the observation would read at these places, and its derivatives by From, Along and To.
func (o Observation) equation(from, along, to geometry.Point) (value float64, slopes [3]geometry.Point) {
	d, line := to.Sub(from), along.Sub(from)
	switch o.Kind {
	case Distance:
		u := d.Unit()
		return d.Length(), [3]geometry.Point{u.Scale(-1), {}, u}
	case Station:
		u, l := line.Unit(), line.Length()
		byAlong := u.Left().Scale(u.Cross(d) / l)
		return u.Dot(d), [3]geometry.Point{u.Add(byAlong).Scale(-1), byAlong, u}
	case Offset:
		u, l := line.Unit(), line.Length()
		byAlong := u.Left().Scale(-u.Dot(d) / l)
		return u.Cross(d), [3]geometry.Point{u.Left().Add(byAlong).Scale(-1), byAlong, u.Left()}
	case Angle:
		byTo, byAlong := d.Left().Scale(1/d.Dot(d)), line.Left().Scale(-1/line.Dot(line))
		return math.Atan2(line.Cross(d), line.Dot(d)), [3]geometry.Point{byTo.Add(byAlong).Scale(-1), byAlong, byTo}
	case East:
		return to.X, [3]geometry.Point{{}, {}, {X: 1}}
	}
	return to.Y, [3]geometry.Point{{}, {}, {Y: 1}}
}

func (n Network) places(index [][2]int, sol *solution) []AdjustedPoint {
	q := func(a, b int) float64 {
		if a < 0 || b < 0 {
			return 0
		}
		return sol.cofactor.At(a, b)
	}
	var out []AdjustedPoint
	for i, p := range n.Points {
		x, y := index[i][0], index[i][1]
		out = append(out, AdjustedPoint{p.Name, n.at(index, sol.x, i), q(x, x), q(x, y), q(y, y)})
	}
	return out
}
