package grade

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"slabwright/internal/engines/planefit"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
)

// inWords turns limits that contradict one another into a fault: which, and what to change.
func (w *work) inWords(err error, a aim, samples []planefit.Sample) error {
	var conflict planefit.Conflict
	if !errors.As(err, &conflict) {
		return err
	}
	var names []string
	for _, l := range conflict.Limits {
		if !slices.Contains(names, l.Name) {
			names = append(names, l.Name)
		}
	}
	then := "Move one of these levels, change its step, or send the water another way."
	if most, ok := w.steepest(a, samples); ok {
		then = fmt.Sprintf("With these levels the fall can be %s at most: type least_slope: %s, move a level, or send the water another way.",
			w.shown(most), strings.ReplaceAll(w.shown(most), " ", ""))
	}
	return check.Faults{{Field: "grade.ties", Why: "cannot all be met: " + strings.Join(names, "; ") + ".", Type: then}}
}

// halvings narrow the greatest possible fall down to a thousandth of what was asked.
const halvings = 10

// steepest is the largest least slope that the other limits leave room for, to 0.01 %, by halving; false when it is not
// the slope that is in the way.
func (w *work) steepest(a aim, samples []planefit.Sample) (quantity.Slope, bool) {
	trial := *w
	if len(w.panels) == 1 {
		trial.panels = []panel{{Panel: w.panels[0].Panel, aim: a}}
	}
	can := func(s quantity.Slope) bool {
		trial.in.Least.Value = s
		_, err := trial.together(samples[:1])
		return err == nil
	}
	low, high := quantity.Slope(0), w.in.Least.Value
	if !can(low) {
		return 0, false
	}
	for range halvings {
		if mid := (low + high) / 2; can(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	const printed = 1e-4
	floor := quantity.Slope(float64(int(low/printed)) * printed)
	return floor, floor > 0
}
