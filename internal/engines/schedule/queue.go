package schedule

import (
	"errors"
	"math"
	"math/rand/v2"
	"sort"
)

// SteadyWaits are the waits, h, of n trucks that come spacing hours apart to a crew that takes service hours each, all of
// it steady (D/D/1): the n-th waits (n−1)·max(0, service − spacing). idle is how long the crew waits before each truck but
// the first, max(0, spacing − service). Pinned by BLD-31.
func SteadyWaits(spacing, service float64, n int) (waits []float64, idle float64) {
	waits = make([]float64, n)
	for i := range waits {
		waits[i] = float64(i) * math.Max(0, service-spacing)
	}
	return waits, math.Max(0, spacing-service)
}

// Queue is a line before one server in the long run.
type Queue struct {
	Use     float64 // ρ, share of the time the server is busy
	Waiting float64 // Lq, how many wait on average
	Present float64 // L, waiting or being served
	Wait    float64 // Wq, hours before service
	Stay    float64 // W, hours in all
}

// ErrGrows refuses arrivals that outrun the server.
var ErrGrows = errors.New("schedule: arrivals outrun service; the queue grows all day")

// LongRun is the line that forms when arrivals are random at λ per hour and service takes 1/μ hours with the coefficient of
// variation cv (Pollaczek and Khinchine):
//
//	ρ = λ/μ, Lq = ρ²(1 + cv²)/(2(1 − ρ)), Wq = Lq/λ, W = Wq + 1/μ, L = λW
//
// cv 0 is M/D/1, cv 1 is M/M/1. Refuses ρ ≥ 1 with ErrGrows. A day of six trucks is shorter than the long run: its waits
// are smaller. Pinned by BLD-30.
func LongRun(arrivals, service, cv float64) (Queue, error) {
	if !(arrivals > 0 && service > 0 && cv >= 0) {
		return Queue{}, errors.New("schedule: rates are above zero and the scatter is not below zero")
	}
	q := Queue{Use: arrivals / service}
	if q.Use >= 1 {
		return Queue{}, ErrGrows
	}
	q.Waiting = q.Use * q.Use * (1 + cv*cv) / (2 * (1 - q.Use))
	q.Wait = q.Waiting / arrivals
	q.Stay = q.Wait + 1/service
	q.Present = arrivals * q.Stay
	return q, nil
}

// Line is what a simulated line did.
type Line struct {
	Wait    float64 // mean, h
	P90     float64 // nine waits in ten are no longer, h
	Longest float64 // h
	Idle    float64 // share of the time the server stood idle
}

// Simulate lets n customers arrive at random over n/λ hours, a Poisson process of which the count is known, before one server
// that takes service hours each, from an empty line. The same seed gives the same numbers. It is the check of LongRun and
// shows a short day as it is: the mean wait of the first few is below the long run's.
func Simulate(arrivals, service float64, n int, seed uint64) (Line, error) {
	if !(arrivals > 0 && service > 0) || n < 1 || n > 5_000_000 {
		return Line{}, errors.New("schedule: rates are above zero and customers 1 to 5 million")
	}
	dice := rand.New(rand.NewPCG(seed, 0x5ab))
	waits := make([]float64, n+1) // arrivals first, then waits
	total := 0.0
	for i := range waits {
		total += dice.ExpFloat64()
		waits[i] = total
	}
	waits = waits[:n]
	free, sum, stretch := 0.0, 0.0, float64(n)/arrivals/total
	for i := range waits {
		now := waits[i] * stretch
		begin := math.Max(now, free)
		waits[i] = begin - now
		sum += waits[i]
		free = begin + service
	}
	sort.Float64s(waits)
	p90 := waits[int(math.Ceil(0.9*float64(n)))-1]
	return Line{Wait: sum / float64(n), P90: p90, Longest: waits[n-1], Idle: 1 - float64(n)*service/free}, nil
}
