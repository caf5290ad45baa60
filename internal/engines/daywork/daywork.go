// Package daywork plays a day on which pieces of work are brought, one load after another, and then pass through one operation
// after another, done by hands and tools that all pieces share, each operation inside a window that opens and closes some time
// after its piece was brought. It tells who waits, what comes too late, and how often, over many days that differ by chance.
//
// Times are in hours from the first load's agreed time; volumes, areas and lengths in any unit that work and rates share.
// Nothing is random but by a seed, and the chances of one day are drawn in the same order whatever hands, tools or spacing are
// tried: what differs between two plans is the plan, not the luck (common random numbers).
package daywork

import (
	"errors"
	"fmt"
	"math"
)

// Op is an operation done on every piece, after the one before it in the list.
type Op struct {
	Name string
	Rate float64 // work of one hand in an hour
	Most int     // hands that can work on one piece together; at least one
	Tool int     // index of the tool it takes; negative: none
}

// Piece is a part of the work brought and worked as one.
type Piece struct {
	Volume float64   // brought in loads
	Work   []float64 // for each operation; zero: nothing to do
}

// Load is one delivery.
type Load struct {
	Due    float64 // h
	Volume float64
}

// Window is when an operation may begin and must be done, hours after its piece was brought. Closes may be infinite.
type Window struct{ Opens, Closes float64 }

// Chance says how days differ: standard deviations over means of lognormal factors, all zero for the day as planned.
type Chance struct {
	Spacing float64 // between loads
	Late    float64 // share of loads that come late besides
	LateBy  float64 // mean of that, h
	Bring   float64 // how fast each load is brought in
	Window  float64 // of all windows of a day together
	Work    float64 // of each operation on each piece
}

// Day is the plan.
type Day struct {
	Pieces  []Piece
	Ops     []Op
	Loads   []Load
	Tools   []int   // how many of each
	Hands   int     // in all
	Bringer int     // of them needed until all is brought in; the rest, and afterwards all, work on
	Apart   bool    // the bringers never work on
	Rate    float64 // volume brought in an hour by the bringers
	Swap    float64 // between two loads that wait, h
	Windows func(op int, brought float64) Window
	Chance  Chance
	Real    Real
}

// Real is what has happened so far on the day itself. Lists may be short or hold NaN where nothing is known; nothing that is not in
// them happens before Now.
type Real struct {
	Now     float64
	Loads   []float64   // when each load came
	Brought []float64   // when each piece was all there
	Done    [][]float64 // when each operation of each piece was done
	Stretch float64     // how the windows run against the plan; zero: not known
}

const (
	mostPieces = 200
	mostOps    = 20
	mostLoads  = 300_000
)

// Validate says why a day cannot be played.
func (d *Day) Validate() error {
	n := len(d.Ops)
	switch {
	case len(d.Pieces) == 0 || len(d.Pieces) > mostPieces || n > mostOps || len(d.Loads) == 0 || len(d.Loads) > mostLoads:
		return fmt.Errorf("daywork: %d pieces, %d operations and %d loads; 1 to %d, at most %d, 1 to %d", len(d.Pieces), n, len(d.Loads), mostPieces, mostOps, mostLoads)
	case d.Apart && d.Hands <= d.Bringer && n > 0:
		return errors.New("daywork: bringers who never work on leave nobody to do it")
	case d.Hands < 1 || d.Bringer < 1 || !(d.Rate > 0) || !(d.Swap >= 0) || math.IsInf(d.Rate, 0) || d.Windows == nil:
		return errors.New("daywork: hands, bringers and their rate are above zero, and windows are told")
	}
	brought, wanted := 0.0, 0.0
	for i, l := range d.Loads {
		if !(l.Volume > 0) || math.IsNaN(l.Due) || i > 0 && l.Due < d.Loads[i-1].Due {
			return fmt.Errorf("daywork: load %d has %v, due at %v h; loads are above zero and in the order they are due", i+1, l.Volume, l.Due)
		}
		brought += l.Volume
	}
	for j, p := range d.Pieces {
		if !(p.Volume > 0) || len(p.Work) != n {
			return fmt.Errorf("daywork: piece %d has volume %v and %d works for %d operations", j+1, p.Volume, len(p.Work), n)
		}
		wanted += p.Volume
	}
	if brought < wanted*(1-1e-9) {
		return fmt.Errorf("daywork: the loads bring %.3g of %.3g", brought, wanted)
	}
	return d.validateOps()
}

func (d *Day) validateOps() error {
	for k, op := range d.Ops {
		switch {
		case !(op.Rate > 0) || op.Most < 1:
			return fmt.Errorf("daywork: operation %d has rate %v and %d hands", k+1, op.Rate, op.Most)
		case op.Tool >= len(d.Tools) || op.Tool >= 0 && d.Tools[op.Tool] < 1:
			return fmt.Errorf("daywork: operation %d takes tool %d, of which there is none", k+1, op.Tool)
		}
	}
	for j, p := range d.Pieces {
		for k, w := range p.Work {
			if !(w >= 0) || math.IsInf(w, 0) {
				return fmt.Errorf("daywork: piece %d, operation %d: work %v", j+1, k+1, w)
			}
		}
	}
	for _, v := range []float64{d.Chance.Spacing, d.Chance.Bring, d.Chance.Window, d.Chance.Work, d.Chance.Late, d.Chance.LateBy} {
		if !(v >= 0 && v <= 5) {
			return fmt.Errorf("daywork: a chance of %v", v)
		}
	}
	return nil
}
