package backing

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// report writes the answers on the sheet.
func (r *Result) report(in Input) {
	vehicle := working.Given(&r.Working, "vehicle", "", "what shall get in", in.Vehicle, quantity.AsText)
	margin := working.Given(&r.Working, "margin", "m", "least room an ordinary driver keeps", in.Margin, quantity.AsDrop)
	street := working.Given(&r.Working, "street_width", "", "width of the street", in.Street.Width, quantity.AsDistance)
	r.Working.Show(working.Step{Name: "lock", Symbol: "δ", Says: "steering lock, of the single front wheel that stands for two", Value: quantity.Plain(r.rig.Lock, quantity.AsAngle), From: []string{vehicle}, Source: r.vehicle.source})
	r.Working.Show(working.Step{Name: "poses", Says: "poses of the lattice looked at", Formula: "best first from the parked place outwards, half a metre and 5° apart; to the end half a metre, 7.5° and 10° apart", Value: quantity.Counted(r.Looked), From: []string{vehicle, margin, street}, Source: sources.OwnRule})
	if r.rig.Towing() {
		limit := quantity.Plain(r.rig.GreatestBend(), quantity.AsAngle)
		r.Working.Show(working.Step{Name: "bend_limit", Symbol: "γ", Says: "most bend that is planned for", Formula: "min(60°, fold − 5°, γ_eq(δ) − 10°)", Value: limit, From: []string{"lock"}, Source: sources.RollingChain})
	}
	r.Working.Answer(working.Step{Name: "how_hard", Says: "how hard it is to get in", Formula: "by pull-forwards, least room and the share of tried drives that were made", Value: quantity.Words(r.Verdict), From: []string{"poses"}, Source: sources.OwnRule})
	if !r.Possible {
		return
	}
	answer := func(name, says, formula string, value quantity.Any, source sources.Key, from ...string) {
		r.Working.Answer(working.Step{Name: name, Says: says, Formula: formula, Value: value, From: from, Source: source})
	}
	answer("pull_forwards", "pull-forwards on the way in", "times the drive goes forwards after it went in reverse", quantity.Counted(r.PullForwards), sources.OwnRule, "poses")
	answer("reverse_length", "way driven in reverse", "sum of the reversed pieces", quantity.Show(r.Reverse, quantity.AsDistance), sources.Arithmetic, "poses")
	answer("tightest", "least room on the way, "+r.Tightest.Who+" to "+orNothing(r.Tightest.Thing), "least distance of body and thing over the drive, corners followed to 20 mm", quantity.Show(r.Tightest.Room, quantity.AsSide), sources.PlaneGeometry, "poses")
	if r.rig.Towing() {
		answer("greatest_bend", "sharpest bend between tow vehicle and trailer", "dγ/ds = κ(1 + M cos γ/L1) − sin γ/L1, closed form", quantity.Show(r.Bend, quantity.AsAngle), sources.RollingChain, "bend_limit", "poses")
	}
	drives := working.Given(&r.Working, "drives", "n", "drives tried", in.Drives, quantity.AsCount)
	answer("made", "tried drives that were made", "start, steering and ground off as an ordinary driver's; steered by what he sees", quantity.Show(r.Made, quantity.AsPercent), sources.OwnRule, drives, "poses")
	answer("pad_width", "least width of the slab for an ordinary driver", "track + 2 · side error of 95 in 100 + 2 · edge distance", quantity.Show(r.PadWidth.Least, quantity.AsSide), sources.OwnRule, drives)
	for i, g := range r.Gates {
		if g.Least > 0 {
			answer(fmt.Sprintf("gate_%d", i+1), "least width of "+g.Name, "narrowed step by step until no drive is found", quantity.Show(g.Least, quantity.AsSide), sources.OwnRule, "poses", margin)
		}
	}
}

func orNothing(thing string) string {
	if thing == "" {
		return "anything"
	}
	return thing
}

