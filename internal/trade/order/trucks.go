package order

import (
	"math"
	"math/rand/v2"

	"slabwright/internal/engines/quantity"
)

// Split shares an order over the fewest loads that hold it, in whole increments, as evenly as they allow: 11 1/4 in trucks of
// 9 is 5 3/4 and 5 1/2, not 9 and 2 1/4. An even split keeps the crew's pace and avoids the short-load fee.
func Split(volume, capacity, increment quantity.Volume) []quantity.Volume {
	units := int(math.Round(float64(volume / increment)))
	most := int(math.Floor(float64(capacity/increment) + 1e-9))
	if units <= 0 || most <= 0 {
		return nil
	}
	return shares(units, (units+most-1)/most, increment)
}

// shares is so many units over n loads, as evenly as whole units allow, the larger first.
func shares(units, n int, increment quantity.Volume) []quantity.Volume {
	loads := make([]quantity.Volume, n)
	for i := range loads {
		share := units / n
		if i < units%n {
			share++
		}
		loads[i] = quantity.Volume(share) * increment
	}
	return loads
}

// Delivery is how trucks run between plant and site.
type Delivery struct {
	Rate  quantity.VolumeRate // the crew places
	Batch quantity.Time       // loading at the plant; water meets cement at its start
	Haul  quantity.Time       // one way
	SetUp quantity.Time       // on site before the chute runs
	Wash  quantity.Time       // after discharge, on site
}

// discharge is how long a load takes at the crew's pace.
func (d Delivery) discharge(load quantity.Volume) quantity.Time {
	return quantity.Time(float64(load) / float64(d.Rate))
}

// Cycle is one truck's round: batch, haul, set up, discharge, wash, haul back. Checked: CON-42.
func (d Delivery) Cycle(load quantity.Volume) quantity.Time {
	return d.Batch + 2*d.Haul + d.SetUp + d.discharge(load) + d.Wash
}

// TrucksFor is how many trucks keep a spacing: the cycle over the spacing, up; never more than there are loads.
// Checked: CON-42.
func (d Delivery) TrucksFor(load quantity.Volume, spacing quantity.Time, loads int) int {
	if loads < 2 || spacing <= 0 {
		return loads
	}
	return min(loads, int(math.Ceil(float64(d.Cycle(load)/spacing)-1e-9)))
}

// Load is one truck load on the clock. Times count from the first truck's arrival on site.
type Load struct {
	Number  int             `json:"number"`
	Volume  quantity.Volume `json:"volume"`
	Truck   int             `json:"truck"`
	Batched quantity.Time   `json:"batched"` // start of loading: water meets cement
	Leaves  quantity.Time   `json:"leaves"`  // the plant
	Arrives quantity.Time   `json:"arrives"`
	Starts  quantity.Time   `json:"starts"` // discharge
	Ends    quantity.Time   `json:"ends"`   // discharge
	Washed  quantity.Time   `json:"washed"`
	Home    quantity.Time   `json:"home"`
	Wait    quantity.Time   `json:"wait"` // in the queue, set up and idle
	Gap     quantity.Time   `json:"gap"`  // the crew waited before it
	Age     quantity.Time   `json:"age"`  // of the concrete when the last of it leaves the chute
}

// Timeline runs the loads at a spacing with so many trucks. A truck takes its next load after coming home; loads are placed in
// order, each at the crew's pace.
func (d Delivery) Timeline(loads []quantity.Volume, spacing quantity.Time, trucks int) []Load {
	out := make([]Load, len(loads))
	free := quantity.Time(math.Inf(-1)) // when the crew is done with the load before
	for i, v := range loads {
		l := Load{Number: i + 1, Volume: v, Truck: i%trucks + 1, Arrives: quantity.Time(i) * spacing}
		if i >= trucks {
			l.Arrives = max(l.Arrives, out[i-trucks].Home+d.Batch+d.Haul)
		}
		d.place(&l, free)
		l.Leaves, l.Batched = l.Arrives-d.Haul, l.Arrives-d.Haul-d.Batch
		l.Age = l.Ends - l.Batched
		free, out[i] = l.Ends, l
	}
	return out
}

