package intake

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/pour"
)

// WithLine is a job file's text with one more line at its end, as a person would type it; nothing else of it is touched. It is read
// again before it is given: a file that is written in another way than line by line is left as it is, with a fault.
func WithLine(file string, src []byte, key, value string, today time.Time) ([]byte, error) {
	text := bytes.TrimRight(src, " \t\r\n")
	text = append(bytes.Clone(text), fmt.Sprintf("\n%s: %s\n", key, quoted(value))...)
	root, err := new(decoder).parse(text)
	if err == nil && textIn(root, key) == value {
		if _, _, err = Job(file, text, today); err == nil {
			return text, nil
		}
	}
	return nil, check.Faults{{Field: key, Given: value, Why: "the line could not be added to the job file.", Type: fmt.Sprintf("Type `%s: %s` into it.", key, quoted(value))}}
}

// apart is a number with its unit typed after a space.
var apart = regexp.MustCompile(`(?i)(\d)\s+(mph|km/h|m/s|%|°?[fc]\b)`)

// SiteReading reads four numbers as they are said on site: "84F 32% 6mph 79F", air before concrete, wind at the slab; without units in
// the order air, humidity, wind, concrete.
func SiteReading(text string, units quantity.System) (pour.Reading, error) {
	var out pour.Reading
	fields := strings.FieldsFunc(apart.ReplaceAllString(text, "$1$2"), func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '\t' })
	box := func(name, unit string) quantity.Box {
		return quantity.Box{Name: name, Unit: unit, System: units}
	}
	temp, wind := "°F", "mph"
	if units == quantity.Metric {
		temp, wind = "°C", "km/h"
	}
	bare := len(fields) == 4 && !strings.ContainsAny(strings.ToLower(text), "%fcmk")
	for i, f := range fields {
		var err error
		switch lower := strings.ToLower(f); {
		case strings.HasSuffix(lower, "%"), bare && i == 1:
			err = into(&out.Humidity, f, box("humidity", "%"))
		case strings.HasSuffix(lower, "mph"), strings.HasSuffix(lower, "/h"), strings.HasSuffix(lower, "/s"), bare && i == 2:
			err = into(&out.Wind, f, box("wind", wind))
		case !out.Air.Given():
			err = into(&out.Air, f, box("air", temp))
		default:
			err = into(&out.Concrete, f, box("concrete", temp))
		}
		if err != nil {
			return out, err
		}
	}
	if len(fields) != 4 || !(out.Air.Given() && out.Humidity.Given() && out.Wind.Given() && out.Concrete.Given()) {
		return out, fmt.Errorf("`%s` is not four numbers. Type air, humidity, wind at the slab and concrete like \"84F 32%% 6mph 79F\"", shortened(text))
	}
	return out, nil
}

func into[T any](k *known.Known[T], text string, box quantity.Box) error {
	_, err := k.Read(text, box)
	return err
}
