package hold

import (
	"context"
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// mixer is the worst that a loaded concrete truck does to the slab while it is young: everywhere it can come, on the real
// panels, with the strength and stiffness of that age and the safety of a load that comes once. The slab is taken as flat:
// it is not driven on in its worst hour. nil where no truck must.
func (m *model) mixer(ctx context.Context) (*Case, error) {
	if len(m.in.Mixer) == 0 {
		return nil, nil
	}
	in := m.in
	in.Prints, in.Elasticity, in.Flexural, in.SafetyWheels = in.Mixer, in.MixerElasticity, in.MixerFlexural, in.SafetyRare
	in.DayWarm, in.DawnCold = known.Say(quantity.TempDiff(0)), known.Say(quantity.TempDiff(0))
	in.ClosedForms, in.InfluencePlaces = nil, known.Say(false)
	young := newModel(in)
	p, err := young.plates(ctx)
	if err != nil {
		return nil, err
	}
	found, err := young.search(ctx, p)
	if err != nil {
		return nil, err
	}
	cases, err := young.exact(ctx, p, found)
	if err != nil {
		return nil, err
	}
	worst := worstOf(cases)
	worst.Says = fmt.Sprintf("loaded concrete truck at %s, %s", days(in.MixerAge.Value, in.Units), worst.Says)
	worst.Name = "mixer"
	return &worst, nil
}

func days(t quantity.Time, units quantity.System) string {
	return quantity.Show(t, quantity.AsDays).String(units)
}

func explainMixer(w *working.Sheet, in Input, c *Case) {
	if c == nil {
		return
	}
	working.Given(w, "mixer_age", "", "age of the slab under the concrete truck", in.MixerAge, quantity.AsDays)
	working.Given(w, "mixer_elasticity", "E", "modulus of elasticity at that age", in.MixerElasticity, quantity.AsModulus)
	working.Given(w, "mixer_flexural_strength", "MR", "modulus of rupture at that age", in.MixerFlexural, "")
	from := []string{"mixer_elasticity", "slab_thickness", "subgrade_modulus", "joint_stiffness"}
	w.Show(working.Step{Name: "mixer_stress", Says: c.Says + ": greatest tension, plate elements", Symbol: "σ", Value: quantity.Show(c.Stress, quantity.AsStress), From: from, Source: sources.PlateElements})
	w.Show(working.Step{Name: "mixer_allowed", Says: c.Says + ": allowed", Formula: "MR / SF", Value: quantity.Show(c.Limit, quantity.AsStress), From: []string{"mixer_flexural_strength", "safety_rare"}, Source: sources.ACI360Factors})
	w.Show(working.Step{Name: "mixer_use", Says: c.Says + ": share of what is allowed", Formula: "tension / allowed", Value: quantity.Plain(c.Utilisation, quantity.AsPercent), From: []string{"mixer_stress", "mixer_allowed"}, Source: sources.Arithmetic})
}

func mixerChecks(in Input, c *Case) []check.Check {
	if c == nil {
		return nil
	}
	at := fmt.Sprintf("%s comes to %s of what is allowed, in the %s of panel %d", c.Says, percent(c.Utilisation), c.Face, c.Panel)
	return []check.Check{check.AtMost("hold.mixer", quantity.Plain(c.Utilisation, quantity.AsPercent), quantity.Plain(1, quantity.AsPercent), check.Stop,
		"The young slab carries it on the real panels: "+at+".", "Keep the loaded concrete truck off: "+at+".", sources.PlateElements,
		"Chute or pump from beside it.", "Wait for strength shown by cylinders.", "Keep its wheels off edges and corners, and judge again.")}
}
