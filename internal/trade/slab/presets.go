package slab

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// vehicle is a typical one: invented, built from legal axle loads and usual tyre pressures. Force in kN, lengths in m,
// pressure in MPa.
type vehicle struct {
	name  string
	says  string
	gross float64
	axles []presetAxle
	jacks []presetJack
	class trafficClass
	refer string // why an engineer must see it; empty: no need

	passes float64 // loaded, on or off, a week [typical, our rule]
	comes  string  // the same in words

	source sources.Key
}

// presetAxle is an axle at a distance behind the first, with tyres on each side.
type presetAxle struct {
	at, tyre float64
	perSide  int
	gauge    float64
	pressure float64
}

// presetJack is a jack at a place of the vehicle, on a pad of its own or, with none, on the job's pad.
type presetJack struct {
	name              string
	at, across, force float64
	pad               float64
}

// dualSpacing is between the middles of a dual pair's tyres, m [0.32 to 0.34, typical].
const dualSpacing = 0.33

// trafficClass orders vehicles by what practice builds for them.
type trafficClass int

const (
	carClass trafficClass = iota
	lightTruck
	deliveryTruck
	heavyTruck
)

// practice is the thickness that practice builds for a class, and the axle load up to which an axle typed in belongs to it
// [typical; ACI 330R-08 style, recalled].
var practice = []struct {
	class  trafficClass
	says   string
	inches float64
	axle   float64 // kN
}{
	{carClass, "cars and light trailers", 4, 20},
	{lightTruck, "light trucks", 5, 45},
	{deliveryTruck, "delivery trucks", 6, 90},
	{heavyTruck, "heavy trucks", 7, 1e9},
}

func jacks(name string, force, pad float64, places ...[2]float64) []presetJack {
	var out []presetJack
	for _, p := range places {
		out = append(out, presetJack{name, p[0], p[1], force, pad})
	}
	return out
}

// vehicles is the list a person may choose from.
var vehicles = []vehicle{
	{source: sources.TypicalVehicle, name: "pickup", passes: 14, comes: "out and back every day", says: "pickup or large car", gross: 32, class: carClass, axles: []presetAxle{
		{0, 8, 1, 1.70, 0.45}, {3.6, 8, 1, 1.70, 0.45}}},
	{source: sources.TypicalVehicle, name: "travel trailer", passes: 1, comes: "out and back twice a month", says: "travel trailer on two axles", gross: 38, class: carClass, axles: []presetAxle{
		{0, 8.5, 1, 1.85, 0.45}, {0.85, 8.5, 1, 1.85, 0.45}},
		jacks: append(jacks("tongue jack", 4.5, 0, [2]float64{-4.5, 0}),
			jacks("stabiliser", 5, 0, [2]float64{-2.5, -0.8}, [2]float64{-2.5, 0.8}, [2]float64{3, -0.8}, [2]float64{3, 0.8})...)},
	{source: sources.TypicalVehicle, name: "fifth wheel", passes: 1, comes: "out and back twice a month", says: "fifth-wheel trailer on three axles", gross: 75, class: lightTruck, axles: []presetAxle{
		{0, 10.5, 1, 1.95, 0.76}, {0.9, 10.5, 1, 1.95, 0.76}, {1.8, 10.5, 1, 1.95, 0.76}},
		jacks: append(jacks("landing leg", 8, 0, [2]float64{-7, -0.9}, [2]float64{-7, 0.9}),
			jacks("levelling jack", 15, 0, [2]float64{-2, -0.9}, [2]float64{-2, 0.9}, [2]float64{3.8, -0.9}, [2]float64{3.8, 0.9})...)},
	{source: sources.TypicalVehicle, name: "motorhome", passes: 1, comes: "out and back twice a month", says: "large motorhome with dual rear wheels", gross: 138.8, class: deliveryTruck, axles: []presetAxle{
		{0, 25, 1, 2.05, 0.76}, {6.5, 22.2, 2, 1.85, 0.76}},
		jacks: jacks("levelling jack", 35, 0.25, [2]float64{1.2, -0.9}, [2]float64{1.2, 0.9}, [2]float64{8, -0.9}, [2]float64{8, 0.9})},
	{source: sources.TypicalVehicle, name: "delivery van", passes: 14, comes: "once a day, on and off", says: "delivery van with dual rear wheels", gross: 62, class: lightTruck, axles: []presetAxle{
		{0, 11, 1, 1.75, 0.50}, {4.0, 10, 2, 1.65, 0.50}}},
	{source: sources.TypicalVehicle, name: "moving truck", passes: 1, comes: "loaded once a week", says: "moving truck, single rear axle", gross: 115, class: deliveryTruck, axles: []presetAxle{
		{0, 17.5, 1, 2.00, 0.69}, {5.5, 20, 2, 1.83, 0.69}}},
	{source: sources.TypicalVehicle, name: "concrete truck", passes: 1, comes: "loaded once a week, off empty", says: "loaded concrete truck", gross: 290, class: heavyTruck, axles: []presetAxle{
		{0, 45, 1, 2.05, 0.76}, {5.0, 25, 2, 1.83, 0.76}, {6.35, 25, 2, 1.83, 0.76}}},
	{source: sources.BridgeTruck, name: "H20 truck", passes: 14, comes: "once a day, on and off", says: "standard truck of 20 tons", gross: 178, class: heavyTruck, axles: []presetAxle{
		{0, 18, 1, 1.83, 0.60}, {4.27, 35.5, 2, 1.83, 0.60}}},
	{source: sources.BridgeTruck, name: "HS20 truck", passes: 14, comes: "once a day, on and off", says: "standard truck and semi-trailer", gross: 320, class: heavyTruck, axles: []presetAxle{
		{0, 18, 1, 1.83, 0.60}, {4.27, 35.5, 2, 1.83, 0.60}, {8.54, 35.5, 2, 1.83, 0.60}}},
	{source: sources.TypicalVehicle, name: "forklift", passes: 140, comes: "ten times a day, on and off", says: "forklift lifting 2 t, solid tyres", gross: 55, class: deliveryTruck, refer: "a forklift", axles: []presetAxle{
		{0, 24, 1, 0.90, 1.00}, {1.4, 3.5, 1, 0.85, 1.00}}},
}

func findVehicle(name string) (vehicle, bool) {
	for _, v := range vehicles {
		if v.name == name {
			return v, true
		}
	}
	return vehicle{}, false
}

// practiceFloor is the least that practice builds for a class: whole inches, or steps of 25 mm.
func practiceFloor(class trafficClass, units quantity.System) quantity.Length {
	for _, p := range practice {
		if p.class == class {
			return steps(units).thickness(p.inches)
		}
	}
	return 0
}

// ladder is how thickness goes up: inches, or 25 mm for an inch.
type ladder struct{ inch quantity.Length }

func steps(units quantity.System) ladder {
	if units == quantity.Metric {
		return ladder{quantity.Millimetres(25)}
	}
	return ladder{quantity.Inches(1)}
}

func (l ladder) thickness(steps float64) quantity.Length { return quantity.Length(steps) * l.inch }
