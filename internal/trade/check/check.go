// Package check holds what a careful foreman would say about a plan: looks good, take care, or don't, each with the value
// it looked at, the limit, and what would turn it good. Cautions for safety are checks too.
package check

import (
	"math"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// Level is the verdict of a check. The zero value is NotComputed: nothing looks good by accident.
type Level int

// The levels, mildest first.
const (
	NotComputed Level = iota
	Good
	Care
	Stop
)

// String is the level as a person reads it.
func (l Level) String() string {
	switch l {
	case Good:
		return "looks good"
	case Care:
		return "take care"
	case Stop:
		return "don't"
	}
	return "not computed"
}

// Word is the level in one word, as scripts read it.
func (l Level) Word() string {
	switch l {
	case Good:
		return "good"
	case Care:
		return "care"
	case Stop:
		return "stop"
	}
	return "not computed"
}

// Shape is the shape that stands for a level on paper; empty when nothing was computed.
func (l Level) Shape() drawing.Shape {
	switch l {
	case Good:
		return drawing.OpenCircle
	case Care:
		return drawing.Triangle
	case Stop:
		return drawing.Octagon
	}
	return ""
}

// MarshalText writes the level's word.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.Word()), nil }

// ID names a check. It never changes once released.
type ID string

// Check is one verdict.
type Check struct {
	ID     ID           `json:"id"`
	Level  Level        `json:"level"`
	Says   string       `json:"says"`            // one sentence a foreman would say
	Value  quantity.Any `json:"value,omitzero"`  // what was found
	Limit  quantity.Any `json:"limit,omitzero"`  // what it was held against
	Where  string       `json:"where,omitempty"` // corner, panel, hour, side: the place on the drawing or the clock
	Source sources.Key  `json:"source"`
	Then   []string     `json:"then,omitempty"`   // what would turn it good
	Safety bool         `json:"safety,omitempty"` // about people, not about concrete: never silenced
}

// Caution is a safety check: it stands beside its step whenever that step is in the job.
func Caution(id ID, says string, source sources.Key, then ...string) Check {
	return Check{ID: id, Level: Care, Says: says, Source: source, Then: then, Safety: true}
}

// AtMost checks value against an upper limit: good up to it, otherwise the given level with the given words.
func AtMost(id ID, value, limit quantity.Any, otherwise Level, good, bad string, source sources.Key, then ...string) Check {
	return bounded(id, value, limit, value.SI <= limit.SI+rounding(limit.SI), otherwise, good, bad, source, then)
}

// AtLeast checks value against a lower limit.
func AtLeast(id ID, value, limit quantity.Any, otherwise Level, good, bad string, source sources.Key, then ...string) Check {
	return bounded(id, value, limit, value.SI >= limit.SI-rounding(limit.SI), otherwise, good, bad, source, then)
}

// rounding is what a value may miss its limit by and still meet it: both may have passed through a change of units.
func rounding(limit float64) float64 { return 1e-9 * math.Abs(limit) }

func bounded(id ID, value, limit quantity.Any, holds bool, otherwise Level, good, bad string, source sources.Key, then []string) Check {
	c := Check{ID: id, Level: Good, Says: good, Value: value, Limit: limit, Source: source}
	if !holds {
		c.Level, c.Says, c.Then = otherwise, bad, then
	}
	return c
}

// Worst is the gravest level among checks; NotComputed when there are none.
func Worst(checks []Check) Level {
	worst := NotComputed
	for _, c := range checks {
		worst = max(worst, c.Level)
	}
	return worst
}

// Fault is something a person gave that cannot be: which field, what was typed, why not, and what to type instead.
type Fault struct {
	Field string `json:"field"` // path in the input, e.g. "slab.thickness"
	Given string `json:"given,omitempty"`
	Why   string `json:"why"`
	Type  string `json:"type_this,omitempty"` // what to type instead
}

// Error is the fault as one sentence.
func (f Fault) Error() string {
	text := f.Field
	if f.Given != "" {
		text += " `" + f.Given + "`"
	}
	text += ": " + f.Why
	if f.Type != "" {
		text += " " + f.Type
	}
	return text
}

// Faults is every fault of one input, found in one look.
type Faults []Fault

// Error lists the faults, one a line.
func (f Faults) Error() string {
	text := ""
	for i, one := range f {
		if i > 0 {
			text += "\n"
		}
		text += one.Error()
	}
	return text
}

// Err is f as an error, nil when there is no fault.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

// Hazard is what a safety check is about: the words of its id after the stage, so that two stages that warn of the same thing
// are known to.
func (c Check) Hazard() string {
	_, hazard, _ := strings.Cut(string(c.ID), ".")
	return hazard
}

// Cautions are the safety checks, each hazard once: the gravest of its checks, the first among equals.
func Cautions(checks []Check) []Check {
	var out []Check
	at := map[string]int{}
	for _, c := range checks {
		if !c.Safety {
			continue
		}
		key := c.Hazard() + c.Where
		if i, seen := at[key]; !seen {
			at[key] = len(out)
			out = append(out, c)
		} else if c.Level > out[i].Level {
			out[i] = c
		}
	}
	return out
}
