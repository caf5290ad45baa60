package order

import (
	"fmt"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// Part is one of the pours a large slab is parted into, a day each.
type Part struct {
	Area known.Area `yaml:"area" says:"slab of this pour" unit:"ft2|m2" show:"area"`
}

// PourOrder is what is ordered for one pour of several.
type PourOrder struct {
	Number int             `json:"number"` // in the order of placing
	Area   quantity.Area   `json:"area"`
	Neat   quantity.Volume `json:"neat"`
	Yards  quantity.Volume `json:"yards"` // to order
	Loads  int             `json:"loads"`
	Last   quantity.Volume `json:"last"` // in the smallest load
	need   Uncertain
}

// which is the pour this order is for, from 0.
func (in Input) which() int {
	if !in.Which.Given() {
		return 0
	}
	return int(in.Which.Value) - 1
}

// Today is what is ordered for the day of this order: all of it where the slab is one pour.
func (r Result) Today() quantity.Volume {
	if r.Pour == 0 {
		return r.Yards
	}
	return r.Pours[r.Pour-1].Yards
}

// Day names the pour of this order among several, like "pour 1 of 3"; empty where there is one.
func (r Result) Day() string {
	if r.Pour == 0 {
		return ""
	}
	return fmt.Sprintf("pour %d of %d", r.Pour, len(r.Pours))
}

// AllLoads is how many loads all pours take together.
func (r Result) AllLoads() int {
	if r.Pour == 0 {
		return len(r.Loads)
	}
	n := 0
	for _, p := range r.Pours {
		n += p.Loads
	}
	return n
}

// part orders each pour by itself, by the rule that governs: each has its own allowance and its own step of the plant, so that
// together they are a little more than one pour would be.
func (d *design) part() {
	in := d.in
	if len(in.Pours) < 2 {
		return
	}
	whole := quantity.Area(0)
	for _, p := range in.Pours {
		whole += p.Area.Value
	}
	sum := quantity.Volume(0)
	for i, p := range in.Pours {
		share := float64(p.Area.Value / whole)
		one := design{in: in}
		one.in.Pours, one.in.Edges = nil, known.Volume{}
		one.in.Net, one.in.Area = known.From(d.r.Neat*quantity.Volume(share), "neat"), p.Area
		one.in.Perimeter.Value *= quantity.Length(share)
		one.neat()
		one.uncertainty()
		one.decide()
		loads := one.split()
		order := PourOrder{Number: i + 1, Area: p.Area.Value, Neat: one.r.Neat, Yards: one.r.Yards, Loads: len(loads), Last: loads[len(loads)-1], need: one.u}
		d.r.Pours = append(d.r.Pours, order)
		sum += order.Yards
	}
	d.r.Yards, d.r.Pour = sum, in.which()+1
}

// partSteps puts each pour's order on the sheet and gives their names.
func (d *design) partSteps() []string {
	var names []string
	for _, p := range d.r.Pours {
		name, says := fmt.Sprintf("pour_%d", p.Number), fmt.Sprintf("pour %d of %d", p.Number, len(d.r.Pours))
		area := working.Given(&d.r.Working, name+"_area", "", says+": slab", d.in.Pours[p.Number-1].Area, quantity.AsArea)
		d.r.Working.Answer(working.Step{Name: name, Says: says + ": to order", Formula: "neat · its share of the slab, by the same rule", Value: quantity.Show(p.Yards, quantity.AsVolume),
			From: []string{"neat", "rule", "increment", area}, Source: sources.OwnRule})
		d.r.Working.Answer(working.Step{Name: name + "_loads", Says: says + ": loads", Formula: "order / what a truck brings, up", Value: quantity.Counted(p.Loads), From: []string{name}, Source: sources.Arithmetic})
		names = append(names, name)
	}
	return names
}

// partCheck says that one call is not enough; nil for one pour.
func (d *design) partCheck() *check.Check {
	if d.r.Pour == 0 {
		return nil
	}
	var list []string
	for _, p := range d.r.Pours {
		loads := "one load"
		if p.Loads > 1 {
			loads = fmt.Sprintf("%d loads, the last of %s", p.Loads, WriteAmount(p.Last, d.in.Units))
		}
		list = append(list, fmt.Sprintf("pour %d: %s in %s", p.Number, WriteAmount(p.Yards, d.in.Units), loads))
	}
	return &check.Check{ID: "order.pours", Level: check.Care, Value: quantity.Counted(len(d.r.Pours)), Limit: quantity.Counted(1), Source: sources.CommonPractice,
		Says: fmt.Sprintf("%d pours, a day and a call each: %s.", len(d.r.Pours), strings.Join(list, "; ")),
		Then: []string{fmt.Sprintf("Trucks, times and call sheet here are for pour %d; write `pour: %d` under `order:` when you call for another.", d.r.Pour, d.r.Pour%len(d.r.Pours)+1)}}
}
