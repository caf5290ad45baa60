package plan

import (
	"strconv"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
)

func linkPour(in *pour.Input, j *job.Job, from Results) {
	in.Units = j.Units
	at, said := j.PourAt()
	in.Zone, in.Now = at.Location().String(), j.AsOf
	in.Latitude, in.Longitude = j.Latitude.Or(in.Latitude), j.Longitude.Or(in.Longitude)
	if said {
		in.Day = at
	}
	if said && j.Start.Given() {
		in.Start = at
	}
	recipe := from.Mix.Recipe
	known.Feed(&in.Area, from.Site.Area, "site.area")
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.Base, from.SlabInput.BaseThickness.Value, "slab.base_thickness")
	known.Feed(&in.Concrete, from.Order.Yards, "order.yards")
	known.Feed(&in.PlacingRate, from.OrderInput.Rate.Value, "order.placing_rate")
	known.Feed(&in.Strength, from.Mix.Strength, "mix.strength")
	known.Feed(&in.Cementitious, recipe.Cementitious, "mix.cement")
	known.Feed(&in.WaterCement, quantity.Ratio(from.Mix.WaterCement), "mix.water_cement")
	known.Feed(&in.FlyAsh, from.MixInput.FlyAsh.Value, "mix.fly_ash")
	known.Feed(&in.Slag, from.MixInput.Slag.Value, "mix.slag")
	known.Feed(&in.SilicaFume, from.MixInput.SilicaFume.Value, "mix.silica_fume")
	known.Feed(&in.Air, from.Mix.Air, "mix.air")
	known.Feed(&in.BleedShare, quantity.Ratio(from.Mix.BleedShare), "mix.bleed_share")
	linkTeam(&in.Team, from)
}

// linkTeam tells the crew what there is to edge and groove and how the trucks come.
func linkTeam(team *pour.Team, from Results) {
	edge := quantity.Length(0)
	for _, run := range from.Forms.Runs {
		if run.Against == "" {
			edge += run.Length
		}
	}
	known.Feed(&team.Edge, edge, "forms.runs")
	grooves := quantity.Length(0)
	for _, c := range from.Joints.Cuts {
		if c.Kind == "TOOL" {
			grooves += c.Length
		}
	}
	known.Feed(&team.Grooves, grooves, "joints.cuts")
	known.Feed(&team.Load, from.OrderInput.Capacity.Value, "order.truck_holds")
	known.Feed(&team.Spacing, from.Order.Spacing, "order.spacing")
	known.Feed(&team.Made, from.OrderInput.Batch.Value+from.OrderInput.Haul.Value, "order.haul")
	known.Feed(&team.AgeLimit, from.OrderInput.TimeLimit.Value, "order.time_limit")
	known.Feed(&team.FreeTime, from.OrderInput.FreeTime.Value, "order.free_time")
}

func linkCure(in *cure.Input, j *job.Job, from Results) {
	in.Units = j.Units
	at, _ := j.PourAt()
	in.Zone = at.Location().String()
	in.Latitude, in.Longitude = j.Latitude.Or(in.Latitude), j.Longitude.Or(in.Longitude)
	if len(in.Forecast) == 0 {
		in.Forecast = j.Pour.Forecast
	}
	in.WindShare, in.Ground = in.WindShare.Or(j.Pour.WindShare), in.Ground.Or(j.Pour.GroundTemp)
	recipe := from.Mix.Recipe
	known.Feed(&in.Strength, from.Mix.Strength, "mix.strength")
	known.Feed(&in.Cementitious, recipe.Cementitious, "mix.cement")
	known.Feed(&in.WaterCement, quantity.Ratio(from.Mix.WaterCement), "mix.water_cement")
	known.Feed(&in.FlyAsh, from.MixInput.FlyAsh.Value, "mix.fly_ash")
	known.Feed(&in.Slag, from.MixInput.Slag.Value, "mix.slag")
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.Base, from.SlabInput.BaseThickness.Value, "slab.base_thickness")
	known.Feed(&in.Subgrade, from.Slab.SubgradeModulus, "slab.subgrade_modulus")
	if need := from.Slab.OpeningStrength; need > 0 {
		known.Feed(&in.TrailerAt, max(need, in.CarAt.Value), "slab.opening_strength")
	}
	known.Feed(&in.Salted, from.MixInput.Deicers.Value, "mix.deicers")
	in.Covers = in.Covers.Or(j.Pour.Covers)
	linkPanels(in, from)
	linkStart(in, j, from.Pour.Chosen)
}

// linkPanels hands over the panels the joints leave, unless a person typed panels.
func linkPanels(in *cure.Input, from Results) {
	if len(in.Panels) > 0 {
		return
	}
	for _, p := range from.Joints.Panels {
		in.Panels = append(in.Panels, cure.Panel{Name: "panel " + strconv.Itoa(p.Number), Length: p.Length, Width: p.Width})
	}
}

// linkStart begins the curing clock when the last concrete of the chosen start is struck off, or at the hour the job says.
func linkStart(in *cure.Input, j *job.Job, chosen pour.StartHour) {
	if chosen.PlacedBy.IsZero() {
		if at, _ := j.PourAt(); in.Poured.IsZero() {
			in.Poured = at
		}
		return
	}
	if in.Poured.IsZero() {
		in.Poured = chosen.PlacedBy
	}
	known.Feed(&in.Placed, chosen.ConcreteTemp, "pour.concrete_temperature")
	if !chosen.SetBy.IsZero() {
		known.Feed(&in.FinalSet, quantity.Hours(chosen.SetBy.Sub(chosen.PlacedBy).Hours()), "pour.final_set")
	}
	if !chosen.FinishedBy.IsZero() {
		known.Feed(&in.Finished, quantity.Hours(chosen.FinishedBy.Sub(chosen.PlacedBy).Hours()), "pour.finished_by")
	}
}
