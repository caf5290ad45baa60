package daywork

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// luck is what chance does to one day: factors and hours.
type luck struct {
	gap, late, bring, work []float64
	window                 float64
}

// stream keeps the draws of each kind apart, so that another plan of the same day meets the same luck.
const (
	ofLoads = 0x10ad
	ofWork  = 0x3a2d
	ofDay   = 0xda7
)

func newLuck(loads, tasks int) *luck {
	l := &luck{gap: make([]float64, loads), late: make([]float64, loads), bring: make([]float64, loads), work: make([]float64, tasks)}
	l.even()
	return l
}

// even is the day as planned.
func (l *luck) even() {
	l.window = 1
	for i := range l.gap {
		l.gap[i], l.late[i], l.bring[i] = 1, 0, 1
	}
	for i := range l.work {
		l.work[i] = 1
	}
}

// draw makes the luck of the n-th day of a seed.
func (l *luck) draw(c Chance, real Real, seed, n uint64) {
	spacing, bring, window, work := scatter(c.Spacing), scatter(c.Bring), scatter(c.Window), scatter(c.Work)
	pcg := rand.NewPCG(seed^ofDay, n)
	dice := rand.New(pcg)
	l.window = window.factor(dice)
	if real.Stretch > 0 {
		l.window = real.Stretch
	}
	pcg.Seed(seed^ofLoads, n)
	for i := range l.gap {
		l.gap[i], l.bring[i], l.late[i] = spacing.factor(dice), bring.factor(dice), 0
		if late, by := dice.Float64(), dice.ExpFloat64(); late < c.Late {
			l.late[i] = c.LateBy * by
		}
	}
	pcg.Seed(seed^ofWork, n)
	for i := range l.work {
		l.work[i] = work.factor(dice)
	}
}

// lognormal is a factor of mean one.
type lognormal struct{ mu, sigma float64 }

// scatter makes it from its standard deviation over its mean.
//
//	σ² = ln(1 + cv²)      μ = −σ²/2
func scatter(cv float64) lognormal {
	s2 := math.Log1p(cv * cv)
	return lognormal{-s2 / 2, math.Sqrt(s2)}
}

func (s lognormal) factor(dice *rand.Rand) float64 {
	z := dice.NormFloat64()
	if s.sigma == 0 {
		return 1
	}
	return math.Exp(s.mu + s.sigma*z)
}

// Planned plays the day without chance, from what is known to have happened.
func Planned(d Day) (*Played, error) {
	if err := d.Validate(); err != nil {
		return nil, err
	}
	l := newLuck(len(d.Loads), len(d.Pieces)*len(d.Ops))
	if d.Real.Stretch > 0 {
		l.window = d.Real.Stretch
	}
	var p Played
	d.play(l, &p)
	return &p, nil
}

// Limits are what a day is held against besides its windows.
type Limits struct {
	Age  float64 // of a load when it is empty, h since it was made; zero: none
	Made float64 // how long before it comes a load is made, h
	Wait float64 // free time of a load on site, h; zero: none
}

// Odds is what came out of many days.
type Odds struct {
	Days    int
	Seed    uint64
	Late    float64   // share of days on which some operation was done after its window closed
	LateBy  []float64 // the same by operation
	TooOld  float64   // share of days on which a load was too old when it was empty
	Charged float64   // mean hours of loads on site over the free time, all together
	Idle    float64   // mean hours that the bringers waited for loads
	Queue   float64   // mean hours that loads waited to be unloaded, all together
	Use     float64   // mean share of the hands' hours from first load to end at work
	P50     float64   // end of the day, h
	P90     float64
	Worst   float64   // mean over days of the worst lateness, h
	From    []float64 // by piece and operation: when it began at the earliest, one day in ten
	Upto    []float64 // and when it was done at the latest, nine days in ten
}

// Doubt is how far a share may be off for the number of days played, 95 % either way.
//
//	1.96 √(p(1 − p)/N)
func (o Odds) Doubt(share float64) float64 {
	return 1.96 * math.Sqrt(share*(1-share)/float64(o.Days))
}

// mostDays bounds a request; banded is how many days the earliest and latest times of each task are read from.
const (
	mostDays = 10_000_000
	banded   = 400
)

// Play plays many days and says what came out.
func Play(d Day, lim Limits, days int, seed uint64) (Odds, error) {
	if err := d.Validate(); err != nil {
		return Odds{}, err
	}
	if days < 1 || days > mostDays {
		return Odds{}, fmt.Errorf("daywork: %d days; 1 to %d", days, mostDays)
	}
	n, m := len(d.Pieces), len(d.Ops)
	o := Odds{Days: days, Seed: seed, LateBy: make([]float64, m)}
	l, ends := newLuck(len(d.Loads), n*m), make([]float64, days)
	band := newBands(n*m, min(days, banded))
	var p Played
	for day := range days {
		l.draw(d.Chance, d.Real, seed, uint64(day))
		d.play(l, &p)
		o.count(&d, lim, &p)
		ends[day] = p.End
		if day < banded {
			band.note(day, p.Tasks)
		}
	}
	share := 1 / float64(days)
	for _, v := range []*float64{&o.Late, &o.TooOld, &o.Charged, &o.Idle, &o.Queue, &o.Use, &o.Worst} {
		*v *= share
	}
	for k := range o.LateBy {
		o.LateBy[k] *= share
	}
	slices.Sort(ends)
	o.P50, o.P90 = quantile(ends, 0.5), quantile(ends, 0.9)
	o.From, o.Upto = band.ends()
	return o, nil
}

func (o *Odds) count(d *Day, lim Limits, p *Played) {
	worst, old := 0.0, false
	for k := range d.Ops {
		late := 0.0
		for j := range d.Pieces {
			late = math.Max(late, p.Of(j, k).Late())
		}
		if late > 0 {
			o.LateBy[k]++
		}
		worst = math.Max(worst, late)
	}
	if worst > 0 {
		o.Late++
	}
	o.Worst += worst
	bringing := 0.0
	for _, a := range p.Loads {
		o.Queue += a.Begun - a.Came
		bringing += a.Ended - a.Begun
		old = old || lim.Age > 0 && a.Ended-a.Came+lim.Made > lim.Age
		if lim.Wait > 0 {
			o.Charged += math.Max(0, a.Ended-a.Came-lim.Wait)
		}
	}
	if old {
		o.TooOld++
	}
	o.Idle += p.Idle
	if span := p.End - p.Loads[0].Came; span > 0 {
		o.Use += (p.Worked + bringing*float64(min(d.Bringer, d.Hands))) / (span * float64(d.Hands))
	}
}

// quantile reads a sorted list.
func quantile(sorted []float64, share float64) float64 {
	return sorted[max(0, int(math.Ceil(share*float64(len(sorted))))-1)]
}

// bands keeps when each task began and was done on the first days.
type bands struct{ from, until [][]float64 }

func newBands(tasks, days int) bands {
	b := bands{make([][]float64, tasks), make([][]float64, tasks)}
	for i := range tasks {
		b.from[i], b.until[i] = make([]float64, days), make([]float64, days)
	}
	return b
}

func (b bands) note(day int, tasks []Task) {
	for i, t := range tasks {
		b.from[i][day], b.until[i][day] = t.From, t.Until
	}
}

func (b bands) ends() (from, until []float64) {
	for i := range b.from {
		slices.Sort(b.from[i])
		slices.Sort(b.until[i])
		from, until = append(from, quantile(b.from[i], 0.1)), append(until, quantile(b.until[i], 0.9))
	}
	return from, until
}
