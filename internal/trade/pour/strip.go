package pour

import (
	"errors"
	"fmt"
	"math"
	"time"

	"slabwright/internal/trade/hydration"
)

// strip is a piece of the slab placed at one time, followed to its final set. Rates in kg/m²/h.
type strip struct {
	placed         time.Time
	initial, final time.Time
	dries          time.Time // zero: still wet at initial set
	deficit        float64   // at initial set, kg/m²
	peak           float64
	peakAt         time.Time
	chute          float64 // °C
	hottest        float64 // surface, °C
	moments        []Moment
}

// pace is the step of a strip's life, and patience how long a strip may take to set.
const (
	pace     = 10 * time.Minute
	patience = 60 * time.Hour
)

var errNeverSets = errors.New("pour: the concrete does not set within 60 hours")

// follow lives a strip's life from placing to final set. The initial set is read from the clock of the surface, where the
// finisher stands; the final set from surface or middle, whichever is earlier, at least half an hour later. keep says whether
// every step is wanted.
func (j job) follow(placed time.Time, r relief, keep bool) (strip, error) {
	start, err := j.air(placed)
	if err != nil {
		return strip{}, err
	}
	s := strip{placed: placed, chute: j.chuteTemp(start.Air) - r.chill}
	s.hottest = s.chute
	slab := j.slab
	slab.Placed = s.chute
	life, err := slab.Begin()
	if err != nil {
		return s, err
	}
	bleedClock, lost := 0.0, 0.0
	for at := placed; at.Sub(placed) < patience; at = at.Add(pace) {
		air, err := j.air(at.Add(pace / 2))
		if err != nil {
			return s, err
		}
		surface, age, oldest, bleedPace := life.Surface, life.SurfaceAge, life.Oldest(), j.bleedPace(life.Mean)
		rate := 3600 * r.drying * evaporation(surface, air, r)
		bleeding := j.bleed.Rate(bleedClock) * bleedPace
		s.note(at, rate, bleeding, air.Air, surface, keep)
		j.age(life, air, r)
		bleedClock += pace.Hours() * bleedPace
		lost += rate * pace.Hours()
		shortfall := lost - j.bleed.By(bleedClock)
		if s.initial.IsZero() {
			s.dry(at, shortfall, rate >= bleeding)
			s.reachInitial(at, age, life.SurfaceAge, j.set.Initial, shortfall)
		}
		if s.reachFinal(at, oldest, life.Oldest(), j.set.Final) {
			return s, nil
		}
	}
	return s, errNeverSets
}

// age moves the slab one pace on: by its heat, or as read when four typed numbers are all there is.
func (j job) age(life *hydration.Life, air sky, r relief) {
	if !j.steady {
		life.Step(pace.Seconds(), air, true, hydration.Touch{Sun: r.sun, Wind: r.wind, Drying: r.drying})
		return
	}
	life.SurfaceAge += pace.Hours() * hydration.AgeFactor(life.Surface, j.curve.Energy, hydration.HydrationRef)
	life.MeanAge = life.SurfaceAge
}

// dry marks the first step after which more water is gone than came up; at once when drying outruns bleeding from the start.
func (s *strip) dry(at time.Time, shortfall float64, outrun bool) {
	if !s.dries.IsZero() || shortfall <= 0 {
		return
	}
	s.dries = at.Add(pace)
	if outrun && at.Equal(s.placed) {
		s.dries = at
	}
}

func (s *strip) reachInitial(at time.Time, before, after, mark, shortfall float64) {
	if after >= mark {
		s.initial, s.deficit = at.Add(within(before, after, mark)), math.Max(0, shortfall)
	}
}

func (s *strip) reachFinal(at time.Time, before, after, mark float64) bool {
	if s.initial.IsZero() || after < mark {
		return false
	}
	s.final = at.Add(within(before, after, mark))
	if least := s.initial.Add(30 * time.Minute); s.final.Before(least) {
		s.final = least
	}
	return true
}

// note keeps what the step showed.
func (s *strip) note(at time.Time, rate, bleeding, air, surface float64, keep bool) {
	if rate > s.peak || s.peakAt.IsZero() {
		s.peak, s.peakAt = rate, at
	}
	s.hottest = math.Max(s.hottest, surface)
	if keep {
		s.moments = append(s.moments, momentAt(at, rate, bleeding, air, surface))
	}
}

// within is how far into a step a clock passed a mark.
func within(before, after, mark float64) time.Duration {
	if after <= before || mark <= before {
		return 0
	}
	return time.Duration(float64(pace) * (mark - before) / (after - before))
}

// bleedPace is how fast bleeding goes against 20 °C.
func (j job) bleedPace(t float64) float64 {
	return hydration.AgeFactor(t, j.curve.Energy, 20)
}

// crew is how fast people place and finish, m²/h.
type crew struct{ area, placing, finishing float64 }

// strips is at how many places of the slab the pour is followed: the first concrete, the middle and the last.
const strips = 3

// run is one start followed over the whole slab.
type run struct {
	start    time.Time
	strips   [strips]strip
	finished time.Time     // last strip broomed
	late     time.Duration // worst lateness past final set; at most zero: in time
	lateAt   time.Time     // final set of the strip that is late
}

// placingTime is how long the whole slab takes to place.
func (c crew) placingTime() time.Duration { return hours(c.area / c.placing) }

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// followAll lives the pour of one start.
func (j job) followAll(start time.Time, r relief, keep bool) (run, error) {
	out := run{start: start}
	for i := range strips {
		share := float64(i) / (strips - 1)
		s, err := j.follow(start.Add(time.Duration(share*float64(j.crew.placingTime()))), r, keep && i == 0)
		if err != nil {
			return out, fmt.Errorf("strip %d of %d: %w", i+1, strips, err)
		}
		out.strips[i] = s
	}
	out.finish(j.crew)
	return out, nil
}

// finish sends the finishers over the slab, first placed first finished: they reach a place when it has its initial set and
// all before it is done.
//
//	done(x) = max over y ≤ x of [initial(y) + (x − y) A/F]
func (o *run) finish(c crew) {
	o.late = -patience
	for i, s := range o.strips {
		done := s.initial
		for k := range i {
			behind := float64(i-k) / (strips - 1)
			if t := o.strips[k].initial.Add(hours(behind * c.area / c.finishing)); t.After(done) {
				done = t
			}
		}
		if late := done.Sub(s.final); late > o.late {
			o.late, o.lateAt = late, s.final
		}
		o.finished = done
	}
}

// worstDry is the strip whose surface lacks most water, and worstPeak the one that dries fastest.
func (o run) worstDry() strip {
	worst := o.strips[0]
	for _, s := range o.strips[1:] {
		if s.deficit > worst.deficit {
			worst = s
		}
	}
	return worst
}

func (o run) worstPeak() strip {
	worst := o.strips[0]
	for _, s := range o.strips[1:] {
		if s.peak > worst.peak {
			worst = s
		}
	}
	return worst
}

func (o run) setBy() time.Time {
	last := o.strips[0].final
	for _, s := range o.strips {
		if s.final.After(last) {
			last = s.final
		}
	}
	return last
}
