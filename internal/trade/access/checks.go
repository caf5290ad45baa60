package access

import (
	"fmt"

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
		c.Says = fmt.Sprintf("The chute reaches %s; the rest, up to %s from the truck, takes %d barrows about %s.", share.String(in.Units), far, in.Barrows.Value, quantity.Show(r.BarrowTime, quantity.AsMinutes).String(in.Units))
		c.Then = []string{"Lay planks, keep the run level, or let the truck stand nearer."}
	case Pump:
		c.Level = check.Care
		c.Says = fmt.Sprintf("The chute reaches only %s and barrows would take %s: order a pump or find a nearer stand.", share.String(in.Units), quantity.Show(r.BarrowTime, quantity.AsMinutes).String(in.Units))
		c.Then = []string{"Ask for a line pump (small stone mix, a quarter to half a yard to prime) or a buggy.", "Say where the truck may stand: access: {stands: [[x, y]]}."}
	}
	if len(in.Stands) == 0 {
		c.Level = check.Care
		c.Says += " That is if the truck can come along every free side; nobody said where it can stand."
		c.Then = append(c.Then, "Walk the way in and type the places: access: {stands: [[x, y]]}.")
	}
	return c
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
