package web_test

import (
	"compress/gzip"
	"flag"
	"html"
	"io"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"slabwright/internal/faces/web"
)

var update = flag.Bool("update", false, "add the words that stand on the screens and are no common ones to testdata/words.txt, to be read before they are kept")

// never are words of the workshop, not of the trade; a default screen shows none of them.
var never = []string{"mesh", "solver", "node", "element", "optimise", "optimize", "simulation", "model", "algorithm", "percentile", "payload", "sync", "cache", "workflow",
	"dashboard", "wizard", "entity", "instance", "parameter"}

// meant are the places where such a word is the trade's own.
var meant = map[string]string{
	"mesh":    "a steel product: bars, mesh or fibre",
	"payload": "what a truck may carry",
}

var (
	unread  = regexp.MustCompile(`(?s)<(script|style|template)\b.*?</(script|style|template)>`)
	cited   = regexp.MustCompile(`(?s)<td class="theirs">.*?</td>|<p class="source">.*?</p>|<span class="formula">.*?</span>|<var>.*?</var>|<p class="jobname">.*?</p>|<title>.*?</title>`)
	spoken  = regexp.MustCompile(`(?:aria-label|title|placeholder|alt)="([^"]*)"`)
	tagged  = regexp.MustCompile(`<[^>]*>`)
	letters = regexp.MustCompile(`[\p{L}][\p{L}'’]*`)
)

// visible is the text of a page that a person reads or hears, without what is cited, calculated or their own.
func visible(page string) string {
	page = cited.ReplaceAllString(unread.ReplaceAllString(page, " "), " ")
	var heard []string
	for _, m := range spoken.FindAllStringSubmatch(page, -1) {
		heard = append(heard, m[1])
	}
	return html.UnescapeString(tagged.ReplaceAllString(page, " ") + " " + strings.Join(heard, " "))
}

func words(text string) []string {
	var out []string
	for _, w := range letters.FindAllString(text, -1) {
		w = strings.ToLower(strings.ReplaceAll(w, "’", "'"))
		w = strings.TrimSuffix(strings.Trim(w, "'"), "'s")
		if len([]rune(w)) > 2 {
			out = append(out, w)
		}
	}
	return out
}

// TestEveryLabelIsAWordOfTheTradeOrAPlainOne walks all text of every screen (CON-30): each word stands in the glossary, in a list of
// common English words, or in our own list of further ones, which a person reads before it grows.
func TestEveryLabelIsAWordOfTheTradeOrAPlainOne(t *testing.T) {
	s := office(t)
	get := func(path string) string {
		r, err := http.Get(strings.TrimSuffix(s.URL, "/") + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		text, err := io.ReadAll(r.Body)
		if err != nil || r.StatusCode != http.StatusOK {
			t.Fatalf("%s: %s, %v", path, r.Status, err)
		}
		return string(text)
	}
	start := func(path string, form url.Values) string {
		stay := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		r, err := stay.PostForm(strings.TrimSuffix(s.URL, "/")+path, form)
		if err != nil || r.StatusCode != http.StatusSeeOther {
			t.Fatalf("%s: %v %v", path, r, err)
		}
		defer r.Body.Close()
		return strings.Split(r.Header.Get("Location"), "/")[2]
	}
	known := map[string]bool{}
	for _, w := range words(common(t) + " " + read(t, "testdata/words.txt") + " " + web.Glossary()) {
		known[w] = true
	}
	plain := func(w string) bool {
		return known[w] || known[strings.TrimSuffix(w, "s")] || known[strings.TrimSuffix(w, "es")]
	}
	found, strange := map[string]string{}, 0
	jobs := []string{start("/practice", nil), start("/start", url.Values{"length": {"40"}, "width": {"14"}, "thickness": {"6"}, "units": {"us"}})}
	for _, job := range jobs {
		for _, path := range addresses(job) {
			page := visible(get(path))
			for _, w := range words(page) {
				if found[w] == "" {
					found[w] = path
				}
				if slices.Contains(never, w) && meant[w] == "" && !strings.Contains(path, "/why/") {
					t.Errorf("%s says %q", path, w)
				}
			}
		}
	}
	if *update {
		var list []string
		for w := range found {
			if !plain(w) {
				list = append(list, w)
			}
		}
		list = append(list, strings.Fields(read(t, "testdata/words.txt"))...)
		slices.Sort(list)
		list = slices.Compact(list)
		if err := os.WriteFile("testdata/words.txt", []byte(strings.Join(list, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	for w, path := range found {
		if !plain(w) {
			strange++
			t.Errorf("%s: %q is neither in the glossary, nor a common word, nor in testdata/words.txt: say it plainer, explain it in glossary.go, or add it with -update", path, w)
		}
	}
	if len(found) < 500 {
		t.Errorf("only %d words were looked at", len(found))
	}
}

// common is a list of common English words.
func common(t *testing.T) string {
	t.Helper()
	f, err := os.Open("testdata/third_party/wamerican-small/american-english-small.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
