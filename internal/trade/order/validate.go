package order

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/bounds"
	"slabwright/internal/trade/check"
)

// methods are the ways from truck to form.
var methods = []string{"chute", "barrow", "buggy", "line pump", "boom pump"}

// Validate finds every fault of the input at once.
func (in Input) Validate() check.Faults {
	v := bounds.List{Units: in.Units}
	if !in.Net.Given() && !(in.Area.Given() && in.Thickness.Given()) {
		v.Add("net", "", "how much the forms hold is not known.", "Type net, or area and thickness.")
	}
	bounds.Between(&v, "net", in.Net, 0.02, 5000, quantity.AsVolume)
	bounds.Between(&v, "area", in.Area, 0.1, 50000, quantity.AsArea)
	bounds.Between(&v, "thickness", in.Thickness, quantity.Millimetres(25), quantity.Metres(3), quantity.AsThickness)
	bounds.Between(&v, "edges", in.Edges, 0, 1000, quantity.AsVolume)
	for i, p := range in.Pours {
		bounds.Needed(&v, fmt.Sprintf("pours[%d].area", i), p.Area, 0.1, 50000, quantity.AsArea)
	}
	if n := max(1, len(in.Pours)); in.Which.Given() && (in.Which.Value < 1 || in.Which.Value > quantity.Number(n) || in.Which.Value != quantity.Number(int(in.Which.Value))) {
		v.Add("pour", in.Which.Text, fmt.Sprintf("is none of the pours: they are numbered 1 to %d.", n), "Type 1 for the first, or leave it out.")
	}
	bounds.Between(&v, "perimeter", in.Perimeter, 0.5, 10000, quantity.AsDistance)
	bounds.Needed(&v, "base_low", in.BaseMean, quantity.Inches(-3), quantity.Inches(6), quantity.AsDrop)
	bounds.Needed(&v, "base_level", in.BaseLevel, 0, quantity.Inches(6), quantity.AsDrop)
	bounds.Needed(&v, "base_roughness", in.Roughness, 0, quantity.Inches(6), quantity.AsDrop)
	bounds.Needed(&v, "form_bow", in.Bow, 0, quantity.Inches(6), quantity.AsDrop)
	bounds.Needed(&v, "yield", in.Yield, 0, 0.2, quantity.AsPercent)
	bounds.Needed(&v, "waste", in.Waste, 0, 50, quantity.AsVolume)
	bounds.Needed(&v, "waste_spread", in.WasteSpread, 0, 50, quantity.AsVolume)
	bounds.Needed(&v, "allowance", in.Allowance, 0, 0.5, quantity.AsPercent)
	bounds.Needed(&v, "over_cost", in.Over, 0, 1e5, quantity.AsMoneyVolume)
	bounds.Needed(&v, "under_cost", in.Under, 0, 1e5, quantity.AsMoneyVolume)
	bounds.Needed(&v, "top_up", in.TopUp, 0, 1e7, quantity.AsMoney)
	bounds.Between(&v, "most_short", in.MostShort, 0.001, 0.5, quantity.AsPercent)
	bounds.Between(&v, "increment", in.Increment, 0.05, 2, quantity.AsVolume)
	bounds.Needed(&v, "truck_holds", in.Capacity, 0.7, 12, quantity.AsVolume)
	bounds.Needed(&v, "placing_rate", in.Rate, quantity.Of[quantity.VolumeRate](0.5, "m3/h"), quantity.Of[quantity.VolumeRate](150, "m3/h"), quantity.AsVolumeRate)
	bounds.Needed(&v, "batching", in.Batch, 0, quantity.Hours(2), quantity.AsMinutes)
	bounds.Needed(&v, "haul", in.Haul, 0, quantity.Hours(4), quantity.AsMinutes)
	bounds.Needed(&v, "set_up", in.SetUp, 0, quantity.Hours(2), quantity.AsMinutes)
	bounds.Needed(&v, "wash", in.Wash, 0, quantity.Hours(2), quantity.AsMinutes)
	bounds.Needed(&v, "time_limit", in.TimeLimit, quantity.Minutes(20), quantity.Hours(8), quantity.AsMinutes)
	bounds.Between(&v, "air_temp", in.AirTemp, -30, 55, quantity.AsTemp)
	bounds.Needed(&v, "free_time", in.FreeTime, 0, quantity.Hours(8), quantity.AsMinutes)
	bounds.Needed(&v, "wait_price", in.WaitPrice, 0, 100, quantity.AsMoneyHour)
	bounds.Needed(&v, "short_load_below", in.ShortBelow, 0, 12, quantity.AsVolume)
	bounds.Needed(&v, "short_load_fee", in.ShortFee, 0, 1e6, quantity.AsMoney)
	bounds.Between(&v, "strength", in.Strength, quantity.PSI(500), quantity.PSI(15000), quantity.AsStrength)
	bounds.Between(&v, "water_cement", in.WaterCement, 0, 1, quantity.AsRatio)
	bounds.Between(&v, "stone", in.Stone, quantity.Millimetres(5), quantity.Millimetres(100), quantity.AsNominal)
	bounds.Between(&v, "slump", in.Slump, 0, quantity.Inches(12), quantity.AsSlump)
	bounds.Between(&v, "air", in.Air, 0, 0.15, quantity.AsPercent)
	bounds.Between(&v, "reach", in.Reach, 0, 500, quantity.AsDistance)
	bounds.Between(&v, "placed", in.Placed, 0, 5000, quantity.AsVolume)
	bounds.Between(&v, "done", in.Done, 0, 1, quantity.AsPercent)
	bounds.Between(&v, "on_call", in.OnCall, 0, 5000, quantity.AsVolume)
	in.depths(&v)
	bounds.Needed(&v, "truck_empty", in.TruckEmpty, 1000, 40000, quantity.AsMass)
	bounds.Needed(&v, "density", in.Density, 1000, 4000, quantity.AsDensity)
	bounds.Needed(&v, "drive_thickness", in.DriveThick, quantity.Millimetres(50), quantity.Millimetres(600), quantity.AsThickness)
	bounds.Needed(&v, "drive_strength", in.DriveStrength, quantity.MPa(5), quantity.MPa(100), quantity.AsStrength)
	bounds.Needed(&v, "drive_support", in.DriveSupport, quantity.Of[quantity.SubgradeModulus](5, "MPa/m"), quantity.Of[quantity.SubgradeModulus](500, "MPa/m"), quantity.AsSubgrade)
	bounds.Between(&v, "carried", in.Carried, 0, 1, quantity.AsPercent)
	bounds.Between(&v, "carry_rate", in.CarryRate, quantity.Of[quantity.VolumeRate](0.1, "m3/h"), quantity.Of[quantity.VolumeRate](150, "m3/h"), quantity.AsVolumeRate)
	bounds.Between(&v, "way_limit", in.WayLimit, 500, 100000, quantity.AsMass)
	in.tickets(&v)
	in.wholes(&v)
	in.wholeness(&v)
	return v.Faults
}

