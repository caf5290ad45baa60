package web

import (
	"bytes"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/faces/api"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/svg"
	"slabwright/internal/rim/store"
	"slabwright/internal/trade/plan"
)

// A screen shows a drawing true to its lettering: a millimetre of the drawing is so many pixels, so that 10 pt stays 10 pt.
const (
	pixelsPerMM   = 96 / 25.4
	narrowest     = 280
	widest        = 2400
	heightToWidth = 0.72
)

// pictureNamed finds a picture of the plan.
func pictureNamed(p plan.Plan, name string) (drawing.Picture, bool) {
	for _, r := range p.Stages {
		all := r.Pictures()
		if i := slices.IndexFunc(all, func(pic drawing.Picture) bool { return pic.Name == name && len(pic.Marks) > 0 }); i >= 0 {
			return all[i], true
		}
	}
	return drawing.Picture{}, false
}

// onScreen lays a picture out for a width in pixels and writes it as an element with its legend. Where no scale fits so narrow
// a screen the drawing is laid out wider, and the screen lets it be moved.
func onScreen(pic drawing.Picture, pixels int, units quantity.System) (markup []byte, width int, err error) {
	for width = pixels; width <= 4*widest; width = width * 5 / 4 {
		wide := float64(width) / pixelsPerMM
		var placed layout.Placed
		placed, err = layout.Fit(pic, geometry.Box{Max: page.Point{X: wide, Y: max(wide*heightToWidth, 90)}}, units)
		if err != nil {
			continue
		}
		return element(pic, placed, wide), width, nil
	}
	return nil, 0, err
}

// element draws what was placed on a page just high enough.
func element(pic drawing.Picture, placed layout.Placed, wide float64) []byte {
	sheet := page.Page{Name: pic.Name, Title: pic.Title, Says: pic.Says, Paper: page.Paper{Width: wide, Height: placed.Box.Height() + 4}}
	sheet.Add(page.Move(placed.Items, page.Point{Y: 2 - placed.Box.Min.Y})...)
	legend, high := layout.Legend(pic, page.Point{}, wide-4)
	if len(legend) > 0 {
		sheet.Paper.Height += high + 4
		sheet.Items = page.Move(sheet.Items, page.Point{Y: high + 4})
		sheet.Add(page.Move(legend, page.Point{X: 2, Y: high + 2})...)
	}
	var out bytes.Buffer
	_ = svg.Inline(&out, sheet) // a buffer takes everything
	return out.Bytes()
}

// picture answers with one drawing as an element, for the width asked.
func (p *Page) picture(w http.ResponseWriter, r *http.Request) {
	pixels, err := strconv.Atoi(r.FormValue("wide"))
	if err != nil {
		pixels = 640
	}
	name := r.PathValue("name")
	if personIn(r).Is(string(store.Crew)) && !crewDrawing(name) {
		p.fail(w, r, api.ErrNotYours)
		return
	}
	planned, err := p.office.Plan(r.Context(), r.PathValue("id"), nil, stagesOf(name)...)
	if err != nil {
		p.fail(w, r, err)
		return
	}
	made := planned.Plan
	pic, ok := pictureNamed(made, name)
	if !ok {
		http.Error(w, "There is no such drawing yet.", http.StatusNotFound)
		return
	}
	markup, width, err := onScreen(pic, min(max(pixels, narrowest), widest), made.Job.Units)
	if err != nil {
		http.Error(w, err.Error(), http.StatusUnprocessableEntity)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("X-Drawn-Wide", fmt.Sprint(width))
	p.show(w, "drawing", map[string]any{"Picture": pic, "Markup": trusted(markup), "Wide": width})
}

// stagesOf are the stages of the screens that show a picture; all of them where no screen names it.
func stagesOf(name string) []string {
	var out []string
	if !listed(name) {
		return plan.Names()
	}
	for _, s := range screens {
		if slices.Contains(s.Pictures, name) {
			for _, stage := range s.Stages {
				if !slices.Contains(out, stage) {
					out = append(out, stage)
				}
			}
		}
	}
	return out
}
