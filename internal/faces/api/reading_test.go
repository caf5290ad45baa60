package api

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// The rows are those of how people type: what stands in a box, and what the page says under it. The parsers have their own
// check rows; here the whole way through the interface is held.
func TestEveryBoxReadsBackNotesAsksAndStops(t *testing.T) {
	const (
		side, thick, level, fall = "/length", "/thickness", "/site/bench_mark/elevation", "/grade/least_slope"
		tape                     = 3.844925 // 12'-7 3/8"
	)
	s := opened(t)
	for _, c := range []struct {
		id, pointer, text string
		units, locale     string
		si                float64 // NaN: no number, or not looked at
		back              string  // begins with
		note, ask, stop   string  // holds
	}{
		{"EXP-10", side, `12' 7 3/8"`, "", "", tape, `12'-7 3/8"`, "", "", ""},
		{"EXP-11", side, `12-7 3/8`, "", "", tape, `12'-7 3/8"  (12.61 ft, 3.845 m)`, "", "", ""},
		{"EXP-11", side, `12 7 3/8`, "", "", tape, `12'-7 3/8"`, "", "", ""},
		{"EXP-11", side, `12'7-3/8`, "", "", tape, `12'-7 3/8"`, "", "", ""},
		{"EXP-11", side, `12ft 7⅜in`, "", "", tape, `12'-7 3/8"`, "", "", ""},
		{"EXP-12", side, `40'6`, "", "", 12.3444, `40'-6"`, "", "", ""},
		{"EXP-12", side, `40 6`, "", "", 12.3444, `40'-6"`, "", "", ""},
		{"EXP-12", side, `40-6`, "", "", 12.3444, `40'-6"`, "", "", ""},
		{"EXP-13", side, `12.6`, "", "", 3.84048, `12'-7 1/4"`, "If you meant 12 ft 6 in, type 12 6.", "", ""},
		{"EXP-14", side, `7 3/8`, "", "", 0.187325, ``, "Read as inches.", "", ""},
		{"EXP-15", side, `5' 14"`, "", "", 1.8796, `6'-2"`, "6'-2\"", "", ""},
		{"EXP-16", side, `9.7 m`, "", "", 9.7, `31'-9 7/8"`, "", "", ""},
		{"EXP-16", side, `9,7 m`, "", "", 9.7, `31'-9 7/8"`, "", "", ""},
		{"EXP-17", thick, `6'`, "", "", 1.8288, ``, "", "6 ft is thick", ""},
		{"EXP-18", thick, `150`, "", "", 3.81, ``, "", `Use 150 mm (5 7/8 in)?`, ""},
		{"EXP-19", side, `12 1/3`, "", "", math.NaN(), ``, "", "", "halves, quarters, eighths, sixteenths"},
		{"EXP-20", side, `-12`, "", "", math.NaN(), ``, "", "", "longer than zero"},
		{"EXP-21", side, `1,250`, "", "en-US", 381, ``, "", "1.25 ft", ""},
		{"EXP-21", side, `1,250`, "", "de-DE", 0.381, ``, "comma", "", ""},
		{"EXP-22", level, `97.38`, "", "", 29.681424, `97.38 ft`, "", "", ""},
		{"EXP-30", fall, `2`, "", "", 0.02, ``, "", "", ""},
		{"EXP-30", fall, `2 pct`, "", "", 0.02, ``, "", "", ""},
		{"EXP-31", fall, `1/4 in/ft`, "", "", 1.0 / 48, ``, "", "", ""},
		{"EXP-31", fall, `1/4`, "", "", 1.0 / 48, ``, "", "", ""},
		{"EXP-32", fall, `3/16 in/ft`, "", "", 0.015625, ``, "", "", ""},
		{"EXP-33", fall, `1:50`, "", "", 0.02, ``, "", "", ""},
		{"EXP-33", fall, `20 mm/m`, "", "", 0.02, ``, "", "", ""},
		{"EXP-34", fall, `1 in 12`, "", "", 1.0 / 12, ``, "1 to 12. If you meant 1 inch in 12 feet, type 1 in/12 ft.", "steep", ""},
		{"EXP-35", fall, `1 in/12 ft`, "", "", 1.0 / 144, ``, "Nearly flat, water may stand.", "", ""},
		{"EXP-36", fall, `3 deg`, "", "", 0.0524077793, ``, "", "", ""},
		{"EXP-37", fall, `0.02`, "", "", 0.0002, ``, "", "0.02 % is flat. Use 2 %?", ""},
		{"EXP-40", "/mix/strength", `4 ksi`, "", "", 27579029.17, ``, "", "", ""},
		{"EXP-40", "/mix/strength", `28 MPa`, "", "", 28e6, ``, "", "", ""},
		{"EXP-40", "/mix/asked", `C25/30`, "", "", math.NaN(), ``, "", "", ""},
		{"EXP-41", "/mix/asked", `5 1/2 sack`, "", "", math.NaN(), ``, "Sacks tell cement, not strength. Type the psi too, or ask the plant.", "", ""},
		{"EXP-49", "/pour/reading/air", `84F`, "", "", 84*5.0/9 - 160.0/9, `84 °F`, "", "", ""},
		{"EXP-49", "/pour/reading/air", `29 C`, "", "", 29, `84 °F`, "", "", ""},
		{"EXP-49", "/pour/reading/wind", `12 mph`, "", "", 5.36448, `12 mph`, "", "", ""},
		{"EXP-49", "/pour/reading/humidity", `32%`, "", "", 0.32, `32 %`, "", "", ""},
		{"EXP-42", "/order/leftover", ``, "", "", math.NaN(), ``, "", "", "empty"},
		{"EXP-43", "/mix/slump", `100 mm`, "", "", 0.1, ``, "", "", ""},
		{"EXP-43", "/mix/slump", `8`, "", "", 0.2032, ``, "", "water", ""},
		{"EXP-44", "/steel/bars", `#4 @ 18 ew`, "", "", math.NaN(), ``, "", "", ""},
		{"EXP-45", "/mix/stone", `57 stone`, "", "", math.NaN(), ``, "", "", ""},
		{"EXP-46", "/first_truck", `7a`, "", "", math.NaN(), ``, "", "", ""},
		{"EXP-46", "/first_truck", `noon`, "", "", math.NaN(), ``, "", "", ""},
		{"EXP-47", "/pour_date", `thu`, "", "", math.NaN(), `Thu 17 Jun 2027`, "", "", ""},
		{"EXP-47", "/pour_date", `6/11`, "", "", math.NaN(), `Fri 11 Jun 2027`, "", "", ""},
		{"EXP-48", "/slab/weight", `4.3 t`, "", "", math.NaN(), `9,480 lb`, "", "", ""},
		{"EXP-48", "/slab/weight", `4.75 tons`, "", "", math.NaN(), `9,500 lb`, "", "", ""},
		{"word", "/site/obstacles/0/kind", `gravel from mars`, "", "", math.NaN(), ``, "", "", "Type one of"},
		{"yes or no", "/practice", `maybe`, "", "", math.NaN(), ``, "", "", "yes or no"},
		{"yes or no", "/practice", `yes`, "", "", math.NaN(), `yes`, "", "", ""},
	} {
		if c.id == "EXP-42" {
			c.pointer = "/number" // any text box: an empty one cannot be a value
		}
		body, err := json.Marshal(Typed{Pointer: c.pointer, Text: c.text, Units: c.units, Locale: c.locale})
		if err != nil {
			t.Fatal(err)
		}
		var r Read
		s.want(200, "POST", "/api/v1/read", body).into(t, &r)
		if !math.IsNaN(c.si) && (r.SI == nil || math.Abs(*r.SI-c.si) > 1e-9*math.Max(1, math.Abs(c.si))) { // the stored value's own tolerance
			t.Errorf("%s %q: %v, want %g", c.id, c.text, r.SI, c.si)
		}
		asks, stops := "", ""
		if r.Ask != nil {
			asks = r.Ask.Question
			for _, choice := range r.Ask.Choices {
				asks += " [" + choice.Label + "]"
			}
			if len(r.Ask.Choices) == 0 || r.Ask.Choices[len(r.Ask.Choices)-1].Value == nil {
				t.Errorf("%s %q asks without a way to keep it: %+v", c.id, c.text, r.Ask)
			}
		}
		if r.Stop != nil {
			stops = r.Stop.Says
			if r.Stop.TypeThis == "" || r.Stop.Why == "" || strings.Contains(strings.ToLower(r.Stop.Says), "invalid") {
				t.Errorf("%s %q stops without help: %+v", c.id, c.text, r.Stop)
			}
		}
		notes := strings.Join(r.Notes, " ")
		for what, pair := range map[string][2]string{"reads back": {r.ReadBack, c.back}, "notes": {notes, c.note}, "asks": {asks, c.ask}, "stops": {stops, c.stop}} {
			if !strings.Contains(pair[0], pair[1]) || pair[1] == "" && pair[0] != "" && (what == "asks" || what == "stops") {
				t.Errorf("%s %q %s %q, want %q", c.id, c.text, what, pair[0], pair[1])
			}
		}
		if r.Stop == nil && r.ReadBack == "" {
			t.Errorf("%s %q is not read back", c.id, c.text)
		}
	}
}

