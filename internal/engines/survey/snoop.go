package survey

import (
	"math"
)

// Snooped is a network from which suspect observations were taken out one at a time.
type Snooped struct {
	Adjustment            // of what is left
	Removed    []Removal  // in the order they were taken out
	Ambiguous  bool       // something is still wrong, but nothing tells which observation
	First      Adjustment // with everything in
}

// Removal is an observation that was taken out.
type Removal struct {
	Index    int // in the network's list
	Residual     // as it was when it was the worst
	Likely   string
}

// Snoop adjusts the network, and while the global test fails on the high side takes out the one observation with the
// largest standardised residual above [BlunderLimit], readjusts, and looks again. It stops when the test passes, when
// no observation stands out, or when taking one more out would leave a point floating. What it takes out is to be
// measured again, not forgotten. Source: data snooping, geodetic literature (recalled). Checked: SITE-05.
func (n Network) Snoop() (Snooped, error) {
	first, err := n.Adjust()
	out := Snooped{Adjustment: first, First: first}
	if err != nil {
		return out, err
	}
	left := n
	place := make([]int, len(n.Observations))
	for i := range place {
		place[i] = i
	}
	for out.TooLoose() {
		worst, ok := out.Suspect(BlunderLimit)
		if !ok {
			out.Ambiguous = true
			break
		}
		less := left
		less.Observations = without(left.Observations, worst)
		again, err := less.Adjust()
		if err != nil {
			out.Ambiguous = true
			break
		}
		r := out.Residuals[worst]
		out.Removed = append(out.Removed, Removal{place[worst], r, LikelyBlunder(r.Error)})
		out.Adjustment, left, place = again, less, without(place, worst)
	}
	return out, nil
}

func without[T any](list []T, i int) []T {
	return append(append([]T(nil), list[:i]...), list[i+1:]...)
}

// usualBlunders are the reading errors that happen most. Source: common practice.
var usualBlunders = []struct {
	size float64 // m
	says string
}{
	{0.3048, "a foot misread"},
	{0.6096, "two feet misread"},
	{0.0254, "an inch misread"},
	{0.0762, "6 and 9 inches exchanged"},
	{0.9144, "6 and 9 feet exchanged"},
	{0.1, "a tenth of a metre dropped"},
	{0.3, "6 and 9 exchanged in the tenths of a metre"},
	{1, "a metre misread"},
	{0.05, "half a tenth misread, or a hook not zeroed"},
	{3.048, "ten feet misread"},
	{10, "ten metres misread"},
}

// blunderMatch is how near an error must be to a usual one to be called by it, metres: three sigmas of a steel tape.
const blunderMatch = 0.009

// LikelyBlunder names the usual reading error nearest the size of an estimated error, metres, as words that follow "perhaps"; or
// says that it may be the wrong corner.
func LikelyBlunder(size float64) string {
	best, says := blunderMatch, "the wrong corner, or a tape not pulled straight"
	for _, b := range usualBlunders {
		if gap := math.Abs(math.Abs(size) - b.size); gap < best {
			best, says = gap, b.says
		}
	}
	return says
}
