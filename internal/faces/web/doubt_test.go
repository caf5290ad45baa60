package web_test

import (
	"regexp"
	"strings"
	"testing"
)

// TestWhatCouldGoWrongWithThePrice: the price screen leads to the risk of its price and to the job built otherwise; a job without a size
// says what it lacks.
func TestWhatCouldGoWrongWithThePrice(t *testing.T) {
	s := office(t)
	put(t, s.URL+"api/v1/jobs/pad", `{"name":"Cider press pad","length":"24 ft","width":"16 ft","thickness":"5 in"}`)
	if !strings.Contains(got(t, s.URL+"jobs/pad/price"), `href="/jobs/pad/doubt"`) {
		t.Error("the price screen does not lead there")
	}
	page := got(t, s.URL+"jobs/pad/doubt")
	for _, want := range []string{`lose money at \$[\d,]+</dt><dd><span class="value">\d+ in a hundred`, `Cost as planned, nothing held back</th><td>\$[\d,]+`,
		`<th scope="row">As planned`, `<th scope="row">Thinner: 4 in.*Don(&#39;|’)t`, `[+−]\$\d`, `seed 1`} {
		if !regexp.MustCompile(want).MatchString(page) {
			t.Errorf("the page does not say %s", want)
		}
	}
	put(t, s.URL+"api/v1/jobs/bare", `{"name":"Bare"}`)
	if page := got(t, s.URL+"jobs/bare/doubt"); !strings.Contains(page, "has no price yet") {
		t.Error("a job without a size does not say what it lacks")
	}
}
