package pack

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/document"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/pour"
)

// beforeThePour is the list gone through before the first truck is called in: what must be so, as planned, and who saw it when.
// A line that says no is a pour put off or a word with whoever can mend it.
func beforeThePour(m *maker) (*document.Doc, error) {
	rows := m.toBeReady()
	set := func(tight bool) *document.Doc {
		doc := document.New("before-the-pour", "Before the pour", m.paper)
		doc.Title("Ready to pour?")
		doc.Table(document.Table{Header: []string{"", "As planned", "yes / no / not here", "Who, when"}, Rows: rows, Bold: []int{0}, Shares: []float64{0.22, 0.42, 0.16, 0.2}, Cap: document.NoteCap, Tight: tight})
		doc.Sign("Foreman", "Date and hour")
		doc.Note("A no is mended before the truck leaves the plant. Photos: steel before it is covered, base with tape, forms with level.")
		return doc
	}
	doc := set(false)
	if doc.Height() > document.Room(m.paper) {
		doc = set(true)
	}
	return doc, doc.Err()
}

func (m *maker) toBeReady() [][]string {
	var rows [][]string
	add := func(what string, planned ...string) {
		rows = append(rows, []string{what, join(", ", planned...), "", ""})
	}
	for _, seen := range m.toBeSeen() {
		if seen[0] != "Concrete" && seen[0] != "Delivery tickets" {
			add(seen[0], seen[1])
		}
	}
	add("Ground and base", "rolled, nothing pumps under foot", "no frost, no standing water")
	add("Base measured", "string to base at six points or more", "typed in before the call")
	add("Saw", "blade, water and fuel here", says("window ", m.sawHours()))
	add("Curing", "sheet, spray or water and hose here")
	if p, ok := of[pour.Result](m.reading, "pour"); ok {
		add("Weather", p.Verdict.String(), m.forecastAge())
	}
	if o, ok := of[order.Result](m.reading, "order"); ok {
		add("Concrete ordered", order.WriteAmount(o.Today(), m.units), o.Day(), counted(len(o.Loads), "load"), m.figure("mix.ask_the_plant"))
	}
	add("Truck way in", m.figure("access.method"), "one spotter", "wash-out place marked")
	add("People", fmt.Sprintf("%s on the job", m.crew()), "each knows the hand signals")
	add("Gear for people", "gloves, boots, eye wash, clean water", "bar ends capped", "mask for dry dust")
	add("If a truck is late", "pour stop at a joint, ready to set: "+blankLine)
	return rows
}

// sawHours is from when until when the cuts can be sawn; empty when that is not known.
func (m *maker) sawHours() string {
	c, ok := of[cure.Result](m.reading, "cure")
	if !ok {
		return ""
	}
	from, until := m.sawWindow(c)
	return join(" to ", from, until)
}

// forecastAge says what the verdict rests on.
func (m *maker) forecastAge() string {
	r, _ := m.plan.Of("pour")
	for _, c := range r.Checks {
		if c.Level != check.Good && (c.ID == "pour.no-forecast" || c.ID == "pour.forecast-age") {
			return c.Says
		}
	}
	return ""
}

func (m *maker) crew() string {
	if step, ok := m.plan.Figure("price.crew"); ok {
		return counted(int(step.Value.SI), "person")
	}
	return blankLine
}

// dailyLog is the page written on while the day runs: the weather by the hour, each truck, each step of the work, and whatever
// else happened. Nothing is rubbed out: a mistake is struck through and written again beside it.
func dailyLog(m *maker) (*document.Doc, error) {
	doc := m.oneSide("daily-log", "Daily log", m.log)
	return doc, doc.Err()
}

func (m *maker) log(doc *document.Doc) {
	at, _ := m.plan.Job.PourAt()
	doc.Title("The day as it was")
	doc.Keys(document.Key{Figure: m.day(at), Says: "planned"}, document.Key{Figure: m.clock(at), Says: "first truck, planned"}, document.Key{Says: "weather at dawn"})
	doc.Beside(0.52, func(f *document.Flow) {
		f.Heading("Trucks")
		f.Table(document.Table{Header: []string{"Ticket", "Batched", "Here", "Empty", m.volumeUnit(), "Water added, by"}, Rows: emptyRows(m.loadsPlanned()+2, 6), Cap: document.NoteCap})
	}, func(f *document.Flow) {
		f.Heading("Weather")
		f.Table(document.Table{Header: []string{"Hour", "Air", "Humidity", "Wind"}, Rows: m.hourRows(), Cap: document.NoteCap, Tight: true})
	})
	doc.Heading("Work")
	doc.Table(document.Table{Header: []string{"Step", "Planned", "Begun", "Done", "Remarks"}, Rows: m.workRows(), Bold: []int{0}, Shares: []float64{0.2, 0.2, 0.14, 0.14, 0.32}, Cap: document.NoteCap, Tight: true})
	doc.Blanks("People here, from and until", "Stops, visitors, changes, anybody hurt", "Tests: slump, air, concrete temperature, cylinders")
	doc.Note("Strike through, never rub out. Keep tickets and photos with this page.")
	doc.Sign("Foreman", "Date and hour")
	m.photos(doc)
}

func emptyRows(rows, columns int) [][]string {
	out := make([][]string, rows)
	for i := range out {
		out[i] = make([]string, columns)
	}
	return out
}

func (m *maker) loadsPlanned() int {
	if o, ok := of[order.Result](m.reading, "order"); ok {
		return len(o.Loads)
	}
	return 2
}

func (m *maker) volumeUnit() string {
	return m.unit(quantity.Show(quantity.Volume(1), quantity.AsVolume))
}

// hourRows are the hours of the day from the first truck on.
func (m *maker) hourRows() [][]string {
	at, _ := m.plan.Job.PourAt()
	var rows [][]string
	for h := range 8 {
		rows = append(rows, []string{m.clock(at.Add(duration(quantity.Hours(float64(h))))), "", "", ""})
	}
	return rows
}

// workRows are the steps of the pour day with the hours they are planned for.
func (m *maker) workRows() [][]string {
	planned := map[string]string{}
	if p, ok := of[pour.Result](m.reading, "pour"); ok && !p.Chosen.At.IsZero() {
		planned["Strike off"] = "until " + m.clock(p.Chosen.PlacedBy)
		planned["Float"] = m.clock(p.Chosen.FloatFrom) + " to " + m.clock(p.Chosen.FloatUntil)
		planned["Broom"] = "until " + m.clock(p.Chosen.FinishedBy)
	}
	planned["Saw"] = m.sawHours()
	var rows [][]string
	for _, step := range []string{"Place", "Strike off", "Bull float", "Sheen gone", "Edge, groove", "Float", "Broom", "Cure on", "Saw", "Strip"} {
		rows = append(rows, []string{step, planned[step], "", "", ""})
	}
	return rows
}
