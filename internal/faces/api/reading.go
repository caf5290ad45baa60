package api

import (
	"errors"
	"net/http"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/fields"
	"slabwright/internal/rim/intake"
)

// Typed is text typed into a box.
type Typed struct {
	Pointer string `json:"pointer"`                                      // of the box's field in the job document
	Of      string `json:"of,omitempty" jsonschema:"enum=job,enum=shop"` // shop: in the shop's lists
	Text    string `json:"text"`
	Units   string `json:"units,omitempty" jsonschema:"enum=us,enum=metric"`
	Locale  string `json:"locale,omitempty"`
	Zone    string `json:"time_zone,omitempty"`
}

// Read is how the text was understood: a value read back; a note where that needs saying; a question when the value is held
// until a person picks a reading; or a stop when it cannot be a value.
type Read struct {
	ReadBack string   `json:"readback"`
	SI       *float64 `json:"value_si,omitempty"`
	SIUnit   string   `json:"si_unit,omitempty"`
	Exact    string   `json:"exact,omitempty"` // the exact SI value as n/d, of lengths on a tape
	Notes    []string `json:"notes"`
	Ask      *Ask     `json:"ask,omitempty"`
	Stop     *Stop    `json:"stop,omitempty"`
}

// Ask holds a value until a person picks.
type Ask struct {
	Question string   `json:"question"`
	Choices  []Choice `json:"choices"`
}

// Choice is one reading: the text that says it, and the words on its button.
type Choice struct {
	Text  string       `json:"text"`
	Label string       `json:"label"`
	Value fields.Value `json:"value"` // what to set the field to
}

// Stop says what was typed, why it cannot be, and what to type instead.
type Stop struct {
	What     string `json:"what"`
	Why      string `json:"why"`
	TypeThis string `json:"type_this"`
	Says     string `json:"says"` // all three in a sentence
}

func (s *Server) postRead(w http.ResponseWriter, r *http.Request) error {
	var t Typed
	if err := read(r, &t); err != nil {
		return err
	}
	p, err := fields.ParsePointer(t.Pointer)
	if err != nil {
		return wrong("/pointer", "`"+t.Pointer+"`: "+err.Error()+".", "Send a pointer like /slab/thickness.")
	}
	at := intake.FieldAt
	if t.Of == "shop" {
		at = intake.ShopFieldAt
	}
	field, err := at(p)
	if err == nil && !field.One() {
		err = errors.New(t.Pointer + " is not one box")
	}
	if err != nil {
		return wrong("/pointer", err.Error()+".", "Name a field of the job file; its schema is at /api/v1/schema.")
	}
	reading, err := s.readingOf(t)
	if err != nil {
		return err
	}
	return reply(w, http.StatusOK, understood(field, t.Text, reading))
}

func (s *Server) readingOf(t Typed) (intake.Reading, error) {
	reading := intake.Reading{Locale: t.Locale, Today: s.now()}
	if t.Units != "" {
		if _, err := reading.Units.ReadText(t.Units, quantity.Box{Name: "units"}); err != nil {
			return reading, wrong("/units", "`"+t.Units+"` is no system of units.", "Send us or metric.")
		}
	}
	if t.Zone != "" {
		zone, err := time.LoadLocation(t.Zone)
		if err != nil {
			return reading, wrong("/time_zone", "`"+t.Zone+"` is not a time zone.", "Send one like America/Chicago.")
		}
		reading.Zone, reading.Today = zone, reading.Today.In(zone)
	}
	return reading, nil
}

// understood reads one text as the box of a field does.
func understood(field intake.Field, text string, reading intake.Reading) Read {
	heard, err := field.Hear(text, reading)
	if err != nil {
		return Read{Notes: []string{}, Stop: stopOf(text, err)}
	}
	out := Read{ReadBack: heard.ReadBack, SIUnit: heard.Unit, Exact: heard.Exact, Notes: nonNil(heard.Notes)}
	if heard.Number {
		out.SI = &heard.SI
	}
	if q := heard.Ask; q != nil {
		out.Ask = &Ask{Question: q.Says, Choices: []Choice{}}
		for i, choice := range q.Choices {
			label, value := "Use "+choice, fields.Value(choice)
			if i == len(q.Choices)-1 {
				label, value = "Keep "+choice, map[string]any{"value": strings.TrimSpace(text), "sure": "yes"}
			}
			out.Ask.Choices = append(out.Ask.Choices, Choice{choice, label, value})
		}
	}
	return out
}

func stopOf(text string, err error) *Stop {
	var cannot *quantity.Unreadable
	if errors.As(err, &cannot) {
		return &Stop{cannot.Typed, cannot.Why, cannot.TypeThis, cannot.Error()}
	}
	why, instead, _ := strings.Cut(err.Error(), ". ")
	if instead == "" {
		why, instead, _ = strings.Cut(err.Error(), "; ")
	}
	return &Stop{text, why, instead, err.Error()}
}
