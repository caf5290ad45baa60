package intake

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/goccy/go-yaml/ast"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
)

// Job reads a job file. today is the day the plan is made; day words like "thu" count from it.
func Job(file string, src []byte, today time.Time) (job.Job, []Note, error) {
	j := job.Job{AsOf: today}
	reading := Reading{Units: UnitsIn(src), Locale: textOf(src, "locale"), Today: today, Zone: zoneIn(src)}
	notes, err := Decode(file, src, &j, reading)
	if err != nil {
		return j, notes, err
	}
	if j.ForecastFile != "" {
		if j.Pour.Forecast, err = ForecastFile(beside(file, j.ForecastFile), reading); err != nil {
			return j, notes, err
		}
	}
	return j, notes, j.Settle()
}

// beside is a path as a file names it: from that file's own folder.
func beside(file, path string) string {
	if filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(file), path)
}

// zoneIn is the time zone a file names; nil where it names none that is known.
func zoneIn(src []byte) *time.Location {
	name := textOf(src, "time_zone")
	if name == "" {
		return nil
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		return nil
	}
	return zone
}

// stands says where the job file has a stage's field under a shorter name at the top.
var stands = map[string]string{"site.length": "length", "site.width": "width", "slab.thickness": "thickness", "slab.vehicle": "use"}

// Placed gives the faults of a plan their place in the job file. Those about lines the file does not have come back as left:
// what is missing has no place.
func Placed(file string, src []byte, faults check.Faults) (placed Faults, left check.Faults) {
	d := &decoder{}
	root, err := d.parse(src)
	if err != nil {
		return nil, faults
	}
	for _, f := range faults {
		n, ok := lookUp(root, f.Field)
		if short := stands[f.Field]; !ok && short != "" {
			n, ok = lookUp(root, short)
		}
		if !ok {
			left = append(left, f)
			continue
		}
		line, column := place(n)
		placed = append(placed, Fault{File: file, Line: line, Column: column, Fault: f})
	}
	return placed, left
}

// lookUp follows a field path like site.tapes[2].length from a node.
func lookUp(n ast.Node, path string) (ast.Node, bool) {
	for _, part := range strings.Split(path, ".") {
		name, index, listed := strings.Cut(strings.TrimSuffix(part, "]"), "[")
		m, ok := asMapping(n)
		if !ok {
			return nil, false
		}
		i := slices.IndexFunc(m.Values, func(pair *ast.MappingValueNode) bool { return keyOf(pair) == name })
		if i < 0 {
			return nil, false
		}
		n = m.Values[i].Value
		if listed {
			k, err := strconv.Atoi(index)
			list, ok := n.(*ast.SequenceNode)
			if err != nil || !ok || k < 1 || k > len(list.Values) {
				return nil, false
			}
			n = list.Values[k-1]
		}
	}
	return n, true
}

// UnitsIn is the system a file asks for in its top-level units line; US where it does not say.
func UnitsIn(src []byte) quantity.System {
	var u quantity.System
	if _, err := u.ReadText(textOf(src, "units"), quantity.Box{Name: "units"}); err != nil {
		return quantity.US
	}
	return u
}

// textOf finds a top-level line's value without reading the rest; empty when it is not there or the file cannot be read.
func textOf(src []byte, key string) string {
	d := &decoder{}
	root, err := d.parse(src)
	if err != nil {
		return ""
	}
	m, ok := asMapping(root)
	if !ok {
		return ""
	}
	for _, pair := range m.Values {
		if _, scalar := pair.Value.(ast.ScalarNode); scalar && keyOf(pair) == key {
			return scalarText(pair.Value)
		}
	}
	return ""
}

// Size makes a job of one size: "14x40x6in". Bare sides are feet, a bare thickness inches; with a metric thickness, bare sides
// are metres.
func Size(text string, today time.Time) (job.Job, error) {
	parts := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == 'x' || r == '×' || r == '*' })
	if len(parts) != 3 {
		return job.Job{}, fmt.Errorf("`%s` is not width x length x thickness. Type it like 14x40x6in", text)
	}
	j := job.Job{AsOf: today}
	if thick := strings.TrimSpace(parts[2]); strings.HasSuffix(thick, "m") {
		j.Units = quantity.Metric
	}
	boxes := sizeBoxes(j.Units)
	for i, into := range []*known.Length{&j.Width, &j.Length, &j.Thickness} {
		heard, err := into.Read(parts[i], boxes[i])
		if err != nil {
			return j, err
		}
		if heard.Ask != nil {
			return j, fmt.Errorf("`%s`: %s Type %s", strings.TrimSpace(parts[i]), heard.Ask.Says, heard.Ask.Choices[0])
		}
	}
	if j.Width.Value > j.Length.Value {
		j.Width, j.Length = j.Length, j.Width
	}
	return j, j.Settle()
}

func sizeBoxes(units quantity.System) []quantity.Box {
	side := quantity.Box{Unit: "ft", Low: 1, High: 400, System: units, Kind: quantity.AsSide}
	thick := quantity.Box{Name: "thickness", Unit: "in", Low: 2, High: 24, System: units, Kind: quantity.AsThickness}
	if units == quantity.Metric {
		side.Unit, side.Low, side.High = "m", 0.3, 120
		thick.Unit, thick.Low, thick.High = "mm", 50, 600
	}
	width, length := side, side
	width.Name, length.Name = "width", "length"
	return []quantity.Box{width, length, thick}
}

// All reads everything from r, up to the largest file that is read.
func All(r io.Reader) ([]byte, error) {
	src, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		return nil, fmt.Errorf("standard input: %w", err)
	}
	return src, nil
}

// Line reads one typed line; empty at the end of the input.
func Line(r io.Reader) string {
	b, ok := r.(*bufio.Reader)
	if !ok {
		b = bufio.NewReader(r)
	}
	text, err := b.ReadString('\n')
	if err != nil && text == "" {
		return ""
	}
	return strings.TrimSpace(text)
}

// WriteWhole writes a file whole or not at all: beside its place first, then moved there in one step.
func WriteWhole(path string, text []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(text)
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	return nil
}
