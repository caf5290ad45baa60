package access

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// gateWidth is what a loaded mixer needs between posts.
var gateWidth = quantity.Feet(12)

// cautions are what the truck must mind, and whether all of the slab is served.
func (r *Result) cautions(in Input) []check.Check {
	out := []check.Check{r.reachCheck(in), gateCheck(in),
		check.BackingTruck.In("access"),
		check.WashOut.In("access"),
	}
	if in.Drive.Value {
		weighs := "66,000 to 72,000 lb: a 4 in drive"
		if in.Units == quantity.Metric {
			weighs = "30 to 33 t: a drive of 100 mm"
		}
		out = append(out, check.Caution("access.drive", fmt.Sprintf("A loaded mixer weighs %s, a culvert or a septic tank is not made for that.", weighs), sources.TruckWeights,
			"Keep the truck on the street or on ground you know; plank the way; get the owner's word in writing.", "Never over a septic tank, a culvert or a soft shoulder."))
	}
	for _, w := range in.Wires {
		out = append(out, r.wireCheck(in, w))
	}
	for _, w := range in.Weak {
		if c := r.weakCheck(in, w); c != nil {
			out = append(out, *c)
		}
	}
	if r.Method == Buggy {
		out = append(out, check.Caution("access.buggy", "A loaded buggy weighs about a tonne and tips on ramps and soft edges: one driver who knows it, nobody in front of it, feet inside.", sources.CommonPractice))
	}
	return out
}

func (r *Result) reachCheck(in Input) check.Check {
	share := quantity.Show(r.ReachShare, quantity.AsPercent)
	c := check.Check{ID: "access.reach", Level: check.Good, Value: share, Limit: quantity.Plain(wholeReach, quantity.AsPercent), Source: sources.OwnRule,
		Says: "The chute reaches the whole slab."}
	far := quantity.Show(r.Farthest, quantity.AsDistance).String(in.Units)
	switch r.Method {
	case Barrow:
		c.Level = check.Care
		c.Says = fmt.Sprintf("The chute reaches %s; the rest, up to %s from the truck, takes %d barrows %d trips and about %s.", share.String(in.Units), far, in.Barrows.Value, r.Trips, minutes(r.BarrowTime, in.Units))
		c.Then = []string{"Lay planks, keep the run level, or let the truck stand nearer."}
	case Buggy:
		c.Level = check.Care
		c.Says = fmt.Sprintf("The chute reaches %s; the rest, up to %s by buggy, takes %d trips and about %s.", share.String(in.Units), far, r.Trips, minutes(r.BuggyTime, in.Units))
		c.Then = []string{"Plank the base and the steel, ramp the form, and give the buggy a way to turn."}
	case Pump:
		c.Level = check.Care
		switch {
		case r.Blocked:
			c.Says = fmt.Sprintf("The chute reaches only %s and walls leave no way for barrows to the rest: order a pump or find a nearer stand.", share.String(in.Units))
		default:
			c.Says = fmt.Sprintf("The chute reaches only %s and barrows would take %s over %s: order a pump or find a nearer stand.", share.String(in.Units), minutes(r.BarrowTime, in.Units), far)
		}
		c.Then = []string{"Ask for a line pump: a mix with small stone, a quarter to half a yard to prime."}
		if in.Units == quantity.Metric {
			c.Then[0] = "Ask for a line pump: a mix with small stone, 0.2 to 0.4 m³ to prime."
		}
		if r.buggiesServe(in) {
			c.Then = append(c.Then, fmt.Sprintf("Or hire a power buggy: %d trips, about %s. Type it: access: {buggies: 1}.",
				trips(quantity.Volume((1-float64(r.ReachShare))*float64(in.Volume.Value)), in.BuggyLoad.Value), minutes(r.BuggyTime, in.Units)))
		}
		c.Then = append(c.Then, "Say where the truck may stand: access: {stands: [[x, y]]}.")
	}
	if len(in.Stands) == 0 {
		c.Level = check.Care
		c.Says += " That is if the truck can come along every free side; nobody said where it can stand."
		c.Then = append(c.Then, "Walk the way in and type the places: access: {stands: [[x, y]]}.")
	}
	return c
}

func minutes(t quantity.Time, u quantity.System) string {
	return quantity.Show(t, quantity.AsMinutes).String(u)
}

// weakRoom is how far a standing truck keeps from what must not carry it. Source: common practice.
var weakRoom = quantity.Feet(10)

