package check

import "slabwright/internal/trade/sources"

// Hazard is a danger that more than one stage warns of: one wording, whoever says it.
type Hazard struct {
	name, says string
	source     sources.Key
	then       string
}

// The hazards that stages share.
var (
	WetCement = Hazard{"wet-cement", "Wet cement burns skin without hurting at first: gloves, boots, kneeboards; wash with clean water, change wet clothes; eyes rinsed 15 minutes, then a doctor.",
		sources.WetCementBurns, "Gloves, boots, kneeboards, a full wash bottle on site."}
	SawDust = Hazard{"silica", "Saw dust holds silica that ruins lungs: run the saw's water the whole time; an early-entry saw run dry is not on the list of wet tools and needs a vacuum shroud or a fitted respirator. Ears, eyes, boots.",
		sources.SilicaTable1, "Water on the blade or vacuum on the shroud before the first cut; others upwind; slurry washed off skin."}
	HeaterFumes = Hazard{"heater-fumes", "Heaters and engines under covers or in a tent give carbon monoxide, which nobody smells, and start fires: vent them outside, keep them off the covers, never sleep there; their fumes also dust a fresh surface.",
		sources.CommonPractice, "A vented heater, a carbon monoxide alarm, an extinguisher, somebody who looks in; dry gloves and a warm break place."}
	WashOut = Hazard{"wash-out", "Wash out into a lined pit away from drains, water and roots, laid before the first truck comes; never onto the ground.",
		sources.CommonPractice, ""}
	BackingTruck = Hazard{"backing", "Trucks back up here and see nobody behind them: one spotter in the driver's mirror, agreed hand signals, nobody behind, stop when the spotter is lost.",
		sources.BackingTrucks, ""}
)

// In is the caution of a hazard as a stage says it.
func (h Hazard) In(stage string) Check {
	c := Caution(ID(stage+"."+h.name), h.says, h.source)
	if h.then != "" {
		c.Then = []string{h.then}
	}
	return c
}
