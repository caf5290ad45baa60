package web_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A joint dragged is pinned there, and the rest is laid out round it; undo lets it go.
func TestDragAJoint(t *testing.T) {
	b := screenOf(t, office(t), 1280, 1000)
	b.open("/")
	job := practice(b)
	b.open("/jobs/" + job + "/joints")
	b.until(`slabwright.page.sketch.cuts.length > 0`)
	before := get[float64](b, `slabwright.page.sketch.cuts[0].tape`)
	x, y := get[float64](b, `(() => { const r = document.querySelector("[data-joint='0'] .joint").getBoundingClientRect(); document.querySelector("svg.plan").scrollIntoView({block: "center"}); return document.querySelector("[data-joint='0'] .joint").getBoundingClientRect().left; })()`), get[float64](b, `(() => { const r = document.querySelector("[data-joint='0'] .joint").getBoundingClientRect(); return r.top + r.height * 0.7; })()`)
	b.drag(x, y, x+25, y, 12)
	b.settled()
	b.until(fmt.Sprintf(`slabwright.page.sketch.cuts.some((c) => Math.abs(c.tape - %f) > 0.2) && slabwright.job.doc.joints?.pinned?.length === 1`, before))
	if has := get[string](b, `JSON.stringify(slabwright.job.doc.joints.pinned)`); !strings.Contains(has, "first") {
		t.Errorf("pinned: %s", has)
	}
	if wait := b.text(".needs"); wait != "" {
		t.Errorf("the pinned joint is not taken: %s", wait)
	}
	b.picture("pinned")
	b.press("button", undoName(b))
	b.settled()
	if get[bool](b, `Boolean(slabwright.job.doc.joints?.pinned)`) {
		t.Error("undo did not let the joint go")
	}
}

