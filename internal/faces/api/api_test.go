package api

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"slabwright/internal/rim/store"
)

// shop is a server of the interface on a new file.
type shop struct {
	testing.TB
	*Server
	handler http.Handler
	log     bytes.Buffer
}

func opened(t testing.TB) *shop {
	t.Helper()
	return openedAt(t, filepath.Join(t.TempDir(), "shop.db"))
}

// openedAt is a server on a file or a database.
func openedAt(t testing.TB, where string) *shop {
	t.Helper()
	return sharing(t, where, 1)
}

// sharing is one of several servers on a store, that does so many long works at once.
func sharing(t testing.TB, where string, atOnce int) *shop {
	t.Helper()
	now := func() time.Time { return time.Date(2027, 6, 10, 5, 2, 0, 0, time.UTC) }
	jobs, err := store.Open(t.Context(), where, now)
	if err != nil {
		t.Fatal(err)
	}
	s := &shop{TB: t}
	s.Server, err = Open(t.Context(), jobs, Options{Log: slog.New(slog.NewTextHandler(&s.log, &slog.HandlerOptions{Level: slog.LevelDebug})), Now: now, AtOnce: atOnce})
	if err != nil {
		t.Fatal(err)
	}
	s.handler = s.Handler()
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		if err := jobs.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// got is an answer.
type got struct {
	status int
	head   http.Header
	body   []byte
}

// into decodes the body.
func (g got) into(t testing.TB, v any) {
	t.Helper()
	if err := json.Unmarshal(g.body, v); err != nil {
		t.Fatalf("%v: %.300s", err, g.body)
	}
}

// do sends a request; body is text, or a value to send as JSON. Headers come in pairs.
func (s *shop) do(method, path string, body any, headers ...string) got {
	s.Helper()
	var text []byte
	switch b := body.(type) {
	case nil:
	case string:
		text = []byte(b)
	case []byte:
		text = b
	default:
		var err error
		if text, err = json.Marshal(b); err != nil {
			s.Fatal(err)
		}
	}
	r := httptest.NewRequest(method, path, bytes.NewReader(text))
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.handler.ServeHTTP(w, r)
	out, err := io.ReadAll(w.Result().Body)
	if err != nil {
		s.Fatal(err)
	}
	return got{w.Code, w.Header(), out}
}

// want sends a request and wants a status.
func (s *shop) want(status int, method, path string, body any, headers ...string) got {
	s.Helper()
	g := s.do(method, path, body, headers...)
	if g.status != status {
		s.Fatalf("%s %s: %d, want %d: %.500s", method, path, g.status, status, g.body)
	}
	return g
}

const threeNumbers = `{"length":"40 ft","thickness":"6 in","width":"14 ft"}`

// pad is a job of three numbers.
func (s *shop) pad() string {
	s.Helper()
	s.want(201, "PUT", "/api/v1/jobs/pad", threeNumbers)
	return "/api/v1/jobs/pad"
}

// boathouse is the example job with its forecast beside it.
func (s *shop) boathouse() string {
	s.Helper()
	for _, f := range []struct{ path, file, media string }{{"/api/v1/jobs/boat", "boathouse-apron.yaml", "application/yaml"}, {"/api/v1/jobs/boat/attachments/boathouse-forecast.csv", "boathouse-forecast.csv", "text/csv"}} {
		text, err := os.ReadFile("../../../examples/" + f.file)
		if err != nil {
			s.Fatal(err)
		}
		if g := s.do("PUT", f.path, text, "Content-Type", f.media); g.status >= 300 {
			s.Fatalf("%s: %d %s", f.path, g.status, g.body)
		}
	}
	return "/api/v1/jobs/boat"
}

func (s *shop) answers(job string, q Question) Answers {
	s.Helper()
	var a Answers
	g := s.want(200, "POST", job+"/answers", q)
	var raw struct {
		Answers
		Stages map[string]struct {
			Stage
			Figures map[string]Figure `json:"figures"`
		} `json:"stages"`
	}
	g.into(s, &raw)
	a = raw.Answers
	a.Stages = map[string]Stage{}
	for name, stage := range raw.Stages {
		one := stage.Stage
		for _, f := range stage.Figures {
			one.Figures = append(one.Figures, f)
		}
		a.Stages[name] = one
	}
	return a
}

func (s Stage) figure(name string) string {
	for _, f := range s.Figures {
		if f.Name == name {
			return f.Text
		}
	}
	return ""
}

func TestThreeNumbersAreEnough(t *testing.T) {
	s := opened(t)
	job := s.pad()
	a := s.answers(job, Question{})
	if !strings.HasPrefix(a.Size, "11 1/4 yd3 to order (10.37 neat + 7 % assumed)") || a.Stages["order"].figure("yards") != "11 1/4 yd³" || a.Trust != "rough" || a.SaidCount != 3 || a.AssumedCount < 10 {
		t.Errorf("answered %q, %q, %s, %d said, %d assumed", a.Size, a.Stages["order"].figure("yards"), a.Trust, a.SaidCount, a.AssumedCount)
	}
	for name, stage := range a.Stages {
		if !stage.Answered {
			t.Errorf("%s: waits %v, %v %s", name, stage.Waits, stage.Faults, stage.Problem)
		}
		for _, g := range stage.Assumed {
			if g.Reason == "" || g.Pointer == "" {
				t.Errorf("a guess without reason or place: %+v", g)
			}
		}
	}
	var list JobList
	s.want(200, "GET", "/api/v1/jobs", nil).into(t, &list)
	if len(list.Jobs) != 1 || list.Jobs[0].Yards != "11 1/4 yd³" || list.Jobs[0].Verdict == "" || list.Jobs[0].Stale {
		t.Errorf("listed as %+v", list.Jobs)
	}
}

func TestACoarseAnswerIsOnlyWhatWasAsked(t *testing.T) {
	s := opened(t)
	job := s.boathouse()
	a := s.answers(job, Question{Questions: []string{"order"}, Coarse: true})
	if len(a.Stages) != 1 || a.Stages["order"].figure("yards") == "" || len(a.Stages["order"].Pictures) != 0 {
		t.Errorf("answered %v", a.Stages)
	}
	full := s.answers(job, Question{})
	if full.Stages["order"].figure("yards") != a.Stages["order"].figure("yards") || len(full.Stages["joints"].Pictures) == 0 {
		t.Errorf("the full answer says %s, the coarse one %s", full.Stages["order"].figure("yards"), a.Stages["order"].figure("yards"))
	}
}

func TestWhatIsTriedIsNotStored(t *testing.T) {
	s := opened(t)
	job := s.pad()
	tried := Question{Questions: []string{"order"}, Sets: nil}
	body := `{"questions":["order"],"sets":[{"pointer":"/thickness","value":"4 in"}]}`
	var a Answers
	s.want(200, "POST", job+"/answers", body)
	a = s.answers(job, tried)
	if a.Stages["order"].figure("yards") != "11 1/4 yd³" || a.Revision != 1 {
		t.Errorf("a try was stored: %s", a.Stages["order"].figure("yards"))
	}
	if doc := s.want(200, "GET", job, nil); string(doc.body) != threeNumbers {
		t.Errorf("the document is %s", doc.body)
	}
	s.want(422, "POST", job+"/answers", `{"sets":[{"pointer":"/thicknes","value":"4 in"}]}`)
}

func TestAnOlderQuestionIsNotAnswered(t *testing.T) {
	s := opened(t)
	job := s.pad()
	for _, c := range []struct {
		device string
		seq    int64
		status int
	}{{"a", 5, 200}, {"a", 4, 409}, {"b", 1, 200}, {"a", 5, 200}, {"a", 6, 200}, {"", 0, 200}} {
		s.want(c.status, "POST", job+"/answers", Question{Questions: []string{"site"}, Coarse: true, Device: c.device, Seq: c.seq})
	}
}

func TestWhatCannotBeReadIsLeftOutAndTold(t *testing.T) {
	s := opened(t)
	s.want(201, "PUT", "/api/v1/jobs/odd", `{"length":"40 ft","width":"14 ft","thickness":"150","site":{"obstacles":[{"kind":"tree","name":"maple","x":"12 1/3","y":5},{"kind":"tree","name":"oak","x":60,"y":5}],"north":"up"},"paper":"napkin","mix":{"strength":"soft"}}`)
	a := s.answers("/api/v1/jobs/odd", Question{})
	told := map[string]Wrong{}
	for _, f := range a.Faults {
		told[f.Pointer] = f
	}
	for _, pointer := range []string{"/thickness", "/site/obstacles/0/x", "/site/north", "/paper", "/mix/strength"} {
		if f, ok := told[pointer]; !ok || f.TypeThis == "" || f.Message == "" {
			t.Errorf("%s: %+v", pointer, a.Faults)
		}
	}
	if !a.Stages["site"].Answered || a.Stages["site"].figure("area") == "" {
		t.Errorf("the rest is not answered: %+v", a.Stages["site"].Faults)
	}
}

func TestAStageSaysWhatItLacks(t *testing.T) {
	s := opened(t)
	s.want(201, "PUT", "/api/v1/jobs/bare", `{"length":"40 ft"}`)
	a := s.answers("/api/v1/jobs/bare", Question{})
	if a.Stages["site"].Answered || len(a.Stages["site"].Faults) == 0 || a.Stages["site"].Faults[0].Pointer != "/width" {
		t.Errorf("site: %+v", a.Stages["site"].Faults)
	}
	if w := a.Stages["grade"].Waits; len(w) == 0 || w[0] != "site" {
		t.Errorf("grade waits for %v", w)
	}
	if w := s.answers("/api/v1/jobs/bare", Question{Questions: []string{"hold"}}).Stages["hold"].Waits; len(w) == 0 {
		t.Error("hold waits for nothing")
	}
}

func TestUnchangedStagesAreNotWorkedOutAgain(t *testing.T) {
	s := opened(t)
	job := s.boathouse()
	d := func() int { return s.desks.of("boat", s.now()).planner.Answers() }
	s.answers(job, Question{})
	before := d()
	s.answers(job, Question{})
	if d() != before {
		t.Errorf("the same question added %d answers", d()-before)
	}
	s.want(200, "POST", job+"/answers", `{"sets":[{"pointer":"/price/labour/wage","value":"41"}]}`)
	if added := d() - before; added != 1 {
		t.Errorf("another wage added %d answers", added)
	}
}

func TestEveryStagesAnswerPicturesAndWorkingCanBeReached(t *testing.T) {
	s := opened(t)
	job := s.boathouse()
	a := s.answers(job, Question{})
	pictures := 0
	for name, stage := range a.Stages {
		s.want(200, "GET", job+"/answers/"+name, nil)
		for _, f := range stage.Figures {
			var why Why
			s.want(200, "GET", job+"/why/"+name+"."+f.Name, nil).into(t, &why)
			if len(why.Steps) == 0 || why.Steps[len(why.Steps)-1].Name != f.Name {
				t.Errorf("%s.%s has no working", name, f.Name)
			}
		}
		for _, p := range stage.Pictures {
			pictures++
			svg := s.want(200, "GET", fmt.Sprintf("%s/pictures/%s.svg?stage=%s", job, p.Name, name), nil)
			if !bytes.HasPrefix(svg.body, []byte("<svg ")) || svg.head.Get("Content-Type") != "image/svg+xml" {
				t.Errorf("%s: %.80s", p.Name, svg.body)
			}
			var twin Picture
			s.want(200, "GET", fmt.Sprintf("%s/pictures/%s.json", job, p.Name), nil).into(t, &twin)
			if len(twin.Table.Rows) == 0 || twin.Title == "" {
				t.Errorf("%s has no table twin", p.Name)
			}
		}
	}
	if pictures < 12 {
		t.Errorf("only %d pictures", pictures)
	}
	bw := s.want(200, "GET", job+"/pictures/cost-steps.svg?bw=1", nil)
	if strings.Contains(string(bw.body), `"#0072`) {
		t.Error("black on white has colour")
	}
	tried := s.want(200, "POST", job+"/pictures/joint-plan.svg?stage=joints", `{"sets":[{"pointer":"/joints/spacing_cap","value":"8 ft"}]}`)
	if bytes.Equal(tried.body, s.want(200, "GET", job+"/pictures/joint-plan.svg?stage=joints", nil).body) {
		t.Error("a try draws the same picture")
	}
}

// waited asks for a work until it is in one of the states.
func (s *shop) waited(path string, states ...string) Work {
	s.Helper()
	for range 6000 { // a minute and more
		var w Work
		s.want(200, "GET", path, nil).into(s, &w)
		if slices.Contains(states, w.State) {
			return w
		}
		time.Sleep(10 * time.Millisecond)
	}
	s.Fatalf("%s never came to %v", path, states)
	return Work{}
}

func TestALongWorkCanBeStoppedAndItsPlaceIsFree(t *testing.T) {
	s := opened(t)
	job := s.pad()
	s.want(202, "PUT", job+"/works/w0", Start{Question: "hold"}) // takes the only place
	s.waited(job+"/works/w0", "working")
	s.want(200, "PUT", job+"/changes/c", `{"sets":[{"pointer":"/thickness","value":"7 in"}]}`)
	s.want(202, "PUT", job+"/works/w1", Start{Question: "hold"})
	if w := s.waited(job+"/works/w1", "waiting"); w.Says == "" || w.Percent != 0 {
		t.Errorf("%+v", w)
	}
	s.want(204, "DELETE", job+"/works/w0", nil)
	s.waited(job+"/works/w1", "working")
	s.want(204, "DELETE", job+"/works/w1", nil)
	if w := s.waited(job+"/works/w1", "cancelled"); w.Percent >= 100 {
		t.Errorf("stopped at %g %%", w.Percent)
	}
	s.want(202, "PUT", job+"/works/w2", Start{Question: "backing"})
	s.waited(job+"/works/w2", "done")
	if hold := s.answers(job, Question{Questions: []string{"hold"}}).Stages["hold"]; hold.Answered || len(hold.Waits) != 1 || hold.Waits[0] != "hold" || len(hold.Faults) != 0 || hold.Problem != "" {
		t.Errorf("a stopped work left %+v", hold)
	}
	if back := s.answers(job, Question{Questions: []string{"backing"}}).Stages["backing"]; !back.Answered {
		t.Errorf("what was worked out is not in the answers: %+v", back)
	}
	s.want(204, "DELETE", job+"/works/w2", nil)
	if w := s.waited(job+"/works/w2", "done"); w.Percent != 100 {
		t.Errorf("stopping what is done left %+v", w)
	}
}

func TestGuessesAreRankedOnceThatIsWorkedOut(t *testing.T) {
	s := opened(t)
	job := s.pad()
	var before, after Assumed
	s.want(200, "GET", job+"/assumed", nil).into(t, &before)
	s.want(202, "PUT", job+"/works/w", Start{Question: "assumed"})
	if w := s.waited(job+"/works/w", "done", "failed"); w.State != "done" {
		t.Fatalf("%+v", w)
	}
	s.want(200, "GET", job+"/assumed", nil).into(t, &after)
	if before.Ranked || !after.Ranked || len(before.Guesses) != len(after.Guesses) || after.Guesses[0].Moves == "" {
		t.Errorf("before %v %d, after %v %d, first %+v", before.Ranked, len(before.Guesses), after.Ranked, len(after.Guesses), after.Guesses[0])
	}
	s.want(200, "PUT", job+"/changes/c", `{"sets":[{"pointer":"/use","value":"car"}]}`)
	s.want(200, "GET", job+"/assumed", nil).into(t, &after)
	if after.Ranked {
		t.Error("the ranking of another state of the job is shown")
	}
}

func TestASheetCarriesTheNumberOfItsPrint(t *testing.T) {
	s := opened(t)
	job := s.pad()
	print := func() string {
		t.Helper()
		g := s.want(200, "GET", job+"/sheets/joint-plan.svg", nil)
		r := g.head.Get("X-Print")
		if !bytes.Contains(g.body, []byte(">"+r+"<")) {
			t.Errorf("the sheet does not show %s", r)
		}
		return r
	}
	if r := print() + print(); r != "R1R1" {
		t.Errorf("the same job is printed as %s", r)
	}
	s.want(200, "PUT", job+"/changes/c", `{"sets":[{"pointer":"/thickness","value":"5 in","was":"6 in"}]}`)
	var sheets Sheets
	s.want(200, "GET", job+"/sheets", nil).into(t, &sheets)
	if sheets.Crew != "R1" || sheets.Next != "R2" || len(sheets.Prints) != 1 {
		t.Errorf("the crew has %s, next is %s, %d prints", sheets.Crew, sheets.Next, len(sheets.Prints))
	}
	if r := print(); r != "R2" {
		t.Errorf("a changed job is printed as %s", r)
	}
	z := s.want(200, "GET", job+"/pack.zip", nil)
	all, err := zip.NewReader(bytes.NewReader(z.body), int64(len(z.body)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range all.File {
		names = append(names, f.Name)
	}
	for _, f := range sheets.Files {
		if !slices.Contains(names, f.Name) {
			t.Errorf("%s is listed and not in the pack", f.Name)
		}
		if f.Media == "" {
			t.Errorf("%s goes out without its kind", f.Name)
		}
	}
	if len(names) != len(sheets.Files) {
		t.Errorf("listed %d, packed %q", len(sheets.Files), names)
	}
}
