package web_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// within fails a task that takes more actions than the script allows.
func (b *tab) within(most int) {
	b.Helper()
	if b.Actions > most {
		b.Errorf("%d actions, %d allowed", b.Actions, most)
	}
}

func begin(b *tab) { b.Actions = 0 }

// UX-01: "A pad 14 by 40 feet, 6 inches. How many yards do you call in?"
func TestFirstNumber(t *testing.T) {
	for _, width := range []int64{320, 390, 1280} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			b := screenOf(t, office(t), width, 844)
			b.open("/")
			begin(b)
			b.fill("Length", "40")
			b.fill("Width", "14")
			b.fill("Thickness", "6")
			b.picture("boxes")
			b.press("button", "Work it out")
			b.until(`location.pathname.endsWith("/order")`)
			b.live()
			if got := b.figure("order.yards"); got != "11 1/4 yd³" {
				t.Errorf("it says %q", got)
			}
			b.within(8)
			if page := b.text("main"); !strings.Contains(page, "assumed") {
				t.Error("nothing says that anything is assumed")
			}
			b.picture("answer")
		})
	}
}

// UX-02: lengths as people write them, read back.
func TestOwnHandwriting(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	b.open("/")
	begin(b)
	for _, row := range []struct{ typed, back, note string }{
		{`12' 7 3/8"`, `12'-7 3/8"`, ""}, {"12-7 3/8", `12'-7 3/8"`, ""}, {"40'6", `40'-6"`, ""}, {"12.6", `12'-7 1/4"`, "type 12 6"},
		{"9.7 m", `31'-9 7/8"`, ""}, {"7 3/8", "7 3/8", "inches"}, {`5' 14"`, `6'-2"`, ""},
	} {
		b.fill("Length", row.typed)
		b.until(fmt.Sprintf(`document.querySelector("#back-length").innerText.includes(%q)`, row.back))
		if says := b.text("#back-length"); !strings.Contains(says, row.note) {
			t.Errorf("%s: no note about %q: %q", row.typed, row.note, says)
		}
	}
	b.within(12)
	b.fill("Length", "12 1/3")
	b.until(`document.querySelector("#back-length .stop")`)
	if says := b.text("#back-length"); !strings.Contains(says, "12.33") {
		t.Errorf("a third: %q", says)
	}
	if v := get[string](b, `document.querySelector("#box-length").value`); v != "12 1/3" {
		t.Errorf("the box was cleared: %q", v)
	}
	b.fill("Thickness", "150")
	b.until(`document.querySelector("#back-thickness .ask")`)
	b.picture("readback")
}

// UX-03: an L of 30 x 24 ft less 12 x 10 ft, by taps; two sides set exactly, two undone, one redone.
func TestDrawItOnAPhone(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	b.open("/")
	b.put("l-shape", map[string]any{"units": "us", "name": "L", "thickness": "6 in"})
	b.open("/jobs/l-shape/build")
	begin(b)
	b.press("button", "Draw outline")
	x, y := get[float64](b, `(() => { const r = document.querySelector("svg.plan").getBoundingClientRect(); return r.left; })()`), get[float64](b, `document.querySelector("svg.plan").getBoundingClientRect().top`)
	ft := 8.0
	at := func(east, north float64) (float64, float64) { return x + 40 + east*ft, y + 320 - north*ft }
	for _, c := range [][2]float64{{0, 0}, {30, 0.4}, {29.8, 14}, {18, 14.3}, {18.2, 24}, {0.2, 24}} {
		b.at(at(c[0], c[1]))
	}
	b.at(at(0, 0))
	b.settled()
	b.until(`slabwright.page.sketch.corners.length === 6`)
	b.picture("drawn")
	for side, length := range map[string]string{"Side AB": "30", "Side BC": "14"} {
		b.fill(side, length)
		b.settled()
	}
	for side, length := range map[string]string{"Side CD": "12", "Side DE": "10"} {
		b.fill(side, length)
		b.settled()
	}
	b.picture("typed")
	area := get[float64](b, areaOnPlan)
	if !near(area, 600, 0.5) {
		t.Errorf("the L is %.2f ft2 by its typed sides", area)
	}
	if got := b.figure("site.area"); got != "600 ft²" {
		t.Errorf("the office says %s", got)
	}
	if got := get[float64](b, `(() => { const c = slabwright.page.sketch.corners; return Math.hypot(c[1].x - c[0].x, c[1].y - c[0].y) / 0.0254; })()`); !near(got, 360, 0.125) {
		t.Errorf("side AB is %.3f in", got)
	}
	steps := get[float64](b, `slabwright.job.history.done.length`)
	b.press("button", undoName(b))
	b.settled()
	b.press("button", undoName(b))
	b.settled()
	b.press("button", redoName(b))
	b.settled()
	if now := get[float64](b, `slabwright.job.history.done.length`); now != steps-1 {
		t.Errorf("%v steps stand, of %v", now, steps)
	}
	b.within(24)
	b.open("/jobs/l-shape/build")
	if now := get[float64](b, `slabwright.job.history.done.length`); now != steps-1 || !get[bool](b, `slabwright.job.history.redo !== null`) {
		t.Errorf("after a reload %v steps stand", now)
	}
}

