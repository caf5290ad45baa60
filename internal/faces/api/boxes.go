package api

import (
	"net/http"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
)

// Boxes describes fields as boxes on a page.
type Boxes struct {
	Boxes []Box `json:"boxes"`
}

// Box is what a person may type into one field.
type Box struct {
	Pointer string   `json:"pointer"`
	Says    string   `json:"says"`
	Unit    string   `json:"unit,omitempty"` // of a bare number
	Low     *float64 `json:"usual_low,omitempty"`
	High    *float64 `json:"usual_high,omitempty"`
	Words   []string `json:"words,omitempty"` // to choose from
	Truth   bool     `json:"yes_or_no,omitempty"`
}

// mostBoxes is how many boxes one question may be about.
const mostBoxes = 100

func (s *Server) getBoxes(w http.ResponseWriter, r *http.Request) error {
	pointers := r.URL.Query()["pointer"]
	if len(pointers) == 0 || len(pointers) > mostBoxes {
		return problem(http.StatusBadRequest, "No field is named, or too many.", "Add ?pointer=/thickness, up to a hundred times.")
	}
	var reading intake.Reading
	if text := r.URL.Query().Get("units"); text != "" {
		if _, err := reading.Units.ReadText(text, quantity.Box{Name: "units"}); err != nil {
			return problem(http.StatusBadRequest, "`units` is no system of units.", "Send us or metric.")
		}
	}
	out := Boxes{}
	for _, pointer := range pointers {
		p, err := fields.ParsePointer(pointer)
		if err != nil {
			return wrong(pointer, err.Error()+".", "Send a pointer like /thickness.")
		}
		f, err := intake.FieldAt(p)
		if err != nil {
			return wrong(pointer, err.Error()+".", "Name a field of the job file; its schema is at /api/v1/schema.")
		}
		b := f.Box(reading)
		box := Box{Pointer: pointer, Says: f.Says, Unit: b.Unit, Words: f.Words(), Truth: f.Truth()}
		if b.High != 0 {
			box.Low, box.High = &b.Low, &b.High
		}
		out.Boxes = append(out.Boxes, box)
	}
	return reply(w, http.StatusOK, out)
}
