package web_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"slabwright/internal/faces/web"
)

// violation is a fault the checker found.
type violation struct {
	ID, Impact string
	Nodes      []struct{ HTML, Why string }
}

const (
	everyRule   = `{runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], rules: {"target-size": {enabled: true}}, resultTypes: ["violations"]}`
	colourRules = `{runOnly: {type: "rule", values: ["color-contrast", "link-in-text-block"]}, resultTypes: ["violations"]}` // what light changes
	runAxe      = `axe.run(document, %s)
	.then((r) => r.violations.map((v) => ({ID: v.id, Impact: v.impact ?? "", Nodes: v.nodes.slice(0, 3).map((n) => ({HTML: n.html.slice(0, 160), Why: n.failureSummary.slice(0, 300)}))})))`
)

// small are controls under 44 px high or wide, other than links inside a line of text: ours, stricter than the guideline.
const small = `[...document.querySelectorAll("button, .button, .tool, input:not([type=radio],[type=checkbox],[type=file]), select, summary:not(.help summary)")].filter((e) => { const r = e.getBoundingClientRect(); return r.width && (r.height < 43.5 || r.width < 43.5) && e.checkVisibility(); }).map((e) => e.outerHTML.slice(0, 100) + " " + e.getBoundingClientRect().width + "x" + e.getBoundingClientRect().height)`

// addresses of every screen of a job, and of the pages beside it.
func addresses(job string) []string {
	all := []string{"/", "/jobs", "/week", "/settings", "/words", "/jobs/" + job + "/why/order.yards", "/jobs/" + job + "/doubt"}
	for _, slug := range web.Slugs() {
		all = append(all, "/jobs/"+job+"/"+slug)
	}
	return all
}

func TestEveryScreenPassesTheAccessibilityChecker(t *testing.T) {
	axe, err := os.ReadFile("testdata/third_party/axe-core/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	s := office(t)
	shopOfTwo(t, s.URL) // so that the week and the settings have something to show
	for _, screen := range []struct {
		name  string
		width int64
		looks []look
	}{
		{"wide", 1280, []look{{"light", everyRule, map[string]string{"prefers-color-scheme": "light"}}, {"dark", colourRules, map[string]string{"prefers-color-scheme": "dark"}},
			{"forced", colourRules, map[string]string{"forced-colors": "active"}}}},
		{"320px", 320, []look{{"light", everyRule, map[string]string{"prefers-color-scheme": "light", "prefers-reduced-motion": "reduce"}}}},
	} {
		t.Run(screen.name, func(t *testing.T) {
			b := screenOf(t, s, screen.width, 900)
			b.open("/")
			job := practice(b)
			for _, address := range addresses(job) {
				b.light(screen.looks[0].features)
				b.open(address)
				b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-picture]")?.scrollIntoView()`))
				b.until(`[...document.querySelectorAll("[data-picture]")].slice(0, 1).every((f) => f.querySelector("svg"))`)
				b.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll("details")) d.open = true`))
				// As tall as the page: the bar at the foot of a phone covers nothing then, as it does nothing that can be scrolled to.
				b.size(screen.width, int64(get[float64](b, `document.scrollingElement.scrollHeight + 80`)))
				b.do(chromedp.Evaluate[chromedp.Void](string(axe)))
				if wide := get[float64](b, `document.scrollingElement.scrollWidth`); wide > float64(screen.width) {
					t.Errorf("%s scrolls sideways: %v px on %d: %s", address, wide, screen.width, get[string](b, widest))
				}
				if list := get[[]string](b, small); len(list) > 0 {
					t.Errorf("%s: too small for a thumb: %s", address, strings.Join(list[:min(4, len(list))], "\n"))
				}
				for _, look := range screen.looks {
					b.light(look.features)
					for _, v := range get[[]violation](b, fmt.Sprintf(runAxe, look.rules)) {
						t.Errorf("%s, %s: %s (%s)\n%s", address, look.name, v.ID, v.Impact, nodes(v))
					}
				}
				b.photographed(screen.width, address, screen.looks)
			}
		})
	}
}

// look is how a person's screen is set, and the rules that matter then.
type look struct {
	name, rules string
	features    map[string]string
}

// photographed keeps the screen as each look shows it, where PICTURES names a folder.
func (b *tab) photographed(width int64, address string, looks []look) {
	if os.Getenv("PICTURES") == "" {
		return
	}
	b.size(width, 900)
	b.do(chromedp.Evaluate[chromedp.Void](`for (const d of document.querySelectorAll("details")) d.open = false; scrollTo(0, 0)`))
	for _, look := range looks {
		b.light(look.features)
		b.picture(look.name + "-" + strings.ReplaceAll(strings.Trim(address, "/"), "/", "_"))
	}
}

// widest names what sticks out at the right.
const widest = `[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest(".scroll, .paper, svg, .quiet")).slice(0, 4).map((e) => e.outerHTML.slice(0, 90)).join("\n")`

func nodes(v violation) string {
	var b strings.Builder
	for _, n := range v.Nodes {
		fmt.Fprintf(&b, "    %s\n      %s\n", n.HTML, strings.ReplaceAll(n.Why, "\n", " "))
	}
	return b.String()
}

// practice starts the practice job and tells its id.
func practice(b *tab) string {
	b.Helper()
	b.press("button", "The practice job")
	b.live()
	b.until(`location.pathname.startsWith("/jobs/")`)
	return strings.Split(get[string](b, `location.pathname`), "/")[2]
}
