package api

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"slabwright/internal/rim/photo"
)

// description is the OpenAPI document of a running server.
type description struct {
	testing.TB
	paths    map[string]map[string]operation
	compiler *jsonschema.Compiler
	document any
}

type operation struct {
	OperationID string `json:"operationId"`
	Responses   map[string]struct {
		Content map[string]struct {
			Schema any `json:"schema"`
		} `json:"content"`
	} `json:"responses"`
	RequestBody *struct {
		Content map[string]struct {
			Schema any `json:"schema"`
		} `json:"content"`
	} `json:"requestBody"`
}

const documentURL = "openapi.json"

func described(s *shop) *description {
	s.Helper()
	g := s.want(200, "GET", "/api/openapi.json", nil)
	d := &description{TB: s, compiler: jsonschema.NewCompiler()}
	var document struct {
		OpenAPI string                          `json:"openapi"`
		Paths   map[string]map[string]operation `json:"paths"`
	}
	g.into(s, &document)
	if document.OpenAPI != "3.1.0" {
		s.Errorf("it is OpenAPI %q", document.OpenAPI)
	}
	d.paths = document.Paths
	var err error
	if d.document, err = jsonschema.UnmarshalJSON(bytes.NewReader(g.body)); err != nil {
		s.Fatal(err)
	}
	if err := d.compiler.AddResource(documentURL, d.document); err != nil {
		s.Fatal(err)
	}
	return d
}

