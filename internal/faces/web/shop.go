package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/api"
	"slabwright/internal/faces/speak"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/shop"
)

// shopPart is one part of the shop's lists on the page: its fields begin so.
type shopPart struct {
	Title, Prefix string
	Open          bool
	Boxes         []shopBox
	Own           int // of its boxes, how many the shop has set
	Old           int // prices that are old
}

// shopParts are the parts in their order; a field belongs to the first whose prefix it has.
var shopParts = []shopPart{{Title: "What materials cost", Prefix: "price.materials.", Open: true}, {Title: "What machines and fees cost", Prefix: "price.equipment."}, {Title: "Wage", Prefix: "price.labour."},
	{Title: "What one person gets done in an hour", Prefix: "price.rates."}, {Title: "Overhead, profit, payment", Prefix: "price.business."}, {Title: "Ordering", Prefix: "order."}, {Title: "Pouring", Prefix: "pour."},
	{Title: "Chutes and barrows", Prefix: "access."}, {Title: "Joints", Prefix: "joints."}, {Title: "Steel", Prefix: "steel."}, {Title: "Form boards", Prefix: "forms."}}

// shopTop are the lines at the top of the shop's lists.
var shopTop = []string{"/shop", "/phone", "/units", "/currency", "/paper", "/time_zone", "/old_after"}

// shopBox is one box of the shop's lists.
type shopBox struct {
	Field
	ID, Label, Typed, Guess string
	Was                     string // what stands there
	Standing                string // how it stands: set when by whom, assumed
	Invented, Old           bool
	Wrong                   string
}

// shopList is a list of the shop's: crews, plants, gear.
type shopList struct {
	Pointer, Title, Help string
	Columns              []string
	Fields               []Field
	Rows                 [][]string // the last is empty, for one more
	Was                  string     // the list as it stood, as JSON
}

var shopListsOf = []shopList{
	{Pointer: "/crews", Title: "Crews", Columns: []string{"name", "foreman", "people", "finishers", "phone"}, Help: "Jobs name one of them; with only one, it is taken. Finishers with commas: a name in two crews is one person."},
	{Pointer: "/plants", Title: "Plants", Columns: []string{"name", "phone", "account", "haul", "yards_per_hour", "trucks", "truck_holds", "short_load_below", "short_load_fee", "concrete"}, Help: "Jobs take drive, trucks, fees and the price of concrete from theirs."},
	{Pointer: "/gear", Title: "Trucks and gear", Columns: []string{"name", "count", "says"}, Help: "What the shop has few of: the week tells when two jobs want the same."},
}

// settingsPage is the settings with the shop's own lists.
type settingsPage struct {
	head
	Office  bool // sees the shop's lists
	Top     []shopBox
	Parts   []shopPart
	Lists   []shopList
	History []historyLine
	Wrong   []faultView
	Saved   bool
	Units   string
}

type historyLine struct{ On, By, What, Was, Now, Step string }

func (p *Page) settings(w http.ResponseWriter, r *http.Request) {
	p.showSettings(w, r, nil, nil)
}

// showSettings writes the page; after a refusal with what was typed and what was wrong with it.
func (p *Page) showSettings(w http.ResponseWriter, r *http.Request, typed map[string]string, wrong *api.Problem) {
	v := settingsPage{head: p.head(r, "Settings"), Saved: r.FormValue("saved") != ""}
	if v.Office = v.Shows("office"); v.Office {
		lists, _, err := p.office.Shop(r.Context())
		if err != nil {
			p.fail(w, r, err)
			return
		}
		v.shop(lists, quantity.DateOf(p.office.Now()), typed, wrong)
	}
	if wrong != nil {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(wrong.Status)
	}
	p.show(w, "settings", v)
}

