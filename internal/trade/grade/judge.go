package grade

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Limits of the checks. Sources stand with each check.
const (
	accessibleSlope  quantity.Slope  = 1.0 / 48   // any direction of a parking place, across a walk or ramp
	finishing        quantity.Slope  = 0.25 / 120 // ±1/4 in in 10 ft
	buildingSlope    quantity.Slope  = 0.02       // paving within 10 ft of a foundation
	puddleSlope      quantity.Slope  = 0.01       // under this a broomed slab keeps puddles
	breakSmooth      quantity.Slope  = 0.03       // grade break most vehicles pass without notice
	birdbathSlope    quantity.Slope  = 0.005      // under this it certainly does
	drivePreferred   quantity.Slope  = 0.10       // driveway grade people like
	driveMost        quantity.Slope  = 0.15       // the most that places allow
	extrapolatedMost                 = 0.05       // share of the dig outside the shots that passes without a word
	overExcavation                   = 0.05       // concrete over the drawing that passes without a word
	cliff                            = 3 * 0.0254 // m, ground above the slab's edge
	trenchDepth                      = 5 * 0.3048 // m
	spoilSetback     quantity.Length = 2 * 0.3048
)

// judge says what a careful foreman would say of these levels.
func (w *work) judge() []check.Check {
	out := []check.Check{w.drainCheck(), w.roundingCheck(), w.steepCheck()}
	out = append(out, w.wallChecks()...)
	out = append(out, w.foldChecks()...)
	out = append(out, w.setOutChecks()...)
	out = append(out, w.pondChecks()...)
	out = append(out, w.waterChecks()...)
	if w.in.Accessible.Value {
		out = append(out, w.accessChecks()...)
	}
	out = append(out, w.groundChecks()...)
	out = append(out, w.edgeCheck()...)
	out = append(out, w.concreteCheck()...)
	out = append(out, w.besideCheck())
	out = append(out, w.handDigChecks()...)
	out = append(out, w.softCheck(), w.frostCheck(), w.liftCheck(), w.haulCheck())
	out = append(out, w.testChecks()...)
	return append(out, w.safety()...)
}

func slopeShown(s quantity.Slope) quantity.Any { return quantity.Show(s, quantity.AsSlope) }

func (w *work) text(a quantity.Any) string { return a.String(w.in.Units) }

func (w *work) drainCheck() check.Check {
	level := check.Care
	if w.Least < birdbathSlope {
		level = check.Stop
	}
	return check.AtLeast("grade.birdbath", slopeShown(w.Least), slopeShown(puddleSlope), level,
		fmt.Sprintf("It falls %s %s: water runs off.", w.shown(w.Least), w.Direction),
		fmt.Sprintf("It falls only %s: a broomed slab that flat keeps birdbaths.", w.shown(w.Least)),
		sources.DrainRules, "Ask for more fall: least_slope: 2 %.")
}

// roundingCheck holds the fall as set out, to the tape's mark, against what was asked.
func (w *work) roundingCheck() check.Check {
	return check.AtLeast("grade.rounding", slopeShown(w.Least), slopeShown(w.in.Least.Value-quantity.Slope(tapeRoom)), check.Care,
		fmt.Sprintf("Rounded to the tape, the least fall is still %s.", w.shown(w.Least)),
		fmt.Sprintf("Rounded to the tape, the least fall is %s, under the %s asked for.", w.shown(w.Least), w.shown(w.in.Least.Value)),
		sources.OwnRule, "Set this slab with a laser to the elevation, not with a tape to the mark.")
}

func (w *work) steepCheck() check.Check {
	level := check.Care
	if w.Slope > driveMost {
		level = check.Stop
	}
	return check.AtMost("grade.steep", slopeShown(w.Slope), slopeShown(drivePreferred), level,
		fmt.Sprintf("The steepest slope is %s: fine to drive and walk.", w.shown(w.Slope)),
		fmt.Sprintf("The steepest slope is %s: over what most driveways may have; the first %s off the street want 4 to 6 %%.", w.shown(w.Slope), w.in.either("20 ft", "6 m")),
		sources.DrivewayGrades, "Ask the town for its limit; spread the climb over more length.")
}

// wallChecks holds the fall away from each wall against the building code.
func (w *work) wallChecks() []check.Check {
	var out []check.Check
	for _, e := range w.walls() {
		away := w.awayFrom(e)
		level := check.Care
		toward := away < -slopeRoom
		if toward {
			level = check.Stop
		}
		name := w.in.wall(e.Index)
		c := check.AtLeast("grade.to-building", slopeShown(away), slopeShown(buildingSlope-quantity.Slope(tapeRoom)), level,
			fmt.Sprintf("The slab falls %s away from %s.", w.shown(away), name),
			fmt.Sprintf("The slab falls %s away from %s; paving within %s of a foundation falls at least 2 %% away.", w.shown(away), name, w.in.either("10 ft", "3 m")),
			sources.FoundationGrades, "Send the water away from that wall, or put a drain along it and ask the building office.")
		if toward {
			c.Says = fmt.Sprintf("Water runs %s toward %s.", w.shown(-away), name)
		}
		c.Where = "side " + w.sideName(e.Index)
		out = append(out, c)
	}
	return out
}

