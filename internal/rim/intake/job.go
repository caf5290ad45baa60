package intake

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
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

// Job reads a job file. today is the moment the plan is made; day words like "thu" count from it. Files the job names are read
// from its own folder.
func Job(file string, src []byte, today time.Time) (job.Job, []Note, error) {
	return JobWith(file, src, today, FilesBeside(file), nil)
}

// FilesBeside opens files from the folder of a job file.
func FilesBeside(file string) Attached {
	return func(name string, most int64) ([]byte, error) {
		path := Beside(file, name)
		if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
			return nil, fs.ErrNotExist
		}
		return readWhole(path, most)
	}
}

// Attached opens a file that a job names, up to one byte more than the most that is read of it. It gives fs.ErrNotExist for
// what is not there.
type Attached func(name string, most int64) ([]byte, error)

// JobWith reads a job with the files it names and the shop's lists, nil where there are none: the job takes from them what it does
// not say itself.
func JobWith(file string, src []byte, today time.Time, open Attached, lists *Lists) (job.Job, []Note, error) {
	j := job.Job{AsOf: today}
	d := &decoder{file: file, forSheets: true, open: open}
	root, err := d.parse(src)
	if err != nil {
		return j, nil, err
	}
	d.reading = Reading{Units: unitsIn(root), Locale: textIn(root, "locale"), Today: today, Zone: zoneIn(root)}
	notes, err := d.decode(root, &j)
	if err != nil {
		return j, notes, err
	}
	d.words(root, j)
	at, said := j.PourAt()
	if d.reading.Day = at; !said {
		d.reading.Day = today
	}
	if err = errors.Join(d.files(root, &j), d.survey(root, &j)); err != nil || len(d.faults) > 0 {
		return j, notes, errors.Join(d.found(), err)
	}
	d.past(root, j)
	if err := d.lent(root, &j, lists); err != nil {
		return j, d.notes, err
	}
	err = j.Settle()
	if faults := (check.Faults)(nil); errors.As(err, &faults) {
		if placed, left := placed(file, root, faults); len(left) == 0 {
			err = placed
		}
	}
	return j, d.notes, err
}

// found is the faults so far as an error; nil without any.
func (d *decoder) found() error {
	if len(d.faults) == 0 {
		return nil
	}
	return d.faults
}

// aLocale is a language tag with or without a region: en, en-GB, zh-Hant-TW.
var aLocale = regexp.MustCompile(`^[A-Za-z]{2,3}([-_][A-Za-z0-9]{2,8}){0,3}$`)

// words faults the top lines that take only certain words.
func (d *decoder) words(root ast.Node, j job.Job) {
	if paper := strings.ToLower(j.Paper); paper != "" && paper != "letter" && paper != "a4" {
		n, _ := lookUp(root, "paper")
		d.fault(n, "paper", j.Paper, "is not a paper the sheets are laid out for.", "Type letter or a4.")
	}
	if j.Locale != "" && !aLocale.MatchString(j.Locale) {
		n, _ := lookUp(root, "locale")
		d.fault(n, "locale", j.Locale, "is not a language and region.", "Type one like en-US or en-GB.")
	}
}

// past notes a day of the pour that has gone by.
func (d *decoder) past(root ast.Node, j job.Job) {
	at, said := j.PourAt()
	if n, ok := lookUp(root, "pour_date"); ok && said && at.AddDate(0, 0, 1).Before(j.AsOf) {
		line, column := place(n)
		d.notes = append(d.notes, Note{File: d.file, Line: line, Column: column, Field: "pour_date", Says: "That day has gone by; the plan is made as if it were to come."})
	}
}

// lent gives the job what the shop's lists have; what it names and they do not is noted.
func (d *decoder) lent(root ast.Node, j *job.Job, lists *Lists) error {
	if lists == nil {
		return nil
	}
	then, err := lists.For(*j)
	if err != nil {
		return err
	}
	for _, u := range lists.Now().LendQuoted(j, then) {
		n, _ := lookUp(root, u.Field)
		line, column := place(n)
		d.notes = append(d.notes, Note{File: d.file, Line: line, Column: column, Field: u.Field, Says: u.Says})
	}
	return nil
}

// ZoneIn is the time zone a job file names; nil where it names none that is known.
func ZoneIn(src []byte) *time.Location {
	root, err := new(decoder).parse(src)
	if err != nil {
		return nil
	}
	return zoneIn(root)
}

func zoneIn(root ast.Node) *time.Location {
	name := textIn(root, "time_zone")
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
func Placed(file string, src []byte, faults check.Faults) (found Faults, left check.Faults) {
	root, err := new(decoder).parse(src)
	if err != nil {
		return nil, faults
	}
	return placed(file, root, faults)
}

func placed(file string, root ast.Node, faults check.Faults) (found Faults, left check.Faults) {
	for _, f := range faults {
		n, ok := standing(root, f)
		if !ok {
			left = append(left, f)
			continue
		}
		line, column := place(n)
		found = append(found, Fault{File: file, Line: line, Column: column, Fault: f})
	}
	return found, left
}

// standing finds the line a fault is about: where its field says, under its shorter name at the top, or at the top under
// its own last name with the very text it complains of.
func standing(root ast.Node, f check.Fault) (ast.Node, bool) {
	if n, ok := lookUp(root, f.Field); ok {
		return n, true
	}
	if short := stands[f.Field]; short != "" {
		return lookUp(root, short)
	}
	n, ok := lookUp(root, f.Field[strings.LastIndexByte(f.Field, '.')+1:])
	return n, ok && f.Given != "" && given(n) == f.Given
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
	root, err := new(decoder).parse(src)
	if err != nil {
		return quantity.US
	}
	return unitsIn(root)
}

func unitsIn(root ast.Node) quantity.System {
	var u quantity.System
	if _, err := u.ReadText(textIn(root, "units"), quantity.Box{Name: "units"}); err != nil {
		return quantity.US
	}
	return u
}

// textIn finds a top-level line's value without reading the rest; empty when it is not there.
func textIn(root ast.Node, key string) string {
	n, ok := lookUp(root, key)
	if _, scalar := n.(ast.ScalarNode); !ok || !scalar {
		return ""
	}
	return scalarText(n)
}

// Size makes a job of one size: "14x40x6in". Bare sides are feet, a bare thickness inches; with a metric thickness, bare sides
// are metres. What looks unusual is refused unless sure.
func Size(text string, sure bool, today time.Time) (job.Job, error) {
	parts := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == 'x' || r == '×' || r == '*' })
	if len(parts) != 3 {
		return job.Job{}, fmt.Errorf("`%s` is not width x length x thickness. Type it like 14x40x6in.", shortened(text))
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
		if heard.Ask != nil && !sure {
			return j, fmt.Errorf("%s: %s", boxes[i].Name, unusual(*heard.Ask))
		}
	}
	if j.Width.Value > j.Length.Value {
		j.Width, j.Length = j.Length, j.Width
	}
	return j, j.Settle()
}

// unusual says what to do about a size that is kept only when its writer is sure.
func unusual(q quantity.Question) string {
	if len(q.Choices) > 1 {
		return fmt.Sprintf("%s Type %s if you meant that, or add --sure to keep it.", q.Says, q.Choices[0])
	}
	return q.Says + " Add --sure if you mean it."
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

// File reads a whole file, up to the largest that is read.
func File(path string) ([]byte, error) { return readWhole(path, MaxSize) }

// readWhole reads a file, and one byte more than most where it is longer: enough to see that it is.
func readWhole(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s is a folder; name a file in it", path)
	}
	return io.ReadAll(io.LimitReader(f, most+1))
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