func (v *settingsPage) shop(lists *intake.Lists, today quantity.Date, typed map[string]string, wrong *api.Problem) {
	now, doc := lists.Now(), document{lists.Document()}
	v.Units = now.Units.String()
	maker := shopBoxes{doc: doc, units: now.Units, typed: typed, wrong: map[string]string{}}
	if wrong != nil {
		for _, e := range wrong.Errors {
			maker.wrong[e.Pointer] = e.Message + " " + e.TypeThis
			v.Wrong = append(v.Wrong, faultView{Pointer: e.Pointer, Href: "#shop" + escapeID(e.Pointer), Label: strings.ReplaceAll(strings.TrimPrefix(e.Pointer, "/"), "/", ", "), Given: e.Given, Why: e.Message, Instead: e.TypeThis})
		}
	}
	for _, pointer := range shopTop {
		if b, ok := maker.box(pointer); ok {
			v.Top = append(v.Top, b)
		}
	}
	v.Parts = slices.Clone(shopParts)
	currency := now.Currency
	if currency == "" {
		currency = "$"
	}
	t := speak.Of(job.Job{Units: now.Units, Currency: currency})
	for _, l := range now.Lines(today) {
		i := slices.IndexFunc(v.Parts, func(p shopPart) bool { return strings.HasPrefix(l.Field, p.Prefix) })
		b, ok := maker.box(intake.PathOf(l.Field).String())
		if i < 0 || !ok {
			continue
		}
		b.stand(l, t)
		v.Parts[i].Boxes = append(v.Parts[i].Boxes, b)
		if l.Origin == known.Listed {
			v.Parts[i].Own++
		}
		if l.Old {
			v.Parts[i].Old++
		}
	}
	for _, l := range shopListsOf {
		v.Lists = append(v.Lists, l.filled(doc, now.Units))
	}
	for _, e := range now.History[:min(len(now.History), 50)] {
		v.History = append(v.History, historyLine{e.At.Format("Mon Jan 2 2006, 15:04"), e.By, strings.ReplaceAll(e.Field, "_", " "), e.Was, e.Now, e.Step})
	}
}

// stand says how a value stands.
func (b *shopBox) stand(l shop.Line, t speak.Tongue) {
	b.Invented, b.Old = l.Invented, l.Old
	switch {
	case l.Origin == known.Listed && l.On.IsZero():
		b.Standing = "set, no day known"
	case l.Origin == known.Listed:
		b.Standing = "set " + l.On.Time().Format("Jan 2, 2006")
		if l.By != "" {
			b.Standing += " by " + l.By
		}
		if l.Old {
			b.Standing += fmt.Sprintf(", %d days ago", l.Days)
		}
	case l.Origin == known.Assumed:
		b.Guess = t.Value(l.Value)
		b.Standing = b.Guess + " assumed"
		if l.Invented {
			b.Standing += " (invented)"
		}
	}
}

// shopBoxes makes boxes of the shop's document.
type shopBoxes struct {
	doc   document
	units quantity.System
	typed map[string]string
	wrong map[string]string
}

func (m shopBoxes) box(pointer string) (shopBox, bool) {
	f, ok := shopFieldAt(pointer, m.units)
	if !ok {
		return shopBox{}, false
	}
	b := shopBox{Field: f, ID: "shop" + escapeID(pointer), Label: shopLabel(pointer, f.Says), Typed: m.doc.text(pointer), Was: m.doc.text(pointer), Wrong: m.wrong[pointer]}
	if text, ok := m.typed[pointer]; ok {
		b.Typed = text
	}
	return b, true
}

// shopLabels are shorter words over boxes than the field says of itself.
var shopLabels = map[string]string{"/shop": "Name of the shop", "/phone": "Call-back number", "/units": "Units: us or metric", "/currency": "Sign before money", "/paper": "Paper: letter or a4",
	"/time_zone": "Time zone, like America/Chicago", "/old_after": "A price is old after"}

func shopLabel(pointer, says string) string {
	for _, short := range []string{shopLabels[pointer], labels[pointer]} {
		if short != "" {
			return short
		}
	}
	return upper(says)
}

// shopFieldAt finds a line of the shop's lists; false when they have none there that can be typed.
func shopFieldAt(pointer string, units quantity.System) (Field, bool) {
	parts, err := fields.ParsePointer(pointer)
	if err != nil {
		return Field{}, false
	}
	f, err := intake.ShopFieldAt(parts)
	if err != nil || !f.One() {
		return Field{}, false
	}
	return asked(f, pointer, parts, units), true
}

// filled is the list with its rows and one more, empty.
func (l shopList) filled(doc document, units quantity.System) shopList {
	for _, c := range l.Columns {
		if c == "finishers" {
			l.Fields = append(l.Fields, Field{Pointer: l.Pointer + "/-/finishers", Says: "who finishes", Head: "Finishers"})
			continue
		}
		if f, ok := shopFieldAt(l.Pointer+"/-/"+c, units); ok {
			f.Head = shopHead(c, f.Says)
			l.Fields = append(l.Fields, f)
		}
	}
	entries, _ := doc.at(l.Pointer).([]any)
	for i := range len(entries) + 1 {
		var row []string
		for _, c := range l.Columns {
			at := fmt.Sprintf("%s/%d/%s", l.Pointer, i, c)
			text := doc.text(at)
			if names, ok := doc.at(at).([]any); ok {
				var all []string
				for _, n := range names {
					all = append(all, fmt.Sprint(n))
				}
				text = strings.Join(all, ", ")
			}
			row = append(row, text)
		}
		l.Rows = append(l.Rows, row)
	}
	l.Was = string(fields.Bytes(fields.Value(doc.at(l.Pointer))))
	return l
}

