package plan

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/joints"
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
	linkBegun(in)
	recipe := from.Mix.Recipe
	known.Feed(&in.Area, from.Site.Area, "site.area")
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.Base, from.SlabInput.BaseThickness.Value, "slab.base_thickness")
	known.Feed(&in.Concrete, from.Order.Yards, "order.yards")
	if o := from.Order; o.Pour > 0 { // the day of one pour of several
		known.Feed(&in.Area, o.Pours[o.Pour-1].Area, fmt.Sprintf("order.pour_%d_area", o.Pour))
		known.Feed(&in.Concrete, o.Today(), fmt.Sprintf("order.pour_%d", o.Pour))
	}
	known.Feed(&in.PlacingRate, from.OrderInput.Rate.Value, "order.placing_rate")
	known.Feed(&in.Strength, from.Mix.Strength, "mix.strength")
	known.Feed(&in.Cementitious, recipe.Cementitious, "mix.cement")
	known.Feed(&in.WaterCement, quantity.Ratio(from.Mix.WaterCement), "mix.water_cement")
	known.Feed(&in.FlyAsh, from.MixInput.FlyAsh.Value, "mix.fly_ash")
	known.Feed(&in.Slag, from.MixInput.Slag.Value, "mix.slag")
	known.Feed(&in.SilicaFume, from.MixInput.SilicaFume.Value, "mix.silica_fume")
	known.Feed(&in.Air, from.Mix.Air, "mix.air")
	known.Feed(&in.BleedShare, quantity.Ratio(from.Mix.BleedShare), "mix.bleed_share")
	linkCement(&in.Cement, from)
	in.FlyAshLime, in.Shade, in.Covers = sameAs(in.FlyAshLime, j.Cure.FlyAshLime), sameAs(in.Shade, j.Cure.Shade), sameAs(in.Covers, j.Cure.Covers)
	linkTeam(&in.Team, from)
}

// farOff is how far the first stamp may lie from the hour in the job file before the stamp is believed: a pour put off by a day.
const farOff = 12 * time.Hour

// linkBegun takes the start from what was stamped where the job has none, or one of another day.
func linkBegun(in *pour.Input) {
	if len(in.Team.Taps) == 0 {
		return
	}
	first := in.Team.Taps[0].At
	if off := first.Sub(in.Start); in.Start.IsZero() || off > farOff || off < -farOff {
		in.Start, in.Day = first, first
	}
}

// freeEdge is the edge that is formed and rounded: all that stands against nothing.
func freeEdge(from Results) quantity.Length {
	edge := quantity.Length(0)
	for _, run := range from.Forms.Runs {
		if run.Against == "" {
			edge += run.Length
		}
	}
	return edge
}

// quick is how the curing stages call the cement of rapid strength, by how the mix stage calls it.
var quick = map[string]string{"III": "III", "R": "III"}

// linkCement tells a curing stage which cement the mix has, where a person said one that hardens fast.
func linkCement(in *known.Text, from Results) {
	said := from.MixInput.CementType
	if name := quick[said.Value]; name != "" && said.Origin != known.Assumed {
		known.Feed(in, name, "mix.cement_type")
	}
}

// linkTeam tells the crew what there is to edge and groove and how the trucks come.
func linkTeam(team *pour.Team, from Results) {
	grooves := quantity.Length(0)
	for _, c := range from.Joints.Cuts {
		if c.Kind == "TOOL" {
			grooves += c.Length
		}
	}
	edge := freeEdge(from)
	if o := from.Order; o.Pour > 0 && from.Site.Area > 0 { // this pour's share
		share := quantity.Length(o.Pours[o.Pour-1].Area / from.Site.Area)
		edge, grooves = edge*share, grooves*share
	}
	known.Feed(&team.Edge, edge, "site.perimeter")
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
	linkCement(&in.Cement, from)
	in.FlyAshLime = sameAs(in.FlyAshLime, j.Pour.FlyAshLime)
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.Base, from.SlabInput.BaseThickness.Value, "slab.base_thickness")
	known.Feed(&in.Subgrade, from.Slab.SubgradeModulus, "slab.subgrade_modulus")
	linkLoad(in, from)
	known.Feed(&in.Salted, from.MixInput.Deicers.Value, "mix.deicers")
	in.Covers, in.TentAir, in.Shade = sameAs(in.Covers, j.Pour.Covers), sameAs(in.TentAir, j.Pour.TentAir), sameAs(in.Shade, j.Pour.Shade)
	linkPanels(in, from)
	linkStart(in, j, begun(from.Pour))
}

// sameAs is what one stage was told of a thing that another was told too: its own, where it was told; a list of the shop's says
// less than the job.
func sameAs[T any](own, other known.Known[T]) known.Known[T] {
	if other.Given() && (!own.Origin.Firm() || own.Origin == known.Listed && other.Origin != known.Listed) {
		return other
	}
	return own
}

// cornerReach is how near a re-entrant corner lies to a panel that it holds, m.
const cornerReach = 0.02

// held says whether a re-entrant corner of the slab or of a box-out holds a panel.
func held(p joints.Panel, slab geometry.Polygon) bool {
	for _, c := range slab.ReentrantCorners() {
		if p.Outline.Distance(c.At) < cornerReach {
			return true
		}
	}
	return false
}

// linkPanels hands over the panels the joints leave, unless a person typed panels.
func linkPanels(in *cure.Input, from Results) {
	if len(in.Panels) > 0 {
		return
	}
	in.Panels = curePanels(from.Joints.Panels, from.Joints.Outline)
}

// curePanels is a layout as the cure sees it.
func curePanels(panels []joints.Panel, slab geometry.Polygon) []cure.Panel {
	var out []cure.Panel
	for _, p := range panels {
		out = append(out, cure.Panel{Name: "panel " + strconv.Itoa(p.Number), Length: p.Length, Width: p.Width, Held: held(p, slab)})
	}
	return out
}

// begun is the chosen start as it really goes where something of it was stamped: when the last was struck off and broomed, and the set
// as it runs.
func begun(p pour.Result) pour.StartHour {
	chosen, day := p.Chosen, p.Rehearsal
	if day == nil || day.Now.IsZero() {
		return chosen
	}
	set := chosen.SetBy.Sub(chosen.PlacedBy)
	if day.Stretch > 0 {
		set = time.Duration(day.Stretch * float64(set))
	}
	for _, row := range day.Board {
		switch row.Step {
		case "place":
			chosen.PlacedBy = row.Until
		case "broom":
			chosen.FinishedBy = row.Until
		}
	}
	chosen.SetBy = chosen.PlacedBy.Add(set)
	return chosen
}

// linkLoad gives the use that the slab was checked for the strength that check asks: the truck's where a truck drives on it, else the
// trailer's.
func linkLoad(in *cure.Input, from Results) {
	need := from.Slab.OpeningStrength
	switch {
	case need <= 0:
	case strings.HasSuffix(from.SlabInput.Vehicle.Value, "truck"):
		known.Feed(&in.TruckAt, max(need, in.TrailerAt.Value), "slab.opening_strength")
	default:
		known.Feed(&in.TrailerAt, max(need, in.CarAt.Value), "slab.opening_strength")
		known.Feed(&in.Parks, from.SlabInput.Vehicle.Value, "slab.vehicle")
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
