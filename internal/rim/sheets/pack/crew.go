package pack

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/draft"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/site"
	"slabwright/internal/trade/slab"
	"slabwright/internal/trade/steel"
)

// smallWorth is what a drawing is worth beside text of 12 pt, where 14 pt is worth one: the body is to be read at arm's length.
const smallWorth = 0.75

// crewLayout sets the sheet with the plan in a height, so many cautions, in 12 or 14 pt; height zero leaves the plan out. It
// says how large the plan is drawn, millimetres a metre.
type crewLayout func(pic drawing.Picture, height float64, cautions int, small bool) (*document.Doc, float64)

// crewSheet is one printed side that answers a crew without a screen: when, how much, the five numbers, the plan with cuts,
// drops and fall, the order of work, what is buried, what can hurt someone. The plan takes the full width or stands beside the
// numbers, whichever draws the slab larger; cautions fill what is left, the others stand on the sheet behind.
func crewSheet(m *maker) (*document.Doc, error) {
	pic, ok := m.crewPlan()
	if !ok {
		return nil, nil
	}
	var best *document.Doc
	var grow func(cautions int) (*document.Doc, float64)
	var most, drawn float64
	var err error
	for _, small := range []bool{false, true} {
		for _, set := range []crewLayout{m.crewWide, m.crewTall} {
			fit := func(cautions int) (*document.Doc, float64) { return m.crewFitted(pic, cautions, small, set) }
			doc, scale := fit(leastOnCrewSheet)
			worth := scale
			if small {
				worth *= smallWorth
			}
			switch {
			case doc.Err() != nil:
				err = doc.Err()
			case worth > most:
				best, grow, most, drawn = doc, fit, worth, scale
			}
		}
	}
	if best == nil {
		return nil, err
	}
	for cautions := leastOnCrewSheet + 1; cautions <= mostOnCrewSheet; cautions++ {
		doc, scale := grow(cautions)
		if doc.Err() != nil || scale < drawn {
			break
		}
		best = doc
	}
	return best, nil
}

// crewFitted gives the plan the room the rest leaves.
func (m *maker) crewFitted(pic drawing.Picture, cautions int, small bool, set crewLayout) (*document.Doc, float64) {
	around, _ := set(pic, 0, cautions, small)
	doc, scale := set(pic, document.Room(m.paper)-around.Height()-6, cautions, small)
	if doc.Height() > document.Room(m.paper) {
		doc.Try(fmt.Errorf("pack: the crew sheet needs %.0f mm and has %.0f", doc.Height(), document.Room(m.paper)))
	}
	return doc, scale
}

// crewHead starts the sheet with when and how much.
func (m *maker) crewHead(small bool) *document.Doc {
	doc := document.New("crew-sheet", "Crew sheet", m.paper)
	if small {
		doc.Small()
	}
	doc.Keys(m.crewKeys()...)
	if m.plan.Replaces != "" {
		doc.Strong(m.replaces() + " What changed is ringed.")
	}
	if says := m.dontPour(); says != "" {
		doc.Caution("DON'T POUR at this hour as the forecast stands", says)
	}
	return doc
}

// dontPour is why the hour on top is one not to pour at; empty when it is not.
func (m *maker) dontPour() string {
	p, ok := of[pour.Result](m.reading, "pour")
	if !ok || p.Verdict != check.Stop {
		return ""
	}
	for _, c := range p.Checks {
		if c.Level == check.Stop {
			return sentence(join(" ", c.Says, join(" ", c.Then...)))
		}
	}
	return ""
}

// crewWide has the five numbers in a row over the plan.
func (m *maker) crewWide(pic drawing.Picture, height float64, cautions int, small bool) (doc *document.Doc, scale float64) {
	doc = m.crewHead(small)
	doc.Keys(m.fiveNumbers()...)
	if height > 0 {
		scale = m.setFigure(&doc.Flow, pic, height)
	}
	m.crewText(doc, cautions)
	return doc, scale
}

// crewTall has the five numbers beside the plan, north under them where it fits.
func (m *maker) crewTall(pic drawing.Picture, height float64, cautions int, small bool) (doc *document.Doc, scale float64) {
	const share = 0.68
	doc = m.crewHead(small)
	if height > 0 {
		beside := layout.North{}
		numbers := func(f *document.Flow) {
			f.Figures(m.fiveNumbers()...)
			if f.Height()+document.NorthHeight <= height {
				beside = m.north(pic)
				f.North(beside)
			}
		}
		m.crewHead(small).Beside(share, func(*document.Flow) {}, numbers)
		under := m.north(pic)
		under.Shown = under.Shown && !beside.Shown
		doc.Beside(share, func(f *document.Flow) {
			var err error
			scale, err = f.Figure(pic, height, m.units, under)
			f.Try(err)
		}, numbers)
	}
	m.crewText(doc, cautions)
	return doc, scale
}

