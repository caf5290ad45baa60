package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/rim/sheets/page"
	"slabwright/internal/rim/sheets/svg"
	"slabwright/internal/trade/plan"
)

// PictureName names a picture with what it finds.
type PictureName struct {
	Name  string `json:"name"`
	Stage string `json:"stage"`
	Title string `json:"title"`
	Says  string `json:"says"`
}

// Picture is a picture as data: what it finds, the same in a table, and how its paper lies on the site.
type Picture struct {
	PictureName
	Legend []LegendRow `json:"legend"`
	Table  Table       `json:"table"`
	View   *View       `json:"view,omitempty"` // of pictures of the site
}

// LegendRow explains one kind of line or fill.
type LegendRow struct {
	Layer string `json:"layer"`
	Says  string `json:"says"`
}

// Table is a picture in words and numbers.
type Table struct {
	Header []string   `json:"header"`
	Rows   [][]string `json:"rows"`
}

// View says where a site point stands in the picture's SVG: x = left + scale·east, y = top − scale·north, in units of its
// viewBox (millimetres).
type View struct {
	Scale float64 `json:"scale"` // mm per metre
	Left  float64 `json:"left"`
	Top   float64 `json:"top"`
	Says  string  `json:"says"` // the scale in words
}

// paperSize is the largest paper a picture of the page is set on, and the least, in millimetres.
const (
	usualWide, usualHigh = 190.0, 140.0
	leastPaper           = 60.0
	mostPaper            = 600.0
	pictureMargin        = 2.0
)

// picture finds one by its name; the query may say whose it is, so that only that stage is worked out.
func (s *Server) picture(r *http.Request, sets Question) (drawing.Picture, string, asked, error) {
	name, _, _ := strings.Cut(r.PathValue("name"), ".")
	stage := r.URL.Query().Get("stage")
	q := sets
	if stage != "" {
		if err := knownStages([]string{stage}); err != nil {
			return drawing.Picture{}, "", asked{}, err
		}
		q.Questions = []string{stage}
	} else {
		q.Questions = plan.Names()
	}
	a, err := s.ask(r.Context(), r.PathValue("job"), q)
	if err != nil {
		return drawing.Picture{}, "", a, err
	}
	for _, report := range a.plan.Stages {
		for _, pic := range report.Pictures() {
			if pic.Name == name && len(pic.Marks) > 0 {
				return pic, report.Name, a, nil
			}
		}
	}
	return drawing.Picture{}, "", a, problem(http.StatusNotFound, "The job has no picture of this name yet.", "Take a name from `pictures` of an answer.")
}

// placed is a picture on a sheet just large enough.
func placed(pic drawing.Picture, units quantity.System, wide, high float64) (page.Page, *View, error) {
	fit, err := layout.Fit(pic, geometry.Box{Max: geometry.Point{X: wide, Y: high}}, units)
	if err != nil {
		return page.Page{}, nil, err
	}
	box := fit.Box
	p := page.Page{Name: pic.Name, Title: pic.Title, Says: pic.Says, Paper: page.Paper{Name: "screen",
		Width: box.Width() + 2*pictureMargin, Height: box.Height() + 2*pictureMargin}}
	shift := geometry.Point{X: pictureMargin - box.Min.X, Y: pictureMargin - box.Min.Y}
	p.Add(page.Move(fit.Items, shift)...)
	if pic.Space != drawing.Site {
		return p, nil, nil
	}
	v := fit.View
	return p, &View{v.K, v.Shift.X + shift.X, p.Paper.Height - v.Shift.Y - shift.Y, v.Scale.Says}, nil
}

func (s *Server) getPicture(w http.ResponseWriter, r *http.Request) error {
	if strings.HasSuffix(r.PathValue("name"), ".json") {
		return s.pictureJSON(w, r)
	}
	return s.pictureSVG(w, r, Question{})
}

// tryPicture draws a picture with fields tried differently: what a drag shows.
func (s *Server) tryPicture(w http.ResponseWriter, r *http.Request) error {
	var q Question
	if err := read(r, &q); err != nil {
		return err
	}
	return s.pictureSVG(w, r, q)
}

func (s *Server) pictureSVG(w http.ResponseWriter, r *http.Request, q Question) error {
	wide, err := paperOf(r, "wide", usualWide)
	if err != nil {
		return err
	}
	high, err := paperOf(r, "high", usualHigh)
	if err != nil {
		return err
	}
	pic, _, a, err := s.picture(r, q)
	if err != nil {
		return err
	}
	p, view, err := placed(pic, a.job.Units, wide, high)
	if err != nil {
		return problem(http.StatusUnprocessableEntity, "The picture does not fit on this paper.", "Ask for larger paper: wide and high are in millimetres.")
	}
	if r.URL.Query().Get("bw") == "1" {
		p.Items = page.Black(p.Items)
	}
	var b bytes.Buffer
	if err := svg.Write(&b, p); err != nil {
		return err
	}
	if view != nil {
		w.Header().Set("X-Picture-View", fmt.Sprintf("scale=%.6g left=%.6g top=%.6g", view.Scale, view.Left, view.Top))
	}
	w.Header().Set("Cache-Control", "no-cache")
	if r.Method == http.MethodGet && fresh(w, r, `"`+short8(b.Bytes())+`"`) {
		return nil
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, _ = w.Write(b.Bytes())
	return nil
}

func paperOf(r *http.Request, name string, usual float64) (float64, error) {
	text := r.URL.Query().Get(name)
	if text == "" {
		return usual, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= leastPaper && v <= mostPaper) {
		return 0, problem(http.StatusBadRequest, "`"+name+"` is not a size of paper.", fmt.Sprintf("Send %g to %g millimetres.", leastPaper, mostPaper))
	}
	return v, nil
}

func (s *Server) pictureJSON(w http.ResponseWriter, r *http.Request) error {
	pic, stage, a, err := s.picture(r, Question{})
	if err != nil {
		return err
	}
	out := Picture{PictureName: PictureName{pic.Name, stage, pic.Title, pic.Says}, Legend: []LegendRow{},
		Table: Table{nonNil(pic.Table.Header), nonNil(pic.Table.Rows)}}
	for _, row := range pic.Legend {
		out.Legend = append(out.Legend, LegendRow{row.Layer.Name, row.Says})
	}
	if _, view, err := placed(pic, a.job.Units, usualWide, usualHigh); err == nil {
		out.View = view
	}
	return reply(w, http.StatusOK, out)
}

func short8(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}
