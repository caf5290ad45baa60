package weather

import (
	"errors"
	"fmt"
	"sort"
	"time"
)

// LongestGap is the longest stretch between two readings that is bridged by a straight line.
const LongestGap = 3 * time.Hour

// The reasons why a series has no value.
var (
	ErrOutside = errors.New("weather: before the first or after the last reading")
	ErrGap     = errors.New("weather: readings more than 3 h apart")
)

// Series is readings at rising times. Spacing need not be equal.
type Series struct {
	times  []time.Time
	values []float64
}

// NewSeries keeps readings whose times rise strictly.
func NewSeries(times []time.Time, values []float64) (Series, error) {
	if len(times) != len(values) {
		return Series{}, fmt.Errorf("weather: %d times with %d values", len(times), len(values))
	}
	for i := 1; i < len(times); i++ {
		if !times[i].After(times[i-1]) {
			return Series{}, fmt.Errorf("weather: reading %d is not later than the one before", i+1)
		}
	}
	return Series{times: times, values: values}, nil
}

// At is the value at an instant, on a straight line between the readings around it; ErrOutside or ErrGap where no line may
// be drawn.
func (s Series) At(t time.Time) (float64, error) {
	i, share, err := between(s.times, t)
	if err != nil {
		return 0, err
	}
	if share == 0 {
		return s.values[i], nil
	}
	return s.values[i] + share*(s.values[i+1]-s.values[i]), nil
}

// between finds the reading at or before t and how far t is on the way to the next.
func between(times []time.Time, t time.Time) (int, float64, error) {
	i := sort.Search(len(times), func(i int) bool { return times[i].After(t) }) - 1
	if i < 0 {
		return 0, 0, ErrOutside
	}
	if times[i].Equal(t) {
		return i, 0, nil
	}
	if i+1 == len(times) {
		return 0, 0, ErrOutside
	}
	gap := times[i+1].Sub(times[i])
	if gap > LongestGap {
		return 0, 0, ErrGap
	}
	return i, float64(t.Sub(times[i])) / float64(gap), nil
}
