package pack_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"
	"github.com/xuri/excelize/v2"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/rim/sheets/pack"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/plan"
	"slabwright/internal/trade/price"
)

// practice is the practice job, all invented.
func practice() job.Job {
	return job.Job{Name: "Boathouse apron", Number: "26-014", Address: "12 Shore Road", Owner: "M. Lake", Shop: "North Shore Flatwork", Phone: "555 0142",
		DrawnBy: "A. Foreman", Revision: "R2", Practice: true, Zone: "America/Chicago",
		Length: known.Say(quantity.Feet(40)), Width: known.Say(quantity.Feet(14)), Thickness: known.Say(quantity.Inches(6)),
		Date: known.Say(quantity.Date{Year: 2026, Month: 6, Day: 11}), AsOf: time.Date(2026, 6, 10, 17, 0, 0, 0, time.UTC)}
}

// threeNumbers is a job of which nothing but a size is known.
func threeNumbers(length, width float64, units quantity.System) job.Job {
	return job.Job{Units: units, Length: known.Say(quantity.Length(length)), Width: known.Say(quantity.Length(width)),
		Thickness: known.Say(quantity.Millimetres(150)), AsOf: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)}
}

func made(t *testing.T, j job.Job) (plan.Plan, map[string][]byte) {
	t.Helper()
	if err := j.Settle(); err != nil {
		t.Fatal(err)
	}
	var planner plan.Planner
	p := planner.Make(j)
	out, err := pack.Make(p, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Problems) > 0 {
		t.Errorf("problems: %q", out.Problems)
	}
	files := map[string][]byte{}
	for _, f := range out.Files {
		files[f.Name] = f.Data
	}
	return p, files
}

// text reads a PDF's pages with another maker's tool.
func text(t *testing.T, data []byte) []string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("no pdftotext to read the sheets with")
	}
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

func TestPracticeJob(t *testing.T) {
	p, files := made(t, practice())
	for _, name := range []string{"sheets.pdf", "crew-sheet.pdf", "quote.pdf", "phone-order.pdf", "care-sheet.pdf", "stake-sheet.pdf",
		"calculations.pdf", "joint-plan.svg", "joint-plan.png", "joint-plan.dxf", "site-plan.dxf", "quantities.csv", "quantities.xlsx", "dates.ics", "plan.json"} {
		if len(files[name]) == 0 {
			t.Errorf("no %s", name)
		}
	}
	t.Run("crew sheet is one side and says what the crew asks", func(t *testing.T) {
		pages := text(t, files["crew-sheet.pdf"])
		if len(pages) != 1 {
			t.Errorf("%d sides", len(pages))
		}
		for _, want := range []string{"DO NOT DIG", "811 is not called", "may add water", "2.0 %", "1/4\"/FT", "4 in", "18 in", "7:00 am", "Thursday, June 11, 2026", "11 1/4 yd³", "6 in", "42'-4 1/2\"", "13'-4\"", "26'-8\"", "Take care"} {
			if !strings.Contains(strings.ReplaceAll(pages[0], "–", "-"), want) {
				t.Errorf("%q is not on the crew sheet", want)
			}
		}
	})
	t.Run("phone order is one side with every line", func(t *testing.T) {
		pages := text(t, files["phone-order.pdf"])
		if len(pages) != 1 || !strings.Contains(pages[0], "eleven and a quarter") || !strings.Contains(pages[0], "12") {
			t.Errorf("%d sides", len(pages))
		}
	})
	t.Run("care sheet has three dates with weekday", func(t *testing.T) {
		page := strings.Join(text(t, files["care-sheet.pdf"]), "")
		dates := 0
		for _, day := range []string{"Mon ", "Tue ", "Wed ", "Thu ", "Fri ", "Sat ", "Sun "} {
			for _, month := range []string{"Jun ", "Jul ", "Aug ", "Sep "} {
				dates += strings.Count(page, day+month)
			}
		}
		if dates != 3 {
			t.Errorf("%d short dates with weekday, want 3", dates)
		}
	})
	t.Run("quote shows the price of the plan", func(t *testing.T) {
		r, _ := p.Of("price")
		want := "$" + quantity.Decimal(float64(r.Result.(price.Result).Price), 0, 0)
		if page := strings.Join(text(t, files["quote.pdf"]), ""); !strings.Contains(page, want) {
			t.Errorf("no %s on the quote", want)
		}
	})
	t.Run("every sheet is numbered and marked as practice", func(t *testing.T) {
		pages := text(t, files["sheets.pdf"])
		for i, page := range pages {
			for _, want := range []string{fmt.Sprintf("Sheet %d of %d", i+1, len(pages)), "PRACTICE, INVENTED DATA", "Not a survey. Not sealed.", "DO NOT DIG: 811 not called."} {
				if !strings.Contains(page, want) {
					t.Errorf("sheet %d lacks %q", i+1, want)
				}
			}
		}
	})
	t.Run("every check is on the sheets in its own words", func(t *testing.T) { checkWords(t, p, files["sheets.pdf"]) })
	t.Run("contents name the sheets by their numbers", func(t *testing.T) { checkContents(t, files["sheets.pdf"]) })
	t.Run("bill adds up", func(t *testing.T) { checkBill(t, p, files["quantities.xlsx"]) })
	t.Run("dates can be read", func(t *testing.T) { checkDates(t, files["dates.ics"]) })
	t.Run("plan.json is JSON with every stage", func(t *testing.T) { checkJSON(t, p, files["plan.json"]) })
}

