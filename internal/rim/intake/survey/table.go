package survey

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/site"
)

// columns of a table of points: what each holds; −1 where it has none.
type columns struct{ name, east, north, height, code int }

// words a header may use for a column, without its unit.
var (
	nameWords   = []string{"point", "name", "number", "no", "id", "pt", "p", "point_id", "point_number"}
	eastWords   = []string{"e", "east", "easting"}
	northWords  = []string{"n", "north", "northing"}
	heightWords = []string{"z", "elev", "elevation", "height", "level", "h", "alt", "altitude"}
	codeWords   = []string{"code", "desc", "description", "d", "note", "feature"}
	degreeWords = []string{"lat", "latitude", "lon", "lng", "long", "longitude"}
)

// readTable reads points from a table of a total station or phone: commas, semicolons, tabs or spaces between; with a header, or
// in the usual order of point, two coordinates, height, code. A header that says easting and northing settles the order; x and y
// do not: to many instruments x is north.
func readTable(src []byte, told Told) (Import, error) {
	rows, comma, err := split(src)
	if err != nil {
		return Import{}, err
	}
	if len(rows) == 0 {
		return Import{}, fault(1, "file", "", "is empty.", "Export point, easting, northing, elevation, code.")
	}
	t := table{told: told, comma: comma}
	first := 0
	if isHeader(rows[0].cells) {
		first = 1
		if err := t.head(rows[0]); err != nil {
			return Import{}, err
		}
	} else {
		t.at = columns{name: 0, east: 1, north: 2, height: 3, code: 4}
		if told.Axes == site.NorthEast {
			t.at.east, t.at.north = 2, 1
		}
	}
	if !t.ordered && told.Axes == "" {
		return Import{}, askAxes()
	}
	if t.told.Unit == "" {
		return Import{}, askUnit("")
	}
	if t.told.Unit == site.Degrees {
		return Import{}, fault(0, "unit", "deg", "is no unit of a table of points here.", "Export projected coordinates, or GeoJSON.")
	}
	return t.read(rows[first:])
}

type tableRow struct {
	line    int
	cells   []string
	columns []int // where each cell begins, counted from 1
}

// split parts the lines by the separator the first line that is no comment uses; decimal commas are taken where that is no comma.
func split(src []byte) ([]tableRow, bool, error) {
	var head []byte
	for rest := src; len(rest) > 0 && (len(head) == 0 || head[0] == '#'); {
		head, rest, _ = bytes.Cut(rest, []byte("\n"))
		head = bytes.TrimSpace(head)
	}
	var sep rune
	for _, s := range []rune{'\t', ';', ','} {
		if bytes.ContainsRune(head, s) {
			sep = s
			break
		}
	}
	var rows []tableRow
	if sep == 0 {
		for i, line := range strings.Split(string(src), "\n") {
			if f := strings.Fields(line); len(f) > 0 && !strings.HasPrefix(f[0], "#") {
				rows = append(rows, tableRow{i + 1, f, starts(line, f)})
			}
		}
		return rows, true, nil
	}
	r := csv.NewReader(bytes.NewReader(src))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace, r.LazyQuotes = sep, '#', -1, sep != '\t', true
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, sep != ',', nil
		}
		if err != nil {
			var parse *csv.ParseError
			line := 0
			if errors.As(err, &parse) {
				line = parse.Line
			}
			return nil, false, fault(line, "file", "", "cannot be read as a table: "+err.Error()+".", "Put text with separators in double quotes.")
		}
		row := tableRow{cells: cells}
		for i := range cells {
			line, column := r.FieldPos(i)
			row.line, row.columns = line, append(row.columns, column)
		}
		rows = append(rows, row)
	}
}

// starts is where each field of a line begins, counted from 1.
func starts(line string, fields []string) []int {
	var out []int
	at := 0
	for _, f := range fields {
		at += strings.Index(line[at:], f)
		out = append(out, at+1)
		at += len(f)
	}
	return out
}

type table struct {
	told    Told
	comma   bool // decimal commas may be met
	ordered bool
	at      columns
}

// isHeader says whether a row has no number after its first cell.
func isHeader(cells []string) bool {
	for _, c := range cells[min(1, len(cells)):] {
		if _, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(c), ",", "."), 64); err == nil {
			return false
		}
	}
	return len(cells) > 1
}