// judge is what a careful foreman says of the way.
func (r *Result) judge(in Input) []check.Check {
	var out []check.Check
	if r.Asked {
		out = append(out, r.wayCheck(in))
	}
	if r.Possible {
		out = append(out, r.outCheck(in), r.roomCheck(in), r.shiftCheck(in))
		out = append(out, r.gateChecks(in)...)
		out = append(out, r.padCheck(in))
	}
	if r.Asked {
		out = append(out, r.crossing(in))
		out = append(out, r.edgeCheck(in)...)
		out = append(out, r.levelling(in)...)
	}
	out = append(out, r.mixerChecks(in)...)
	return append(out, r.cautions(in)...)
}

func (r *Result) wayCheck(in Input) check.Check {
	c := check.Check{ID: "backing.way-in", Level: check.Good, Source: sources.OwnRule, Value: quantity.Words(r.Verdict)}
	who := "the " + string(in.Vehicle.Value)
	if !r.Possible {
		c.Level = check.Stop
		c.Says = fmt.Sprintf("There is no way in for %s that an ordinary driver makes.", who)
		if r.Blocker.Thing != "" {
			c.Says += " " + capital(r.Blocker.Thing) + " is in the way."
			c.Where = r.Blocker.Thing
		}
		if r.Blocker.Change != "" {
			c.Then = append(c.Then, capital(r.Blocker.Change)+", and it goes.")
		} else {
			c.Then = append(c.Then, "No single thing opens the way: turn or move the slab, or come from another side.")
		}
		if !r.Blocker.Proven {
			c.Says += " Not every pose was looked at."
		}
		return c
	}
	c.Says = fmt.Sprintf("Getting %s in: %s, with %s and %s in reverse; an ordinary driver makes it %s of the time.", who, r.Verdict,
		counted(r.PullForwards, "pull-forward"), quantity.Show(r.Reverse, quantity.AsDistance).String(in.Units), quantity.Show(r.Made, quantity.AsPercent).Trimmed(in.Units))
	if r.Verdict != grades[0].says {
		c.Level = check.Care
		c.Then = []string{"Walk the drive with the moves in hand, mark the stops with paint, and have the spotter where the plan shows.",
			"A wider gate, or the slab turned toward the street, makes it easier."}
	}
	return c
}

// outCheck says how it leaves again.
func (r *Result) outCheck(in Input) check.Check {
	c := check.Check{ID: "backing.way-out", Level: check.Good, Source: sources.OwnRule}
	if !r.Leaves {
		c.Level = check.Stop
		c.Says = "Forwards only, there is no way out again."
		c.Then = []string{"Unhook the towed car to leave, or turn the slab so that it drives through."}
		return c
	}
	back := quantity.Length(r.Out.ReverseLength())
	c.Says = fmt.Sprintf("It leaves in %s with %s in reverse.", counted(len(r.MovesBy), "move"), quantity.Show(back, quantity.AsDistance).String(in.Units))
	return c
}

