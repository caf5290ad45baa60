package site

import (
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// boxOutChord is how far the chords of a round box-out may leave the circle: finer than a former is cut.
const boxOutChord = 0.003

// alongTolerance is how far a wall may stand from a side and still be called along it: wider than an isolation strip.
const alongTolerance = 0.03

// leastTrees: a root zone is never smaller than 6 ft; Fence clearance for form and strip room is 2 ft.
var (
	leastRootZone  = quantity.Feet(6)
	formRoom       = quantity.Feet(2)
	postClearance  = quantity.Feet(10)
	boomClearance  = quantity.Feet(20)
	bigRoot        = quantity.Inches(2)
	rootShareLimit = quantity.Percent(0.10)
)

func (o Obstacle) title(i int) string {
	if o.Name != "" {
		return o.Name
	}
	return fmt.Sprintf("%s %d", o.Kind, i+1)
}

func (k Kind) buried() bool {
	return k == Power || k == Gas || k == Comm || k == Drinking || k == Sewer
}

// rigid things must not be bonded to the slab: it moves, they do not.
func (k Kind) rigid() bool {
	return k == Building || k == Wall || k == Old || k == Post || k == Lid || k == Pipe
}

func (in Input) thing(i int, o Obstacle) Thing {
	t := Thing{Kind: o.Kind, Name: o.title(i), Centre: point(o.X, o.Y), Radius: o.Across.Value.Metres() / 2}
	if !o.Across.Given() {
		squares := 0.0
		for _, s := range o.Stems {
			squares += s.Metres() * s.Metres()
		}
		t.Radius = math.Sqrt(squares) / 2
	}
	for _, c := range o.Line {
		t.Line = append(t.Line, point(c.X, c.Y))
	}
	if len(t.Line) > 0 {
		t.Centre, t.Radius = geometry.Point{}, 0
	}
	switch {
	case o.Kind == Tree:
		t.Zone = max(in.rootRadius(o), leastRootZone.Metres())
	case o.Kind.buried():
		t.Zone = in.ToleranceZone.Value.Metres() + o.Across.Value.Metres()/2
	case o.Kind == Overhead:
		t.Zone = postClearance.Metres()
	case o.Kind == Fence:
		t.Zone = formRoom.Metres()
	}
	return t
}

// rootRadius is the root protection radius of a tree, m: of one stem the factor times its diameter; of several that of the rule
// for stems, in the same proportion.
func (in Input) rootRadius(o Obstacle) float64 {
	factor := float64(in.RootRadius.Value)
	if len(o.Stems) == 0 {
		return factor * o.Across.Value.Metres()
	}
	var d []float64
	for _, s := range o.Stems {
		d = append(d, s.Metres())
	}
	r, err := stemsRadius(d)
	if err != nil {
		return factor * o.Across.Value.Metres()
	}
	return r * factor / usualRootFactor
}

// usualRootFactor is the factor the rule for several stems is written with.
const usualRootFactor = 12

// relate says whether the thing stands in the slab or against it.
func (t *Thing) relate(slab geometry.Polygon) {
	if t.Radius > 0 {
		disc := geometry.Disc(t.Centre, t.Radius, boxOutChord)
		t.InSlab = geometry.Polygon{Outer: slab.Outer}.Contains(t.Centre)
		t.Touches = t.Kind.rigid() && slab.DistanceTo(disc) < alongTolerance
		return
	}
	for _, s := range t.segments() {
		mid := s.A.Lerp(s.B, 0.5)
		t.InSlab = t.InSlab || slab.Locate(s.A) == geometry.Inside || slab.Locate(s.B) == geometry.Inside || slab.Locate(mid) == geometry.Inside
	}
}

// closed says whether the line of a thing is an outline.
func (t Thing) closed() bool {
	return (t.Kind == Building || t.Kind == Old || t.Kind == Soft) && len(t.Line) > 2
}

func (t Thing) segments() []geometry.Segment {
	var out []geometry.Segment
	for i := 1; i < len(t.Line); i++ {
		out = append(out, geometry.Segment{A: t.Line[i-1], B: t.Line[i]})
	}
	if t.closed() {
		out = append(out, geometry.Segment{A: t.Line[len(t.Line)-1], B: t.Line[0]})
	}
	return out
}

// runsAlong says whether a side of the slab runs along this wall, building or old slab: the side's middle and a good part
// of its length lie on it.
func (t Thing) runsAlong(side geometry.Segment) bool {
	if t.Kind != Building && t.Kind != Wall && t.Kind != Old {
		return false
	}
	for _, s := range t.segments() {
		on := 0
		for _, share := range []float64{0.1, 0.3, 0.5, 0.7, 0.9} {
			if s.Distance(side.A.Lerp(side.B, share)) < alongTolerance {
				on++
			}
		}
		if on >= 3 {
			return true
		}
	}
	return false
}

// boxOut is the hole left in the slab round a thing that stands in it: its own shape and the isolation strip; nil round what
// stands elsewhere, and round what is only a line.
func (in Input) boxOut(t Thing, slab geometry.Polygon) []geometry.Point {
	if !t.InSlab {
		return nil
	}
	if t.Radius > 0 {
		return reversed(geometry.Disc(t.Centre, t.Radius+in.Isolation.Value.Metres(), boxOutChord).Oriented().Outer)
	}
	outer := geometry.Polygon{Outer: slab.Outer}
	if len(t.Line) < 3 || !t.Kind.rigid() || t.Kind == Wall || slices.ContainsFunc(t.Line, func(q geometry.Point) bool { return outer.Locate(q) != geometry.Inside }) {
		return nil
	}
	wide, err := geometry.Polygon{Outer: t.Line}.Offset(in.Isolation.Value.Metres())
	if err != nil || len(wide) != 1 {
		return nil
	}
	return reversed(wide[0].Oriented().Outer)
}

func reversed(ring []geometry.Point) []geometry.Point {
	out := slices.Clone(ring)
	slices.Reverse(out)
	return out
}

// clearances holds every thing against the distance it asks for.
func (r *Result) clearances(in Input) []check.Check {
	var out []check.Check
	dig := r.dig(in)
	for i, t := range r.Things {
		switch {
		case t.Kind == Tree:
			out = append(out, treeCheck(in, t, dig))
		case t.Kind.buried():
			out = append(out, buriedCheck(in, t, dig))
		case t.Kind == Overhead:
			out = append(out, overheadCheck(in, in.Obstacles[i], t))
		case t.Kind == Fence:
			out = append(out, fenceCheck(in, t, r.Outline))
		}
		if t.Touches {
			out = append(out, check.Check{ID: "site.isolate", Level: check.Care, Where: t.Name, Source: sources.CommonPractice,
				Says: fmt.Sprintf("The slab touches %s: put a full-depth isolation strip there.", t.Name),
				Then: []string{fmt.Sprintf("Set a %s strip, top flush with the slab.", in.Isolation.Show(quantity.AsDrop).String(in.Units))}})
		}
	}
	return out
}

// dig is the ground that will be opened: the slab and the room for forms past its edge, not past walls.
func (r *Result) dig(in Input) geometry.Polygon {
	wide, err := geometry.Polygon{Outer: r.Outline.Outer}.Offset(in.DigMargin.Value.Metres())
	if err != nil || len(wide) == 0 {
		return r.Outline
	}
	return wide[0]
}

func treeCheck(in Input, t Thing, dig geometry.Polygon) check.Check {
	share := rootShare(t, dig)
	c := check.AtMost("site.roots", quantity.Plain(share, quantity.AsPercent), quantity.Plain(float64(rootShareLimit), quantity.AsPercent), check.Care,
		fmt.Sprintf("The dig takes %s of the root zone of %s (radius %s).", quantity.Plain(share, quantity.AsPercent).String(in.Units), t.Name, metres(t.Zone, in.Units)),
		fmt.Sprintf("The dig takes %s of the root zone of %s (radius %s); past a tenth a tree may die or heave the slab.", quantity.Plain(share, quantity.AsPercent).String(in.Units), t.Name, metres(t.Zone, in.Units)),
		sources.RootRadius, "Move the slab away, build the base up instead of digging there, or ask an arborist.",
		fmt.Sprintf("Cut no root thicker than %s without an arborist; dig there by hand.", quantity.Show(bigRoot, quantity.AsDrop).String(in.Units)))
	c.Where = t.Name
	return c
}

// rootShare is the share of a tree's root disc that lies in the dig.
func rootShare(t Thing, dig geometry.Polygon) float64 {
	disc := geometry.Disc(t.Centre, t.Zone, zoneChord)
	common, err := disc.Intersection(dig)
	if err != nil {
		return 1
	}
	area := 0.0
	for _, p := range common {
		area += p.Area()
	}
	return area / disc.Area()
}

func buriedCheck(in Input, t Thing, dig geometry.Polygon) check.Check {
	gap := t.distance(dig)
	c := check.AtLeast("site.buried-line", quantity.Plain(gap, quantity.AsDistance), quantity.Plain(t.Zone, quantity.AsDistance), check.Stop,
		fmt.Sprintf("%s runs %s from the dig, outside its hand-dig zone.", t.Name, metres(gap, in.Units)),
		fmt.Sprintf("%s runs %s from the dig: inside the %s hand-dig zone. No machine there.", t.Name, metres(gap, in.Units), metres(t.Zone, in.Units)),
		sources.BuriedLines, "Expose the line by hand or vacuum before any machine works near it; depth is never known until it is seen.")
	c.Where, c.Safety = t.Name, true
	return c
}

// HandDig is the ground within the hand-dig zone of a buried thing, in plan; none where nothing is buried.
func (t Thing) HandDig() ([]geometry.Polygon, error) {
	if !t.Kind.buried() {
		return nil, nil
	}
	var zones []geometry.Polygon
	if t.Radius > 0 {
		zones = append(zones, geometry.Disc(t.Centre, t.Radius+t.Zone, zoneChord))
	}
	for _, s := range t.segments() {
		n := s.Direction().Left().Scale(t.Zone)
		if n != (geometry.Point{}) {
			zones = append(zones, geometry.Polygon{Outer: []geometry.Point{s.A.Sub(n), s.B.Sub(n), s.B.Add(n), s.A.Add(n)}}, geometry.Disc(s.A, t.Zone, zoneChord), geometry.Disc(s.B, t.Zone, zoneChord))
		}
	}
	joined, err := geometry.Union(zones...)
	if err != nil {
		return nil, fmt.Errorf("site: hand-dig zone of %s: %w", t.Name, err)
	}
	return joined, nil
}

// zoneChord is how far the chords of a zone may leave its circle, m: finer than a mark on grass.
const zoneChord = 0.01

func overheadCheck(in Input, o Obstacle, t Thing) check.Check {
	says := fmt.Sprintf("%s overhead: keep truck, chute, pump boom, ladders and screeds %s away; treat it as live.", t.Name, metres(t.Zone, in.Units))
	if o.Height.Given() {
		says += fmt.Sprintf(" Its lowest wire was given as %s up.", metres(o.Height.Value.Metres(), in.Units))
	}
	c := check.Caution("site.overhead-line", says, sources.OverheadLines,
		"Ask the utility for the voltage: over 50 kV the distance grows.", "Keep a pump boom "+metres(boomClearance.Metres(), in.Units)+" away unless the utility says otherwise.")
	c.Where = t.Name
	return c
}

func fenceCheck(in Input, t Thing, slab geometry.Polygon) check.Check {
	gap := t.distance(slab)
	c := check.AtLeast("site.fence", quantity.Plain(gap, quantity.AsDistance), quantity.Plain(t.Zone, quantity.AsDistance), check.Care,
		fmt.Sprintf("%s is %s off: room to set and strip forms.", t.Name, metres(gap, in.Units)),
		fmt.Sprintf("%s is only %s off: boards and stakes want %s.", t.Name, metres(gap, in.Units), metres(t.Zone, in.Units)),
		sources.CommonPractice, "Take the panel down for the pour, or form against it with a strip.")
	c.Where = t.Name
	return c
}

func (t Thing) distance(p geometry.Polygon) float64 {
	if len(t.Line) == 0 {
		return max(0, p.Distance(t.Centre)-t.Radius)
	}
	least := -1.0
	for _, s := range t.segments() {
		if d := segmentDistance(s, p); least < 0 || d < least {
			least = d
		}
	}
	return max(0, least)
}

func segmentDistance(s geometry.Segment, p geometry.Polygon) float64 {
	if p.Contains(s.A) || p.Contains(s.B) {
		return 0
	}
	least := min(p.Distance(s.A), p.Distance(s.B))
	for _, e := range p.Edges() {
		least = min(least, s.DistanceTo(e.Segment))
	}
	return least
}

func metres(v float64, units quantity.System) string {
	return quantity.Plain(v, quantity.AsDistance).String(units)
}

// town asks what only the town can answer, and judges what was answered.
func (r *Result) town(in Input) []check.Check {
	ask := func(id check.ID, says string, then ...string) check.Check {
		return check.Check{ID: id, Level: check.Care, Says: says, Source: sources.TownRules, Then: then}
	}
	var out []check.Check
	hard := ask("site.impervious", "Does the town limit how much of the lot may be roof and paving? This slab adds "+quantity.Show(r.Area, quantity.AsArea).String(in.Units)+".",
		"Ask the building office; type lot: {area, hard_area, most_hard}.")
	if in.Town.Area.Value > 0 && in.Town.Hard.Given() && in.Town.Most.Given() {
		share := quantity.Percent(float64(in.Town.Hard.Value+r.Area) / float64(in.Town.Area.Value))
		text := quantity.Show(share, quantity.AsPercent).String(in.Units)
		hard = check.AtMost("site.impervious", quantity.Show(share, quantity.AsPercent), quantity.Show(in.Town.Most.Value, quantity.AsPercent), check.Stop,
			fmt.Sprintf("With this slab %s of the lot is hard, within the town's limit.", text), fmt.Sprintf("With this slab %s of the lot is hard, over the town's limit.", text),
			sources.TownRules, "Make it smaller, take other paving out, or ask for paving that drains.")
	}
	out = append(out, hard, r.setback(in, ask))
	if !in.Town.Permit.Value {
		out = append(out, ask("site.permit", "Has the building office been asked about easements, a drainage permit and the curb cut?", "Ask before the forms go in; type lot: {permit_asked: yes}."))
	}
	return out
}

// setback holds the slab against the nearest lot line.
func (r *Result) setback(in Input, ask func(check.ID, string, ...string) check.Check) check.Check {
	near, name := -1.0, ""
	for _, t := range r.Things {
		if t.Kind == Lot {
			if d := t.distance(r.Outline); near < 0 || d < near {
				near, name = d, t.Name
			}
		}
	}
	switch {
	case near < 0:
		return ask("site.setback", "Where is the lot line, and how far must a slab stay from it?", "Find the pins or the plat; add the lot line as an obstacle, and type lot: {setback: …}.")
	case !in.Town.Setback.Given():
		return ask("site.setback", fmt.Sprintf("The slab stays %s from %s: what does the town ask?", metres(near, in.Units), name), "Ask the building office; type lot: {setback: …}.")
	}
	c := check.AtLeast("site.setback", quantity.Plain(near, quantity.AsDistance), in.Town.Setback.Show(quantity.AsDistance), check.Stop,
		fmt.Sprintf("The slab stays %s from %s.", metres(near, in.Units), name),
		fmt.Sprintf("The slab comes within %s of %s; the town asks %s.", metres(near, in.Units), name, in.Town.Setback.Show(quantity.AsDistance).String(in.Units)),
		sources.TownRules, "Move or trim the slab, or ask for a variance.")
	c.Where = name
	return c
}

// locate is the law before the first shovel.
func (r *Result) locate(in Input) check.Check {
	if in.Locate.Ticket == "" || !in.Locate.LegalStart.Given() {
		r.DoNotDig = true
		return check.Check{ID: "site.locate", Level: check.Stop, Safety: true, Source: sources.OneCall,
			Says: "DO NOT DIG: 811 not called. No locate ticket and legal start are on this job.",
			Then: []string{"Call 811 (or the local one-call service) 2 to 10 working days before digging; type the ticket number and the legal start.",
				"Private lines (sprinkler, septic, grill gas, yard power) are not marked by 811: look for them too."}}
	}
	c := check.Check{ID: "site.locate", Level: check.Good, Safety: true, Source: sources.OneCall,
		Says: fmt.Sprintf("Locate ticket %s; digging is legal from %s. Renew marks before they expire.", in.Locate.Ticket, in.Locate.LegalStart.Value)}
	what := "the dig"
	if in.DigDate.Origin == known.Computed {
		what = "the pour"
	}
	if e := in.Locate.Expires; e.Given() && in.DigDate.Given() && e.Value.Before(in.DigDate.Value) {
		c.Level = check.Stop
		c.Says = fmt.Sprintf("The marks of ticket %s run out on %s, before %s on %s.", in.Locate.Ticket, e.Value, what, in.DigDate.Value)
		c.Then = []string{"Call again and have the marks renewed before the machine comes."}
		if what == "the pour" {
			c.Level = check.Care
			c.Then = append(c.Then, "If the dig is done before that, type its day: dig_date.")
		}
		return c
	}
	if in.DigDate.Given() && in.DigDate.Value.Before(in.Locate.LegalStart.Value) {
		c.Level = check.Stop
		c.Says = fmt.Sprintf("Digging is legal from %s; %s is set for %s.", in.Locate.LegalStart.Value, what, in.DigDate.Value)
		c.Then = []string{"Move " + what + "."}
		return c
	}
	if !in.Locate.Expires.Given() {
		c.Says += " Nobody typed when they do."
		c.Level, c.Then = check.Care, []string{"Ask how long marks hold here (often 10 to 30 days) and type marks_expire."}
	}
	if !in.Locate.Private.Value {
		c.Level = check.Care
		c.Says += " Private lines have not been looked for."
		c.Then = append(c.Then, "Ask the owner for sprinkler, septic, gas and yard power lines; nobody marks those.")
	}
	return c
}
