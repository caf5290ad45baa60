package web_test

import (
	"encoding/base64"
	"fmt"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"
)

// read is the text of a sheet as a careful reader has it on paper: as it lies (-layout), or box by box (-raw).
func (b *tab) read(job, sheet, order string) string {
	b.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		b.Skip("NOT RUN: no pdftotext here; tools/setup installs poppler-utils")
	}
	code := get[string](b, fmt.Sprintf(`fetch("/api/v1/jobs/%s/sheets/%s.pdf").then((r) => r.arrayBuffer()).then((a) => btoa([...new Uint8Array(a)].map((c) => String.fromCharCode(c)).join("")))`, job, sheet))
	file, err := base64.StdEncoding.DecodeString(code)
	if err != nil {
		b.Fatal(err)
	}
	command := exec.Command(reader, order, "-", "-")
	command.Stdin = strings.NewReader(string(file))
	text, err := command.Output()
	if err != nil {
		b.Fatal(err)
	}
	return string(text)
}

// says looks for what a reader must find.
func says(t *testing.T, paper, what, pattern string) {
	t.Helper()
	if !regexp.MustCompile(pattern).MatchString(paper) {
		t.Errorf("the paper does not say %s (%s):\n%s", what, pattern, paper)
	}
}

// buried is a job with a gas line under its corner, marked before the pour.
func buried(b *tab, id string) {
	b.Helper()
	b.open("/")
	b.put(id, map[string]any{"units": "us", "name": "Press pad", "length": "40 ft", "width": "14 ft", "thickness": "6 in", "pour_date": "2027-06-17", "first_truck": "7:00 am", "address": "8 Mill Road, gate on the east side", "phone": "555-0100", "shop": "A. Crew",
		"site": map[string]any{"locate": map[string]any{"ticket": "27-5512", "legal_start": "2027-06-14"}, "obstacles": []any{map[string]any{"kind": "gas", "name": "gas to the shed", "line": []any{
			map[string]any{"x": "30", "y": "-10"}, map[string]any{"x": "30", "y": "30"}}}}}})
}

// UX-05: one sheet, no screen: start, thickness, stone, bars, both cuts, fall, what is marked underground; eight of eight.
func TestOneSheetNoScreen(t *testing.T) {
	b := screenOf(t, office(t), 1280, 900)
	buried(b, "paper")
	b.open("/jobs/paper/joints")
	cuts := get[[]float64](b, `slabwright.page.sketch.cuts.map((c) => c.tape / 0.3048)`)
	if len(cuts) != 2 {
		t.Fatalf("cuts at %v", cuts)
	}
	paper := b.read("paper", "crew-sheet", "-raw")
	says(t, paper, "the start", `7:00 am`)
	says(t, paper, "its day", `Thursday, June 17`)
	says(t, paper, "the thickness", `(?s)6 in\s+concrete`)
	says(t, paper, "the stone", `(?s)4 in\s+stone`)
	says(t, paper, "the bars", `bars #4 (@ 18|apart)|18 in\s+bars`)
	for _, at := range cuts {
		feet := int(at)
		says(t, paper, "a cut", regexp.QuoteMeta(fmt.Sprintf(`%d'-%d"`, feet, int((at-float64(feet))*12+0.5))))
	}
	says(t, paper, "the fall", `Fall \d(\.\d)? %`)
	says(t, paper, "what is underground", `(?i)gas`)
	if strings.Contains(paper, "DO NOT DIG") {
		t.Error("the ticket is typed and the paper still forbids digging")
	}
}

// UX-06: the phone order, read aloud: each of the dispatcher's twelve questions has its line in his order, quarters and times as they
// are said.
func TestThePhoneOrder(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	buried(b, "phone")
	b.open("/jobs/phone/sheets")
	begin(b)
	b.find("link", "PDF of Phone order")
	b.Actions++
	paper := b.read("phone", "phone-order", "-layout")
	b.within(1)
	last := -1
	for n := 1; n <= 12; n++ {
		at := regexp.MustCompile(fmt.Sprintf(`(?m)^\s{0,6}%d\s{2,}\S`, n)).FindStringIndex(paper)
		if at == nil || at[0] < last {
			t.Errorf("question %d is not there in its order:\n%s", n, paper)
			break
		}
		last = at[0]
	}
	for what, pattern := range map[string]string{
		"the call-back number": `555-0100`, "day and date": `Thursday, June 17`, "the first truck": `7:00 am`, "the address": `8 Mill Road`,
		"yards in quarters": `11 1/4`, "yards as said": `(?s)eleven and a\s+.*quarter`, "digits as said": `one-one`, "strength": `4,?[05]00 psi`, "stone": `3/4`, "slump": `(?i)slump`, "air": `(?i)air`,
		"loads": `(?i)load`, "yards an hour": `(?i)(yards an hour|yd³/h|per hour|an hour)`, "the chute": `(?i)chute`, "the time limit": `90 min`, "who may add water": `(?i)water`, "the last load": `(?i)(balance|last load)`,
	} {
		says(t, paper, what, pattern)
	}
}

// UX-11: may they park? Three temperatures read in the slab, a date with its weekday and why, and the same day in the calendar.
func TestMayTheyPark(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	b.light(map[string]string{"prefers-reduced-motion": "reduce"})
	b.open("/")
	b.put("park", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in", "pour_date": "2026-11-16", "first_truck": "7:00 am", "time_zone": "America/Chicago",
		"cure": map[string]any{"later_air": "45 F", "later_swing": "16 F"}})
	b.open("/jobs/park/use")
	before := b.figure("cure.trailer")
	begin(b)
	for i, row := range [][2]string{{"2026-11-16 19:00", "48"}, {"2026-11-18 07:00", "38"}, {"2026-11-19 19:00", "37"}} {
		b.press("button", "Add a row to Temperatures read in the slab")
		b.fill(fmt.Sprintf("When, row %d", i+1), row[0])
		b.fill(fmt.Sprintf("Probe said, row %d", i+1), row[1])
		b.settled()
	}
	b.within(10)
	after := b.figure("cure.trailer")
	if after == "" || after == before {
		t.Errorf("the readings moved nothing: %q, then %q; the job has %s; %s", before, after, get[string](b, `JSON.stringify(slabwright.job.doc.cure)`), b.text("[data-list]"))
	}
	weekday := regexp.MustCompile(`(Mon|Tue|Wed|Thu|Fri|Sat|Sun)`).FindString(after)
	if weekday == "" {
		t.Errorf("a date without its weekday: %q", after)
	}
	if why := b.text("main"); !strings.Contains(strings.ToLower(why), "cold") {
		t.Error("nothing says that it is the cold")
	}
	b.picture("use")
	calendar := strings.ReplaceAll(get[string](b, `fetch("/api/v1/jobs/park/sheets/dates.ics").then((r) => r.text())`), "\r\n ", "")
	found := false
	for _, e := range strings.Split(calendar, "BEGIN:VEVENT")[1:] {
		if !strings.Contains(strings.ToLower(e), "trailer") {
			continue
		}
		found = true
		day := regexp.MustCompile(`DTSTART[^:]*:(\d{8})`).FindStringSubmatch(e)
		if day == nil {
			t.Fatalf("an event without a day:\n%s", e)
		}
		at, err := time.Parse("20060102", day[1])
		if err != nil {
			t.Fatal(err)
		}
		if got := at.Format("Mon"); got != weekday {
			t.Errorf("the calendar says %s %s, the page %s", got, day[1], after)
		}
	}
	if !found {
		t.Errorf("no trailer in the calendar:\n%s", calendar)
	}
}