// letters is a text without spaces and line breaks, by which a word may be broken in a table.
func letters(says string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(says, "–", "-")), "")
}

// checkWords looks for every word of every check; wrapped in a table's column, they stand between the words beside.
func checkWords(t *testing.T, p plan.Plan, data []byte) {
	sheets := letters(strings.Join(text(t, data), ""))
	for _, c := range p.Checks() {
		for _, word := range strings.Fields(c.Says) {
			if !strings.Contains(sheets, letters(word)) {
				t.Errorf("%s: %q is on no sheet", c.ID, word)
			}
		}
	}
}

// checkContents holds the numbers on the first sheet to the sheets: the sheet so numbered bears the title.
func checkContents(t *testing.T, data []byte) {
	pages := text(t, data)
	lines := 0
	for line := range strings.Lines(pages[0]) {
		fields := strings.Fields(line)
		if len(fields) < 2 {
			continue
		}
		number, err := strconv.Atoi(fields[0])
		if err != nil {
			continue
		}
		lines++
		if number < 2 || number > len(pages) {
			t.Errorf("%q: there are %d sheets", line, len(pages))
		} else if part, ok := strings.CutPrefix(strings.Join(fields[1:], " "), "– "); ok && !strings.Contains(letters(pages[number-1]), letters(part)) {
			t.Errorf("sheet %d does not say %q", number, part)
		}
	}
	if lines < 20 {
		t.Errorf("contents list %d lines", lines)
	}
}

