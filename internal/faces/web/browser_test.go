package web_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"slabwright/internal/faces/serve"
)

// chrome is one Chromium for all tests; each tab is a person of their own in it, with own storage. It is begun again when it has died.
var chrome struct {
	sync.Mutex
	ctx  context.Context
	stop func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	if chrome.stop != nil {
		chrome.stop()
	}
	os.Exit(code)
}

func browser(t testing.TB) context.Context {
	t.Helper()
	chrome.Lock()
	defer chrome.Unlock()
	if chrome.ctx != nil && chrome.ctx.Err() == nil {
		return chrome.ctx
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("NOT RUN: no chromium here; tools/setup installs it")
	}
	profile, err := os.MkdirTemp("", "chromium-")
	if err != nil {
		t.Fatal(err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(profile),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-quic", true), chromedp.Flag("lang", "en-US"), chromedp.Flag("hide-scrollbars", true))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, leave := chromedp.NewContext(allocator)
	chrome.ctx, chrome.stop = ctx, func() { leave(); stop(); os.RemoveAll(profile) }
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil { // the browser lives as long as the context of its first step
		chrome.stop()
		t.Fatal(err)
	}
	return ctx
}

// office is a running program with a new file of jobs.
func office(t testing.TB) *serve.Server {
	t.Helper()
	s, err := serve.Start(context.Background(), serve.Options{Store: filepath.Join(t.TempDir(), "shop.db"), Listen: "127.0.0.1:0", Now: time.Now, AtOnce: 1, Log: slog.New(slog.DiscardHandler), Page: serve.Page})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// tab is one page of the browser, as a person has it before them. Actions counts what they did: taps, clicks, entries, keys.
type tab struct {
	testing.TB
	ctx     context.Context
	url     string
	Actions int
	touch   bool
}

// screenOf opens a tab of a size; a narrow one is a phone's, with fingers.
func screenOf(t testing.TB, s *serve.Server, width, height int64) *tab {
	t.Helper()
	ctx, leave := chromedp.NewContext(browser(t), chromedp.WithNewBrowserContext())
	t.Cleanup(leave)
	b := &tab{TB: t, ctx: ctx, url: strings.TrimSuffix(s.URL, "/"), touch: width < 600}
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	// Each tab behaves as the one in front, however many there are.
	if _, err := chromedp.Call(ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
	b.size(width, height)
	return b
}

// size makes the screen so large.
func (b *tab) size(width, height int64) {
	b.Helper()
	var viewport []chromedp.EmulateViewportOption
	if b.touch {
		viewport = append(viewport, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	b.do(chromedp.EmulateViewport(width, height, viewport...))
}

// answerWithin is how long the browser may take over one question. What is asked just as a page goes away may get no answer, and
// what is asked of a busy machine a late one: a reading is asked again; a press is taken as done, since whatever it should bring
// about is waited for afterwards.
const answerWithin = 15 * time.Second

// asked puts a question whose answer may be read twice.
func asked[T any](b *tab, question func(context.Context) (T, error)) (T, error) {
	b.Helper()
	for tries := 1; ; tries++ {
		ctx, give := context.WithTimeout(b.ctx, answerWithin)
		v, err := question(ctx)
		late := ctx.Err() != nil && b.ctx.Err() == nil
		give()
		if !late || tries == 4 {
			return v, err
		}
		b.Logf("the browser did not answer for %v; asked again", answerWithin)
	}
}

// do presses, types and moves.
func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	for _, step := range steps {
		ctx, give := context.WithTimeout(b.ctx, answerWithin)
		err := chromedp.Do(ctx, step)
		late := ctx.Err() != nil && b.ctx.Err() == nil
		give()
		if late {
			b.Logf("the browser did not say within %v that it had done it", answerWithin)
		} else if err != nil {
			b.Fatal(err)
		}
	}
}

// open goes to a page and waits until it is live.
func (b *tab) open(path string) {
	b.Helper()
	_, err := asked(b, func(ctx context.Context) (chromedp.Void, error) {
		return chromedp.Void{}, chromedp.Do(ctx, chromedp.Navigate(b.url+path))
	})
	if err != nil {
		b.Fatalf("%s: %v", path, err)
	}
	b.live()
}

func (b *tab) live() {
	b.Helper()
	b.until(`document.readyState === "complete" && (document.body.dataset.page !== "job" || document.body.dataset.ready === "yes")`)
}

// patience is how long anything may take before a test gives up on it; it is no speed that is asserted.
const patience = 60 * time.Second

// until waits for an expression to hold.
func (b *tab) until(expression string) {
	b.Helper()
	for began := time.Now(); ; time.Sleep(25 * time.Millisecond) {
		ok, err := b.holds(expression)
		if err == nil && ok {
			return
		}
		if b.ctx.Err() != nil || time.Since(began) > patience {
			b.picture("stuck")
			b.Fatalf("never: %s (%v); the page says:\n%s", expression, err, b.text("main"))
		}
	}
}

// holds asks the page once.
func (b *tab) holds(expression string) (bool, error) {
	return asked(b, func(ctx context.Context) (bool, error) {
		return chromedp.Run(ctx, chromedp.Evaluate[bool](`Boolean(`+expression+`)`))
	})
}

// get evaluates an expression, promises awaited.
func get[T any](b *tab, expression string) T {
	b.Helper()
	v, err := asked(b, func(ctx context.Context) (T, error) {
		return chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	})
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	return v
}

// text is what an element shows.
func (b *tab) text(selector string) string {
	b.Helper()
	return get[string](b, fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, selector))
}

// find looks a thing up as a screen reader does: by role and name.
func (b *tab) find(role, name string) cdp.BackendNodeID {
	b.Helper()
	for began := time.Now(); ; time.Sleep(25 * time.Millisecond) {
		if id := b.seek(role, name); id != 0 {
			return id
		}
		if time.Since(began) > patience/4 {
			b.picture("missing")
			b.Fatalf("there is no %s called %q; the page says:\n%s", role, name, b.text("main"))
		}
	}
}

func (b *tab) seek(role, name string) cdp.BackendNodeID {
	found, err := asked(b, func(ctx context.Context) (found accessibility.QueryAXTreeResult, err error) {
		root, err := chromedp.Call(ctx, dom.GetDocument, dom.GetDocumentParams{})
		if err != nil {
			return found, err
		}
		return chromedp.Call(ctx, accessibility.QueryAXTree, accessibility.QueryAXTreeParams{BackendNodeID: root.Root.BackendNodeID, Role: role, AccessibleName: name})
	})
	if err != nil {
		return 0
	}
	for _, n := range found.Nodes {
		if !n.Ignored {
			return n.BackendDOMNodeID
		}
	}
	return 0
}

// has says whether a thing is there by role and name.
func (b *tab) has(role, name string) bool { return b.seek(role, name) != 0 }

// where is the middle of a thing on the screen, by role and name, scrolled into view. A page that is being drawn anew is waited
// for.
func (b *tab) where(role, name string) (x, y float64) {
	b.Helper()
	for range 40 {
		if x, y, ok := b.middle(b.find(role, name)); ok {
			return x, y
		}
		time.Sleep(25 * time.Millisecond)
	}
	b.Fatalf("%s %q cannot be seen", role, name)
	return 0, 0
}

func (b *tab) middle(id cdp.BackendNodeID) (x, y float64, ok bool) {
	b.Helper()
	quads, err := asked(b, func(ctx context.Context) (quads dom.GetContentQuadsResult, err error) {
		node, err := chromedp.Call(ctx, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: id})
		if err != nil {
			return quads, err
		}
		if _, err = chromedp.Call(ctx, runtime.CallFunctionOn, runtime.CallFunctionOnParams{ObjectID: node.Object.ObjectID,
			FunctionDeclaration: `function () { this.scrollIntoView({block: "center", behavior: "instant"}); }`}); err != nil {
			return quads, err
		}
		return chromedp.Call(ctx, dom.GetContentQuads, dom.GetContentQuadsParams{BackendNodeID: id})
	})
	if err != nil || len(quads.Quads) == 0 {
		return 0, 0, false
	}
	q := quads.Quads[0]
	return (q[0] + q[2] + q[4] + q[6]) / 4, (q[1] + q[3] + q[5] + q[7]) / 4, true
}

// press clicks or taps a thing by role and name.
func (b *tab) press(role, name string) {
	b.Helper()
	b.at(b.where(role, name))
}

// at clicks or taps a place on the screen.
func (b *tab) at(x, y float64) {
	b.Helper()
	b.Actions++
	if b.touch {
		b.do(chromedp.TapXY(x, y))
		return
	}
	b.do(chromedp.MouseClickXY(x, y))
}

// fill types into a box by its name, in place of what stood there, and leaves it.
func (b *tab) fill(name, text string) {
	b.Helper()
	b.Actions++
	b.focus("textbox", name)
	b.do(chromedp.Action[chromedp.Void](func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		if _, err := chromedp.Evaluate[chromedp.Void](`document.activeElement.select()`)(ctx, t); err != nil {
			return chromedp.Void{}, err
		}
		_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: text})
		return chromedp.Void{}, err
	}), chromedp.KeyEvent("\t"))
}