const areaOnPlan = `(() => { const c = slabwright.page.sketch.corners; let a = 0; c.forEach((p, i) => { const q = c[(i + 1) % c.length]; a += (p.x * q.y - q.x * p.y) / 2; }); return Math.abs(a) / 0.09290304; })()`

func undoName(b *tab) string {
	return get[string](b, `document.getElementById("undo").getAttribute("aria-label")`)
}
func redoName(b *tab) string {
	return get[string](b, `document.getElementById("redo").getAttribute("aria-label")`)
}

// The same by keys alone: corners set and moved with arrows, no pointer.
func TestDrawItWithKeysOnly(t *testing.T) {
	b := screenOf(t, office(t), 1280, 900)
	b.open("/")
	b.put("keys", map[string]any{"units": "us", "thickness": "6 in"})
	b.open("/jobs/keys/build")
	b.focus("button", "Draw outline")
	b.keys(kb.Enter)
	move := func(key string, feet int) {
		for range feet {
			b.keys(key, kb.ModifierShift)
		}
		b.keys(" ")
	}
	b.keys(" ")
	move(kb.ArrowRight, 20)
	move(kb.ArrowUp, 10)
	move(kb.ArrowLeft, 20)
	b.keys(kb.Enter)
	b.settled()
	if got := b.figure("site.area"); got != "200 ft²" {
		t.Errorf("drawn by keys it is %s", got)
	}
	b.focus("button", "Corner C")
	for range 8 {
		b.keys(kb.ArrowRight)
	}
	b.until(`!slabwright.page.sketch.keyed`)
	b.settled()
	if got := get[float64](b, `(slabwright.page.sketch.corners[2].x - slabwright.page.sketch.corners[1].x) / 0.0254`); !near(got, 1, 0.01) {
		t.Errorf("eight presses moved corner C by %.3f in", got)
	}
	b.keys("z", kb.ModifierCtrl)
	b.settled()
	if got := b.figure("site.area"); got != "200 ft²" {
		t.Errorf("undone it is %s", got)
	}
	b.picture("keys")
}

// UX-04: five shots, the low corner, the water away from the house.
func TestWhereDoesTheWaterGo(t *testing.T) {
	b := screenOf(t, office(t), 1280, 900)
	b.open("/")
	b.put("water", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in",
		"site": map[string]any{"obstacles": []any{map[string]any{"kind": "building", "name": "house", "line": []any{
			map[string]any{"x": "0", "y": "14"}, map[string]any{"x": "40", "y": "14"}, map[string]any{"x": "40", "y": "34"}, map[string]any{"x": "0", "y": "34"}}}}}})
	b.open("/jobs/water/water")
	begin(b)
	for i, level := range []string{"100.00", "99.85", "99.40", "99.62"} {
		b.press("button", "Add a row to Levels")
		row := fmt.Sprintf(", row %d", i+1)
		b.fill("Corner"+row, string(rune('A'+i)))
		b.fill("Level"+row, level)
		b.settled()
	}
	b.fill("Water runs", "away from wall")
	b.settled()
	if low := b.figure("grade.low_corner"); low == "" || strings.Contains(low, "C") || strings.Contains(low, "D") {
		t.Errorf("the low corner is %q, at the house", low)
	}
	if slope := b.figure("grade.least_slope"); slope < "1.99" {
		t.Errorf("the least slope is %s", slope)
	}
	b.within(20)
	b.picture("water")
}

// UX-07: "Pour today? Why? What would you change?": the verdict in words with its hour, one thing to do, on a phone in the dark.
func TestFiveInTheMorning(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	b.light(map[string]string{"prefers-color-scheme": "dark"})
	b.open("/")
	job := practice(b)
	begin(b)
	b.open("/jobs/" + job + "/day")
	if verdict := b.figure("pour.verdict"); verdict != "Pour with care" && verdict != "Good to pour" && verdict != "Don't pour" {
		t.Errorf("the verdict is %q", verdict)
	}
	if why := b.text(".verdict"); !strings.Contains(why, "am") && !strings.Contains(why, "pm") {
		t.Errorf("no hour in %q", why)
	}
	if !get[bool](b, `document.querySelector("#found .then") !== null`) {
		t.Error("nothing says what to change")
	}
	b.within(2)
	b.picture("dark")
}

