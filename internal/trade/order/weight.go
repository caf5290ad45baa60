package order

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// What road law lets axles carry: one, and a pair. Source: 23 USC 127 (recalled).
var (
	singleAxle = quantity.Of[quantity.Mass](20000, "lb")
	axlePair   = quantity.Of[quantity.Mass](34000, "lb")
)

// TruckWeight is an empty truck and its load: m + V ρ.
func TruckWeight(empty quantity.Mass, load quantity.Volume, density quantity.Density) quantity.Mass {
	return empty + quantity.Mass(float64(load)*float64(density))
}

// LoadUnder is the largest load, in whole increments, with which a truck keeps a limit of weight; zero when it does not even empty.
func LoadUnder(limit, empty quantity.Mass, density quantity.Density, increment quantity.Volume) quantity.Volume {
	room := quantity.Volume(float64(limit-empty) / float64(density))
	return quantity.Volume(math.Floor(math.Max(float64(room/increment), 0)+1e-9)) * increment
}

// weight puts what the heaviest truck weighs on the sheet.
func (d *design) weight() {
	in, w := d.in, &d.r.Working
	heaviest := most(d.r.Loads, func(l Load) quantity.Time { return quantity.Time(l.Volume) }).Volume
	d.r.TruckWeight = TruckWeight(in.TruckEmpty.Value, heaviest, in.Density.Value)
	w.Answer(working.Step{Name: "truck_weight", Says: "the heaviest truck, loaded", Formula: "empty + load · density", Value: quantity.Show(d.r.TruckWeight, quantity.AsMass), Source: sources.TruckWeights,
		From: []string{"largest_load", working.Given(w, "truck_empty", "", "an empty truck", in.TruckEmpty, quantity.AsMass), working.Given(w, "density", "ρ", "fresh concrete", in.Density, quantity.AsDensity)}})
}

// roundMass writes a mass as near as anybody knows a truck: to 100 lb or 50 kg.
func (d *design) roundMass(m quantity.Mass) string {
	step := quantity.Of[quantity.Mass](100, "lb")
	if d.in.Units == quantity.Metric {
		step = 50
	}
	return quantity.Show(quantity.Mass(math.Round(float64(m/step)))*step, quantity.AsMass).String(d.in.Units)
}

// weightCheck holds the truck against what the way in may carry; where nobody said that, it says what the truck puts on the ground.
func (d *design) weightCheck() check.Check {
	in, u := d.in, d.in.Units
	mass := d.roundMass
	truck := quantity.Show(d.r.TruckWeight, quantity.AsMass)
	if in.WayLimit.Given() {
		then := "Stay on the street, plank the way, or barrow and pump."
		if load := LoadUnder(in.WayLimit.Value, in.TruckEmpty.Value, in.Density.Value, d.increment().Value); load > 0 {
			then = fmt.Sprintf("Order loads of at most %s, or stay on the street and barrow or pump.", WriteAmount(load, u))
		}
		return check.AtMost("order.driveway", truck, in.WayLimit.Show(quantity.AsMass), check.Stop,
			fmt.Sprintf("The loaded truck, about %s, keeps to the %s the way in may carry.", mass(d.r.TruckWeight), mass(in.WayLimit.Value)),
			fmt.Sprintf("The loaded truck weighs about %s; the way in may carry %s.", mass(d.r.TruckWeight), mass(in.WayLimit.Value)), sources.TruckWeights, then)
	}
	thin := "4 in"
	if u == quantity.Metric {
		thin = "100 mm"
	}
	c := check.Check{ID: "order.driveway", Level: check.Care, Value: truck, Source: sources.TruckWeights,
		Says: fmt.Sprintf("The loaded truck weighs about %s, %s of it on its rear pair of axles: keep it off %s driveways, septic tanks, culverts and soft shoulders.", mass(d.r.TruckWeight), mass(d.r.RearPair), thin),
		Then: []string{"Stay on the street, plank the way, or barrow and pump.", "Ask what the drive and its culvert may carry and type it: order: {way_limit: 30000 lb}."}}
	if u == quantity.Metric {
		c.Then[1] = "Ask what the drive and its culvert may carry and type it: order: {way_limit: 14000 kg}."
	}
	if d.r.TruckWeight > singleAxle+axlePair {
		c.Says += fmt.Sprintf(" Three axles may carry %s on the road; a truck over that lifts its extra axles when it backs in, and the pair carries that much.", mass(singleAxle+axlePair))
	}
	return c
}