func (b *tab) focus(role, name string) {
	b.Helper()
	var err error
	for range 40 { // a page that is being drawn anew is waited for
		if _, err = asked(b, func(ctx context.Context) (chromedp.Void, error) {
			_, err := chromedp.Call(ctx, dom.Focus, dom.FocusParams{BackendNodeID: b.find(role, name)})
			return chromedp.Void{}, err
		}); err == nil {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	b.Fatalf("%s %q: %v", role, name, err)
}

// choose picks a word of a list by the list's name.
func (b *tab) choose(name, word string) {
	b.Helper()
	b.Actions++
	b.focus("combobox", name)
	got := get[string](b, fmt.Sprintf(`(() => { const s = document.activeElement; s.value = [...s.options].find((o) => o.text === %q)?.value ?? ""; s.dispatchEvent(new Event("change", {bubbles: true})); return s.options[s.selectedIndex]?.text ?? ""; })()`, word))
	if got != word && !strings.HasPrefix(got, "choose") {
		b.Errorf("%s cannot be %q", name, word)
	}
}

// keys presses keys, one action each.
func (b *tab) keys(keys string, with ...chromedp.Modifier) {
	b.Helper()
	b.Actions += len([]rune(keys))
	b.do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(with...)))
}

// drag moves a finger or the mouse from one place to another in steps.
func (b *tab) drag(x0, y0, x1, y1 float64, steps int) {
	b.Helper()
	b.Actions++
	mouse := func(kind input.DispatchMouseEventType, x, y float64) chromedp.Action[chromedp.Void] {
		return chromedp.MouseEvent(kind, x, y, chromedp.ButtonLeft, chromedp.ClickCount(1))
	}
	b.do(mouse(input.DispatchMouseEventTypeMousePressed, x0, y0))
	for i := 1; i <= steps; i++ {
		k := float64(i) / float64(steps)
		b.do(mouse(input.DispatchMouseEventTypeMouseMoved, x0+k*(x1-x0), y0+k*(y1-y0)))
	}
	b.do(mouse(input.DispatchMouseEventTypeMouseReleased, x1, y1))
}

