package api

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"slabwright/internal/rim/store"
)

// as sends a request as somebody of a role.
func (s *shop) as(v Viewer, method, path, body string, headers ...string) got {
	s.Helper()
	r := httptest.NewRequestWithContext(As(s.Context(), v), method, path, strings.NewReader(body))
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.handler.ServeHTTP(w, r)
	return got{w.Code, w.Header(), w.Body.Bytes()}
}

var (
	dana = Viewer{Actor: store.Actor{Who: "Dana", Person: "p1"}, Role: store.Owner}
	luis = Viewer{Actor: store.Actor{Who: "Luis", Person: "p2"}, Role: store.Foreman}
	crew = Viewer{Actor: store.Actor{Who: "Pat, Crew 2"}, Role: store.Crew, Link: store.CrewLink{ID: "l", Name: "Crew 2", Job: "court"}}
)

const priced = `{"length":"40 ft","width":"14 ft","thickness":"6 in","name":"Court","price":{"materials":{"concrete":"187.31"},"business":{"margin":"17 %"}},
	"record":{"changes":[{"at":"2027-06-09 09:00","says":"a step","money":"743.29"},{"at":"2027-06-09 10:00","says":"broom"}]}}`

func pricedShop(t *testing.T) *shop {
	t.Helper()
	s := opened(t)
	if a := s.as(dana, "PUT", "/api/v1/jobs/court", priced); a.status != http.StatusCreated {
		t.Fatalf("%d %s", a.status, a.body)
	}
	return s
}

// sum is what the owner sees of the job's money.
func (s *shop) money() string {
	s.Helper()
	var doc struct {
		Price  json.RawMessage
		Record struct {
			Changes []struct{ Says, Money string }
		}
	}
	s.as(dana, "GET", "/api/v1/jobs/court", "").into(s, &doc)
	out := string(doc.Price)
	for _, c := range doc.Record.Changes {
		out += " " + c.Says + "=" + c.Money
	}
	return out
}

func TestAForemanLosesNoPriceHeDoesNotSee(t *testing.T) {
	s := pricedShop(t)
	before := s.money()
	seen := s.as(luis, "GET", "/api/v1/jobs/court", "")
	if text := string(seen.body); strings.Contains(text, "187") || strings.Contains(text, "743") || strings.Contains(text, "margin") || !strings.Contains(text, "a step") {
		t.Fatalf("the foreman sees %s", text)
	}
	whole := strings.Replace(string(seen.body), `"Court"`, `"Court, loading door"`, 1)
	if a := s.as(luis, "PUT", "/api/v1/jobs/court", whole, "If-Match", seen.head.Get("ETag")); a.status != http.StatusOK {
		t.Fatalf("%d %s", a.status, a.body)
	}
	if after := s.money(); after != before {
		t.Errorf("a whole document took the price away: %s", after)
	}
	for name, c := range map[string]struct {
		sets   string
		status int
		money  string
	}{
		"a price":                  {`[{"pointer":"/price/materials/concrete","value":"1"}]`, 403, before},
		"the whole price":          {`[{"pointer":"/price","value":null}]`, 403, before},
		"money in a row":           {`[{"pointer":"/record/changes/-","value":{"says":"x","money":"5"}}]`, 403, before},
		"a row with money, gone":   {`[{"pointer":"/record/changes/0","value":null,"was":{"at":"2027-06-09 09:00","says":"a step"}}]`, 403, before},
		"all rows, gone":           {`[{"pointer":"/record/changes","value":null,"was":[{"at":"2027-06-09 09:00","says":"a step"},{"at":"2027-06-09 10:00","says":"broom"}]}]`, 403, before},
		"a row as it was not":      {`[{"pointer":"/record/changes/0","value":{"says":"y"},"was":{"says":"other"}}]`, 409, before},
		"a row's words":            {`[{"pointer":"/record/changes/0","value":{"at":"2027-06-09 09:00","says":"a step, wider"},"was":{"at":"2027-06-09 09:00","says":"a step"}}]`, 200, strings.Replace(before, "a step=", "a step, wider=", 1)},
		"a new row":                {`[{"pointer":"/record/changes/-","value":{"says":"gate"}}]`, 200, strings.Replace(before, "a step=", "a step, wider=", 1) + " gate="},
		"something of the grounds": {`[{"pointer":"/slab/soil","value":"damp clay"}]`, 200, strings.Replace(before, "a step=", "a step, wider=", 1) + " gate="},
	} {
		if c.status == 200 {
			continue
		}
		if a := s.as(luis, "PUT", "/api/v1/jobs/court/changes/"+strings.ReplaceAll(strings.ReplaceAll(name, " ", "-"), ",", ""), `{"sets":`+c.sets+`}`); a.status != c.status || s.money() != c.money {
			t.Errorf("%s: %d %s; the money is %s", name, a.status, a.body, s.money())
		}
	}
	for i, c := range []struct{ sets, money string }{
		{`[{"pointer":"/record/changes/0","value":{"at":"2027-06-09 09:00","says":"a step, wider"},"was":{"at":"2027-06-09 09:00","says":"a step"}}]`, strings.Replace(before, "a step=", "a step, wider=", 1)},
		{`[{"pointer":"/record/changes/-","value":{"says":"gate"}}]`, strings.Replace(before, "a step=", "a step, wider=", 1) + " gate="},
		{`[{"pointer":"/slab/soil","value":"damp clay"}]`, strings.Replace(before, "a step=", "a step, wider=", 1) + " gate="},
	} {
		if a := s.as(luis, "PUT", "/api/v1/jobs/court/changes/good-"+string(rune('a'+i)), `{"by":"Dana","sets":`+c.sets+`}`); a.status != http.StatusOK || s.money() != c.money {
			t.Errorf("%s: %d %s; the money is %s, want %s", c.sets, a.status, a.body, s.money(), c.money)
		}
	}
	if a := s.as(luis, "PUT", "/api/v1/jobs/new", priced); a.status != http.StatusForbidden {
		t.Errorf("a new job with prices: %d", a.status)
	}
}