// crewText is the order of work over what runs in the ground and what can hurt someone.
func (m *maker) crewText(doc *document.Doc, most int) {
	doc.Steps(m.orderOfWork()...)
	doc.Caution("Take care", append(m.lines(), m.crewCautions(most)...)...)
}

// setFigure sets a plan at the first of the heights that holds it and says how large it is drawn, millimetres a metre.
func (m *maker) setFigure(f *document.Flow, pic drawing.Picture, heights ...float64) float64 {
	var scale float64
	var err error
	for _, height := range heights {
		if scale, err = f.Figure(pic, height, m.units, m.north(pic)); err == nil {
			return scale
		}
	}
	f.Try(err)
	return 0
}

// firstPlan is the first plan that one of the stages draws, without its legend.
func (m *maker) firstPlan(stages ...string) (drawing.Picture, bool) {
	for _, stage := range stages {
		if r, ok := m.plan.Of(stage); ok {
			for _, pic := range r.Drawn() {
				if draft.LooksDown(pic) && len(pic.Marks) > 0 {
					pic.Legend = nil
					return pic, true
				}
			}
		}
	}
	return drawing.Picture{}, false
}

func (m *maker) crewKeys() []document.Key {
	at, said := m.plan.Job.PourAt()
	says := m.longDay(at) + ", first truck on site"
	if !said {
		says += " (day not said yet)"
	}
	keys := []document.Key{{Figure: m.clock(at), Says: says}}
	if o, ok := of[order.Result](m.reading, "order"); ok {
		says := "concrete, one load"
		if len(o.Loads) > 1 {
			says = fmt.Sprintf("concrete, %d loads, %.0f min apart", len(o.Loads), o.Spacing.Minutes())
		}
		keys = append(keys, document.Key{Figure: order.WriteAmount(o.Today(), m.units), Says: join(", ", says, o.Day())})
	}
	return keys
}

// fiveNumbers are the ones a crew sets things by.
func (m *maker) fiveNumbers() []document.Key {
	var keys []document.Key
	add := func(figure, says string) {
		if figure != "" {
			keys = append(keys, document.Key{Figure: figure, Says: says})
		}
	}
	if g, ok := of[grade.Result](m.reading, "grade"); ok && g.DigDepth > 0 {
		add(m.show(quantity.Show(g.DigDepth, quantity.AsDrop)), "dig, deepest")
	}
	add(m.baseDepth(), "stone, packed")
	add(m.figure("slab.thickness"), "concrete")
	if s, ok := of[steel.Result](m.reading, "steel"); ok && s.Grid.Spacing > 0 {
		add(m.show(quantity.Show(s.Grid.Spacing, quantity.AsDrop)), "bars "+s.Grid.Size+" apart")
	}
	if j, ok := of[joints.Result](m.reading, "joints"); ok && len(j.Cuts) > 0 {
		add(m.show(quantity.Show(j.SawDepth, quantity.AsDrop)), counted(len(j.Cuts), "saw cut"))
	}
	return keys
}

// baseDepth is the stone under the slab as shown; empty when there is none.
func (m *maker) baseDepth() string {
	report, ok := m.plan.Of("slab")
	in, isSlab := report.Input.(slab.Input)
	if !ok || !isSlab || in.Base.Value == "none" || in.BaseThickness.Value <= 0 {
		return ""
	}
	return m.show(quantity.Show(in.BaseThickness.Value, quantity.AsThickness))
}

// orderOfWork is what to do, in order, each step with its numbers.
func (m *maker) orderOfWork() []string {
	var steps []string
	add := func(format string, values ...any) { steps = append(steps, fmt.Sprintf(format, values...)) }
	if d := m.diagonals(); d != "" {
		add("Square: %s.", d)
	}
	if g, ok := of[grade.Result](m.reading, "grade"); ok {
		add("Strings: figures at stakes are down to the top of the slab. %s.", join(", ", "Fall "+m.fall(), "water runs "+g.Direction))
	}
	if s, ok := of[steel.Result](m.reading, "steel"); ok && s.Chairs > 0 {
		add("Bars %s on %d chairs, %s high.", s.Grid, s.Chairs, m.show(quantity.Show(s.Chair, quantity.AsDrop)))
	}
	add("%s may add water to the concrete, nobody else.", m.waterBy())
	c, cured := of[cure.Result](m.reading, "cure")
	if j, ok := of[joints.Result](m.reading, "joints"); ok && len(j.Cuts) > 0 {
		add("Saw %s%s.", m.cutTapes(j), m.sawTime(c))
	}
	if end, ok := c.Find("cure_until"); cured && ok && !end.Never && !end.At.IsZero() {
		add("Cure on as soon as it is finished; keep it until %s.", m.day(end.At))
	} else {
		add("Cure on as soon as it is finished.")
	}
	return steps
}

// waterBy is who may allow water, as the order says it, else the foreman.
func (m *maker) waterBy() string {
	if in, ok := m.orderInput(); ok && in.WaterBy.Given() {
		return "Only " + in.WaterBy.Value
	}
	return "Only the foreman"
}

