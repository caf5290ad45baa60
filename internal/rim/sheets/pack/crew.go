package pack

import (
	"fmt"
	"slices"
	"time"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/grade"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/site"
	"slabwright/internal/trade/slab"
	"slabwright/internal/trade/steel"
)

// leastPlan is the least height left to the plan on a sheet of one side, millimetres.
const leastPlan = 72

// crewSheet is one printed side: when, how much, the five numbers, the plan, the order of work, what can hurt someone. It is
// set with the plan over the full width, or beside the text, whichever draws the slab larger.
func crewSheet(m *maker) (*document.Doc, error) {
	pic, ok := m.crewPlan()
	if !ok {
		return nil, nil
	}
	wide, wideScale := m.crewWide(pic)
	tall, tallScale := m.crewTall(pic)
	if tall.Err() == nil && (wide.Err() != nil || tallScale > wideScale) {
		return tall, nil
	}
	return wide, wide.Err()
}

// crewHead sets what stands on top of the sheet.
func (m *maker) crewHead() *document.Doc {
	doc := document.New("crew-sheet", "Crew sheet", m.paper)
	if s, ok := of[site.Result](m.reading, "site"); ok && s.DoNotDig {
		doc.Caution("DO NOT DIG: 811 not called. Buried lines kill.")
	}
	doc.Keys(m.crewKeys()...)
	return doc
}

// crewWide has the five numbers and the plan over the full width, steps and cautions beside each other under it. Where that is
// too much for one side the lettering shrinks to 12 pt, then the mildest cautions move to the sheet behind.
func (m *maker) crewWide(pic drawing.Picture) (doc *document.Doc, scale float64) {
	set := func(small bool, cautions int, height float64) (*document.Doc, float64) {
		doc, scale := m.crewHead(), 0.0
		if small {
			doc.Small()
		}
		doc.Keys(m.fiveNumbers()...)
		if height > 0 {
			scale = m.setFigure(&doc.Flow, pic, height)
		}
		m.crewNote(&doc.Flow)
		doc.Beside(0.5, func(f *document.Flow) { f.Steps(m.orderOfWork()...) }, func(f *document.Flow) { m.crewCaution(f, cautions) })
		return doc, scale
	}
	small, cautions, room := false, mostOnCrewSheet, 0.0
	for ; cautions > 2; cautions-- {
		around, _ := set(small, cautions, 0)
		if room = document.Room(m.paper) - around.Height() - 6; room >= leastPlan {
			break
		}
		small = true
	}
	return set(small, cautions, room)
}

// crewTall has plan and steps on the left, numbers and cautions on the right.
func (m *maker) crewTall(pic drawing.Picture) (doc *document.Doc, scale float64) {
	const share = 0.64
	left := func(f *document.Flow, height float64) float64 {
		scale := 0.0
		if height > 0 {
			scale = m.setFigure(f, pic, height)
		}
		m.crewNote(f)
		f.Steps(m.orderOfWork()...)
		return scale
	}
	cautions, high := mostOnCrewSheet, 0.0
	right := func(f *document.Flow) {
		numbers := m.fiveNumbers()
		if len(numbers)%2 == 1 {
			numbers = append(numbers, document.Key{})
		}
		for pair := range slices.Chunk(numbers, 2) {
			f.Keys(pair...)
		}
		m.crewCaution(f, cautions)
		high = f.Height()
	}
	doc = m.crewHead()
	doc.Small()
	room := document.Room(m.paper) - doc.Height() - 7
	steps := 0.0
	for ; cautions > 2; cautions-- {
		probe := m.crewHead()
		probe.Small()
		probe.Beside(share, func(f *document.Flow) { left(f, 0); steps = f.Height() }, right)
		if high <= room {
			break
		}
	}
	doc.Beside(share, func(f *document.Flow) { scale = left(f, room-steps-6) }, right)
	if doc.Height() > document.Room(m.paper) {
		doc.Try(fmt.Errorf("pack: the crew sheet needs %.0f mm and has %.0f", doc.Height(), document.Room(m.paper)))
	}
	return doc, scale
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

func (m *maker) crewNote(f *document.Flow) {
	if _, ok := m.plan.Of("grade"); ok {
		f.Note(dropsNote)
	}
}

func (m *maker) crewCaution(f *document.Flow, most int) {
	if list := m.crewCautions(most); len(list) > 0 {
		f.Caution("Take care", list...)
	}
}

// firstPlan is the first plan that one of the stages draws, without its legend.
func (m *maker) firstPlan(stages ...string) (drawing.Picture, bool) {
	for _, stage := range stages {
		if r, ok := m.plan.Of(stage); ok {
			for _, pic := range r.Pictures() {
				if isPlan(pic) && len(pic.Marks) > 0 {
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
		keys = append(keys, document.Key{Figure: order.WriteAmount(o.Yards, m.units), Says: says})
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
		add(m.show(quantity.Show(j.SawDepth, quantity.AsDrop)), fmt.Sprintf("deep, %d cuts", len(j.Cuts)))
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
		add("Diagonals %s.", d)
	}
	if _, ok := m.plan.Of("grade"); ok {
		add("Strings: set the drops shown at the stakes. Arrows show which way water runs.")
	}
	if base := m.baseDepth(); base != "" {
		add("Pack %s of stone. Nobody pours on mud or frost.", base)
	}
	if s, ok := of[steel.Result](m.reading, "steel"); ok && s.Chairs > 0 {
		add("Bars %s on %s chairs, %d of them.", s.Grid, m.show(quantity.Show(s.Chair, quantity.AsDrop)), s.Chairs)
	}
	if in, ok := m.orderInput(); ok && in.WaterBy.Given() {
		add("Only %s may add water.", in.WaterBy.Value)
	} else {
		add("Nobody adds water but the foreman.")
	}
	if c, ok := of[cure.Result](m.reading, "cure"); ok {
		if from, until := m.sawWindow(c); from != "" {
			add("Saw from %s until %s.", from, until)
		}
		if end, ok := c.Find("cure_until"); ok && !end.Never && !end.At.IsZero() {
			add("Cure on as soon as it is finished; keep it until %s.", m.day(end.At))
		}
	}
	return steps
}

func (m *maker) orderInput() (order.Input, bool) {
	report, _ := m.plan.Of("order")
	in, ok := report.Input.(order.Input)
	return in, ok
}

// diagonals are both diagonals of a four-cornered slab, once when they are equal.
func (m *maker) diagonals() string {
	s, ok := of[site.Result](m.reading, "site")
	if !ok || len(s.Corners) != 4 {
		return ""
	}
	length := func(i, j int) string {
		return m.show(quantity.Show(quantity.Length(s.Corners[i].At.Distance(s.Corners[j].At)), quantity.AsSide))
	}
	name := func(i, j int) string { return s.Corners[i].Name + s.Corners[j].Name }
	if a, b := length(0, 2), length(1, 3); a != b {
		return fmt.Sprintf("%s %s, %s %s", name(0, 2), a, name(1, 3), b)
	}
	return fmt.Sprintf("%s and %s both %s", name(0, 2), name(1, 3), length(0, 2))
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
	return layout.North{Shown: isPlan(pic), Turn: float64(in.North.Value)}
}