// A picked reading, set into the job, must be taken: the keep button as well as the other.
func TestAPickedReadingIsTaken(t *testing.T) {
	s := opened(t)
	job := s.pad()
	var r Read
	s.want(200, "POST", "/api/v1/read", `{"pointer":"/thickness","text":"30"}`).into(t, &r)
	if r.Ask == nil {
		t.Fatal("30 in of slab is not asked about")
	}
	for i, choice := range r.Ask.Choices {
		body, err := json.Marshal(map[string]any{"device": "d", "sets": []any{map[string]any{"pointer": "/thickness", "value": choice.Value}}})
		if err != nil {
			t.Fatal(err)
		}
		s.want(200, "PUT", job+"/changes/c"+string(rune('0'+i)), body)
		if a := s.answers(job, Question{Questions: []string{"slab"}}); len(a.Faults) != 0 {
			t.Errorf("%q is not taken: %+v", choice.Label, a.Faults)
		}
	}
}

func FuzzBodies(f *testing.F) {
	f.Add("PUT", "/api/v1/jobs/a/changes/b", `{"device":"d","seen":1,"sets":[{"pointer":"/site/obstacles/0","value":{"kind":"tree"},"was":null},{"pointer":"/slab","value":{"soil":"clay or silt"}}]}`)
	f.Add("PUT", "/api/v1/jobs/b", `{"site":{"corners":[[0,0,"A"],[1,1]]},"x":1}`)
	f.Add("POST", "/api/v1/jobs/a/answers", `{"questions":["site"],"sets":[{"pointer":"/length","value":{"value":"1","sure":"yes"}}],"coarse":true}`)
	f.Add("POST", "/api/v1/read", `{"pointer":"/site/shots/0/elevation","text":"\u0000½"}`)
	whole := opened(f)
	whole.pad()
	whole.want(201, "PUT", "/api/v1/jobs/a", threeNumbers)
	f.Fuzz(func(t *testing.T, method, path, body string) {
		s := &shop{TB: t, Server: whole.Server, handler: whole.handler}
		if !strings.HasPrefix(path, "/api/v1/") || strings.ContainsAny(path, " \x00\r\n%?#") || strings.Contains(path, "sheets") || strings.Contains(path, "pack") || strings.Contains(path, "events") || (method != "PUT" && method != "POST") {
			return
		}
		for _, r := range path {
			if r < 0x21 || r > 0x7e {
				return
			}
		}
		if g := s.do(method, path, body); g.status >= 500 {
			t.Fatalf("%s %s %s: %d %s", method, path, body, g.status, g.body)
		}
		if g := s.do("GET", "/api/v1/jobs/a", nil); g.status != 200 {
			t.Fatalf("after %s %s %s the job cannot be read: %s", method, path, body, g.body)
		}
		if g := s.do("POST", "/api/v1/jobs/a/answers", `{"questions":["site"]}`); g.status >= 500 {
			t.Fatalf("after %s %s %s the job cannot be planned: %s", method, path, body, g.body)
		}
	})
}
