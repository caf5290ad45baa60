package plan

import (
	"slabwright/internal/engines/almanac"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/heat"
	"slabwright/internal/engines/plate"
	"slabwright/internal/engines/rollout"
	"slabwright/internal/engines/schedule"
	"slabwright/internal/engines/survey"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/access"
	"slabwright/internal/trade/backing"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/forms"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/hold"
	"slabwright/internal/trade/hydration"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/mix"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/price"
	"slabwright/internal/trade/proof"
	"slabwright/internal/trade/site"
	"slabwright/internal/trade/slab"
	"slabwright/internal/trade/spoken"
	"slabwright/internal/trade/steel"
	"slabwright/internal/trade/strength"
)

// Rooms lists every package's calculations and check rows, in the order verify prints them.
func Rooms() []proof.Room {
	return []proof.Room{
		{Name: "typed text", Calculations: spoken.Calculations(), Table: spoken.Checks()},
		{Name: "geometry", Calculations: geometry.Calculations(), Table: geometry.Checks()},
		{Name: "survey", Calculations: survey.Calculations(), Table: survey.Checks()},
		{Name: "terrain", Calculations: terrain.Calculations(), Table: terrain.Checks()},
		{Name: "sun and clock", Calculations: almanac.Calculations(), Table: almanac.Checks()},
		{Name: "weather", Calculations: weather.Calculations(), Table: weather.Checks()},
		{Name: "heat", Calculations: heat.Calculations(), Table: heat.Checks()},
		{Name: "vehicles", Calculations: rollout.Calculations(), Table: rollout.Checks()},
		{Name: "plate", Calculations: plate.Calculations(), Table: plate.Checks()},
		{Name: "crew and trucks", Calculations: schedule.Calculations(), Table: schedule.Checks()},
		{Name: "site", Calculations: site.Calculations(), Table: site.Checks()},
		{Name: "strength", Calculations: strength.Calculations(), Table: strength.Checks()},
		{Name: "mix", Calculations: mix.Calculations(), Table: mix.Checks()},
		{Name: "slab", Calculations: slab.Calculations(), Table: slab.Checks()},
		{Name: "hold", Calculations: hold.Calculations(), Table: hold.Checks()},
		{Name: "joints", Calculations: joints.Calculations(), Table: joints.Checks()},
		{Name: "grade", Calculations: grade.Calculations(), Table: grade.Checks()},
		{Name: "steel", Calculations: steel.Calculations(), Table: steel.Checks()},
		{Name: "forms", Calculations: forms.Calculations(), Table: forms.Checks()},
		{Name: "access", Calculations: access.Calculations(), Table: access.Checks()},
		{Name: "backing", Calculations: backing.Calculations(), Table: backing.Checks()},
		{Name: "order", Calculations: order.Calculations(), Table: order.Checks()},
		{Name: "hydration", Calculations: hydration.Calculations(), Table: hydration.Checks()},
		{Name: "pour", Calculations: pour.Calculations(), Table: pour.Checks()},
		{Name: "cure", Calculations: cure.Calculations(), Table: cure.Checks()},
		{Name: "price", Calculations: price.Calculations(), Table: price.Checks()},
	}
}
