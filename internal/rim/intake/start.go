package intake

import (
	"fmt"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
)

// Start is what a person answers to start a job file, as typed.
type Start struct {
	Name                          string
	Units                         quantity.System
	Length, Width, Thickness, Use string
}

// Lacks names what a job cannot start without: two sides, and a thickness or what stands on it.
func (a Start) Lacks() []string {
	var lacks []string
	for _, n := range []struct{ value, name string }{{a.Length, "length"}, {a.Width, "width"}, {a.Thickness + a.Use, "thickness or use"}} {
		if strings.TrimSpace(n.value) == "" {
			lacks = append(lacks, n.name)
		}
	}
	return lacks
}

// StartJob writes the text of a new job file from the answers and reads it back, so that a file is never started that
// could not be planned. Faults name the line of the file as it would be.
func StartJob(file string, a Start, today time.Time) ([]byte, error) {
	var b strings.Builder
	b.WriteString("# yaml-language-server: $schema=slabwright-job.schema.json\n")
	b.WriteString("# Type what you know; what is left out is assumed and marked so on every sheet.\n")
	line := func(key, value string) {
		if value != "" {
			fmt.Fprintf(&b, "%s: %s\n", key, quoted(value))
		}
	}
	line("name", a.Name)
	line("units", a.Units.String())
	line("length", a.Length)
	line("width", a.Width)
	line("thickness", a.Thickness)
	line("use", a.Use)
	b.WriteString(`
# Next, what moves the answer most (take the # away and type your own):
# pour_date: thu
# site:
#   shots:                      # levels read on the ground
#     - {x: 0, y: 0, elevation: 99.72}
#   locate: {ticket: "…", legal_start: 6/11}   # until then every sheet says DO NOT DIG
# price:
#   …
`)
	text := []byte(b.String())
	if _, _, err := Job(file, text, today); err != nil {
		return nil, err
	}
	return text, nil
}

// quoted puts a typed value in quotes where YAML would read it otherwise.
func quoted(value string) string {
	if strings.ContainsAny(value, "#:{}[]&*!|>'\"%@`,") || strings.HasPrefix(value, "-") || strings.HasPrefix(value, "?") {
		return `"` + strings.ReplaceAll(strings.ReplaceAll(value, `\`, `\\`), `"`, `\"`) + `"`
	}
	return value
}