// place sets a load's times on site from its arrival.
func (d Delivery) place(l *Load, free quantity.Time) {
	ready := l.Arrives + d.SetUp
	l.Starts = max(ready, free)
	l.Wait = l.Starts - ready
	if l.Number > 1 {
		l.Gap = l.Starts - free
	}
	l.Ends = l.Starts + d.discharge(l.Volume)
	l.Washed = l.Ends + d.Wash
	l.Home = l.Washed + d.Haul
}

// Younger is loads split over one or two more when that alone keeps all concrete within an age at the end of its discharge, and the
// split is one that worth says is worth it; else the loads as they are.
func (d Delivery) Younger(loads []quantity.Volume, increment quantity.Volume, oldest quantity.Time, worth func(split []quantity.Volume) bool) []quantity.Volume {
	units := 0.0
	for _, l := range loads {
		units += math.Round(float64(l / increment))
	}
	for more := loads; len(more) <= len(loads)+2; more = shares(int(units), len(more)+1, increment) {
		if len(more) > len(loads) && (more[len(more)-1] <= 0 || !worth(more)) {
			break
		}
		plan := d.Timeline(more, spacingOf(d.discharge(more[0]), len(more)), len(more))
		if most(plan, func(l Load) quantity.Time { return l.Age }).Age <= oldest {
			return more
		}
	}
	return loads
}

// Limits are what a delivery is held against.
type Limits struct {
	Gap      quantity.Time // longest the live edge may wait
	Age      quantity.Time // oldest the concrete may be at the end of discharge
	FreeTime quantity.Time // on site before a wait is charged
	WaitRate quantity.MoneyRate
}

// Chances are shares of simulated days.
type Chances struct {
	Late   float64        `json:"late"`   // some truck after its time by more than the gap allowed
	Gap    float64        `json:"gap"`    // some gap longer than the limit
	Old    float64        `json:"old"`    // some load older than the limit
	Charge quantity.Money `json:"charge"` // mean wait charge of the day
}

// How delivery scatters: a planning model.
const (
	haulScatter = 0.20 // coefficient of variation of a haul, lognormal
	plantDelay  = 300  // s, mean of an exponential delay at the plant
	daysTried   = 500
)

// Chances plays the timeline many times with scattered hauls and plant delays. The seed makes it repeatable; the error of a
// chance p is about √(p(1-p)/500), two points at the most.
func (d Delivery) Chances(plan []Load, limits Limits, seed uint64) Chances {
	if len(plan) == 0 {
		return Chances{}
	}
	dice := rand.New(rand.NewPCG(seed, 0))
	spread := math.Sqrt(math.Log(1 + haulScatter*haulScatter))
	var c Chances
	for range daysTried {
		free, gap, old, late := quantity.Time(math.Inf(-1)), false, false, false
		for i, l := range plan {
			haul := float64(d.Haul) * math.Exp(spread*dice.NormFloat64()-spread*spread/2)
			planned := l.Arrives
			l.Arrives = l.Leaves + quantity.Time(plantDelay*dice.ExpFloat64()+haul)
			d.place(&l, free)
			late = late || l.Arrives-planned > limits.Gap
			gap = gap || i > 0 && l.Gap > limits.Gap
			old = old || l.Ends-l.Batched > limits.Age
			c.Charge += quantity.Money(float64(max(0, l.Ends-l.Arrives-limits.FreeTime)) * float64(limits.WaitRate))
			free = l.Ends
		}
		c.Gap, c.Old, c.Late = c.Gap+one(gap), c.Old+one(old), c.Late+one(late)
	}
	return Chances{Late: c.Late / daysTried, Gap: c.Gap / daysTried, Old: c.Old / daysTried, Charge: c.Charge / daysTried}
}

func one(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// ShortLoadFee is what a load below the plant's least costs: a flat fee, and a price for each volume missing.
// Source: common practice; the plant's table decides.
func ShortLoadFee(load, below quantity.Volume, flat quantity.Money, perMissing quantity.MoneyVolume) quantity.Money {
	if load >= below-1e-9 {
		return 0
	}
	return flat + quantity.Money(float64(perMissing)*float64(below-load))
}
