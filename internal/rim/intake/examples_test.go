package intake

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"slabwright/internal/trade/plan"
)

var asOf = time.Date(2027, 6, 14, 18, 0, 0, 0, time.UTC)

func examples(t *testing.T) []string {
	t.Helper()
	paths, err := filepath.Glob("../../../examples/*.yaml")
	if err != nil || len(paths) < 3 {
		t.Fatalf("%d examples, %v", len(paths), err)
	}
	return paths
}

func TestEveryExampleIsPlannedWhole(t *testing.T) {
	for _, path := range examples(t) {
		src, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		j, _, err := Job(path, src, asOf)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		var planner plan.Planner
		for _, lack := range planner.Make(j).Unanswered() {
			t.Errorf("%s: %s", path, lack)
		}
	}
}

// TestTheSchemaOfTheShopTakesItsExample and refuses what is one job's own, as the reader does; the file beside the examples is
// this schema.
func TestTheSchemaOfTheShopTakesItsExample(t *testing.T) {
	src, err := os.ReadFile("../../../examples/shop/shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if _, notes, err := Shop("shop.yaml", src, asOf); err != nil || len(notes) > 0 {
		t.Errorf("%v %v", err, notes)
	}
	s := compiled(t, ShopSchema(), ShopSchemaID)
	if err := s.Validate(asJSON(t, src)); err != nil {
		t.Error(err)
	}
	for _, stray := range []string{"price: {work: {area: 5}}", "order: {net: 5}", "length: 40 ft", "plants: [{name: A, wage: 3}]"} {
		if s.Validate(asJSON(t, []byte(stray))) == nil {
			t.Errorf("the schema takes %s", stray)
		}
		if _, _, err := Shop("shop.yaml", []byte(stray), asOf); err == nil {
			t.Errorf("the reader takes %s", stray)
		}
	}
	kept, err := os.ReadFile("../../../examples/" + ShopSchemaID)
	if err != nil {
		t.Fatal(err)
	}
	var now, then any
	text, _ := json.Marshal(ShopSchema())
	if json.Unmarshal(text, &now) != nil || json.Unmarshal(kept, &then) != nil || !reflect.DeepEqual(now, then) {
		t.Error("examples/" + ShopSchemaID + " is stale: slabwright shop schema > examples/" + ShopSchemaID)
	}
}

func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	return compiled(t, JobSchema(), SchemaID)
}

func compiled(t *testing.T, schema any, id string) *jsonschema.Schema {
	t.Helper()
	text, err := json.Marshal(schema)
	if err != nil {
		t.Fatal(err)
	}
	var doc any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(id, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(id)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func asJSON(t *testing.T, src []byte) any {
	t.Helper()
	text, err := yaml.YAMLToJSON(src)
	if err != nil {
		t.Fatal(err)
	}
	var doc any
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestTheSchemaTakesWhatTheReaderTakes(t *testing.T) {
	s := schema(t)
	for _, path := range examples(t) {
		src, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(asJSON(t, src)); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
}

func TestTheSchemaRefusesWhatTheReaderRefuses(t *testing.T) {
	s := schema(t)
	for _, text := range []string{"lenght: 40 ft", "slab: {thicknes: 6 in}", "site: {obstacles: [{kind: dragon}]}", "units: furlongs", "length: [1, 2]", "practice: {a: b}"} {
		if err := s.Validate(asJSON(t, []byte(text))); err == nil {
			t.Errorf("%q passes the schema", text)
		}
	}
}

func TestTheShippedSchemaIsTheGeneratedOne(t *testing.T) {
	shipped, err := os.ReadFile("../../../examples/" + SchemaID)
	if err != nil {
		t.Fatal(err)
	}
	made, err := json.MarshalIndent(JobSchema(), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	if string(made)+"\n" != string(shipped) {
		t.Error("the shipped schema is old: run `go run ./cmd/slabwright schema > examples/" + SchemaID + "`")
	}
}

func TestSizesAreReadAsPeopleSayThem(t *testing.T) {
	for text, want := range map[string][3]float64{
		"14x40x6in":      {12.192, 4.2672, 0.1524},
		"40 x 14 x 6":    {12.192, 4.2672, 0.1524},
		"12'6x30x5in":    {9.144, 3.81, 0.127},
		"4x12x150mm":     {12, 4, 0.150},
		"4.2m×12m×0.15m": {12, 4.2, 0.150},
	} {
		j, err := Size(text, false, asOf)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		for i, got := range []float64{j.Length.Value.Metres(), j.Width.Value.Metres(), j.Thickness.Value.Metres()} {
			if d := got - want[i]; d > 1e-9 || d < -1e-9 {
				t.Errorf("%s: value %d is %v, not %v", text, i, got, want[i])
			}
		}
	}
	for _, text := range []string{"", "14x40", "14x40x6x2", "ax40x6", "14x-40x6", "14x40x6ft", "0x1x6in"} {
		if _, err := Size(text, false, asOf); err == nil {
			t.Errorf("%q was read", text)
		}
	}
}

func FuzzSize(f *testing.F) {
	f.Add("14x40x6in")
	f.Add("4.2m×12m×150mm")
	f.Fuzz(func(t *testing.T, text string) {
		if j, err := Size(text, false, asOf); err == nil && !(j.Length.Value >= j.Width.Value && j.Width.Value > 0) {
			t.Errorf("%q gives %v by %v", text, j.Length.Value, j.Width.Value)
		}
	})
}

func FuzzForecast(f *testing.F) {
	f.Add("time,air_f,humidity_pct,wind_mph\n2027-06-17T07:00-05:00,60,50,4\n")
	f.Add("time    air_f  humidity_pct  wind_mph\n-----  ------\n9 pm    70  60%   12 mph\n 10 pm  na  0.1\"  4\n")
	f.Add("  hour\u00a0 temp   rh  wind\n\n2027-06-17 07:00  60  50 4\n")
	f.Add("time\tair_f\t\twind_mph\n\t\t\t\n")
	f.Add("time,air,wind_kmh,cloud_share\n2027-06-17 07:00,,4,2\n")
	f.Fuzz(func(t *testing.T, text string) {
		if _, err := Forecast("forecast.csv", []byte(text), Reading{Zone: time.UTC}); err != nil && err.Error() == "" {
			t.Error("a refusal without words")
		}
	})
}

func FuzzYAMLRows(f *testing.F) {
	f.Add("- id: A\n  calculation: x\n  inputs: a=1\n  expect: b=2\n  tolerance: exact\n")
	f.Fuzz(func(t *testing.T, text string) {
		if _, err := YAMLRows("rows.yaml", []byte(text)); err != nil && err.Error() == "" {
			t.Error("a refusal without words")
		}
	})
}