// fits checks a JSON text against the schema at a place of the document.
func (d *description) fits(place string, text []byte) error {
	schema, err := d.compiler.Compile(documentURL + "#" + place)
	if err != nil {
		d.Fatalf("%s: %v", place, err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	return schema.Validate(v)
}

func pointerPart(text string) string {
	return strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D").Replace(text)
}

// checked sends a request and holds the answer, and a body that was taken, against the description.
func (d *description) checked(s *shop, method, route, path string, body any, headers ...string) got {
	d.Helper()
	g := s.do(method, path, body, headers...)
	op, ok := d.paths[route][strings.ToLower(method)]
	if !ok {
		d.Fatalf("%s %s is not described", method, route)
	}
	place := "/paths/" + pointerPart(route) + "/" + strings.ToLower(method)
	status, media := fmt.Sprint(g.status), strings.Split(g.head.Get("Content-Type"), ";")[0]
	if _, ok := op.Responses[status]; !ok {
		if g.status < 400 {
			d.Errorf("%s %s answers %s, which is not described", method, route, status)
			return g
		}
		status = "default"
	}
	content := op.Responses[status].Content
	switch {
	case len(content) == 0 && len(g.body) > 0:
		d.Errorf("%s %s: %d answers a body that is not described", method, route, g.status)
	case len(content) > 0 && strings.HasSuffix(media, "json") && content[media].Schema != nil:
		if err := d.fits(place+"/responses/"+status+"/content/"+pointerPart(media)+"/schema", g.body); err != nil {
			d.Errorf("%s %s: %v\n%.300s", method, route, err, g.body)
		}
	case len(content) > 0:
		if _, ok := content[media]; !ok {
			d.Errorf("%s %s: %d answers %s, described is %v", method, route, g.status, media, content)
		}
	}
	if text, ok := body.(string); ok && g.status < 300 && op.RequestBody != nil && op.RequestBody.Content["application/json"].Schema != nil {
		if err := d.fits(place+"/requestBody/content/application~1json/schema", []byte(text)); err != nil {
			d.Errorf("%s %s took a body that does not fit its schema: %v", method, route, err)
		}
	}
	return g
}

func TestTheDescriptionAndTheRoutesAreTheSame(t *testing.T) {
	s := opened(t)
	d := described(s)
	var listed []string
	names := map[string]bool{}
	for path, methods := range d.paths {
		for method, op := range methods {
			listed = append(listed, strings.ToUpper(method)+" "+path)
			if names[op.OperationID] {
				t.Errorf("two operations are called %s", op.OperationID)
			}
			names[op.OperationID] = true
		}
	}
	slices.Sort(listed)
	if served := s.served(); !slices.Equal(listed, served) {
		t.Errorf("described %q\nserved %q", listed, served)
	}
	for path, methods := range d.paths { // every described address is taken by its own route
		for method := range methods {
			r := httptest.NewRequest(strings.ToUpper(method), strings.NewReplacer("{", "", "}", "").Replace(path), nil)
			if _, pattern := s.handler.(*http.ServeMux).Handler(r); pattern != strings.ToUpper(method)+" "+path {
				t.Errorf("%s %s is taken by %q", method, path, pattern)
			}
		}
	}
}

// Every route is called, with what it takes and with what it does not; every answer fits the description.
func TestEveryAnswerFitsItsSchema(t *testing.T) {
	s := opened(t)
	d := described(s)
	s.boathouse()
	const job, boat = "/api/v1/jobs/{job}", "/api/v1/jobs/boat"
	called := map[string]bool{}
	for _, c := range []struct {
		method, route, path string
		body                any
		status              int
		headers             []string
	}{
		{"GET", "/health", "/health", nil, 200, nil},
		{"GET", "/api/openapi.json", "/api/openapi.json", nil, 200, nil},
		{"GET", "/api/v1/schema", "/api/v1/schema", nil, 200, nil},
		{"GET", "/api/v1/boxes", "/api/v1/boxes?pointer=/length&pointer=/slab/soil&pointer=/practice&pointer=/site/obstacles/0/kind", nil, 200, nil},
		{"GET", "/api/v1/boxes", "/api/v1/boxes?pointer=/lenght", nil, 422, nil},
		{"GET", "/api/v1/boxes", "/api/v1/boxes", nil, 400, nil},
		{"POST", "/api/v1/read", "/api/v1/read", `{"pointer":"/length","text":"12-7 3/8"}`, 200, nil},
		{"POST", "/api/v1/read", "/api/v1/read", `{"pointer":"/thickness","text":"150"}`, 200, nil},
		{"POST", "/api/v1/read", "/api/v1/read", `{"pointer":"/length","text":"-12"}`, 200, nil},
		{"POST", "/api/v1/read", "/api/v1/read", `{"pointer":"/site","text":"-12"}`, 422, nil},
		{"POST", "/api/v1/read", "/api/v1/read", `{"pointer":"/length","typed":"-12"}`, 400, nil},
		{"GET", "/api/v1/shop", "/api/v1/shop", nil, 200, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s1", `{"by":"Ada","sets":[{"pointer":"/price/labour/wage","value":"36"},{"pointer":"/plants/0","value":{"name":"Riverside","haul":"25 min"}}]}`, 200, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s1", `{"by":"Ada","sets":[{"pointer":"/price/labour/wage","value":"99"}]}`, 200, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s2", `{"sets":[{"pointer":"/price/labour/wage","value":"37","was":"35"}]}`, 409, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s2", `{"sets":[{"pointer":"/price/labour/wage","value":"lots"}]}`, 422, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s2", `{"sets":[{"pointer":"/price/business/margin","value":"200 %"}]}`, 422, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s2", `{"sets":[{"pointer":"/order/net","value":"11"}]}`, 422, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s2", `{"sets":[{"pointer":"/plants/7/haul","value":"11 min"}]}`, 422, nil},
		{"PUT", "/api/v1/shop/changes/{change}", "/api/v1/shop/changes/s2", `{"sets":[]}`, 422, nil},
		{"GET", "/api/v1/shop", "/api/v1/shop", nil, 304, []string{"If-None-Match", `"r1"`}},
		{"GET", "/api/v1/shop/history", "/api/v1/shop/history", nil, 200, nil},
		{"GET", "/api/v1/shop/schema", "/api/v1/shop/schema", nil, 200, nil},
		{"POST", "/api/v1/read", "/api/v1/read", `{"pointer":"/plants/0/haul","of":"shop","text":"25"}`, 200, nil},
		{"POST", "/api/v1/read", "/api/v1/read", `{"pointer":"/length","of":"shop","text":"25"}`, 422, nil},
		{"GET", "/api/v1/week", "/api/v1/week?from=2027-06-14&days=14", nil, 200, nil},
		{"GET", "/api/v1/week", "/api/v1/week?days=99", nil, 400, nil},
		{"GET", "/api/v1/week", "/api/v1/week?from=soon", nil, 400, nil},
		{"GET", "/api/v1/week.csv", "/api/v1/week.csv", nil, 200, nil},
		{"GET", "/api/v1/days/{day}/sheets.pdf", "/api/v1/days/2027-06-17/sheets.pdf?only=crew-sheet,phone-order", nil, 200, nil},
		{"GET", "/api/v1/days/{day}/sheets.pdf", "/api/v1/days/2027-06-17/sheets.pdf?only=crew-sheat", nil, 422, nil},
		{"GET", "/api/v1/days/{day}/sheets.pdf", "/api/v1/days/2028-06-17/sheets.pdf", nil, 404, nil},
		{"GET", "/api/v1/days/{day}/sheets.pdf", "/api/v1/days/soon/sheets.pdf", nil, 400, nil},
		{"GET", "/api/v1/days/{day}/sheets.zip", "/api/v1/days/2027-06-17/sheets.zip?only=crew-sheet", nil, 200, nil},
		{"PUT", job, "/api/v1/jobs/pad", threeNumbers, 201, nil},
		{"PUT", job, "/api/v1/jobs/pad", threeNumbers, 201, nil},
		{"PUT", job, "/api/v1/jobs/pad", `{"length":"41 ft"}`, 428, nil},
		{"PUT", job, "/api/v1/jobs/pad", `{"length":"41 ft"}`, 412, []string{"If-Match", `"r9"`}},
		{"PUT", job, "/api/v1/jobs/pad", `{"length":"41 ft"}`, 200, []string{"If-Match", `"r1"`}},
		{"PUT", job, "/api/v1/jobs/pad2", `{"lenght":"41 ft"}`, 422, nil},
		{"PUT", job, "/api/v1/jobs/pad2", `[1]`, 400, nil},
		{"PUT", job, "/api/v1/jobs/..%20x", `{}`, 400, nil},
		{"GET", job, "/api/v1/jobs/pad", nil, 200, nil},
		{"GET", job, "/api/v1/jobs/pad", nil, 304, []string{"If-None-Match", `"r2"`}},
		{"GET", job, "/api/v1/jobs/nothing", nil, 404, nil},
		{"GET", "/api/v1/jobs", "/api/v1/jobs?limit=1", nil, 200, nil},
		{"GET", "/api/v1/jobs", "/api/v1/jobs?limit=x", nil, 400, nil},
		{"GET", "/api/v1/jobs", "/api/v1/jobs?after=x", nil, 400, nil},
		{"PUT", job + "/changes/{change}", boat + "/changes/c1", `{"device":"d1","by":"Office","at":"06:55","seen":1,"step":"Thickness to 6 in","sets":[{"pointer":"/thickness","value":"6 in","was":null}]}`, 200, nil},
		{"PUT", job + "/changes/{change}", boat + "/changes/c2", `{"device":"d2","by":"Cab","at":"06:58","seen":1,"step":"Thickness to 5 in","sets":[{"pointer":"/thickness","value":"5 in","was":null}],"undoes":"c0"}`, 200, nil},
		{"PUT", job + "/changes/{change}", boat + "/changes/c3", `{"sets":[]}`, 422, nil},
		{"PUT", job + "/changes/{change}", boat + "/changes/c3", `{"sets":[{"pointer":"/nothing","value":1}]}`, 422, nil},
		{"PUT", job + "/changes/{change}", boat + "/changes/c3", `{"sets":[{"value":1}]}`, 400, nil},
		{"PUT", job + "/changes/{change}", "/api/v1/jobs/nothing/changes/c3", `{"sets":[{"pointer":"/use","value":"car"}]}`, 404, nil},
		{"GET", job + "/changes", boat + "/changes?since=1", nil, 200, nil},
		{"GET", job + "/changes", boat + "/changes?since=x", nil, 400, nil},
		{"PUT", job + "/differences/{n}", boat + "/differences/40000", `{"keep":"neither"}`, 422, nil},
		{"PUT", job + "/differences/{n}", boat + "/differences/40000", `{"keep":"both"}`, 422, nil},
		{"PUT", job + "/differences/{n}", boat + "/differences/40000", `{"keep":"theirs","by":"Office"}`, 200, nil},
		{"PUT", job + "/differences/{n}", boat + "/differences/40000", `{"keep":"theirs"}`, 404, nil},
		{"POST", job + "/answers", boat + "/answers", `{"questions":["order","slab"],"coarse":true,"seq":3,"device":"d1","sets":[{"pointer":"/thickness","value":"5 in"}]}`, 200, nil},
		{"POST", job + "/answers", boat + "/answers", `{}`, 200, nil},
		{"POST", job + "/answers", boat + "/answers", `{"questions":["weather"]}`, 422, nil},
		{"POST", job + "/answers", boat + "/answers", `{"questions":"order"}`, 400, nil},
		{"POST", job + "/answers", boat + "/answers", `{"questions":["order"]} {}`, 400, nil},
		{"POST", job + "/answers", boat + "/answers", ``, 400, nil},
		{"GET", job + "/answers/{stage}", boat + "/answers/pour", nil, 200, nil},
		{"GET", job + "/answers/{stage}", boat + "/answers/hold", nil, 200, nil},
		{"GET", job + "/answers/{stage}", boat + "/answers/nothing", nil, 404, nil},
		{"GET", job + "/pictures/{name}", boat + "/pictures/joint-plan.svg?stage=joints&wide=120&high=90", nil, 200, nil},
		{"GET", job + "/pictures/{name}", boat + "/pictures/joint-plan.svg?wide=1", nil, 400, nil},
		{"GET", job + "/pictures/{name}", boat + "/pictures/nothing.svg", nil, 404, nil},
		{"POST", job + "/pictures/{name}", boat + "/pictures/joint-plan.svg", `{"sets":[{"pointer":"/thickness","value":"4 in"}]}`, 200, nil},
		{"GET", job + "/why/{figure}", boat + "/why/order.yards", nil, 200, nil},
		{"GET", job + "/why/{figure}", boat + "/why/order.yards?deep=1", nil, 200, nil},
		{"GET", job + "/why/{figure}", boat + "/why/nothing", nil, 404, nil},
		{"GET", job + "/assumed", boat + "/assumed", nil, 200, nil},
		{"PUT", job + "/works/{work}", boat + "/works/w1", `{"question":"backing"}`, 202, nil},
		{"PUT", job + "/works/{work}", boat + "/works/w1", `{"question":"backing"}`, 202, nil},
		{"PUT", job + "/works/{work}", boat + "/works/w2", `{"question":"site"}`, 422, nil},
		{"GET", job + "/works/{work}", boat + "/works/w1", nil, 200, nil},
		{"GET", job + "/works/{work}", boat + "/works/w9", nil, 404, nil},
		{"DELETE", job + "/works/{work}", boat + "/works/w1", nil, 204, nil},
		{"DELETE", job + "/works/{work}", boat + "/works/w9", nil, 404, nil},
		{"PUT", job + "/works/{work}", "/api/v1/jobs/nothing/works/w1", `{"question":"hold"}`, 404, nil},
		{"PUT", job + "/works/{work}", boat + "/works/w3", `{"question":"packs","day":"2027-06-17"}`, 422, nil},
		{"GET", job + "/works/{work}/result", boat + "/works/w1/result", nil, 404, nil},
		{"GET", job + "/works/{work}/result", boat + "/works/w9/result", nil, 404, nil},
		{"PUT", "/api/v1/works/{work}", "/api/v1/works/w1", `{"question":"packs","day":"2027-06-30"}`, 202, nil},
		{"PUT", "/api/v1/works/{work}", "/api/v1/works/w2", `{"question":"packs","day":"thursday"}`, 422, nil},
		{"PUT", "/api/v1/works/{work}", "/api/v1/works/w2", `{"question":"hold"}`, 422, nil},
		{"GET", "/api/v1/works/{work}", "/api/v1/works/w1", nil, 200, nil},
		{"GET", "/api/v1/works/{work}", "/api/v1/works/w9", nil, 404, nil},
		{"GET", "/api/v1/works", "/api/v1/works", nil, 200, nil},
		{"GET", "/api/v1/works/{work}/result", "/api/v1/works/w9/result", nil, 404, nil},
		{"DELETE", "/api/v1/works/{work}", "/api/v1/works/w1", nil, 204, nil},
		{"GET", job + "/attachments", boat + "/attachments", nil, 200, nil},
		{"PUT", job + "/attachments/{name}", boat + "/attachments/more.csv", "time,air_f\n", 200, nil},
		{"PUT", job + "/attachments/{name}", boat + "/attachments/more.exe", "x", 400, nil},
		{"PUT", job + "/attachments/{name}", boat + "/attachments/big.csv", strings.Repeat("x", maxAttachment+1), 413, nil},
		{"GET", job + "/attachments/{name}", boat + "/attachments/more.csv", nil, 200, nil},
		{"GET", job + "/attachments/{name}", boat + "/attachments/none.csv", nil, 404, nil},
		{"PUT", job + "/photos/{name}", boat + "/photos/base.jpg?by=Rosa&keep=time,place", aPhoto(t, 30), 200, nil},
		{"PUT", job + "/photos/{name}", boat + "/photos/base.jpg", aPhoto(t, 30), 200, nil},
		{"PUT", job + "/photos/{name}", boat + "/photos/base.jpg", aPhoto(t, 40), 409, nil},
		{"PUT", job + "/photos/{name}", boat + "/photos/base.exe", aPhoto(t, 30), 400, nil},
		{"PUT", job + "/photos/{name}", boat + "/photos/page.jpg", "<script>alert(1)</script>", 422, nil},
		{"PUT", job + "/photos/{name}", boat + "/photos/big.jpg", strings.Repeat("x", photo.MaxBytes+2), 413, nil},
		{"PUT", job + "/photos/{name}", "/api/v1/jobs/nothing/photos/base.jpg", aPhoto(t, 30), 404, nil},
		{"GET", job + "/photos", boat + "/photos", nil, 200, nil},
		{"GET", job + "/photos", "/api/v1/jobs/nothing/photos", nil, 404, nil},
		{"GET", job + "/photos/{name}", boat + "/photos/base.jpg", nil, 200, nil},
		{"GET", job + "/photos/{name}", boat + "/photos/base.jpg?small=1", nil, 200, nil},
		{"GET", job + "/photos/{name}", boat + "/photos/none.jpg", nil, 404, nil},
		{"GET", job + "/sheets", boat + "/sheets", nil, 200, nil},
		{"GET", job + "/sheets/{file}", boat + "/sheets/crew-sheet.pdf", nil, 200, nil},
		{"GET", job + "/sheets/{file}", boat + "/sheets/nothing.pdf", nil, 404, nil},
		{"GET", job + "/pack.zip", boat + "/pack.zip", nil, 200, nil},
		{"GET", job + "/events", "/api/v1/jobs/nothing/events", nil, 404, nil},
		{"DELETE", job, boat, nil, 428, nil},
		{"DELETE", job, boat, nil, 412, []string{"If-Match", `"r1"`}},
		{"DELETE", job, "/api/v1/jobs/pad", nil, 204, []string{"If-Match", `"r2"`}},
		{"DELETE", job, "/api/v1/jobs/pad", nil, 204, []string{"If-Match", `"r2"`}},
		{"PUT", job + "/restored", "/api/v1/jobs/pad/restored", nil, 200, nil},
		{"PUT", job + "/restored", "/api/v1/jobs/nothing/restored", nil, 404, nil},
	} {
		g := d.checked(s, c.method, c.route, c.path, c.body, c.headers...)
		called[c.method+" "+c.route] = true
		if g.status != c.status {
			t.Errorf("%s %s: %d, want %d: %.300s", c.method, c.path, g.status, c.status, g.body)
		}
		if g.status >= 400 {
			helps(t, c.method+" "+c.path, g)
		}
	}
	for _, route := range s.served() {
		if !called[route] {
			t.Errorf("%s is never called", route)
		}
	}
}

// aPhoto is a JPEG file of so many pixels either way.
func aPhoto(t *testing.T, side int) string {
	t.Helper()
	var b strings.Builder
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, side, side)), nil); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// helps wants every refusal to say what to send instead, and nothing of the inside.
func helps(t *testing.T, what string, g got) {
	t.Helper()
	var p Problem
	g.into(t, &p)
	if p.Status != g.status || p.Title == "" || len(p.Errors) == 0 || p.Errors[0].TypeThis == "" || p.Errors[0].Message == "" {
		t.Errorf("%s: %+v", what, p)
	}
	for _, inside := range []string{"goroutine", ".go:", "/tmp", "internal/", "sql:", "SELECT", "json: "} {
		if bytes.Contains(g.body, []byte(inside)) {
			t.Errorf("%s shows its inside (%s): %.300s", what, inside, g.body)
		}
	}
}

func TestWhatIsNotServedSaysSo(t *testing.T) {
	s := opened(t)
	for path, status := range map[string]int{"GET /api/v2/jobs": 404, "POST /api/v1/jobs": 405, "PATCH /api/v1/jobs/a": 405, "DELETE /api/v1/read": 405} {
		method, at, _ := strings.Cut(path, " ")
		helps(t, path, s.want(status, method, at, nil))
	}
}

// nextEvent reads a stream on to its next event.
func nextEvent(t *testing.T, lines *bufio.Scanner) Event {
	t.Helper()
	for lines.Scan() {
		if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
			var e Event
			if err := json.Unmarshal([]byte(data), &e); err != nil {
				t.Fatal(err)
			}
			return e
		}
	}
	t.Fatalf("the stream ended: %v", lines.Err())
	return Event{}
}