func TestWhatIsHiddenIsHiddenInTheHistoryToo(t *testing.T) {
	s := pricedShop(t)
	s.as(dana, "PUT", "/api/v1/jobs/court/changes/c1", `{"by":"nobody","step":"Concrete to 191.77","sets":[{"pointer":"/price/materials/concrete","value":"191.77","was":"187.31"}]}`)
	s.as(luis, "PUT", "/api/v1/jobs/court/changes/c2", `{"by":"Dana","step":"Ground","sets":[{"pointer":"/slab/soil","value":"damp clay"}]}`)
	for v, hidden := range map[*Viewer]bool{&dana: false, &luis: true, &crew: true} {
		a := s.as(*v, "GET", "/api/v1/jobs/court/changes", "")
		if text := string(a.body); strings.Contains(text, "191.77") == hidden || a.status != http.StatusOK {
			t.Errorf("the %s reads %d %s", v.Role, a.status, text)
		}
	}
	var h History
	s.as(luis, "GET", "/api/v1/jobs/court/changes?since=1", "").into(t, &h)
	if len(h.Changes) != 2 || h.Changes[0].By != "Dana" || h.Changes[0].Step == "Concrete to 191.77" || h.Changes[1].By != "Luis" {
		t.Errorf("%+v", h.Changes)
	}
	late := s.as(luis, "PUT", "/api/v1/jobs/court", `{"name":"x"}`, "If-Match", `"r1"`)
	if late.status != http.StatusPreconditionFailed || strings.Contains(string(late.body), "191.77") {
		t.Errorf("%d %s", late.status, late.body)
	}
}

func TestACrewAddsToItsRecordAndNothingElse(t *testing.T) {
	s := pricedShop(t)
	for sets, status := range map[string]int{
		`[{"pointer":"/pour/team/taps/-","value":{"at":"2027-06-10T07:00:00Z","what":"truck here"}}]`: 200,
		`[{"pointer":"/record/log/-","value":{"says":"a visitor"}}]`:                                  200,
		`[{"pointer":"/thickness","value":"5 in"}]`:                                                   403,
		`[{"pointer":"/record/changes/-","value":{"says":"x"}}]`:                                      403,
		`[{"pointer":"/record/log","value":null}]`:                                                    403,
		`[{"pointer":"","value":{}}]`:                                                                 403,
		`[{"pointer":"/record/log/0","value":{"says":"no visitor"}}]`:                                 403,
		`[{"pointer":"/price/materials/concrete","value":"1"}]`:                                       403,
	} {
		id := "c" + strings.Map(func(r rune) rune {
			if r >= 'a' && r <= 'z' {
				return r
			}
			return -1
		}, sets)
		if a := s.as(crew, "PUT", "/api/v1/jobs/court/changes/"+id[:min(len(id), 60)], `{"sets":`+sets+`}`); a.status != status {
			t.Errorf("%s: %d %s", sets, a.status, a.body)
		}
	}
	for _, c := range [][2]string{{"PUT", "/api/v1/jobs/court"}, {"DELETE", "/api/v1/jobs/court"}, {"POST", "/api/v1/jobs/court/answers"}, {"GET", "/api/v1/jobs"}, {"GET", "/api/v1/jobs/court/pack.zip"}} {
		if a := s.as(crew, c[0], c[1], `{}`, "If-Match", `"r1"`); a.status != http.StatusForbidden {
			t.Errorf("%s %s: %d", c[0], c[1], a.status)
		}
	}
	if a := s.as(crew, "PUT", "/api/v1/jobs/other/changes/c", `{"sets":[{"pointer":"/record/log/-","value":{"says":"x"}}]}`); a.status != http.StatusNotFound {
		t.Errorf("another job: %d", a.status)
	}
	if a := s.as(crew, "PUT", "/api/v1/jobs/court/changes/back", `{"sets":[{"pointer":"/pour/team/taps/0","value":null,"was":{"at":"2027-06-10T07:00:00Z","what":"truck here"}}]}`); a.status != http.StatusOK {
		t.Errorf("a stamp taken back: %d %s", a.status, a.body)
	}
}