// A side bowed by its radius is drawn round and built round; undo makes it straight.
func TestBowASide(t *testing.T) {
	b := screenOf(t, office(t), 1280, 1000)
	b.open("/")
	b.put("round", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in"})
	b.open("/jobs/round/build")
	b.press("button", "Bow a side")
	b.choose("Side", "BC, 14'-0\"")
	b.choose("Say its", "radius")
	b.fill("How much", "10 ft")
	b.press("button", "Bow it")
	b.until(`slabwright.job.doc.site?.curves?.length === 1`)
	b.settled()
	// a segment of a circle: R²·acos((R−m)/R) − (R−m)·√(2Rm−m²) with R 10 ft, chord 14 ft, m = R − √(R²−49)
	if area := number(b.figure("site.area")); !near(area, 560+27.5, 1) {
		t.Errorf("bowed it is %.1f ft2", area)
	}
	b.until(`slabwright.page.sketch.corners.length === 4 && slabwright.page.sketch.corners[1].bow > 0.8`)
	b.picture("bowed")
	b.press("button", undoName(b))
	b.settled()
	if area := b.figure("site.area"); area != "560 ft²" {
		t.Errorf("straight again it is %s", area)
	}
}

// A place for the truck is added by a tap, moved by keys, and the answer follows.
func TestMoveATruckStand(t *testing.T) {
	b := screenOf(t, office(t), 1280, 1000)
	b.open("/")
	b.put("stands", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in"})
	b.open("/jobs/stands/access")
	b.press("button", "Add a truck stand")
	x, y := b.where("application", "Plan of the slab. Tab goes from corner to corner, arrow keys move it by 1/8 inch, with Shift by 1 foot.")
	b.at(x, y+90)
	b.settled()
	b.until(`slabwright.page.sketch.stands.length === 1`)
	first := b.figure("access.reach_share")
	if first == "" {
		t.Fatalf("no answer: %s", b.text("#strip"))
	}
	b.focus("button", "Truck stand stand 1")
	for range 12 {
		b.keys(kb.ArrowDown, kb.ModifierShift)
	}
	b.until(`!slabwright.page.sketch.keyed`)
	b.settled()
	if after := b.figure("access.reach_share"); after == first {
		t.Errorf("twelve feet farther it still reaches %s", after)
	}
	b.picture("stand")
}

// A long work shows how far it is and is cancelled; the last answer stays.
func TestLongWorkIsCancelled(t *testing.T) {
	b := screenOf(t, office(t), 1280, 1000)
	b.open("/")
	job := practice(b)
	b.open("/jobs/" + job + "/hold")
	before := b.figure("slab.thickness")
	b.press("button", "Check the real panels, wheel by wheel")
	b.until(`document.querySelector("[data-work] [data-do=cancel]").checkVisibility()`)
	b.press("button", "Cancel")
	b.until(`document.querySelector("[data-work] .says").textContent.match(/ancel|Done/)`)
	if after := b.figure("slab.thickness"); after != before {
		t.Errorf("from %s to %s", before, after)
	}
	if b.has("button", "Cancel") {
		t.Error("there is still something to cancel")
	}
	b.picture("cancelled")
}

// The whole way by keys: three numbers, a box set on another screen, the working read and closed, the record printed.
func TestKeyboardOnly(t *testing.T) {
	b := screenOf(t, office(t), 1280, 900)
	b.open("/")
	tabTo := func(name string) {
		t.Helper()
		for range 120 {
			b.keys("\t")
			if get[bool](b, fmt.Sprintf(`(() => { const e = document.activeElement; const said = (e.getAttribute("aria-label") || e.labels?.[0]?.innerText || e.textContent || "").trim().replace(/\s+/g, " "); return said === %q; })()`, name)) {
				if !get[bool](b, `(() => { const r = document.activeElement.getBoundingClientRect(); return r.bottom > 0 && r.top < innerHeight; })()`) {
					t.Errorf("%s has the keys and cannot be seen", name)
				}
				return
			}
		}
		t.Fatalf("Tab never comes to %q; it is at %s", name, get[string](b, `document.activeElement.outerHTML.slice(0, 120)`))
	}
	write := func(name, text string) {
		t.Helper()
		tabTo(name)
		b.do(chromedp.KeyEvent(text))
	}
	write("Length", "40")
	write("Width", "14")
	write("Thickness", "6")
	b.keys(kb.Enter)
	b.until(`location.pathname.endsWith("/order")`)
	b.live()
	if got := b.figure("order.yards"); got != "11 1/4 yd³" {
		t.Errorf("by keys it says %q", got)
	}
	tabTo("Why? to order")
	b.keys(kb.Enter)
	b.until(`document.querySelector("dialog[open] .working li")`)
	b.keys(kb.Escape)
	b.until(`!document.querySelector("dialog[open]") && document.activeElement.classList.contains("whylink")`)
	write("A truck brings", "10")
	b.keys("\t")
	b.settled()
	if typed := get[string](b, `slabwright.job.doc.order.truck_holds`); typed != "10" {
		t.Errorf("typed by keys: %q", typed)
	}
	tabTo("Undo: A truck brings to 10")
	b.keys(kb.Enter)
	b.settled()
	if get[bool](b, `Boolean(slabwright.job.doc.order?.truck_holds)`) {
		t.Error("undo by keys did not take it back")
	}
}

// Without scripts three numbers still give yards, and the same pages show them.
func TestWithoutScripts(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	b.scripts(false)
	b.do(chromedp.Navigate(b.url + "/"))
	b.fill("Length", "40")
	b.fill("Width", "14")
	b.fill("Thickness", "6")
	b.press("button", "Work it out")
	for range 100 {
		if b.has("heading", "What do we order?") {
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	if !b.has("StaticText", "11 1/4 yd³") {
		t.Error("no yards without scripts")
	}
}

// What another device did stands in the list of steps too, and can be taken back here.
func TestUndoWhatAnotherDeviceDid(t *testing.T) {
	s := office(t)
	b, other := screenOf(t, s, 1280, 900), screenOf(t, s, 390, 844)
	b.open("/")
	b.put("shared", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "4 in"})
	b.open("/jobs/shared/build")
	b.fill("Thickness", "6")
	b.settled()
	other.open("/jobs/shared/build")
	other.fill("Width", "16")
	other.settled()
	b.until(`document.getElementById("undo").getAttribute("aria-label") === "Undo: Width to 16"`)
	b.press("button", undoName(b))
	b.settled()
	b.until(`slabwright.job.doc.width === "14 ft"`)
	other.until(`slabwright.job.doc.width === "14 ft"`)
	other.until(`document.getElementById("undo").getAttribute("aria-label") === "Undo: Thickness to 6" && document.getElementById("redo").getAttribute("aria-label") === "Redo: Width to 16"`)
}

// A curve by its third point, tapped on the plan; the parked trailer turned by its front.
func TestACurveThroughAPointAndATurnedTrailer(t *testing.T) {
	b := screenOf(t, office(t), 1280, 1000)
	b.open("/")
	b.put("turn", map[string]any{"units": "us", "length": "40 ft", "width": "14 ft", "thickness": "6 in"})
	b.open("/jobs/turn/build")
	b.press("button", "Bow a side")
	b.choose("Side", "BC, 14'-0\"")
	b.choose("Say its", "third point, on the plan")
	b.press("button", "Bow it")
	b.until(`slabwright.page.sketch.mode === "bow"`)
	at := get[[2]float64](b, `(() => { const s = slabwright.page.sketch; s.svg.scrollIntoView({block: "center"}); const r = s.svg.getBoundingClientRect(); const p = s.view.on({x: (40 + 2) * 0.3048, y: 7 * 0.3048}); return [r.left + p.x, r.top + p.y]; })()`)
	b.at(at[0], at[1])
	b.until(`slabwright.job.doc.site?.curves?.length === 1`)
	b.settled()
	if rise := get[float64](b, `Number.parseFloat(slabwright.job.doc.site.curves[0].rise)`); !near(rise, 24, 2) { // a pixel is some inches
		t.Errorf("the curve rises %.1f in", rise)
	}
	b.open("/jobs/turn/access")
	b.press("button", "Park the trailer here")
	b.settled()
	b.press("button", "Turn it left")
	b.settled()
	b.focus("button", "Front of the parked trailer: arrow keys turn it")
	b.keys(kb.ArrowLeft)
	b.settled()
	if turn := get[string](b, `slabwright.job.doc.backing.parked.heading`); turn != "16 deg" {
		t.Errorf("turned to %s", turn)
	}
	if wait := b.text(".needs"); wait != "" {
		t.Errorf("it is not taken: %s", wait)
	}
}