func (t *table) head(row tableRow) error {
	t.at = columns{-1, -1, -1, -1, -1}
	x, y := -1, -1
	for i, cell := range row.cells {
		word, unit := headWord(cell)
		switch {
		case has(degreeWords, word):
			return faultAt(row.line, row.columns[i], "file", cell, "is latitude or longitude: a phone is metres off, and degrees are no lengths.", "Export projected coordinates in metres or feet, or GeoJSON with unit: deg.")
		case has(eastWords, word):
			t.at.east = i
		case has(northWords, word):
			t.at.north = i
		case word == "x":
			x = i
		case word == "y":
			y = i
		case has(heightWords, word):
			t.at.height = i
		case has(codeWords, word):
			t.at.code = i
		case has(nameWords, word):
			t.at.name = i
		}
		if unit != "" {
			if t.told.Unit != "" && t.told.Unit != unit && !(unit == site.Feet && t.told.Unit == site.SurveyFeet) {
				return faultAt(row.line, row.columns[i], "unit", string(t.told.Unit), fmt.Sprintf("but column %s is in %s.", strings.TrimSpace(cell), unit), "Leave unit out, or correct it.")
			}
			if unit != site.Feet {
				t.told.Unit = unit
			}
		}
	}
	t.ordered = t.at.east >= 0 && t.at.north >= 0
	if !t.ordered {
		t.at.east, t.at.north = x, y
		if t.told.Axes == site.NorthEast {
			t.at.east, t.at.north = y, x
		}
	}
	if t.at.east < 0 || t.at.north < 0 {
		return fault(row.line, "file", strings.Join(row.cells, ","), "names no easting and northing, or x and y.", "Head the columns: point,easting,northing,elevation,code.")
	}
	return nil
}

// headWord parts a column's name from its unit: easting_ft, Elevation (m).
func headWord(cell string) (word string, unit site.SurveyUnit) {
	word = strings.ToLower(strings.Trim(strings.TrimSpace(cell), `"`))
	word = strings.NewReplacer("(", "_", ")", "", "[", "_", "]", "", " ", "_", ".", "").Replace(word)
	word = strings.ReplaceAll(word, "__", "_")
	for _, s := range unitEndings {
		if rest, ok := strings.CutSuffix(word, s.ending); ok {
			return rest, s.unit
		}
	}
	return word, ""
}

// unitEndings are the units a column's name may end with, the longest first.
var unitEndings = []struct {
	ending string
	unit   site.SurveyUnit
}{{"_survey_ft", site.SurveyFeet}, {"_usft", site.SurveyFeet}, {"_ftus", site.SurveyFeet}, {"_mm", site.Millimetres}, {"_ft", site.Feet}, {"_m", site.Metres}}

func has(words []string, word string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}

func (t *table) read(rows []tableRow) (Import, error) {
	in := Import{Unit: t.told.Unit}
	var faults Faults
	scale := metres[t.told.Unit]
	for _, row := range rows {
		cell := func(i int) string {
			if i < 0 || i >= len(row.cells) {
				return ""
			}
			return strings.TrimSpace(row.cells[i])
		}
		number := func(field string, i int) float64 {
			v, err := t.number(cell(i))
			if err != nil {
				column := 1
				if i < len(row.columns) {
					column = row.columns[i]
				}
				faults = append(faults, faultAt(row.line, column, field, cell(i), "is not a number.", "Give digits with a point.")...)
			}
			return v * scale
		}
		p := Point{Name: cell(t.at.name), Code: cell(t.at.code)}
		p.At = geometry.Point{X: number("easting", t.at.east), Y: number("northing", t.at.north)}
		if p.HasZ = cell(t.at.height) != ""; p.HasZ {
			p.Z = number("elevation", t.at.height)
		}
		in.Points = append(in.Points, p)
		if len(faults) >= mostFaults {
			break
		}
	}
	if len(faults) > 0 {
		return Import{}, faults
	}
	return in, nil
}

// mostFaults is as many as anybody reads.
const mostFaults = 20

func (t *table) number(text string) (float64, error) {
	if t.comma && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	return strconv.ParseFloat(text, 64)
}