// awayFrom is the least slope away from a side among the panels along it.
func (w *work) awayFrom(e geometry.Edge) quantity.Slope {
	least := math.Inf(1)
	for _, k := range w.panelsAlong(e) {
		least = math.Min(least, e.Outward.Dot(w.panels[k].Plane.slope()))
	}
	return quantity.Slope(least)
}

func (w *work) accessChecks() []check.Check {
	limit := slopeShown(accessibleSlope)
	out := []check.Check{check.AtMost("grade.accessible", slopeShown(w.Slope), limit, check.Stop,
		fmt.Sprintf("The steepest slope is %s, within 1:48.", w.shown(w.Slope)),
		fmt.Sprintf("The steepest slope is %s; an accessible parking place or cross slope may have 1:48 (2.08 %%).", w.shown(w.Slope)),
		sources.AccessSlopes, "Lower the ties or lengthen the slab; a running slope to 1:20 needs a walk laid out for it.")}
	built := w.Slope + finishing
	return append(out, check.AtMost("grade.accessible-as-built", slopeShown(built), limit, check.Care,
		fmt.Sprintf("With %s of finishing it is %s at worst, within 1:48.", w.in.either("1/4 in in 10 ft", "6 mm in 3 m"), w.shown(built)),
		fmt.Sprintf("%s as drawn is within 1:48 but %s of finishing can make it %s.", w.shown(w.Slope), w.in.either("1/4 in in 10 ft", "6 mm in 3 m"), w.shown(built)),
		sources.AccessSlopes, "Design to 1.5 to 1.8 % and check with a short level before the bleed water is gone: least_slope: 1.5 %."))
}

// groundChecks says how well the ground is known.
func (w *work) groundChecks() []check.Check {
	if w.ground.shots < 3 {
		return []check.Check{{ID: "grade.ground", Level: check.Care, Source: sources.OwnRule,
			Says: fmt.Sprintf("The ground is not measured (%s): dig, haul and levels are a guess until it is.", w.ground.says),
			Then: []string{"Shoot the four corners and the middle: site: {shots: …}."}}}
	}
	if w.ground.hull.IsEmpty() {
		return []check.Check{{ID: "grade.ground", Level: check.Care, Source: sources.OwnRule,
			Says: fmt.Sprintf("All %d shots lie on one line: the ground beside it is a guess.", w.ground.shots), Then: []string{"Take shots on both sides of the line."}}}
	}
	outside := 0.0
	for _, p := range w.Dig {
		rest, err := p.Difference(w.ground.hull)
		if err != nil {
			return nil
		}
		for _, q := range rest {
			outside += q.Area()
		}
	}
	share := outside / w.digArea()
	return []check.Check{check.AtMost("grade.extrapolated", quantity.Plain(share, quantity.AsPercent), quantity.Plain(extrapolatedMost, quantity.AsPercent), check.Care,
		fmt.Sprintf("%d shots cover the dig; %s of it lies outside them.", w.ground.shots, percentOf(outside, w.digArea())),
		fmt.Sprintf("%s of the dig lies outside the shots; there the ground runs out to the shots' mean plane.", percentOf(outside, w.digArea())),
		sources.OwnRule, "Take shots a few feet outside the slab all round.")}
}