// UX-10, the office's half: the yard price and the profit set, the price follows and its steps add up to it.
func TestWhatIsThePrice(t *testing.T) {
	b := screenOf(t, office(t), 1280, 900)
	b.open("/")
	job := practice(b)
	b.open("/jobs/" + job + "/price")
	begin(b)
	before := b.figure("price.price")
	b.fill("Concrete", "210")
	b.settled()
	b.fill("Profit", "20")
	b.settled()
	if after := b.figure("price.price"); after == before || number(strings.TrimPrefix(after, "$")) <= number(strings.TrimPrefix(before, "$")) {
		t.Errorf("from %s to %s with dearer concrete and more profit", before, after)
	}
	sum := get[float64](b, `[...document.querySelectorAll(".twin tbody tr")].slice(0, -1).reduce((s, r) => s + Number(r.cells[1].innerText.replace(/[^0-9.-]/g, "") || 0), 0)`)
	total := get[float64](b, `Number([...document.querySelectorAll(".twin tbody tr")].at(-1).cells[1].innerText.replace(/[^0-9.-]/g, ""))`)
	if !near(sum, total, 12) { // each line is rounded to the whole unit
		t.Errorf("the lines add to %.0f, the price is %.0f", sum, total)
	}
	b.within(15)
	b.picture("price")
}

// UX-08: gloves, no signal; a wrong stamp taken back; the page killed and opened again.
func TestPourDayWithoutSignal(t *testing.T) {
	s := office(t)
	b := screenOf(t, s, 390, 844)
	b.open("/")
	job := practice(b)
	b.open("/jobs/" + job + "/pour")
	b.until(`navigator.serviceWorker.controller !== null || !("serviceWorker" in navigator) || true`)
	begin(b)
	b.press("button", "Truck here")
	b.settled()
	b.signal(false)
	b.press("button", "Struck off")
	b.press("button", "Sawn")
	b.until(`document.querySelectorAll("#stamped li").length === 3`)
	if says := b.text("#offline"); !strings.Contains(says, "No signal") {
		t.Errorf("nothing says there is no signal: %q", says)
	}
	b.picture("nosignal")
	b.press("button", get[string](b, `document.querySelector("#stamped li button").getAttribute("aria-label")`))
	b.until(`document.querySelectorAll("#stamped li").length === 2`)
	b.press("button", "Bull floated")
	b.until(`document.querySelectorAll("#stamped li").length === 3`)
	b.within(8)
	b.signal(true)
	b.open("/jobs/" + job + "/pour") // as after the phone died: what was stamped was on the device
	b.settled()
	taps := get[[]struct{ What string }](b, fmt.Sprintf(`fetch("/api/v1/jobs/%s").then((r) => r.json()).then((d) => d.pour.team.taps.map((t) => ({What: t.what})))`, job))
	var words []string
	for _, tap := range taps {
		words = append(words, tap.What)
	}
	if got := strings.Join(words, ", "); got != "truck here, struck off, bull floated" {
		t.Errorf("at the office: %s", got)
	}
	for _, size := range get[[][2]float64](b, `[...document.querySelectorAll("[data-stamp]")].map((e) => [e.offsetWidth, e.offsetHeight])`) {
		if size[0] < 96 || size[1] < 72 {
			t.Errorf("a stamp is %v px", size)
		}
	}
}

// UX-09: the start 90 minutes earlier, by dragging and by keys; undo restores it.
func TestMoveTheStart(t *testing.T) {
	b := screenOf(t, office(t), 1280, 900)
	b.open("/")
	job := practice(b)
	b.open("/jobs/" + job + "/day")
	begin(b)
	before := b.figure("pour.start")
	b.focus("slider", "First truck on site")
	for range 4 {
		b.keys(kb.ArrowLeft) // as quickly as keys can be pressed: none is lost to an answer that comes late
	}
	b.until(`document.querySelector('[data-figure="pour.start"] .value').textContent.includes("6:00")`)
	b.settled()
	if at := get[string](b, `slabwright.job.doc.first_truck`); at != "06:00" {
		t.Errorf("four quarter hours before 7:00 the job says %s", at)
	}
	b.within(8)
	for range 4 {
		b.keys("z", kb.ModifierCtrl)
	}
	b.until(fmt.Sprintf(`document.querySelector('[data-figure="pour.start"] .value').textContent === %q`, before))
	b.settled()
	if got := b.figure("pour.start"); got != before {
		t.Errorf("undone it is %q, not %q", got, before)
	}
	b.picture("day")
}