// checkBill holds the spreadsheet's own sums to the plan's: lines are rounded to the cent in the plan, not in the products, so
// half a cent a line may lie between them.
func checkBill(t *testing.T, p plan.Plan, data []byte) {
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	report, _ := p.Of("price")
	r := report.Result.(price.Result)
	total := func(sheet, column string, rows int) float64 {
		text, err := f.CalcCellValue(sheet, fmt.Sprintf("%s%d", column, 5+rows), excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if got := total("Bill", "G", len(r.Lines)); math.Abs(got-float64(r.Direct)) > 0.005*float64(len(r.Lines))+1e-6 {
		t.Errorf("bill sums to %.4f, the plan's direct cost is %.4f", got, float64(r.Direct))
	}
	if got := total("Price", "B", 5); math.Abs(got-float64(r.Price)) > 0.005 {
		t.Errorf("price is built to %.4f, quoted %.4f", got, float64(r.Price))
	}
}

func checkDates(t *testing.T, data []byte) {
	c, err := goical.NewDecoder(bytes.NewReader(data)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	names := ""
	for _, e := range c.Events() {
		if uid, _ := e.Props.Text(goical.PropUID); !strings.HasPrefix(uid, "26-014-boathouse-apron-") || !strings.HasSuffix(uid, "@slabwright.invalid") {
			t.Errorf("event is named %q: a calendar would double it with the next plan", uid)
		}
		says, _ := e.Props.Text(goical.PropSummary)
		names += says + "|"
	}
	for _, want := range []string{"Pour: Boathouse apron, 11 1/4 yd³", "Saw the joints", "Walk on it", "Drive a car on it", "End of curing"} {
		if !strings.Contains(names, want) {
			t.Errorf("no %q among %s", want, names)
		}
	}
}

func checkJSON(t *testing.T, p plan.Plan, data []byte) {
	var got struct {
		Schema int
		Stages []struct {
			Name     string
			Answered bool
		}
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != 1 || len(got.Stages) != len(p.Stages) {
		t.Errorf("schema %d, %d stages; want 1, %d", got.Schema, len(got.Stages), len(p.Stages))
	}
}

// Small, long and metric slabs give a whole pack without problems, from three numbers.
func TestAnySize(t *testing.T) {
	for _, c := range []struct {
		length, width float64
		units         quantity.System
	}{{5, 3, quantity.Metric}, {60, 6, quantity.US}, {12, 12, quantity.US}} {
		t.Run(fmt.Sprintf("%v x %v m %s", c.length, c.width, c.units), func(t *testing.T) {
			_, files := made(t, threeNumbers(c.length, c.width, c.units))
			if pages := text(t, files["crew-sheet.pdf"]); len(pages) != 1 {
				t.Errorf("crew sheet has %d sides", len(pages))
			}
		})
	}
}

func TestSameBytes(t *testing.T) {
	_, a := made(t, practice())
	_, b := made(t, practice())
	for name := range a {
		if !bytes.Equal(a[name], b[name]) {
			t.Errorf("two packs of one job differ in %s", name)
		}
	}
}

// A plan of which nothing could be worked out still goes out as a list of what is missing.
func TestNothingKnown(t *testing.T) {
	var planner plan.Planner
	out, err := pack.Make(planner.Make(job.Job{AsOf: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)}), nil)
	if err != nil || len(out.Files) == 0 {
		t.Errorf("%d files, %v, %v", len(out.Files), out.Problems, err)
	}
}

// One sheet alone can be painted, a document as well as a drawing; a name no sheet bears is refused.
func TestPicture(t *testing.T) {
	j := practice()
	if err := j.Settle(); err != nil {
		t.Fatal(err)
	}
	var planner plan.Planner
	p := planner.Make(j)
	for _, name := range []string{"crew-sheet", "joint-plan"} {
		if data, err := pack.Picture(p, name, 50); err != nil || !bytes.HasPrefix(data, []byte("\x89PNG")) {
			t.Errorf("%s: %d bytes, %v", name, len(data), err)
		}
	}
	if _, err := pack.Picture(p, "no-such-sheet", 50); err == nil {
		t.Error("painted a sheet that does not exist")
	}
}

// A forecast that says don't puts it on the crew sheet, with the reason.
func TestDontPour(t *testing.T) {
	j, dry := practice(), quantity.Percent(0.15)
	for hour := range 40 {
		j.Pour.Forecast = append(j.Pour.Forecast, weather.Hour{Time: time.Date(2026, 6, 11, 10+hour, 0, 0, 0, time.UTC),
			Air: quantity.Fahrenheit(97), Humidity: &dry, Wind: 11})
	}
	_, files := made(t, j)
	pages := text(t, files["crew-sheet.pdf"])
	if len(pages) != 1 || !strings.Contains(pages[0], "DON'T POUR") || !strings.Contains(pages[0], "evaporates") {
		t.Errorf("%d sides: %s", len(pages), strings.Join(pages, "\n"))
	}
}
