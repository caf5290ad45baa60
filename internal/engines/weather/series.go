package weather

import (
	"errors"
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