// UX-12: two people change the thickness; the second sees who and when, and keeps theirs.
func TestTwoAtOnce(t *testing.T) {
	s := office(t)
	b := screenOf(t, s, 1280, 900)
	b.open("/")
	b.put("both", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "4 in"})
	b.printed("both", "R1")
	b.open("/jobs/both/build")
	b.fill("Length", "41")
	b.settled()
	b.printed("both", "R2")
	b.signal(false)
	b.fill("Thickness", "6")
	b.until(`slabwright.job.waiting === 1`)
	other := screenOf(t, s, 390, 844)
	other.open("/settings")
	other.fill("Your name, as others see it beside your changes", "Office")
	other.until(`true`)
	other.open("/jobs/both/build")
	other.fill("Thickness", "5")
	other.settled()
	b.signal(true)
	b.until(`document.querySelector(".differs")`)
	if says := b.text("#differs"); !strings.Contains(says, "5") || !strings.Contains(says, "6") {
		t.Errorf("it says %q", says)
	}
	b.open("/jobs/both/build") // and nobody loses it by looking elsewhere meanwhile
	b.until(`document.querySelector(".differs")?.textContent.includes("typed 6")`)
	b.picture("differs")
	b.press("button", "Keep 6")
	b.until(`!document.querySelector(".differs")`)
	b.settled()
	if kept := get[string](b, `fetch("/api/v1/jobs/both").then((r) => r.text())`); !strings.Contains(kept, `"thickness":"6"`) {
		t.Errorf("kept: %s", kept)
	}
	b.until(`document.querySelector('[data-figure="slab.thickness"] .value')?.textContent === "6 in"`)
	b.open("/jobs/both/build")
	if says := b.text("#notices"); !strings.Contains(says, "print R2, which is old") || !strings.Contains(says, "This is R3") {
		t.Errorf("of the crew's print it says %q", says)
	}
	b.press("link", "see what changed, and print it")
	b.until(`location.pathname.endsWith("/sheets")`)
	b.live()
	if !get[bool](b, `[...document.querySelectorAll("del")].some((d) => d.textContent === "4 in")`) {
		t.Errorf("the old thickness is not struck: %s", b.text(".sheetlist"))
	}
	if !get[bool](b, `document.querySelector('[data-ref^="changed: "]') !== null`) {
		t.Error("nothing is ringed on the page")
	}
	b.picture("changed")
	b.printed("both", "R3")
	sheet := get[string](b, `fetch("/api/v1/jobs/both/sheets/joint-plan.svg").then((r) => r.text())`)
	for _, want := range []string{`data-ref="changed: `, `data-ref="revision 3"`, ">R3<"} {
		if !strings.Contains(sheet, want) {
			t.Errorf("the drawing of R3 lacks %s", want)
		}
	}
}

// printed prints the crew sheet and says under which name it must go out.
func (b *tab) printed(job, name string) {
	b.Helper()
	if went := get[string](b, fmt.Sprintf(`fetch("/api/v1/jobs/%s/sheets/crew-sheet.pdf").then((r) => r.headers.get("X-Print"))`, job)); went != name {
		b.Errorf("the print went out as %q, not %s", went, name)
	}
}

// A corner dragged: the figures follow coarsely and settle; what is older never replaces what is newer.
func TestDragACorner(t *testing.T) {
	b := screenOf(t, office(t), 1280, 1000)
	b.open("/")
	b.put("drag", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in"})
	b.open("/jobs/drag/build")
	x, y := b.where("button", "Corner C")
	b.drag(x, y, x+40, y-30, 20)
	b.settled()
	corners := get[float64](b, areaOnPlan)
	said := b.figure("site.area")
	if !near(corners, number(said), 0.6) || math.Abs(corners-560) < 5 {
		t.Errorf("on the plan %.1f ft2, in the strip %s", corners, said)
	}
	if n := get[float64](b, `performance.getEntriesByName("coarse").length`); n < 2 {
		t.Errorf("%v coarse answers while dragging", n)
	}
	if get[bool](b, `document.querySelector(".coarse") !== null`) {
		t.Error("the answer is still called coarse")
	}
	b.picture("dragged")
}

// number is the first number of a text.
func number(text string) float64 {
	var v float64
	fmt.Sscanf(strings.ReplaceAll(text, ",", ""), "%g", &v)
	return v
}