// wholes checks what is counted and what is named.
func (in Input) wholes(v *bounds.List) {
	if in.Shots.Given() && (in.Shots.Value < 0 || in.Shots.Value > 100000) {
		v.Add("base_shots", fmt.Sprint(in.Shots.Value), "cannot be.", "Type how many depths were taken.")
	}
	if in.Trucks.Given() && (in.Trucks.Value < 1 || in.Trucks.Value > 1000) {
		v.Add("trucks", fmt.Sprint(in.Trucks.Value), "cannot be.", "Type 1 or more, or leave it out.")
	}
	if in.Method.Given() {
		v.Word("method", in.Method, methods...)
	}
	if in.Edition.Given() {
		v.Word("delivery_rule", in.Edition, oldDelivery, newDelivery)
	}
	if in.Seed < 0 {
		v.Add("seed", fmt.Sprint(in.Seed), "cannot be.", "Type a whole number from 0.")
	}
}

// wholeness holds the volume against area and thickness: off by more than five times, a unit was mistaken.
func (in Input) wholeness(v *bounds.List) {
	if !in.Net.Given() || !in.Area.Given() || !in.Thickness.Given() || len(v.Faults) > 0 {
		return
	}
	ratio := float64(in.Net.Value) / float64(SlabVolume(in.Area.Value, in.Thickness.Value, in.Edges.Value))
	if ratio > 5 || ratio < 0.2 {
		v.Add("net", in.Net.Show(quantity.AsVolume).String(v.Units), fmt.Sprintf("is %.1f times area times thickness; one of the three is in another unit.", ratio),
			"Check the units of net, area and thickness.")
	}
}

// depths checks each depth from string to base against the slab's thickness.
func (in Input) depths(v *bounds.List) {
	if in.Placed.Given() != in.Done.Given() {
		v.Add("done", "", "placed and done belong together.", "Type how much is placed and what share of the area it covers.")
	}
	if len(in.Depths) > 0 && !in.Thickness.Given() {
		v.Add("thickness", "", "is not known, so the depths say nothing.", "Type the slab's thickness.")
		return
	}
	for i, depth := range in.Depths {
		field := fmt.Sprintf("depths[%d]", i+1)
		bounds.Needed(v, field, depth, in.Thickness.Value/3, 3*in.Thickness.Value, quantity.AsThickness)
	}
}

// tickets checks what was read off tickets and measured at the chute.
func (in Input) tickets(v *bounds.List) {
	for i, t := range in.Tickets {
		at := func(name string) string { return fmt.Sprintf("tickets[%d].%s", i+1, name) }
		bounds.Between(v, at("volume"), t.Volume, 0.05, 15, quantity.AsVolume)
		bounds.Between(v, at("strength"), t.Strength, quantity.PSI(500), quantity.PSI(15000), quantity.AsStrength)
		bounds.Between(v, at("cementitious"), t.Cementitious, 5, 15000, quantity.AsMass)
		bounds.Between(v, at("water"), t.Water, 0, 6, quantity.AsWater)
		bounds.Between(v, at("water_added"), t.Added, 0, 2, quantity.AsWater)
		bounds.Between(v, at("weight"), t.Weight, 50, 60000, quantity.AsMass)
		bounds.Between(v, at("slump"), t.Slump, 0, quantity.Inches(12), quantity.AsSlump)
		bounds.Between(v, at("air"), t.Air, 0, 0.2, quantity.AsPercent)
		bounds.Between(v, at("temperature"), t.Temp, -10, 60, quantity.AsTemp)
		bounds.Between(v, at("unit_weight"), t.Density, 1000, 4000, quantity.AsDensity)
	}
}