// fall is the slope as the plan letters it: 2.0 %, 1/4"/FT; of several, the first.
func (m *maker) fall() string {
	for _, mark := range m.slope() {
		if a, ok := mark.(drawing.Arrow); ok && a.Says != "" {
			return strings.ReplaceAll(a.Says, "\n", ", ")
		}
	}
	return ""
}

// mostTapes is how many cuts one way are said in words; more are read off the plan.
const mostTapes = 4

// cutTapes says where the cuts are on the tapes: `from A: 13'-4" and 26'-8" along AB`.
func (m *maker) cutTapes(j joints.Result) string {
	ways := []string{}
	for _, way := range []struct {
		across bool
		along  geometry.Point
	}{{true, j.Along}, {false, j.Along.Left()}} {
		var at []quantity.Length
		for _, c := range j.Cuts {
			if c.Across == way.across && !slices.Contains(at, c.Tape) {
				at = append(at, c.Tape)
			}
		}
		if len(at) > mostTapes {
			return fmt.Sprintf("the %d cuts where the plan has them, taped from %s", len(j.Cuts), j.From)
		}
		slices.Sort(at)
		if len(at) > 0 {
			ways = append(ways, m.sides(at)+" along "+m.sideFrom(j, way.along))
		}
	}
	return "from " + j.From + ": " + strings.Join(ways, "; ")
}

// sides lists lengths: `13'-4" and 26'-8"`; one that looks like the one before is said once.
func (m *maker) sides(lengths []quantity.Length) string {
	var out []string
	for _, l := range lengths {
		out = append(out, m.show(quantity.Show(l, quantity.AsSide)))
	}
	out = slices.Compact(out)
	if len(out) < 2 {
		return strings.Join(out, "")
	}
	return strings.Join(out[:len(out)-1], ", ") + " and " + out[len(out)-1]
}

// sideFrom names the side a tape runs along from its corner, else which tape it is.
func (m *maker) sideFrom(j joints.Result, along geometry.Point) string {
	s, _ := of[site.Result](m.reading, "site")
	for _, c := range s.Corners {
		if way := c.At.Sub(j.Origin).Unit(); c.Name != j.From && way.Dot(along) > 0.999 {
			return j.From + c.Name
		}
	}
	if along == j.Along {
		return "the first tape"
	}
	return "the second tape, square to the first"
}

// sawTime is when to saw, empty when nobody computed it.
func (m *maker) sawTime(c cure.Result) string {
	if from, until := m.sawWindow(c); from != "" {
		return ", " + from + " to " + until
	}
	return ""
}

func (m *maker) orderInput() (order.Input, bool) {
	report, _ := m.plan.Of("order")
	in, ok := report.Input.(order.Input)
	return in, ok
}

// mostCorners is how many corners an outline may have for its diagonals to be read out; more are on the site plan's table.
const mostCorners = 7

// diagonals are both diagonals of a four-cornered slab, said once when they are equal, or those from the first corner of
// another outline.
func (m *maker) diagonals() string {
	s, ok := of[site.Result](m.reading, "site")
	n := len(s.Corners)
	if !ok || n < 4 || n > mostCorners {
		return ""
	}
	length := func(i, j int) string {
		return m.show(quantity.Show(quantity.Length(s.Corners[i].At.Distance(s.Corners[j].At)), quantity.AsSide))
	}
	name := func(i, j int) string { return s.Corners[i].Name + s.Corners[j].Name }
	if n == 4 && length(0, 2) == length(1, 3) {
		return fmt.Sprintf("diagonals %s and %s both %s", name(0, 2), name(1, 3), length(0, 2))
	}
	said := []string{}
	for i := 2; i < n-1; i++ {
		said = append(said, name(0, i)+" "+length(0, i))
	}
	if n == 4 {
		said = append(said, name(1, 3)+" "+length(1, 3))
	}
	return "diagonals " + strings.Join(said, ", ")
}

// sawWindow is when a conventional saw may cut, as clock and day, rounded inwards to quarter hours.
func (m *maker) sawWindow(c cure.Result) (from, until string) {
	if c.Poured.IsZero() || c.Saw.Until <= c.Saw.From {
		return "", ""
	}
	const step = 15 * time.Minute
	start, end := c.Poured.Add(duration(c.Saw.From)+step-1).Truncate(step), c.Poured.Add(duration(c.Saw.Until)).Truncate(step)
	at := func(t time.Time) string { return m.clock(t) + " " + m.day(t) }
	return at(start), at(end)
}

// north is where north lies on a plan; a section has none.
func (m *maker) north(pic drawing.Picture) layout.North {
	report, _ := m.plan.Of("site")
	in, _ := report.Input.(site.Input)
	return layout.North{Shown: draft.LooksDown(pic), Turn: float64(in.North.Value)}
}
