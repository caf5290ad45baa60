package web_test

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// put sends a document or a change to the interface of a running program.
func put(t testing.TB, url, text string) {
	t.Helper()
	r, err := http.NewRequest(http.MethodPut, url, bytes.NewReader([]byte(text)))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if answer.StatusCode >= 300 {
		said, _ := io.ReadAll(answer.Body)
		t.Fatalf("%s: %s %s", url, answer.Status, said)
	}
}

// tomorrow is a day of the week that is shown, not the last of it.
func tomorrow() time.Time {
	day := time.Now()
	for day.Weekday() == time.Sunday || day.Weekday() == time.Saturday {
		day = day.AddDate(0, 0, -1)
	}
	return day
}

// shopOfTwo has two crews, and one of them two jobs on one morning.
func shopOfTwo(t testing.TB, base string) (day time.Time) {
	t.Helper()
	day = tomorrow()
	put(t, base+"api/v1/shop/changes/first", `{"by":"Ada","sets":[{"pointer":"/price/materials/concrete","value":"168"},{"pointer":"/crews","value":[{"name":"North","people":"4"},{"name":"South","people":"3"}]},{"pointer":"/plants","value":[{"name":"Riverside","yards_per_hour":"40"}]}]}`)
	for i, name := range []string{"Cider press pad", "Chapel walk"} {
		put(t, fmt.Sprintf("%sapi/v1/jobs/job%d", base, i), fmt.Sprintf(`{"name":%q,"length":"24 ft","width":"16 ft","thickness":"5 in","crew":"North","first_truck":"0%d:30","pour_date":%q}`, name, 7+i, day.Format(time.DateOnly)))
	}
	put(t, base+"api/v1/jobs/quoted", fmt.Sprintf(`{"name":"Greenhouse floor","length":"24 ft","width":"16 ft","thickness":"5 in","quoted_on":%q}`, day.AddDate(0, 0, -40).Format(time.DateOnly)))
	return day
}

func got(t testing.TB, url string) string {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	text, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("%s: %s %v\n%.500s", url, r.Status, err, text)
	}
	return string(text)
}

// TestTheWeekAnswersTheOffice without a script: crews by day, the clash, the quote, what changed; a job is moved by a form.
func TestTheWeekAnswersTheOffice(t *testing.T) {
	s := office(t)
	day := shopOfTwo(t, s.URL)
	page := got(t, s.URL+"week")
	for deadline := time.Now().Add(patience); strings.Contains(page, "Not planned yet") || strings.Contains(page, "planned just now"); page = got(t, s.URL+"week") {
		if time.Now().After(deadline) {
			t.Fatal("the jobs are never planned")
		}
		time.Sleep(100 * time.Millisecond)
	}
	for _, want := range []string{"Crew North has two pours at once", "To settle 1", "6 1/2 yd³", "held no more", "Greenhouse floor", "begun", "rough"} {
		if !strings.Contains(page, want) {
			t.Errorf("the week does not say %q", want)
		}
	}
	answer, err := http.PostForm(s.URL+"week/move", url.Values{"job": {"job1"}, "day": {day.Format(time.DateOnly)}, "crew": {"South"}})
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	moved, _ := io.ReadAll(answer.Body)
	if answer.StatusCode != http.StatusOK || strings.Contains(string(moved), "two pours at once") || !strings.Contains(string(moved), "Moved to") {
		t.Errorf("after the move: %s", answer.Status)
	}
	if table := got(t, s.URL+"api/v1/week.csv"); !strings.Contains(table, "South,,Chapel walk") {
		t.Errorf("the table says\n%s", table)
	}
}

// TestAJobIsMovedByKeysAndTakenBack in a real browser: picked up, put one day later with the other crew, undone.
func TestAJobIsMovedByKeysAndTakenBack(t *testing.T) {
	s := office(t)
	day := shopOfTwo(t, s.URL)
	b := screenOf(t, s, 1280, 900)
	b.open("/week")
	b.until(`document.body.dataset.ready === "yes"`)
	at := func(crew string, d time.Time) string {
		return fmt.Sprintf(`document.querySelector('td[data-crew="%s"][data-day="%s"] [data-job="job1"]')`, crew, d.Format(time.DateOnly))
	}
	b.press("button", "Pick up Chapel walk")
	b.keys(kb.ArrowDown)
	b.keys(kb.ArrowRight)
	b.keys(kb.Enter)
	b.until(at("South", day.AddDate(0, 0, 1)))
	b.press("button", "Undo")
	b.until(at("North", day))
	b.press("button", "Pick up Chapel walk")
	b.keys(kb.ArrowDown)
	b.keys(kb.Escape)
	if !get[bool](b, "Boolean("+at("North", day)+")") {
		t.Error("Escape moved it")
	}
	b.picture("week")
}

// TestTheShopsListsAreSetByAForm without a script: what is wrong is said beside its box and nothing is saved; what is right stands
// with its day and name in the history, and a job takes it.
func TestTheShopsListsAreSetByAForm(t *testing.T) {
	s := office(t)
	post := func(form url.Values) (int, string) {
		answer, err := http.PostForm(s.URL+"settings/shop", form)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		text, _ := io.ReadAll(answer.Body)
		return answer.StatusCode, string(text)
	}
	status, page := post(url.Values{"by": {"Ada"}, "value:/price/labour/wage": {"lots"}, "was:/price/labour/wage": {""}, "value:/price/materials/concrete": {"171"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(page, "Nothing is saved yet") || !strings.Contains(page, `value="171"`) {
		t.Errorf("a wrong wage: %d", status)
	}
	form := url.Values{"by": {"Ada"}, "value:/price/materials/concrete": {"171"}, "was:/price/materials/concrete": {""}, "list:/crews": {"null"}, "rows:/crews": {"1"},
		"cell:/crews/0/name": {"North"}, "cell:/crews/0/people": {"4"}, "cell:/crews/0/finishers": {"Ada, Bo"}}
	status, page = post(form)
	if status != http.StatusOK || !strings.Contains(page, "Saved.") || !strings.Contains(page, "price.materials.concrete") || !strings.Contains(page, "by Ada") || !strings.Contains(page, "Ada, Bo") {
		t.Errorf("a good price: %d", status)
	}
	put(t, s.URL+"api/v1/jobs/pad", `{"length":"40 ft","width":"14 ft","thickness":"6 in"}`)
	if why := got(t, s.URL+"api/v1/jobs/pad/why/price.price?deep=1"); !strings.Contains(why, "the shop's list of") || !strings.Contains(why, "set by Ada") {
		t.Error("the job's price does not say whose it is")
	}
}
