package known

import (
	"encoding/json"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// MarshalJSON writes the value in SI with its unit and everything that is known about it. What is empty is left out.
func (k Known[T]) MarshalJSON() ([]byte, error) {
	if !k.Given() {
		return []byte("null"), nil
	}
	out := struct {
		Value  T           `json:"value"`
		Unit   string      `json:"unit,omitempty"`
		Origin Origin      `json:"origin"`
		Low    *T          `json:"low,omitempty"`
		High   *T          `json:"high,omitempty"`
		Text   string      `json:"text,omitempty"`
		Reason string      `json:"reason,omitempty"`
		Source sources.Key `json:"source,omitempty"`
		Notes  []string    `json:"notes,omitempty"`
	}{Value: k.Value, Origin: k.Origin, Text: k.Text, Reason: k.Reason, Source: k.Source, Notes: k.Notes}
	if m, ok := any(k.Value).(quantity.Measured); ok {
		out.Unit = quantity.SIUnit(m.Dimension()).Symbol
	}
	if e := k.entry(""); e.Ranged {
		out.Low, out.High = &k.Low, &k.High
	}
	return json.Marshal(out)
}