// weakCheck holds the stands against a tank, a buried pipe, a culvert or soft ground; nil: none is near.
func (r *Result) weakCheck(in Input, w Weak) *check.Check {
	near, stand := quantity.Length(math.Inf(1)), 0
	for i, s := range r.Stands {
		if d := quantity.Length(w.distance(s)); d < near {
			near, stand = d, i+1
		}
	}
	if near >= weakRoom || len(in.Stands) == 0 {
		return nil
	}
	room := quantity.Show(weakRoom, quantity.AsDistance)
	c := check.AtLeast("access.weak", quantity.Show(near, quantity.AsDistance), room, check.Care, "",
		fmt.Sprintf("Truck %d stands %s from %s, which does not carry it: keep wheels %s off.", stand, quantity.Show(near, quantity.AsDistance).String(in.Units), w.Name, room.String(in.Units)),
		sources.CommonPractice, "Move the stand, or bridge it with plates that somebody has reckoned.")
	if near <= 0 {
		c.Level, c.Says = check.Stop, fmt.Sprintf("Truck %d stands on %s, which does not carry it.", stand, w.Name)
	}
	c.Where, c.Safety = w.Name, true
	return &c
}

// distance is how far a place is from it, m; zero on it.
func (w Weak) distance(p geometry.Point) float64 {
	if len(w.Line) == 1 {
		return w.Line[0].Distance(p)
	}
	if len(w.Line) > 2 && (geometry.Polygon{Outer: w.Line}).Contains(p) {
		return 0
	}
	least := math.Inf(1)
	for i := 1; i < len(w.Line); i++ {
		least = min(least, (geometry.Segment{A: w.Line[i-1], B: w.Line[i]}).Distance(p))
	}
	return least
}

// gateCheck judges only a way in that somebody measured.
func gateCheck(in Input) check.Check {
	if in.Gate.Origin == known.Assumed {
		return check.Check{ID: "access.gate", Level: check.NotComputed, Source: sources.CommonPractice, Limit: quantity.Show(gateWidth, quantity.AsDistance),
			Says: fmt.Sprintf("Nobody measured the way in; a mixer needs %s between posts.", quantity.Show(gateWidth, quantity.AsDistance).String(in.Units)),
			Then: []string{"Tape the narrowest gap and type it: access: {gate: 14 ft}."}}
	}
	return check.AtLeast("access.gate", in.Gate.Show(quantity.AsDistance), quantity.Show(gateWidth, quantity.AsDistance), check.Stop,
		fmt.Sprintf("The way in is %s wide: a mixer fits.", in.Gate.Show(quantity.AsDistance).String(in.Units)),
		fmt.Sprintf("The way in is %s wide; a mixer needs %s.", in.Gate.Show(quantity.AsDistance).String(in.Units), quantity.Show(gateWidth, quantity.AsDistance).String(in.Units)),
		sources.CommonPractice, "Take a post or panel out, or pump from the street.")
}

func (r *Result) wireCheck(in Input, w Wire) check.Check {
	near := w.nearest(r.Stands) - in.Reach.Value.Metres()
	c := check.AtLeast("access.wire", quantity.Plain(max(0, near), quantity.AsDistance), quantity.Plain(w.Clearance, quantity.AsDistance), check.Care,
		fmt.Sprintf("%s stays %s clear of the swinging chute.", w.Name, quantity.Plain(max(0, near), quantity.AsDistance).String(in.Units)),
		fmt.Sprintf("The chute can swing %s in plan: keep %s away and put a second pair of eyes on it.", w.nearness(near, in.Units), quantity.Plain(w.Clearance, quantity.AsDistance).String(in.Units)),
		sources.OverheadLines, "Move the stand, or have the utility shield or shut the line off.")
	c.Where, c.Safety = w.Name, true
	return c
}

// nearness says how near the chute comes to the line in plan.
func (w Wire) nearness(near float64, units quantity.System) string {
	if near <= 0 {
		return "under " + w.Name
	}
	return "within " + quantity.Plain(near, quantity.AsDistance).String(units) + " of " + w.Name
}

func (w Wire) nearest(stands []geometry.Point) float64 {
	least := -1.0
	for i := 1; i < len(w.Line); i++ {
		for _, p := range stands {
			if d := (geometry.Segment{A: w.Line[i-1], B: w.Line[i]}).Distance(p); least < 0 || d < least {
				least = d
			}
		}
	}
	return max(0, least)
}
