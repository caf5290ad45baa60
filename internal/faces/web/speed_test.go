package web_test

import (
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// TestThePageIsLight counts what the first screen of a job brings over the wire, compressed: no more than 250 kB, nothing from
// elsewhere.
func TestThePageIsLight(t *testing.T) {
	b := screenOf(t, office(t), 390, 844)
	b.open("/")
	job := practice(b)
	b.open("/jobs/" + job + "/build")
	b.until(`document.querySelector("[data-picture]")`)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-picture]").scrollIntoView()`))
	b.until(`document.querySelector("[data-picture] svg")`)
	type file struct {
		Name string
		Size float64
	}
	files := get[[]file](b, `performance.getEntriesByType("resource").map((r) => ({Name: r.name, Size: 0}))`)
	files = append(files, file{Name: b.url + "/jobs/" + job + "/build"})
	total := 0
	for _, f := range files {
		if !strings.HasPrefix(f.Name, b.url) {
			t.Errorf("the page asks elsewhere: %s", f.Name)
			continue
		}
		if strings.HasSuffix(f.Name, "/events") || strings.HasSuffix(f.Name, "/answers") || strings.HasSuffix(f.Name, "/api/v1/jobs/"+job) {
			continue
		}
		total += weight(t, f.Name)
	}
	t.Logf("%d files, %d bytes compressed", len(files), total)
	if total > 250_000 {
		t.Errorf("the first screen weighs %d bytes", total)
	}
}

// weight is how many bytes an address sends, compressed.
func weight(t *testing.T, url string) int {
	t.Helper()
	r, err := http.NewRequest(http.MethodGet, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Accept-Encoding", "gzip")
	answer, err := http.DefaultTransport.RoundTrip(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	n, err := io.Copy(io.Discard, answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return int(n)
}

// TestNothingMovesOnceItStands: the layout of every screen stays where it is while its parts arrive.
func TestNothingMovesOnceItStands(t *testing.T) {
	s := office(t)
	for _, width := range []int64{390, 1280} {
		b := screenOf(t, s, width, 844)
		b.open("/")
		job := practice(b)
		for _, slug := range []string{"build", "order", "price", "day", "pour", "use"} {
			b.open("/jobs/" + job + "/" + slug)
			b.open("/jobs/" + job + "/" + slug) // as most visits: the width of the screen is known
			b.until(`performance.now() > 1200`)
			shift := get[float64](b, `new Promise((done) => { let sum = 0; new PerformanceObserver((l) => { for (const e of l.getEntries()) if (!e.hadRecentInput) sum += e.value; }).observe({type: "layout-shift", buffered: true}); setTimeout(() => done(sum), 100); })`)
			if shift > 0.02 {
				t.Errorf("%s at %d px shifts by %.3f: %s", slug, width, shift, get[string](b, `new Promise((done) => { const out = []; new PerformanceObserver((l) => { for (const e of l.getEntries()) for (const s of e.sources) out.push((s.node?.outerHTML ?? s.node?.nodeName ?? "").slice(0, 80) + " " + Math.round(s.previousRect.y) + "->" + Math.round(s.currentRect.y)); }).observe({type: "layout-shift", buffered: true}); setTimeout(() => done(out.join(" | ")), 50); })`))
			}
		}
	}
}

// BenchmarkDragACorner measures, inside the browser, from a pointer's move to the numbers it paints, and from the release to the
// whole answer; and how the first screen comes up. Figures are reported, none is asserted.
func BenchmarkDragACorner(b *testing.B) {
	p := screenOf(b, office(b), 1280, 1000)
	p.open("/")
	job := practice(p)
	p.open("/jobs/" + job + "/build")
	p.until(`performance.now() > 1500`)
	lcp := get[float64](p, `new Promise((done) => new PerformanceObserver((l) => done(l.getEntries().at(-1).startTime)).observe({type: "largest-contentful-paint", buffered: true}))`)
	p.do(chromedp.Evaluate[chromedp.Void](probe))
	x, y := p.where("button", "Corner B")
	for b.Loop() {
		p.slowly(x, y, x+60, y+30)
		p.slowly(x+60, y+30, x, y)
	}
	report(b, "LCP-ms", lcp)
	painted := get[[]float64](p, `performance.getEntriesByName("coarse").map((e) => e.duration)`)
	report(b, "move-to-numbers-p50-ms", share(painted, 0.5))
	report(b, "move-to-numbers-p95-ms", share(painted, 0.95))
	report(b, "moves-painted", float64(len(painted)))
	report(b, "release-to-whole-p95-ms", share(get[[]float64](p, `performance.getEntriesByName("full").map((e) => e.duration)`), 0.95))
	report(b, "INP-ms", get[float64](p, `Math.max(0, ...window.inputs)`))
	report(b, "long-frames", get[float64](p, `window.long`))
}

// slowly drags as a hand does, a move each frame of the screen, and waits for the whole answer.
func (b *tab) slowly(x0, y0, x1, y1 float64) {
	b.Helper()
	move := func(kind input.DispatchMouseEventType, k float64) {
		b.do(chromedp.MouseEvent(kind, x0+k*(x1-x0), y0+k*(y1-y0), chromedp.ButtonLeft, chromedp.ClickCount(1)))
	}
	move(input.DispatchMouseEventTypeMousePressed, 0)
	for i := range 60 {
		time.Sleep(16 * time.Millisecond)
		move(input.DispatchMouseEventTypeMouseMoved, float64(i+1)/60)
	}
	move(input.DispatchMouseEventTypeMouseReleased, 1)
	b.settled()
}

// probe gathers, in the page, how long its answers to touches took and which frames were long.
const probe = `(() => {
	window.inputs = []; window.long = 0;
	new PerformanceObserver((l) => { for (const e of l.getEntries()) if (e.interactionId) window.inputs.push(e.duration); }).observe({type: "event", durationThreshold: 16});
	new PerformanceObserver((l) => { window.long += l.getEntries().length; }).observe({type: "longtask"});
})()`

func report(b *testing.B, name string, v float64) { b.ReportMetric(v, name) }

// share is the value that such a share of a list stays under.
func share(list []float64, of float64) float64 {
	if len(list) == 0 {
		return 0
	}
	list = slices.Sorted(slices.Values(list))
	return list[min(len(list)-1, int(of*float64(len(list))))]
}

// BenchmarkListOfManyJobs reports how long the list of 5,000 jobs takes from the address to its paint.
func BenchmarkListOfManyJobs(b *testing.B) {
	s := office(b)
	for i := range 5000 {
		body := fmt.Sprintf(`{"length":"40 ft","width":"14 ft","thickness":"6 in","name":"Apron %d","number":"27-%04d"}`, i, i)
		r, err := http.NewRequest(http.MethodPut, s.URL+fmt.Sprintf("api/v1/jobs/many-%d", i), strings.NewReader(body))
		if err != nil {
			b.Fatal(err)
		}
		answer, err := http.DefaultClient.Do(r)
		if err != nil || answer.StatusCode != http.StatusCreated {
			b.Fatal(answer, err)
		}
		answer.Body.Close()
	}
	p := screenOf(b, s, 1280, 900)
	var paints []float64
	for b.Loop() {
		p.open("/jobs")
		paints = append(paints, get[float64](p, `new Promise((done) => new PerformanceObserver((l) => done(l.getEntries().at(-1).startTime)).observe({type: "largest-contentful-paint", buffered: true}))`))
	}
	report(b, "list-painted-ms", share(paints, 0.95))
}