// settled waits until every change is at the office and the whole answer stands.
func (b *tab) settled() {
	b.Helper()
	b.until(`slabwright.reading.now === 0 && !slabwright.job.sending && slabwright.job.waiting === 0 && !document.querySelector(".updating") && Number(document.body.dataset.revision) >= slabwright.job.revision`)
}

// signal switches the network off and on.
func (b *tab) signal(on bool) {
	b.Helper()
	down := -1.0
	if _, err := chromedp.Call(b.ctx, network.Enable, network.EnableParams{}); err != nil {
		b.Fatal(err)
	}
	if _, err := chromedp.Call(b.ctx, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: !on, DownloadThroughput: down, UploadThroughput: down}); err != nil {
		b.Fatal(err)
	}
	if _, err := chromedp.Call(b.ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{URLPattern: "", Offline: !on, DownloadThroughput: down, UploadThroughput: down}}}); err != nil {
		b.Fatal(err)
	}
}

// light emulates how the person has set their screen.
func (b *tab) light(features map[string]string) {
	b.Helper()
	var list []*emulation.MediaFeature
	for name, value := range features {
		list = append(list, &emulation.MediaFeature{Name: name, Value: value})
	}
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: list}); err != nil {
		b.Fatal(err)
	}
}

// picture keeps what the screen shows, where PICTURES names a folder.
func (b *tab) picture(name string) {
	dir := os.Getenv("PICTURES")
	if dir == "" {
		return
	}
	png, err := asked(b, func(ctx context.Context) ([]byte, error) { return chromedp.Run(ctx, chromedp.CaptureScreenshot()) })
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, strings.ReplaceAll(b.Name(), "/", "-")+"-"+name+".png"), png, 0o644)
	}
	if err != nil {
		b.Log(err)
	}
}

// put keeps a job at the office under an id.
func (b *tab) put(id string, doc any) {
	b.Helper()
	text, err := json.Marshal(doc)
	if err != nil {
		b.Fatal(err)
	}
	status := get[float64](b, fmt.Sprintf(`fetch("/api/v1/jobs/%s", {method: "PUT", headers: {"Content-Type": "application/json", "If-None-Match": "*"}, body: %q}).then(r => r.status)`, id, text))
	if status != 201 {
		b.Fatalf("the office answered %v to a new job", status)
	}
}

// figure is a figure's text as the page shows it.
func (b *tab) figure(name string) string {
	b.Helper()
	return get[string](b, fmt.Sprintf(`document.querySelector('[data-figure=%q] .value')?.textContent ?? ""`, name))
}

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

// scripts switches the page's scripts on and off.
func (b *tab) scripts(on bool) {
	b.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on}); err != nil {
		b.Fatal(err)
	}
}