// shopHeads are the words over columns that want fewer than the field says.
var shopHeads = map[string]string{"name": "Name", "foreman": "Foreman", "people": "People", "phone": "Phone", "account": "Account", "haul": "Drive", "yards_per_hour": "Sends in an hour", "trucks": "Trucks",
	"truck_holds": "A truck brings", "short_load_below": "Short load below", "short_load_fee": "Short-load fee", "concrete": "Concrete", "count": "How many", "says": "What it is for"}

func shopHead(column, says string) string {
	if word := shopHeads[column]; word != "" {
		return word
	}
	return upper(says)
}

// setShop takes the form of the shop's lists: what differs from what stood in it is set, in one step.
func (p *Page) setShop(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		p.fail(w, r, err)
		return
	}
	typed := map[string]string{}
	var sets []fields.Set
	for name, values := range r.PostForm {
		pointer, ok := strings.CutPrefix(name, "value:")
		if !ok || len(values) == 0 {
			continue
		}
		text, was := strings.TrimSpace(values[0]), strings.TrimSpace(r.PostFormValue("was:"+pointer))
		typed[pointer] = text
		if text == was {
			continue
		}
		set := fields.Set{Pointer: pointer}
		switch {
		case text != "" && r.PostFormValue("sure:"+pointer) != "":
			set.Value = map[string]any{"value": text, "sure": "yes"}
		case text != "":
			set.Value = text
		}
		sets = append(sets, set)
	}
	slices.SortFunc(sets, func(a, b fields.Set) int { return strings.Compare(a.Pointer, b.Pointer) })
	for _, l := range shopListsOf {
		if set, changed := l.typed(r); changed {
			sets = append(sets, set)
		}
	}
	if len(sets) > 0 {
		_, err := p.office.SetShop(r.Context(), newID(), api.ShopChange{By: r.PostFormValue("by"), Step: "settings", Sets: sets})
		var wrong *api.Problem
		if errors.As(err, &wrong) && (wrong.Status == http.StatusUnprocessableEntity || wrong.Status == http.StatusConflict) {
			p.showSettings(w, r, typed, wrong)
			return
		}
		if err != nil {
			p.fail(w, r, err)
			return
		}
	}
	http.Redirect(w, r, "/settings?saved=yes#shop", http.StatusSeeOther)
}

// typed is a list as the form has it; rows with nothing in them are left out. Fields the form does not show stay.
func (l shopList) typed(r *http.Request) (fields.Set, bool) {
	was, err := fields.Parse([]byte(r.PostFormValue("list:" + l.Pointer)))
	if err != nil {
		return fields.Set{}, false
	}
	before, _ := was.([]any)
	rows, _ := strconv.Atoi(r.PostFormValue("rows:" + l.Pointer))
	var now []any
	for i := range min(rows, 200) {
		entry := map[string]any{}
		if i < len(before) {
			if old, ok := before[i].(map[string]any); ok {
				for name, v := range old {
					if !slices.Contains(l.Columns, name) {
						entry[name] = v
					}
				}
			}
		}
		said := false
		for _, c := range l.Columns {
			text := strings.TrimSpace(r.PostFormValue(fmt.Sprintf("cell:%s/%d/%s", l.Pointer, i, c)))
			if text == "" {
				continue
			}
			said = true
			entry[c] = cellValue(before, i, c, text)
		}
		if said {
			now = append(now, entry)
		}
	}
	set := fields.Set{Pointer: l.Pointer, Was: was}
	if len(now) > 0 {
		set.Value = now
	}
	return set, !fields.Equal(set.Value, was)
}

// cellValue is what was typed into a cell, or what stood there when it says the same.
func cellValue(before []any, row int, column, text string) any {
	if row < len(before) {
		if old, ok := before[row].(map[string]any); ok {
			if n, ok := old[column].(json.Number); ok && n.String() == text {
				return n
			}
		}
	}
	if column != "finishers" {
		return text
	}
	var names []any
	for name := range strings.SplitSeq(text, ",") {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	return names
}
