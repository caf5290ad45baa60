package quantity

import "time"

// Box is the place where a person types: it says how a bare number is meant and what is usual there.
type Box struct {
	Name   string    // the field, in the trade's words: "thickness"
	Unit   string    // unit of a bare number in this box, e.g. "ft"
	System System    // the job's system, for readings back
	Locale string    // BCP 47; decides the decimal mark; empty is en-US
	Low    float64   // usual range in Unit; outside it the person is asked, not refused
	High   float64   // zero High: no usual range
	Today  time.Time // for words like "thu"; zero: no date can be counted from today
	Kind   Kind      // how the value is shown; AsElevation takes decimals only. Empty: the usual kind of its dimension
}

// Heard is how typed text was understood.
type Heard struct {
	ReadBack string    // the value as the page shows it under the box: 12'-7 3/8"  (12.61 ft, 3.845 m)
	Exact    string    // the exact rational SI value as "n/d" for typed tape lengths, empty otherwise
	Notes    []string  // explanations; work goes on
	Ask      *Question // set when the value is held until the person picks a reading
}

// Question is asked when text can be read but is probably not what was meant.
type Question struct {
	Says    string   // "6 ft is thick for a slab."
	Choices []string // what to type instead, likeliest first; the last keeps the value as typed
}

// Typed is met by a pointer to anything a person can type into a box. ReadText sets the value; a text that cannot be a
// value gives an error in three parts: what was typed, why not, what to type.
type Typed interface {
	ReadText(text string, box Box) (Heard, error)
}
