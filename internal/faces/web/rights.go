package web

import (
	"net/http"
	"slices"

	"slabwright/internal/faces/api"
	"slabwright/internal/rim/store"
)

// screenRights says which role at least a screen of a job takes. One that is not named here is the owner's alone.
var screenRights = map[string]store.Role{
	"build": store.Foreman, "water": store.Foreman, "under": store.Foreman, "hold": store.Foreman, "joints": store.Foreman, "order": store.Foreman,
	"price": store.Office, "access": store.Foreman, "day": store.Foreman, "pour": store.Crew, "use": store.Foreman, "record": store.Foreman,
	"sheets": store.Crew, "assumed": store.Foreman,
}

// on serves an address for those who have at least a role, and of jobs those they may see.
func (p *Page) on(least store.Role, pattern string, serve http.HandlerFunc) {
	p.rights[pattern] = least
	p.mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
		err := p.office.May(r.Context(), least)
		if id := r.PathValue("id"); err == nil && id != "" {
			err = p.office.MaySee(r.Context(), id)
		}
		if err != nil {
			p.fail(w, r, err)
			return
		}
		serve(w, r)
	})
}

// Person is who is signed in, for what a page shows of it; empty where nobody signs in.
type Person struct {
	ID   string // of the person, or of the crew's link
	Name string
	Role store.Role
}

func personIn(r *http.Request) Person {
	v, _ := api.ViewerOf(r.Context())
	id := v.Person
	if id == "" {
		id = v.Link.ID
	}
	return Person{id, v.Who, v.Role}
}

// Shows says whether the page shows what takes at least a role.
func (p Person) Shows(role string) bool { return p.Role == "" || p.Role.AtLeast(store.Role(role)) }

// Is says whether somebody of this very role is signed in.
func (p Person) Is(role string) bool { return string(p.Role) == role }

func (p Person) showsScreen(slug string) bool {
	least, ok := screenRights[slug]
	if !ok {
		least = store.Owner
	}
	return p.Shows(string(least))
}

// today is what a crew sees first: its jobs of the day, each with its stamps and its sheets.
func (p *Page) today(w http.ResponseWriter, r *http.Request) {
	v, _ := api.ViewerOf(r.Context())
	if v.Role != store.Crew {
		http.Redirect(w, r, "/week", http.StatusSeeOther)
		return
	}
	jobs, err := p.office.CrewJobs(r.Context(), v.Link)
	if err != nil {
		p.fail(w, r, err)
		return
	}
	p.show(w, "today", map[string]any{"Head": p.head(r, "Today"), "Crew": v.Link.Name, "Jobs": jobs})
}

// crewDrawing says whether a drawing is one of those on the screens a crew sees.
func crewDrawing(name string) bool {
	return slices.ContainsFunc(screens, func(s Screen) bool { return screenRights[s.Slug] == store.Crew && slices.Contains(s.Pictures, name) })
}

// narrow takes from a screen what whoever looks does not see: boxes and columns of hidden fields; from a crew all but the answer.
func (v *jobPage) narrow(r *http.Request) {
	hidden := func(pointer string) bool { return !api.Sees(r.Context(), pointer) }
	v.Boxes = slices.DeleteFunc(v.Boxes, func(b boxView) bool { return hidden(b.Field.Pointer) })
	v.More = slices.DeleteFunc(v.More, func(b boxView) bool { return hidden(b.Field.Pointer) })
	for i, l := range v.Lists {
		v.Lists[i] = l.without(hidden)
	}
	v.Index = slices.DeleteFunc(v.Index, func(row indexRow) bool { return !v.Person.showsScreen(row.Slug) })
	for i := range v.Index {
		v.Index[i].N = i + 1
	}
	v.neighbours()
	if v.Person.Is(string(store.Crew)) {
		v.Figures, v.Guesses, v.Deep = nil, nil, ""
	}
}

// without leaves out the columns of hidden fields.
func (l listView) without(hidden func(string) bool) listView {
	kept := func(i int) bool { return !hidden(l.Pointer + "/0/" + l.Columns[i]) }
	columns, fields, rows := []string{}, []Field{}, make([][]string, len(l.Rows))
	for i := range l.Columns {
		if !kept(i) {
			continue
		}
		columns, fields = append(columns, l.Columns[i]), append(fields, l.Fields[i])
		for r := range rows {
			rows[r] = append(rows[r], l.Rows[r][i])
		}
	}
	if len(l.Columns) > 0 {
		l.Columns, l.Fields, l.Rows = columns, fields, rows
	}
	return l
}
