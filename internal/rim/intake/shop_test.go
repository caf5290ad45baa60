package intake_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/shop"
	"slabwright/internal/trade/working"
)

var shopDay = time.Date(2027, 6, 14, 18, 0, 0, 0, time.UTC)

const listed = `# The lists of an invented shop.
shop: North Shore Flatwork
as_of: 2027-03-01
old_after: 90 days
price:
  materials: {concrete: 172, stone: 41}   # asked by phone
  labour:
    wage: 36
order:
  allowance: 6 %
crews:
  - name: North
    foreman: Ada
    people: 4
  - {name: South, people: 3}
plants:
  - {name: Riverside, haul: 25 min, yards_per_hour: 40, account: "4471", concrete: 169}
  - {name: Quarry Road, haul: 40 min}
history:
  - {on: 2027-05-03, by: Ada, field: price.materials.concrete, was: 165, now: 172}
`

func listsOf(t *testing.T, text string) *intake.Lists {
	t.Helper()
	l, _, err := intake.Shop("shop.yaml", []byte(text), shopDay)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func lent(t *testing.T, l *intake.Lists, job string) (known.Known[quantity.MoneyVolume], plan.Plan, []intake.Note) {
	t.Helper()
	j, notes, err := intake.JobWith("job.yaml", []byte(job), shopDay, nil, l)
	if err != nil {
		t.Fatal(err)
	}
	var planner plan.Planner
	return j.Price.Materials.Concrete, planner.Make(j), notes
}

const slab = "length: 40 ft\nwidth: 14 ft\nthickness: 6 in\n"

// TestAJobTakesFromTheListsWhatItDoesNotSay, says so, and keeps what it says itself.
func TestAJobTakesFromTheListsWhatItDoesNotSay(t *testing.T) {
	l := listsOf(t, listed)
	concrete, p, _ := lent(t, l, slab)
	if got := perYard(concrete.Value); concrete.Origin != known.Listed || got < 171.99 || got > 172.01 || concrete.Reason != "the shop's list of 3 May 2027, set by Ada" {
		t.Errorf("concrete %v, %+v", got, concrete)
	}
	if r, steps, err := p.Why("price.price"); err != nil || !strings.Contains(said(p.Deep(r, steps)), "listed: the shop's list of 3 May 2027, set by Ada") {
		t.Errorf("why does not say whose price it is: %v", err)
	}
	if concrete, _, _ := lent(t, l, slab+"price: {materials: {concrete: 180}}\n"); concrete.Origin != known.Said || perYard(concrete.Value) < 179 {
		t.Errorf("the job's own price is %+v", concrete)
	}
	if stone := p.Job.Price.Materials.Stone; stone.Reason != "the shop's list of 1 March 2027" {
		t.Errorf("stone: %+v", stone)
	}
}

func said(steps []working.Step) string {
	var b strings.Builder
	for _, s := range steps {
		b.WriteString(string(s.Origin) + ": " + s.Reason + "\n")
	}
	return b.String()
}

// TestThePlantAndTheCrewLendTheirs before the shop's sections; names that no list has are noted in their place.
func TestThePlantAndTheCrewLendTheirs(t *testing.T) {
	concrete, p, _ := lent(t, listsOf(t, listed), slab+"crew: north\norder: {plant: riverside}\n")
	o := p.Results.OrderInput
	if perYard(concrete.Value) > 169.01 || o.Haul.Value.Minutes() != 25 || o.Account.Value != "4471" || o.Accepts.Value != "Ada" || p.Job.Foreman != "Ada" || p.Results.PriceInput.Rates.Layout.Value != 4 {
		t.Errorf("concrete %+v, order %+v, foreman %q", concrete, o.Haul, p.Job.Foreman)
	}
	if !strings.HasSuffix(o.Haul.Reason, ", plant Riverside") {
		t.Errorf("haul: %q", o.Haul.Reason)
	}
	_, _, notes := lent(t, listsOf(t, listed), slab+"crew: east\n")
	if len(notes) != 1 || notes[0].Line != 4 || !strings.Contains(notes[0].Says, "North, South") {
		t.Errorf("notes %+v", notes)
	}
}

// TestOldPricesAreMarked: stone is of March and the list lets prices be 90 days old.
func TestOldPricesAreMarked(t *testing.T) {
	_, p, _ := lent(t, listsOf(t, listed), slab)
	for _, c := range p.Checks() {
		if c.ID == "price.old-prices" {
			if !strings.Contains(c.Says, "stone, delivered (105 days)") || strings.Contains(c.Says, "concrete (") {
				t.Errorf("it says %q", c.Says)
			}
			return
		}
	}
	t.Error("nothing is marked")
}

// TestAQuoteKeepsThePricesOfItsDay: what was set later does not move it.
func TestAQuoteKeepsThePricesOfItsDay(t *testing.T) {
	l := listsOf(t, listed)
	for _, c := range []struct {
		quoted string
		yard   float64
		why    string
	}{{"2027-05-02", 165, "the shop's list of 1 March 2027"}, {"2027-05-03", 172, "the shop's list of 3 May 2027, set by Ada"}} {
		concrete, _, _ := lent(t, l, slab+"quoted_on: "+c.quoted+"\n")
		if got := perYard(concrete.Value); got < c.yard-0.01 || got > c.yard+0.01 || concrete.Reason != c.why {
			t.Errorf("quoted on %s: %v, %s", c.quoted, got, concrete.Reason)
		}
	}
	early, p, _ := lent(t, l, slab+"quoted_on: 2027-01-05\ncrew: north\norder: {plant: riverside}\n") // before the lists were written down
	if p.Job.Foreman != "Ada" || p.Results.OrderInput.Haul.Value.Minutes() != 25 || perYard(early.Value) > 169.01 {
		t.Errorf("what is no money is of today: %q, %+v", p.Job.Foreman, p.Results.OrderInput.Haul)
	}
}

func TestWhatAShopCannotSetIsRefusedWithItsPlace(t *testing.T) {
	for text, want := range map[string]string{
		"price:\n  work: {area: 500 ft2}\n":                   "shop.yaml:2:16: price.work.area: is one job's own",
		"order:\n  net: 11\n":                                 "shop.yaml:2:8: order.net: is one job's own",
		"price:\n  materials: {concreet: 165}\n":              "Did you mean `concrete`?",
		"price: {labour: {wage: lots}}\n":                     "shop.yaml:1:24: price.labour.wage",
		"length: 40 ft\n":                                     "is not a line this file can have",
		"history:\n  - {field: price.labour.wage, was: 30}\n": "history[1].on: is missing",
		"- shop\n":    "shop.yaml:1:",
		"plants: 7\n": "is a list",
	} {
		_, _, err := intake.Shop("shop.yaml", []byte(text), shopDay)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestSettingALineKeepsAllOthers: comments, order and the form of the file stay, and the file reads back with the new value.
func TestSettingALineKeepsAllOthers(t *testing.T) {
	for _, c := range []struct{ field, text, line string }{
		{"price.materials.concrete", "181", "  materials: {concrete: 181, stone: 41}   # asked by phone"},
		{"price.labour.wage", "38.50", "    wage: 38.50"},
		{"price.labour.burden", "34 %", "    burden: \"34 %\""},
		{"price.materials.steel", "0.98", "  materials: {steel: 0.98, concrete: 172, stone: 41}   # asked by phone"},
		{"plants[2].haul", "35 min", "  - {name: Quarry Road, haul: 35 min}"},
		{"crews[1].people", "5", "    people: 5"},
		{"crews[1].phone", "555 0188", "  - phone: 555 0188"},
		{"joints.saw", "wet saw", "joints:"},
	} {
		out, err := intake.SetLine("shop.yaml", []byte(listed), c.field, c.text)
		if err != nil {
			t.Errorf("%s: %v", c.field, err)
			continue
		}
		if !strings.Contains(string(out), "\n"+c.line+"\n") && !strings.HasPrefix(string(out), c.line+"\n") {
			t.Errorf("%s: %q is not in\n%s", c.field, c.line, out)
		}
		l := listsOf(t, string(out))
		if got := fields.Get(l.Document(), intake.PathOf(c.field)); got == nil || !strings.Contains(strings.Trim(string(fields.Bytes(got)), `"`), c.text) {
			t.Errorf("%s reads back as %v", c.field, got)
		}
		changes := intake.ShopChanges(listsOf(t, listed).Document(), l.Document())
		if len(changes) != 1 || changes[0].Field != c.field || changes[0].Now != c.text {
			t.Errorf("%s: changes %+v", c.field, changes)
		}
	}
	for field, text := range map[string]string{"price": "3", "plants": "x", "plants[9].haul": "3 min", "price.labour.wage": " "} {
		if out, err := intake.SetLine("shop.yaml", []byte(listed), field, text); err == nil {
			t.Errorf("%s was set to %q:\n%s", field, text, out)
		}
	}
}

// TestTheHistoryIsTakenBackInOrder over entries of lists that were added and changed.
func TestTheHistoryIsTakenBackInOrder(t *testing.T) {
	text := listed
	day := quantity.Date{Year: 2027, Month: 6, Day: 10}
	for _, step := range []struct{ field, text string }{{"price.materials.concrete", "180"}, {"price.materials.concrete", "185"}, {"plants[1].haul", "30 min"}, {"forms.board", "2x6"}} {
		before := listsOf(t, text)
		out, err := intake.SetLine("shop.yaml", []byte(text), step.field, step.text)
		if err != nil {
			t.Fatal(err)
		}
		changes := intake.ShopChanges(before.Document(), listsOf(t, string(out)).Document())
		for i := range changes {
			changes[i].On, changes[i].By = day, `Bo "the pen"`
		}
		if out, err = intake.Remember("shop.yaml", out, changes...); err != nil {
			t.Fatal(err)
		}
		text = string(out)
	}
	l := listsOf(t, text)
	if n := len(l.Now().History); n != 5 || l.Now().History[0].Field != "forms.board" || l.Now().History[0].By != `Bo "the pen"` {
		t.Errorf("history %+v", l.Now().History)
	}
	then, err := l.On(day.Add(-1))
	if err != nil {
		t.Fatal(err)
	}
	was := listsOf(t, listed).Now()
	if then.Price.Materials.Concrete.Value != was.Price.Materials.Concrete.Value || then.Plants[0].Haul.Value != was.Plants[0].Haul.Value || then.Forms.Board.Given() || len(then.History) != 1 {
		t.Errorf("the lists of the day before: %+v, %d lines of history", then.Price.Materials.Concrete, len(then.History))
	}
	if whole, err := l.On(quantity.Date{Year: 2020, Month: 1, Day: 1}); err != nil || perYard(whole.Price.Materials.Concrete.Value) > 165.01 {
		t.Errorf("before all: %+v, %v", whole.Price.Materials.Concrete, err)
	}
}

// TestSeveralEntriesOfAListAreTakenBack: what came in one step goes in the other order.
func TestSeveralEntriesOfAListAreTakenBack(t *testing.T) {
	doc, err := fields.Parse([]byte(`{"crews": [{"name": "North"}, {"name": "South"}, {"name": "East"}], "price": {"labour": {"wage": "34"}}}`))
	if err != nil {
		t.Fatal(err)
	}
	changes := intake.ShopChanges(nil, doc)
	slices.Reverse(changes)
	for i := range changes {
		changes[i].On = quantity.Date{Year: 2027, Month: 6, Day: 10}
	}
	l, _, err := intake.ShopOf(doc, changes, shopDay)
	if err != nil {
		t.Fatal(err)
	}
	if then, err := l.On(quantity.Date{Year: 2027, Month: 6, Day: 9}); err != nil || len(then.Crews) != 0 || then.Price.Labour.Wage.Given() {
		t.Errorf("%v: %+v", err, then.Crews)
	}
}

func TestChangesOfListsAreToldByEntry(t *testing.T) {
	doc := func(text string) fields.Value {
		v, err := fields.Parse([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	before := doc(`{"plants": [{"name": "A", "haul": "20 min"}], "price": {"labour": {"wage": "30"}}}`)
	for _, c := range []struct {
		after string
		want  []shop.Entry
	}{
		{`{"plants": [{"name": "A", "haul": "25 min"}], "price": {"labour": {"wage": "30"}}}`, []shop.Entry{{Field: "plants[1].haul", Was: "20 min", Now: "25 min"}}},
		{`{"plants": [{"name": "A", "haul": "20 min"}, {"name": "B"}], "price": {"labour": {"wage": "30"}}}`, []shop.Entry{{Field: "plants[2]", Now: `{"name":"B"}`}}},
		{`{"price": {"labour": {"wage": "30"}}}`, []shop.Entry{{Field: "plants", Was: `[{"haul":"20 min","name":"A"}]`}}},
		{`{"plants": [{"name": "A", "haul": "20 min"}]}`, []shop.Entry{{Field: "price.labour.wage", Was: "30"}}},
	} {
		got := intake.ShopChanges(before, doc(c.after))
		if len(got) != len(c.want) || got[0] != c.want[0] {
			t.Errorf("%s: %+v", c.after, got)
		}
	}
}

func perYard(m quantity.MoneyVolume) float64 {
	return quantity.Show(m, quantity.AsMoneyVolume).In(quantity.US)
}
