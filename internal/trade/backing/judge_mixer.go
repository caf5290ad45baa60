package backing

import (
	"fmt"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// mixerChecks are those of every place; the places nobody named that the mixer does not get to are named together.
func (r *Result) mixerChecks(in Input) []check.Check {
	var out []check.Check
	var not []string
	for _, v := range r.Stands {
		if v.Assumed && !v.Reached {
			not = append(not, v.Name)
			continue
		}
		out = append(out, v.checks(in)...)
	}
	if len(not) > 0 {
		out = append(out, check.Check{ID: "backing.mixer-sides", Level: check.Care, Source: sources.DesignVehicles,
			Says: fmt.Sprintf("Nobody said where the mixer stands; of %d places along the free sides it does not get to %s.", len(r.Stands), strings.Join(not, ", ")),
			Then: []string{"Walk the way in and type the places: access: {stands: [[x, y]]}; or pump from the street."}})
	}
	return out
}

// checks are what a careful foreman says of the mixer's way to one place.
func (v Visit) checks(in Input) []check.Check {
	if !v.Reached {
		c := check.Check{ID: "backing.mixer", Where: v.Name, Source: sources.DesignVehicles, Level: check.Stop,
			Says: fmt.Sprintf("The mixer does not get to %s.", v.Name),
			Then: []string{"Choose another place for the truck, take the thing away, or pump from the street."}}
		if v.Stopped != "" {
			c.Says += " " + capital(v.Stopped) + " stops it."
		}
		return []check.Check{c}
	}
	out := append([]check.Check{v.wayCheck(in)}, v.belowChecks(in)...)
	if len(v.Over) > 0 {
		out = append(out, v.overCheck(in))
	}
	return out
}

func (v Visit) wayCheck(in Input) check.Check {
	distance := func(l quantity.Length) string { return quantity.Show(l, quantity.AsDistance).String(in.Units) }
	c := check.Check{ID: "backing.mixer", Where: v.Name, Source: sources.DesignVehicles, Level: check.Good,
		Value: quantity.Show(v.Room, quantity.AsSide), Limit: quantity.Plain(mixerMargin, quantity.AsSide)}
	c.Says = fmt.Sprintf("The mixer gets to %s: %s of backing in, %s of backing out, %s to %s.", v.Name, distance(v.BacksIn), distance(v.BacksOut),
		quantity.Show(v.Room, quantity.AsSide).String(in.Units), orNothing(v.Near))
	if v.Turns > 1 || float64(v.Room) < mixerMargin {
		c.Level, c.Then = check.Care, []string{"Show the driver the way on foot before he leaves the street."}
	}
	return c
}

// overCheck says what the loaded mixer rolls over, and what its wheels press down there.
func (v Visit) overCheck(in Input) check.Check {
	var names []string
	for _, o := range v.Over {
		name := o.Name
		if o.Cover > 0 {
			name += fmt.Sprintf(" (%s of cover, %s there under a pair of rear wheels)", quantity.Show(o.Cover, quantity.AsDrop).String(in.Units), quantity.Show(o.Press, quantity.AsStress).String(in.Units))
		}
		names = append(names, name)
	}
	c := check.Caution("backing.mixer-over", fmt.Sprintf("On its way to %s the mixer, %s with its load, rolls over %s.", v.Name, in.Weight.Show(quantity.AsMass).String(in.Units), strings.Join(names, ", ")), sources.TruckWeights,
		"A loaded mixer crushes lids, shallow pipes, culverts and thin slabs: ask who owns it what it carries, plank the way or stay off; never over a septic tank.")
	c.Where = v.Name
	return c
}

// belowChecks hold what hangs over the mixer's way against what it asks for.
func (v Visit) belowChecks(in Input) []check.Check {
	side := func(l quantity.Length) string { return quantity.Show(l, quantity.AsSide).String(in.Units) }
	var out []check.Check
	for _, b := range v.Below {
		tall := quantity.Length(v.rig.Tow.Height)
		c := check.Caution("backing.mixer-overhead", fmt.Sprintf("On its way to %s the mixer, %s tall, passes under %s, whose height nobody measured.", v.Name, side(tall), b.Name), sources.OverheadLines,
			"Ask the utility for the height of a wire; never measure it with a pole or tape.")
		if b.Height > 0 {
			c = check.AtLeast("backing.mixer-overhead", quantity.Show(b.Gap, quantity.AsSide), quantity.Show(b.Wants, quantity.AsSide), check.Care,
				fmt.Sprintf("On its way to %s the mixer passes under %s with %s between.", v.Name, b.Name, side(b.Gap)),
				fmt.Sprintf("On its way to %s the mixer passes under %s with only %s between; a line asks %s of equipment that works there.", v.Name, b.Name, side(b.Gap), side(b.Wants)),
				sources.OverheadLines, "Chute down and folded until it is past, somebody watching the wire; no washing, no drum work under it.")
			c.Safety = true
		}
		c.Where = b.Name
		out = append(out, c)
	}
	return out
}

// reportStands writes on the sheet how the mixer gets to each place.
func (r *Result) reportStands(in Input) {
	if len(r.Stands) == 0 {
		return
	}
	weight := working.Given(&r.Working, "mixer_weight", "W", "mixer with its load", in.Weight, quantity.AsMass)
	reach := working.Given(&r.Working, "chute_reach", "R", "useful reach of the chute", in.Reach, quantity.AsDistance)
	reached := 0
	for i, v := range r.Stands {
		if !v.Reached {
			continue
		}
		reached++
		name := fmt.Sprintf("mixer_%d", i+1)
		r.Working.Show(working.Step{Name: name + "_backs", Says: "the mixer backs to " + v.Name, Formula: "sum of the reversed pieces of the drive found", Value: quantity.Show(v.BacksIn, quantity.AsDistance), Source: sources.OwnRule})
		r.Working.Show(working.Step{Name: name + "_room", Says: "least room on its way to " + v.Name, Formula: "least distance of body and thing over the drive", Value: quantity.Show(v.Room, quantity.AsSide), Source: sources.PlaneGeometry})
		for j, o := range v.Over {
			if o.Cover > 0 {
				r.Working.Show(working.Step{Name: fmt.Sprintf("%s_press_%d", name, j+1), Says: "pressure on " + o.Name + " under a pair of rear wheels", Formula: "0.7 W g / 4 / ((a + d)(b + d)), a · b = 10 · 20 in",
					Value: quantity.Show(o.Press, quantity.AsStress), From: []string{weight}, Source: sources.CommonPractice})
			}
		}
	}
	r.Working.Answer(working.Step{Name: "mixer_reaches", Says: fmt.Sprintf("of %d places the mixer gets to", len(r.Stands)), Formula: "a drive from the street to the place, and away again", Value: quantity.Counted(reached), From: []string{reach}, Source: sources.OwnRule})
}
