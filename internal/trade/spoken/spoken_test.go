package spoken

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"slabwright/internal/engines/calc/calctest"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

func TestCheckRows(t *testing.T) { calctest.Rows(t, Calculations(), Checks()) }

// The trade-journal table gives weight as 3.40 times area; each row must hold that to the last digit of its area.
func TestBarsWeighWhatTheirSteelWeighs(t *testing.T) {
	for _, b := range Bars {
		area, weight := quantity.In(b.Area, "in2"), quantity.In(b.LinearMass, "lb/ft")
		if slack := 3.40 * 0.005; math.Abs(3.40*area-weight) > slack {
			t.Errorf("%s: %v in² and %v lb/ft do not fit", b.Size, area, weight)
		}
		if round := math.Pi / 4 * math.Pow(b.Diameter.Inches(), 2); math.Abs(round-area) > 0.006 {
			t.Errorf("%s: a round of %v in has %v in², the table %v", b.Size, b.Diameter.Inches(), round, area)
		}
	}
	for _, b := range MetricBars {
		// 7,850 kg/m³ on the nominal area, to the third decimal the standard prints.
		if want := float64(b.Area) * steelDensity; math.Abs(want-float64(b.LinearMass)) > 0.0005 {
			t.Errorf("%s weighs %v kg/m, its area says %v", b.Size, float64(b.LinearMass), want)
		}
	}
}

func TestBarsAreFoundHoweverTheyAreSaid(t *testing.T) {
	for said, want := range map[string]string{"#4": "#4", "no. 4": "#4", "4": "#4", "1/2 in": "#4", `½"`: "#4", "#13": "#4", "1 in": "#8",
		"3/8": "#3", "10M": "10M", "12 mm": "12 mm", "12M": "12M"} {
		if bar, ok := BarNamed(said); !ok || bar.Size != want || bar.Area <= 0 {
			t.Errorf("%q is %q, %v", said, bar.Size, ok)
		}
	}
	for _, said := range []string{"", "#2", "#10", "#9", "1/3", "40 mm", "rebar", "#4 @ 18"} {
		if bar, ok := BarNamed(said); ok {
			t.Errorf("%q is no bar, not %s", said, bar.Size)
		}
	}
}

// What a value prints is read again as the same value: a job file written by the program can be read by it.
func TestWordsComeBack(t *testing.T) {
	for _, text := range []string{"#4 @ 18 ew", "#3 @ 10 1/2 one way", "10M @ 300", "12 mm at 200 ew"} {
		var first, again BarGrid
		if _, err := first.ReadText(text, quantity.Box{}); err != nil {
			t.Fatal(err)
		}
		if _, err := again.ReadText(first.String(), quantity.Box{}); err != nil || again != first {
			t.Errorf("%q prints %q, which is %v: %v", text, first, again, err)
		}
	}
	for _, text := range []string{"57 stone", "3/4", "20 mm", "1 1/2"} {
		var first, again Stone
		if _, err := first.ReadText(text, quantity.Box{}); err != nil {
			t.Fatal(err)
		}
		if _, err := again.ReadText(first.String(), quantity.Box{}); err != nil || again != first {
			t.Errorf("%q prints %q, which is %v: %v", text, first, again, err)
		}
	}
}

// Words are held by known values: read as said, shown as said.
func TestWordsCanBeKnown(t *testing.T) {
	var in struct {
		Strength known.Known[Asked]   `yaml:"strength" says:"what was asked for"`
		Bars     known.Known[BarGrid] `yaml:"bars" says:"steel"`
		Stone    known.Known[Stone]   `yaml:"stone" says:"stone"`
		Slump    known.Known[Slump]   `yaml:"slump" says:"slump" show:"thickness"`
	}
	for _, err := range []error{
		second(in.Strength.Read("5 1/2 sack", quantity.Box{})), second(in.Bars.Read("#4 @ 18 ew", quantity.Box{})),
		second(in.Stone.Read("57 stone", quantity.Box{})), second(in.Slump.Read("4", quantity.Box{})),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	var shown []string
	for _, e := range known.Entries(&in) {
		shown = append(shown, e.Value.String(quantity.US))
	}
	if got, want := strings.Join(shown, "; "), "517 lb/yd³ cement; #4 @ 18 in each way; No. 57; 4 in"; got != want {
		t.Errorf("shown as %s, want %s", got, want)
	}
	if _, err := json.Marshal(in); err != nil {
		t.Error(err)
	}
}

func second[T any](_ T, err error) error { return err }

func TestUnreadableWordsLeaveTheValueAlone(t *testing.T) {
	asked, grid, stone, slump := Asked{Cement: 300}, BarGrid{Size: "#4"}, Stone{Name: "x"}, Slump(0.1)
	for _, text := range []string{"", "what", "0 sack", "#4 @ 0", "-3 in", "1/0", strings.Repeat("4", 300)} {
		for name, err := range map[string]error{
			"strength": second(asked.ReadText(text, quantity.Box{})), "bars": second(grid.ReadText(text, quantity.Box{})),
			"stone": second(stone.ReadText(text, quantity.Box{})), "slump": second(slump.ReadText(text, quantity.Box{})),
		} {
			if err == nil {
				t.Errorf("%s reads %q", name, text)
			}
		}
	}
	if asked != (Asked{Cement: 300}) || grid != (BarGrid{Size: "#4"}) || stone != (Stone{Name: "x"}) || slump != 0.1 {
		t.Errorf("values moved: %v %v %v %v", asked, grid, stone, slump)
	}
}

// Questions offer what the same reader takes, and the last offer keeps the value.
func TestOffersAreReadAgain(t *testing.T) {
	for text, reader := range map[string]func() quantity.Typed{
		"28": func() quantity.Typed { return new(Asked) }, "#4 @ 180": func() quantity.Typed { return new(BarGrid) },
		"20": func() quantity.Typed { return new(Stone) }, "8": func() quantity.Typed { return new(Slump) },
		"200 mm": func() quantity.Typed { return new(Slump) },
	} {
		heard, err := reader().ReadText(text, quantity.Box{})
		if err != nil || heard.Ask == nil || len(heard.Ask.Choices) < 2 {
			t.Fatalf("%q: %+v, %v", text, heard, err)
		}
		for i, choice := range heard.Ask.Choices {
			again, err := reader().ReadText(choice, quantity.Box{})
			if err != nil || i == 0 && again.Ask != nil {
				t.Errorf("%q offers %q: %+v, %v", text, choice, again, err)
			}
		}
	}
}