// edgeCheck looks for ground that stands over the slab and for a slab that stands far out of it, at free corners.
func (w *work) edgeCheck() []check.Check {
	var buried, proud Stake
	for i, c := range w.Corners {
		before := (i + len(w.Corners) - 1) % len(w.Corners)
		if w.in.wall(i) != "" && w.in.wall(before) != "" {
			continue
		}
		if c.Ground-c.Elevation > buried.Ground-buried.Elevation {
			buried = c
		}
		if c.Elevation-c.Ground > proud.Elevation-proud.Ground {
			proud = c
		}
	}
	var out []check.Check
	if over := buried.Ground - buried.Elevation; over > quantity.Length(tapeRoom) {
		level := check.Care
		if over > cliff {
			level = check.Stop
		}
		out = append(out, check.Check{ID: "grade.ground-above", Level: level, Where: "corner " + buried.Name, Value: quantity.Show(over, quantity.AsDrop), Source: sources.DrainRules,
			Says: fmt.Sprintf("The ground stands %s above the slab at corner %s: yard water runs onto it.", w.text(quantity.Show(over, quantity.AsDrop)), buried.Name),
			Then: []string{"Grade the ground down to " + w.in.either("1 in", "25 mm") + " below the edge, or cut a swale round it at 2 %.", "Raise the slab: a higher tie or reveal."}})
	}
	if above := proud.Elevation - proud.Ground; w.ground.shots > 0 && above > w.in.Thickness.Value+quantity.Length(tapeRoom) {
		out = append(out, check.Check{ID: "grade.proud", Level: check.Care, Where: "corner " + proud.Name, Value: quantity.Show(above, quantity.AsDrop), Limit: w.in.Thickness.Show(quantity.AsThickness), Source: sources.OwnRule,
			Says: fmt.Sprintf("At corner %s the slab stands %s out of the ground: stone and edge show, and wheels drop off it.", proud.Name, w.text(quantity.Show(above, quantity.AsDrop))),
			Then: []string{"Bank the ground up to it, thicken the edge down to the ground, or lower the slab."}})
	}
	return out
}

// concreteCheck compares the concrete on the base as shot with the drawing, and looks for thin spots.
func (w *work) concreteCheck() []check.Check {
	if len(w.in.BaseShots) == 0 {
		return nil
	}
	nominal := float64(w.bulk.total())
	over := float64(w.NetVolume)/nominal - 1
	out := []check.Check{check.AtMost("grade.over-dug", quantity.Plain(over, quantity.AsPercent), quantity.Plain(overExcavation, quantity.AsPercent), check.Care,
		fmt.Sprintf("The base as shot takes %s, %+.1f %% on the drawing.", w.text(quantity.Show(w.NetVolume, quantity.AsVolume)), 100*over),
		fmt.Sprintf("The base as shot takes %s, %.0f %% over the drawing: it lies low.", w.text(quantity.Show(w.NetVolume, quantity.AsVolume)), 100*over),
		sources.CommonPractice, "Add stone and roll it: it costs less than concrete.")}
	thin, at := math.Inf(1), Spot{}
	for _, s := range w.in.BaseShots {
		if w.slab.Contains(s.At) && w.top(s.At)-s.Elevation.Value.Metres()-w.thick(s.At) < thin-w.thick(at.At) {
			thin, at = w.top(s.At)-s.Elevation.Value.Metres(), s
		}
	}
	if math.IsInf(thin, 1) {
		return out
	}
	c := check.AtLeast("grade.thin", quantity.Plain(thin, quantity.AsThickness), quantity.Plain(w.thick(at.At)-w.in.tapeStep(), quantity.AsThickness), check.Stop,
		fmt.Sprintf("The thinnest spot of the base shots leaves %s of concrete.", w.text(quantity.Plain(thin, quantity.AsThickness))),
		fmt.Sprintf("At %s only %s of concrete would lie on the base; %s is drawn.", spotWords(at), w.text(quantity.Plain(thin, quantity.AsThickness)), w.text(quantity.Plain(w.thick(at.At), quantity.AsThickness))),
		sources.CommonPractice, "Scrape the base down there before the truck comes.")
	c.Where = spotWords(at)
	return append(out, c)
}

func spotWords(s Spot) string {
	if s.Name != "" {
		return "base shot " + s.Name
	}
	return fmt.Sprintf("base shot at %.1f, %.1f m", s.At.X, s.At.Y)
}

func (w *work) softCheck() check.Check {
	c := check.Check{ID: "grade.soft-ground", Source: sources.CommonPractice, Level: check.Care,
		Says: "Nobody probed the ground yet: walk the dig with a bar; roots, black soil, mud or a heel that sinks is soft ground.",
		Then: []string{"Answer soft_ground: yes or no when the dig is open."}}
	switch {
	case w.in.Soft.Given() && w.in.Soft.Value || w.in.Soil.Value == Topsoil && w.in.Soil.Origin != known.Assumed:
		c.Level = check.Stop
		c.Says = "Soft, organic, frozen, swelling or pumping ground: no slab on that."
		c.Then = []string{"Dig it out until firm (" + w.in.either("6 to 24 in", "150 to 600 mm") + "), lay fabric, refill with rock in lifts, roll again.", "If it stays soft, stop and call an engineer. Never wet-set on puddles or frost."}
	case w.in.Soft.Given():
		c.Level, c.Then = check.Good, nil
		c.Says = "The ground was probed and is firm."
	}
	return c
}

