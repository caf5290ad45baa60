package plan

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/backing"
	"slabwright/internal/trade/hold"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/slab"
)

// linkHold lays the slab stage's vehicle on the panels the joints stage makes.
func linkHold(in *hold.Input, j *job.Job, from Results) {
	in.Units = j.Units
	in.Panels, in.ClosedForms = nil, nil
	for _, p := range from.Joints.Panels {
		in.Panels = append(in.Panels, hold.Panel{Number: p.Number, Outline: p.Outline})
	}
	in.Prints, in.Mixer = printsOf(from.Slab.Contacts), nil
	if mixer := from.Slab.Deeper.Mixer; mixer != nil {
		in.Mixer = printsOf(mixer.Contacts)
		known.Feed(&in.MixerAge, mixer.Age, "slab.mixer_age")
		known.Feed(&in.MixerElasticity, mixer.Elasticity, "slab.elasticity")
		known.Feed(&in.MixerFlexural, mixer.Flexural, "slab.flexural_strength")
	}
	for _, c := range from.Slab.Chosen.Cases {
		if c.Wheel > 0 {
			in.ClosedForms = append(in.ClosedForms, hold.ClosedForm{Name: place(c.Name), Stress: c.Wheel})
		}
	}
	in.ByClosedForm = nil
	for _, c := range from.Slab.Candidates {
		in.ByClosedForm = append(in.ByClosedForm, hold.ClosedUse{Thickness: c.Thickness, Utilisation: c.Utilisation})
	}
	deeper := from.Slab.Deeper
	known.Feed(&in.Thickness, from.Slab.Thickness, "slab.thickness")
	known.Feed(&in.Tolerance, from.SlabInput.Tolerance.Value, "slab.tolerance")
	known.Feed(&in.Elasticity, from.Slab.Elasticity, "slab.elasticity")
	known.Feed(&in.Flexural, from.Slab.Flexural, "slab.flexural_strength")
	known.Feed(&in.PostFlexural, deeper.PostFlexural, "slab.flexural_strength")
	known.Feed(&in.SubgradeModulus, from.Slab.SubgradeModulus, "slab.subgrade_modulus")
	known.Feed(&in.JointStiffness, deeper.JointStiffness, "slab.joint")
	known.Feed(&in.DowelStiffness, deeper.DowelStiffness, "slab.joint")
	known.Feed(&in.BetterSupport, deeper.BetterSupport, "slab.subgrade_modulus")
	known.Feed(&in.Expansion, from.SlabInput.Expansion.Value, "slab.expansion")
	known.Feed(&in.DayWarm, deeper.DayWarm, "slab.day_difference")
	known.Feed(&in.DawnCold, deeper.DawnCold, "slab.dawn_difference")
	known.Feed(&in.SafetyWheels, deeper.SafetyWheels, "slab.safety_wheels")
	known.Feed(&in.SafetyPosts, deeper.SafetyPosts, "slab.safety_posts")
	known.Feed(&in.SafetyRare, deeper.SafetyRare, "slab.safety_rare")
	known.Feed(&in.WheelClearance, deeper.EdgeClearance, "slab.edge_clearance")
	known.Feed(&in.JackClearance, deeper.JackClearance, "slab.jack_clearance")
}

func printsOf(contacts []slab.Contact) (out []hold.Print) {
	for _, c := range contacts {
		out = append(out, hold.Print{Name: c.Name, At: c.At, Force: c.Force, Along: c.Along, Wide: c.Wide, Post: c.Post})
	}
	return out
}

// place is how the check on the real panels calls a case of the slab stage: what there is a joint is here the lane over it.
func place(name string) string {
	if name == "joint" {
		return "lane"
	}
	return name
}

// linkBacking puts what stands on the lot in the driver's way.
func linkBacking(in *backing.Input, j *job.Job, from Results) {
	in.Units = j.Units
	in.Outline = from.Site.Outline
	in.Flats, in.Shots, in.Things = nil, nil, nil
	for _, p := range from.Grade.Panels {
		in.Flats = append(in.Flats, backing.Flat{Outline: p.Outline, A: p.Plane.A, B: p.Plane.B, C: p.Plane.C})
	}
	for _, s := range from.Site.Ground {
		in.Shots = append(in.Shots, backing.Shot{At: s.At, Level: s.Elevation.Metres()})
	}
	for i, t := range from.Site.Things {
		in.Things = append(in.Things, backing.Thing{Kind: string(t.Kind), Name: t.Name, Centre: t.Centre, Radius: t.Radius, Line: t.Line,
			Height: j.Site.Obstacles[i].Height.Value.Metres(), Depth: j.Site.Obstacles[i].Depth.Value.Metres(), Zone: t.Zone})
	}
	in.Breaks = from.Site.Breaklines
	in.Stands = nil
	for _, s := range j.Access.Stands {
		in.Stands = append(in.Stands, backing.Stand{X: s.X, Y: s.Y, Name: s.Name})
	}
	if len(j.Access.Stands) == 0 {
		for i, p := range from.Access.Stands {
			in.Stands = append(in.Stands, backing.Stand{X: known.From(quantity.Length(p.X), "access.stands"), Y: known.From(quantity.Length(p.Y), "access.stands"), Name: fmt.Sprintf("stand %d", i+1)})
		}
	}
	known.Feed(&in.Reach, from.Access.Useful, "access.useful_reach")
}