func counted(n int, word string) string {
	switch n {
	case 0:
		return "no " + word
	case 1:
		return "one " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

func (r *Result) roomCheck(in Input) check.Check {
	room := quantity.Show(r.Tightest.Room, quantity.AsSide)
	c := check.AtLeast("backing.room", room, in.Margin.Show(quantity.AsSide), check.Care,
		fmt.Sprintf("Tightest spot: %s passes %s with %s.", r.Tightest.Who, orNothing(r.Tightest.Thing), room.String(in.Units)),
		fmt.Sprintf("Tightest spot: %s passes %s with only %s.", r.Tightest.Who, orNothing(r.Tightest.Thing), room.String(in.Units)),
		sources.OwnRule, "Go slowly with the spotter's eyes on that corner, or take the thing away.")
	c.Where = r.Tightest.Thing
	return c
}

// shiftCheck says what moving the slab a foot would buy.
func (r *Result) shiftCheck(in Input) check.Check {
	c := check.Check{ID: "backing.move-the-slab", Level: check.NotComputed, Source: sources.OwnRule, Says: "Nobody asked what moving the slab would buy.", Then: []string{"Type what_ifs: yes."}}
	if len(r.Shifts) == 0 {
		return c
	}
	c.Level = check.Good
	c.Says = fmt.Sprintf("Moving the slab %s any way buys nothing worth it.", quantity.Show(foot, quantity.AsSide).String(in.Units))
	c.Then = nil
	best := 0.0
	for _, s := range r.Shifts {
		gain := worth(r.PullForwards-s.PullForwards, (s.Room - r.Tightest.Room).Metres())
		if s.Possible && gain > best+0.05 {
			best = gain
			c.Says = fmt.Sprintf("Moving the slab %s %s gives %s and %s at the tightest spot instead of %s and %s.", quantity.Show(foot, quantity.AsSide).String(in.Units), s.Says,
				counted(s.PullForwards, "pull-forward"), quantity.Show(s.Room, quantity.AsSide).String(in.Units), counted(r.PullForwards, "pull-forward"), quantity.Show(r.Tightest.Room, quantity.AsSide).String(in.Units))
		}
	}
	return c
}

// worth weighs a pull-forward saved like half a metre of room.
func worth(pulls int, room float64) float64 { return 0.5*float64(pulls) + room }

func (r *Result) gateChecks(in Input) []check.Check {
	var out []check.Check
	for _, g := range r.Gates {
		if g.Least == 0 {
			continue
		}
		has, least := quantity.Show(g.Has, quantity.AsSide), quantity.Show(g.Least, quantity.AsSide)
		c := check.AtLeast("backing.gate", has, least, check.Care,
			fmt.Sprintf("%s is %s; an ordinary driver needs %s there.", capital(g.Name), has.String(in.Units), least.String(in.Units)),
			fmt.Sprintf("%s is only %s; an ordinary driver needs %s there.", capital(g.Name), has.String(in.Units), least.String(in.Units)),
			sources.OwnRule, "Set a post back, or go through with a spotter at each post.")
		c.Where = g.Name
		out = append(out, c)
	}
	return out
}

func (r *Result) padCheck(in Input) check.Check {
	has, least := quantity.Show(r.PadWidth.Has, quantity.AsSide), quantity.Show(r.PadWidth.Least, quantity.AsSide)
	return check.AtLeast("backing.slab-width", has, least, check.Care,
		fmt.Sprintf("The slab is %s wide; wheels set down by an ordinary driver and kept off the edge want %s.", has.String(in.Units), least.String(in.Units)),
		fmt.Sprintf("The slab is only %s wide; wheels set down by an ordinary driver and kept off the edge want %s.", has.String(in.Units), least.String(in.Units)),
		sources.OwnRule, "Make the slab wider, or paint a line for the wheels on it.")
}

// cautions are about people.
func (r *Result) cautions(in Input) []check.Check {
	says := "Nobody stands between the rig and a fixed thing. One spotter in the driver's mirror, agreed hand signals; lose sight of him and stop."
	if r.Possible && r.SpotterSays != "" {
		says += " He stands " + r.SpotterSays + "."
	}
	out := []check.Check{check.Caution("backing.spotter", says, sources.BackingTrucks),
		check.Caution("backing.traffic", "The rig stands across the street while it backs in: somebody watches traffic and children on the walk.", sources.CommonPractice)}
	if r.rig.Towing() {
		out = append(out, check.Caution("backing.chocks", "Chock the trailer's wheels before the hitch comes off: the slab slopes.", sources.CommonPractice))
	}
	if r.vehicle.forwardOnly {
		out = append(out, check.Caution("backing.towed-car", "A car towed on its own wheels cannot be backed: unhook it before any reverse.", sources.CommonPractice))
	}
	for _, t := range in.Things {
		if t.Kind == "overhead line" && t.Height <= 0 {
			c := check.Caution("backing.overhead", fmt.Sprintf("%s hangs over the lot and nobody measured how high: the rig is %s tall.", capital(t.Name), quantity.Plain(max(r.rig.Tow.Height, r.rig.Trailer.Height), quantity.AsSide).String(in.Units)), sources.OverheadLines,
				"Ask the utility for the height; never measure a wire with a pole or tape.")
			c.Where = t.Name
			out = append(out, c)
		}
	}
	return out
}
