// Package schedule is the mathematics of work that follows work: finishers who follow placers, trucks that queue for a
// crew, and activities that wait for one another. It knows areas, hours and rates, and nothing of what is built.
//
// Times are in hours, areas in m², rates per hour. Nothing here is random unless a seed is given, and a seed gives the same
// numbers on every machine.
package schedule

import (
	"errors"
	"fmt"
	"math"
)

// KeepUp is the greatest area, m², that finishers can follow: a window that opens To and closes Tc hours after a place was
// filled, finishing and placing rates F and P in m²/h, strips of strip m² whose window counts from their end.
//
//	A_max = (Tc − To − Δ/P)/(1/F − 1/P)
//
// With strips the area is rounded down to whole strips. Infinite when finishing is as fast as placing; zero when the window
// shuts before a strip can be done. Derived for steady placing, first in first out, finishers apart from placers; pinned by
// BLD-28.
func KeepUp(opens, closes, finishing, placing, strip float64) float64 {
	slower := 1/finishing - 1/placing
	if slower <= 0 {
		return math.Inf(1)
	}
	area := math.Max(0, (closes-opens-strip/placing)/slower)
	if strip > 0 {
		area = strip * math.Floor(area/strip+1e-9)
	}
	return area
}

// Following is a day of placing and finishing.
type Following struct {
	Area      float64 // m²
	Strip     float64 // m², of one strip; the last may be smaller
	Placing   float64 // m²/h
	Finishing float64 // m²/h
	Opens     float64 // hours after a strip's end that its finishing may begin
	Closes    float64 // hours after a strip's end by which it must be finished
	SameCrew  bool    // the placers finish, once all is placed
}

// Strip is what became of one strip, in hours since placing began.
type Strip struct {
	Placed, Begun, Finished, Closed float64
}

// Late says whether the strip was finished after its window closed; an hour's billionth is not late.
func (s Strip) Late() bool { return s.Finished > s.Closed+1e-9 }

// maxStrips is the most strips a day is cut into.
const maxStrips = 100_000

// Strips follows each strip in turn: it is finished once its window is open and the one before it is done. It refuses rates
// and areas that are not above zero and a window that closes before it opens. Pinned by BLD-29.
func (f Following) Strips() ([]Strip, error) {
	n := math.Ceil(f.Area/f.Strip - 1e-9)
	switch {
	case !(f.Area > 0 && f.Strip > 0 && f.Placing > 0 && f.Finishing > 0):
		return nil, errors.New("schedule: areas and rates are above zero")
	case !(f.Opens >= 0 && f.Closes > f.Opens):
		return nil, errors.New("schedule: the finishing window closes before it opens; give opens below closes")
	case !(n <= maxStrips):
		return nil, fmt.Errorf("schedule: %.4g strips are too many; at most %d", n, maxStrips)
	}
	strips := make([]Strip, int(n))
	free := 0.0
	if f.SameCrew {
		free = f.Area / f.Placing
	}
	for i := range strips {
		end := math.Min(float64(i+1)*f.Strip, f.Area)
		s := Strip{Placed: end / f.Placing, Closed: end/f.Placing + f.Closes}
		s.Begun = math.Max(free, s.Placed+f.Opens)
		s.Finished = s.Begun + (end-float64(i)*f.Strip)/f.Finishing
		free = s.Finished
		strips[i] = s
	}
	return strips, nil
}

// InSeries is the rate of one crew that does several operations one after another, r = 1/Σ(1/rᵢ), each in area per hour. No
// rates, or a rate that is not above zero, gives zero.
func InSeries(rates []float64) float64 {
	sum := 0.0
	for _, r := range rates {
		if !(r > 0) {
			return 0
		}
		sum += 1 / r
	}
	if sum == 0 {
		return 0
	}
	return 1 / sum
}