func (w *work) frostCheck() check.Check {
	row, _ := soilOf(w.in.Soil.Value)
	c := check.Check{ID: "grade.frost", Level: check.Good, Source: sources.CommonPractice, Says: fmt.Sprintf("%s does not heave much in frost.", capital(string(w.in.Soil.Value)))}
	deep := w.in.Frost.Value
	switch {
	case row.frost && !w.in.Frost.Given():
		c.Level, c.Says = check.Care, "Is there frost here, and silt in the ground? Silty ground above frost depth heaves the slab."
		c.Then = []string{"Type frost_depth: the building office knows it; 0 where the ground does not freeze."}
	case row.frost && deep > quantity.Length(w.in.depth()):
		c.Level, c.Limit, c.Value = check.Care, quantity.Show(deep, quantity.AsDrop), quantity.Plain(w.in.depth(), quantity.AsDrop)
		c.Says = fmt.Sprintf("Frost goes %s deep, the stone only %s: the slab will move some. Keep it loose from footings and stoops.", w.text(c.Limit), w.text(c.Value))
		c.Then = []string{"Full-depth isolation at everything that stands on footings; open-graded stone that drains to daylight."}
	case row.frost:
		c.Says = "The stone reaches below the frost."
	}
	return c
}

func (w *work) liftCheck() check.Check {
	then := []string{"Wet dust, dry mud: sprinkle or wait. Proof-roll with a loaded truck: under " + w.in.either("1/2 in", "13 mm") + " of give, no pumping."}
	if w.WaterToAdd > 0 {
		then = append([]string{fmt.Sprintf("Sprinkle about %s over all of it if it comes as dry as assumed.", w.text(quantity.Show(w.WaterToAdd, quantity.AsWater)))}, then...)
	}
	if w.FabricArea > 0 {
		then = append(then, fmt.Sprintf("Lay fabric first: %s with its laps, upper sheet over lower down the slope.", w.text(quantity.Show(w.FabricArea, quantity.AsArea))))
	}
	return check.Check{ID: "grade.compaction", Level: check.Care, Value: quantity.Counted(w.Lifts), Source: sources.Proctor,
		Says: fmt.Sprintf("Roll the stone in %d lifts, none over %s loose, %.0f passes each, about %s of plate time; damp enough that a squeezed handful holds and breaks clean; to %s of its standard (Proctor) weight.",
			w.Lifts, w.text(w.in.Lift.Show(quantity.AsDrop)), float64(w.in.Plate.Passes.Value), w.text(quantity.Show(w.Rolling, quantity.AsHours)), w.text(w.in.PackedTo.Show(quantity.AsPercent))),
		Then: then}
}

func (w *work) haulCheck() check.Check {
	c := check.Check{ID: "grade.spoil", Level: check.Good, Value: quantity.Counted(w.HaulLoads), Source: sources.CommonPractice,
		Says: fmt.Sprintf("Spoil: %s as it lies, %s loose to haul in %d loads, %s left on site.", w.text(quantity.Show(w.Cut, quantity.AsVolume)), w.text(quantity.Show(w.Loose, quantity.AsVolume)), w.HaulLoads, w.text(quantity.Show(w.Left, quantity.AsVolume)))}
	if w.Left > 0 {
		c.Level, c.Then = check.Care, []string{"Show where it stays: off roots, off the neighbour, out of the water's way."}
	}
	return c
}

// safety is about people at the dig.
func (w *work) safety() []check.Check {
	deepest := w.DigDepth.Metres()
	for _, c := range w.Cells {
		deepest = math.Max(deepest, c.Depth.Metres())
	}
	out := []check.Check{
		check.Caution("grade.buried", "Before digging: locate marks on the ground, private lines asked for; by hand or vacuum within the hand-dig zone of every mark.", sources.BuriedLines),
		check.Caution("grade.spoil-back", fmt.Sprintf("Keep spoil and machines %s back from the edge of the dig.", w.text(quantity.Show(spoilSetback, quantity.AsDistance))), sources.SpoilBack),
	}
	if deepest >= trenchDepth {
		c := check.Caution("grade.trench", fmt.Sprintf("The dig goes %s deep: from %s on nobody goes in without sloping, shoring or a box; less in bad ground.", w.text(quantity.Plain(deepest, quantity.AsDistance)), w.in.either("5 ft", "1.5 m")), sources.TrenchSafety,
			"Slope or shore it; a competent person looks at it every day and after rain.")
		c.Level, c.Value, c.Limit = check.Stop, quantity.Plain(deepest, quantity.AsDistance), quantity.Plain(trenchDepth, quantity.AsDistance)
		out = append(out, c)
	}
	return out
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// inward is the direction from a corner into the slab.
func inward(before, at, after geometry.Point) geometry.Point {
	d := before.Sub(at).Unit().Add(after.Sub(at).Unit()).Unit()
	if geometry.Orient(before, at, after) < 0 {
		return d.Scale(-1)
	}
	return d
}
