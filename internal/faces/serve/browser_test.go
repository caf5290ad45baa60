package serve

import (
	"context"
	"log/slog"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// started is a running server on a free port with a new file.
func started(t *testing.T) *Server {
	t.Helper()
	s, err := Start(t.Context(), Options{Store: filepath.Join(t.TempDir(), "shop.db"), Listen: "127.0.0.1:0", Now: time.Now, AtOnce: 1, Log: slog.New(slog.DiscardHandler), Page: Page})
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

func TestABrowserMayUseTheInterfaceFromItsOwnPageOnly(t *testing.T) {
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium here; tools/setup installs it")
	}
	s := started(t)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-background-networking", true), chromedp.Flag("no-first-run", true))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	defer stop()
	browser, leave := chromedp.NewContext(allocator)
	defer leave()
	const put = `fetch("` + "%s" + `api/v1/jobs/fromthepage", {method: "PUT", body: "{}"}).then(r => String(r.status), e => "refused")`
	if err := chromedp.Do(browser, chromedp.Navigate(s.URL+"health")); err != nil {
		t.Fatal(err)
	}
	own, err := chromedp.Run(browser, chromedp.Evaluate[string](strings.ReplaceAll(put, "%s", s.URL), chromedp.EvalAwaitPromise))
	if err != nil || own != "201" {
		t.Errorf("the server's own page got %q: %v", own, err)
	}
	if err := chromedp.Do(browser, chromedp.Navigate("data:text/html,<p>elsewhere</p>")); err != nil {
		t.Fatal(err)
	}
	foreign, err := chromedp.Run(browser, chromedp.Evaluate[string](strings.ReplaceAll(put, "%s", s.URL), chromedp.EvalAwaitPromise))
	if err != nil || foreign != "refused" && foreign != "403" {
		t.Errorf("another page got %q: %v", foreign, err)
	}
}
