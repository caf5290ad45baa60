package slab

import (
	"fmt"
	"math"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// checks is what a careful foreman says of the slab.
func checks(in Input, r Result, g found, m model) []check.Check {
	var out []check.Check
	out = append(out, holds(in, r), practiceCheck(in, r), fatigueCheck(in, r))
	out = append(out, cornerSink(in, r)...)
	out = append(out, useCheck(in, r, m)...)
	out = append(out, supportChecks(in, g)...)
	out = append(out, referrals(in, g, m)...)
	out = append(out, rangeChecks(in, r, m)...)
	if in.MixerAge.Given() {
		out = append(out, mixerCheck(in, r, m))
	}
	return append(out, cautions(in, r, m)...)
}

func percent(v float64) string { return quantity.Plain(v, quantity.AsPercent).String(quantity.US) }

// holds is the verdict on the thickness to build.
//
// Example that trips it: 4 in under a motorhome. Source: the working stresses of the chapter.
func holds(in Input, r Result) check.Check {
	worst, h := r.Chosen.Worst(), show(r.Thickness, in.Units)
	good := fmt.Sprintf("%s holds: %s comes to %s of what is allowed.", h, worst.Says, percent(worst.Utilisation))
	bad := fmt.Sprintf("%s does not hold: %s comes to %s of what is allowed.", h, worst.Says, percent(worst.Utilisation))
	var then []string
	if r.Recommended > 0 {
		then = append(then, show(r.Recommended, in.Units)+" holds.")
	} else {
		then = append(then, "Nothing up to "+show(steps(in.Units).thickness(thickest), in.Units)+" holds: a licensed engineer must design it.")
	}
	for _, a := range r.Alternatives {
		then = append(then, a.Says+".")
	}
	c := check.AtMost("slab.holds", quantity.Plain(r.Utilisation, quantity.AsPercent), quantity.Plain(1, quantity.AsPercent), check.Stop, good, bad, how[worst.Name].source, then...)
	c.Where = worst.Where
	return c
}

func practiceCheck(in Input, r Result) check.Check {
	floor, h := show(r.PracticeFloor, in.Units), show(r.Thickness, in.Units)
	return check.AtLeast("slab.practice-floor", quantity.Show(r.Thickness, quantity.AsThickness), quantity.Show(r.PracticeFloor, quantity.AsThickness), check.Care,
		fmt.Sprintf("%s is not under what is usually built for this traffic (%s, typical).", h, floor),
		fmt.Sprintf("%s is thinner than what is usually built for this traffic (%s, typical).", h, floor),
		sources.ACI330Practice, "Build "+floor+" or more.")
}

func fatigueCheck(in Input, r Result) check.Check {
	life := quantity.Show(r.Life, quantity.AsYears)
	words := life.String(in.Units)
	switch {
	case r.Life >= longest:
		words += " or more"
	case r.Life < year:
		words = "less than a year"
	}
	return check.AtLeast("slab.fatigue", life, in.Life.Show(quantity.AsYears), check.Stop,
		"At these passes the slab lasts "+words+" before it is tired.",
		"At these passes the slab is tired after "+words+", not "+in.Life.Show(quantity.AsYears).String(in.Units)+".",
		sources.PCAStreets, "Make it thicker, or keep wheels off the edges.")
}

// useCheck says for which use the thickness was judged, and what harder use would need.
//
// Example: a motorhome twice a month gets 8 in; on the very edge ten times a day it would need 11 in.
func useCheck(in Input, r Result, m model) []check.Check {
	if len(m.wheels) == 0 {
		return nil
	}
	need := "more than " + show(steps(in.Units).thickness(thickest), in.Units)
	if r.Strict > 0 {
		need = show(r.Strict, in.Units)
	}
	says := fmt.Sprintf("Judged for %s passes a week, wheels %s inside the long edges and %s of passes astray; on the very edge ten times a day it would need %s.",
		quantity.Decimal(perWeek(in.Passes.Value), 1, 0), show(in.EdgeClearance.Value, in.Units), percent(float64(in.EdgeShare.Value)), need)
	return []check.Check{{ID: "slab.use", Level: check.Good, Says: says, Value: quantity.Show(r.Thickness, quantity.AsThickness), Limit: quantity.Show(r.Strict, quantity.AsThickness), Source: sources.ACI360Factors}}
}

// mostSink is the sinking of a corner past which water under it pumps the ground out, 1 mm.
const mostSink = 1.0e-3

func cornerSink(in Input, r Result) []check.Check {
	for _, c := range r.Chosen.Cases {
		if c.Name != "corner" {
			continue
		}
		sink, most := quantity.Show(c.Deflection, quantity.AsDeflection), quantity.Plain(mostSink, quantity.AsDeflection)
		level, bad := check.Care, "A loaded corner sinks "+sink.String(in.Units)+"; past "+most.String(in.Units)+" wet ground pumps out from under it."
		if in.EdgeClearance.Value > 0 && perWeek(in.Passes.Value)*float64(in.EdgeShare.Value) < nowAndThen {
			level, bad = check.Good, "A wheel astray sinks a corner "+sink.String(in.Units)+", but too seldom to pump wet ground out from under it."
		}
		return []check.Check{check.AtMost("slab.corner-sink", sink, most, level, "A loaded corner sinks "+sink.String(in.Units)+": no pumping to fear.", bad,
			sources.CommonPractice, "Keep wheels off the corners.", "Compact more base, and keep water from under the slab.")}
	}
	return nil
}

func supportChecks(in Input, g found) []check.Check {
	var out []check.Check
	care := func(id check.ID, says string, source sources.Key, then ...string) {
		out = append(out, check.Check{ID: id, Level: check.Care, Says: says, Source: source, Then: then})
	}
	if g.clamped {
		care("slab.base-table", "The ground or the base is outside the base table (50 to 300 pci, up to 12 in): its nearest value stands.", sources.PCAStreets)
	}
	if strings.HasSuffix(g.base, "no credit") {
		care("slab.base-credit", "No support is credited for the base: "+g.base+".", sources.CommonPractice, "Roll or plate it in lifts.", "Undercut weak ground and replace it.")
	}
	if g.cbr > 0 && (g.cbr < cbrRange[0] || g.cbr > cbrRange[1]) {
		care("slab.cbr-range", fmt.Sprintf("CBR %s is outside 2 to 50, where k was found from it.", quantity.Decimal(g.cbr, 1, 0)), sources.FAACBR, "Have a plate test made.")
	}
	if in.Soil.Origin == known.Assumed && g.road == "soil" {
		care("slab.ground-guessed", "Nobody has said what the ground is; "+in.Soil.Value+" is assumed.", sources.OwnRule, "Dig a hole and look.", "Drive a cone penetrometer, after the buried lines are marked.")
	}
	return out
}

// mostFill is the fill past which an engineer looks at it, 300 mm [practice].
const mostFill = 0.300

func referrals(in Input, g found, m model) []check.Check {
	var out []check.Check
	refer := func(id check.ID, level check.Level, why string, then ...string) {
		out = append(out, check.Check{ID: id, Level: level, Says: why, Source: sources.CommonPractice, Then: append(then, "Have a licensed engineer see it.")})
	}
	if g.soil.refer != "" {
		level := check.Care
		if g.soil.name == "organic" {
			level = check.Stop
		}
		refer("slab.ground-engineer", level, "There is "+g.soil.refer+": closed forms do not answer for it.", "Dig it out and replace it.", "Have it tested.")
	}
	if in.Fill.Given() && in.Fill.Value.Metres() > mostFill {
		refer("slab.fill-engineer", check.Care, "The fill is "+show(in.Fill.Value, in.Units)+" deep: past "+show(quantity.Length(mostFill), in.Units)+" it settles under its own weight.", "Have each lift tested.")
	}
	if axle := m.loads.axleOverLaw(); axle > 0 {
		out = append(out, check.Check{ID: "slab.axle-law", Level: check.Care, Says: "An axle of " + quantity.Show(axle, quantity.AsForce).String(in.Units) + " is over what the federal road law lets one carry; states make exceptions.",
			Value: quantity.Show(axle, quantity.AsForce), Limit: quantity.Show(legalAxle, quantity.AsForce), Source: sources.AxleLaw, Then: []string{"Read the weigh ticket, and type the load it shows."}})
	}
	if len(m.loads.refer) > 0 {
		refer("slab.load-engineer", check.Care, "There are "+strings.Join(m.loads.refer, ", ")+" on it: repeated or standing point loads.")
	}
	return out
}

// Ranges in which the closed forms were held against plate elements.
var (
	panelRange   = [2]float64{2, 12} // L/l
	contactRange = 0.6               // a/l
)

func rangeChecks(in Input, r Result, m model) []check.Check {
	var out []check.Check
	long, short := m.panelLong/r.Chosen.Radius.Metres(), m.panelShort/r.Chosen.Radius.Metres()
	care := func(id check.ID, says string, value, limit float64, then ...string) {
		out = append(out, check.Check{ID: id, Level: check.Care, Says: says, Value: quantity.Plain(value, quantity.AsRatio), Limit: quantity.Plain(limit, quantity.AsRatio), Source: sources.Ioannides1985, Then: then})
	}
	if short < panelRange[0] {
		care("slab.panel-range", "A panel is under 2 radii of relative stiffness wide: the closed form is not valid, use plate analysis.", short, panelRange[0])
	}
	if long > panelRange[1] {
		care("slab.panel-range", "A panel is over 12 radii of relative stiffness long: the closed form is not valid, use plate analysis.", long, panelRange[1], "Put joints closer.")
	}
	for _, c := range r.Contacts {
		if x := c.radius() / r.Chosen.Radius.Metres(); x > contactRange {
			care("slab.contact-range", "The "+c.Name+"'s pad is wide for this slab: the closed form is not valid, use plate analysis.", x, contactRange)
			break
		}
	}
	if in.Joint.Value == jointInterlock && in.JointOpening.Value.Metres() > interlockLost {
		care("slab.interlock", "Joints open "+quantity.Show(in.JointOpening.Value, quantity.AsDeflection).String(in.Units)+": past 1 mm interlock is lost and the joint counts as a free edge.", in.JointOpening.Value.Millimetres(), 1, "Put joints closer, or dowels in them.")
	}
	return out
}

// mixerCheck answers whether a loaded concrete truck may drive on the young slab.
func mixerCheck(in Input, r Result, m model) check.Check {
	age := in.MixerAge.Value
	c := m.truckAtAge(in, age).judge(r.Thickness.Metres())
	days := in.MixerAge.Show(quantity.AsDays).String(in.Units)
	strength := quantity.Plain(m.strength*math.Min(ageFactor(age), 1), quantity.AsStrength).String(in.Units)
	return check.AtMost("slab.mixer", quantity.Plain(c.Utilisation, quantity.AsPercent), quantity.Plain(1, quantity.AsPercent), check.Stop,
		fmt.Sprintf("A loaded concrete truck may cross once at %s (about %s): %s comes to %s of what is allowed.", days, strength, c.Worst().Says, percent(c.Utilisation)),
		fmt.Sprintf("Keep the loaded concrete truck off at %s (about %s): %s comes to %s of what is allowed.", days, strength, c.Worst().Says, percent(c.Utilisation)),
		sources.ACI209Age, "Chute or pump from beside it.", "Wait for strength shown by cylinders.")
}

// cautions are the safety of this stage's steps.
func cautions(in Input, r Result, m model) []check.Check {
	out := []check.Check{
		check.Caution("slab.green-edges", "Keep trucks off the curing slab, and off its edges longest: an edge breaks first.", sources.CommonPractice,
			"No load before "+quantity.Show(r.OpeningStrength, quantity.AsStrength).String(in.Units)+" shown by cylinders or maturity; local code and a licensed engineer decide."),
	}
	if in.Cone.Given() || in.Soil.Origin == known.Assumed {
		out = append(out, check.Caution("slab.locates", "Have buried lines marked before anybody drives a cone penetrometer or a pin.", sources.CommonPractice, "Call for locates, and wait the days the law asks."))
	}
	if len(m.posts) > 0 {
		out = append(out, check.Caution("slab.jacks", "Chock the wheels before a jack goes up, and nobody goes under what stands on jacks alone.", sources.CommonPractice,
			"Put a "+show(in.JackPad.Value, in.Units)+" pad under each jack, "+show(in.JackClearance.Value, in.Units)+" or more from any edge or joint."))
	}
	return out
}