func TestEventsTellWhatHappens(t *testing.T) {
	s := opened(t)
	job := s.pad()
	server := httptest.NewServer(s.handler)
	defer server.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, "GET", server.URL+job+"/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := server.Client().Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	lines := bufio.NewScanner(answer.Body)
	next := func() Event { return nextEvent(t, lines) }
	if e := next(); e.Kind != "changed" || e.Revision != 1 {
		t.Errorf("first %+v", e)
	}
	change := `{"sets":[{"pointer":"/use","value":"car"}]}`
	s.want(200, "PUT", job+"/changes/c1", change)
	s.want(200, "PUT", job+"/changes/c1", change)
	s.want(200, "PUT", job+"/attachments/f.csv", "x")
	for _, want := range []Event{{Kind: "changed", Revision: 2, Change: "c1"}, {Kind: "changed", Revision: 3}} {
		if e := next(); e != want {
			t.Errorf("%+v, want %+v", e, want)
		}
	}
	s.want(202, "PUT", job+"/works/w", `{"question":"backing"}`)
	for e := next(); ; e = next() {
		if e.Kind != "work" || e.Work == nil {
			t.Fatalf("%+v", e)
		}
		if e.Work.State == "done" || e.Work.State == "failed" {
			break
		}
	}
	s.Close() // ends the stream
	if lines.Scan() && strings.HasPrefix(lines.Text(), "data") {
		t.Errorf("after the end: %s", lines.Text())
	}
}

func TestTheLogHoldsNothingPeopleTyped(t *testing.T) {
	s := opened(t)
	s.want(201, "PUT", "/api/v1/jobs/secret", `{"name":"Widow Hollyhock","address":"77 Foxglove Lane","length":"40 ft"}`)
	s.do("POST", "/api/v1/jobs/secret/answers", `{}`)
	s.do("POST", "/api/v1/read", `{"pointer":"/owner","text":"Widow Hollyhock"}`)
	if text := s.log.String(); strings.Contains(text, "Hollyhock") || strings.Contains(text, "Foxglove") {
		t.Errorf("the log holds what was typed: %s", text)
	}
}
