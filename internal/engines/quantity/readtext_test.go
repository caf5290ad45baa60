package quantity

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

// today of every row: a Monday.
var today = time.Date(2026, 6, 8, 5, 0, 0, 0, time.UTC)

// reading is a typed value as the table compares it: SI, or text.
type reading struct {
	heard Heard
	si    float64
	text  string
	dim   Dimension
}

// readers read a text into a fresh value of each type.
var readers = map[string]func(string, Box) (reading, error){
	"length": as[Length], "area": as[Area], "volume": as[Volume], "angle": as[Angle], "slope": as[Slope], "mass": as[Mass],
	"force": as[Force], "stress": as[Stress], "subgrade": as[SubgradeModulus], "density": as[Density], "linear mass": as[LinearMass],
	"line load": as[LineLoad], "steel area": as[SteelArea], "moment": as[Moment], "temp": as[Temp], "tempdiff": as[TempDiff],
	"time": as[Time], "speed": as[Speed], "evaporation": as[Evaporation], "insulation": as[Insulation], "energy": as[Energy],
	"flow": as[Flow], "length rate": as[LengthRate], "area rate": as[AreaRate], "volume rate": as[VolumeRate],
	"mass rate": as[MassRate], "frequency": as[Frequency], "money": as[Money], "money rate": as[MoneyRate], "price": as[MoneyVolume],
	"money mass": as[MoneyMass], "money length": as[MoneyLength], "money area": as[MoneyArea], "coverage": as[Coverage],
	"ratio": as[Ratio], "percent": as[Percent],
	"count": func(text string, box Box) (reading, error) {
		var n Number
		h, err := n.ReadText(text, box)
		return reading{heard: h, si: float64(n), dim: Count}, err
	},
	"clock": func(text string, box Box) (reading, error) {
		var c Clock
		h, err := c.ReadText(text, box)
		return reading{heard: h, si: c.Since().Seconds(), dim: TimeDim}, err
	},
	"date": func(text string, box Box) (reading, error) {
		var d Date
		h, err := d.ReadText(text, box)
		return reading{heard: h, text: d.ISO()}, err
	},
}

func as[T interface {
	~float64
	Measured
}](text string, box Box) (reading, error) {
	var v T
	h, err := any(&v).(Typed).ReadText(text, box)
	return reading{heard: h, si: float64(v), dim: v.Dimension()}, err
}

// row is one line of testdata/exp.csv by column name.
type row map[string]string

func rows(t *testing.T) []row {
	t.Helper()
	f, err := os.Open("testdata/exp.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []row
	for _, record := range records[1:] {
		r := row{}
		for i, column := range records[0] {
			r[column] = record[i]
		}
		out = append(out, r)
	}
	return out
}

func (r row) number(column string) float64 {
	v, _ := strconv.ParseFloat(r[column], 64)
	return v
}

func (r row) box() Box {
	return Box{Name: r["field"], Unit: r["unit"], Locale: r["locale"], Low: r.number("low"), High: r.number("high"), Today: today}
}

// The table's tolerances: 1e-9 m on stored lengths, 1e-4 percent on slopes; elsewhere 1e-9 of the value, which is what a
// conversion through a decimal expectation of ten digits leaves.
func TestTypedTextIsReadAsTheTableSays(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range rows(t) {
		seen[r["id"]] = true
		t.Run(r["id"]+" "+r["typed"]+" "+r["locale"], func(t *testing.T) {
			got, err := readers[r["type"]](r["typed"], r.box())
			if r["error"] != "" {
				if err == nil || err.Error() != r["error"] {
					t.Fatalf("error\n%v, want\n%s", err, r["error"])
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			r.compare(t, got)
		})
	}
	for _, id := range strings.Fields("EXP-10 EXP-11 EXP-12 EXP-13 EXP-14 EXP-15 EXP-16 EXP-17 EXP-18 EXP-19 EXP-20 EXP-21 EXP-22 " +
		"EXP-30 EXP-31 EXP-32 EXP-33 EXP-34 EXP-35 EXP-36 EXP-37 EXP-42 EXP-46 EXP-47 EXP-48 EXP-49") {
		if !seen[id] {
			t.Errorf("%s has no row", id)
		}
	}
}

func (r row) compare(t *testing.T, got reading) {
	t.Helper()
	if got.dim == "" {
		if got.text != r["value"] {
			t.Errorf("is %s, want %s", got.text, r["value"])
		}
	} else if want := MustUnit(got.dim, r["value_unit"]).SI(r.number("value")); math.Abs(got.si-want) > r.number("tolerance")*math.Max(1, math.Abs(want)) {
		t.Errorf("is %v, want %v", got.si, want)
	}
	ask, offers := "", ""
	if got.heard.Ask != nil {
		ask, offers = got.heard.Ask.Says, strings.Join(got.heard.Ask.Choices, "|")
	}
	for _, pair := range [][3]string{
		{"exact", got.heard.Exact, r["exact"]}, {"reads back", got.heard.ReadBack, r["read_back"]},
		{"notes", strings.Join(got.heard.Notes, " "), r["note"]}, {"asks", ask, r["ask"]}, {"offers", offers, r["offers"]},
	} {
		if pair[1] != pair[2] {
			t.Errorf("%s %q, want %q", pair[0], pair[1], pair[2])
		}
	}
}

// An offer must be typable: the box reads it, the first one without a further question.
func TestOffersAreReadByTheSameBox(t *testing.T) {
	for _, r := range rows(t) {
		if r["offers"] == "" {
			continue
		}
		for _, locale := range []string{"en-US", "de-DE"} {
			box := r.box()
			box.Locale = locale
			first, err := readers[r["type"]](r["typed"], box)
			if err != nil || first.heard.Ask == nil {
				continue
			}
			choices := first.heard.Ask.Choices
			for i, choice := range choices {
				again, err := readers[r["type"]](choice, box)
				if err != nil {
					t.Errorf("%s %s: offer %q: %v", r["id"], locale, choice, err)
				} else if i == 0 && len(choices) > 1 && again.heard.Ask != nil {
					t.Errorf("%s %s: offer %q asks again: %s", r["id"], locale, choice, again.heard.Ask.Says)
				} else if i == len(choices)-1 && math.Abs(again.si-first.si) > 1e-6*math.Abs(first.si) {
					t.Errorf("%s %s: keeping gives %v, was %v", r["id"], locale, again.si, first.si)
				}
			}
		}
	}
}

func TestUnreadableTextLeavesTheValueAlone(t *testing.T) {
	side, when, day := Feet(12), Clock(420), Date{2026, 6, 11}
	for _, text := range []string{"", "what", "12 1/3", "-", strings.Repeat("9", 200), "1e999", "٣"} {
		if _, err := side.ReadText(text, Box{Name: "side", Unit: "ft"}); err == nil || side != Feet(12) {
			t.Errorf("%q: length is %v, %v", text, side, err)
		}
		if _, err := when.ReadText(text, Box{}); err == nil || when != 420 {
			t.Errorf("%q: clock is %v, %v", text, when, err)
		}
		if _, err := day.ReadText(text, Box{Today: today}); err == nil || day != (Date{2026, 6, 11}) {
			t.Errorf("%q: date is %v, %v", text, day, err)
		}
	}
}

func TestBoxOfAnotherDimensionIsSaidSo(t *testing.T) {
	var l Length
	if _, err := l.ReadText("4", Box{Name: "side", Unit: "psi"}); err == nil || !strings.Contains(err.Error(), "psi") {
		t.Errorf("a side in psi: %v", err)
	}
}

func TestSystemsAreReadAndWrittenAsWords(t *testing.T) {
	for word, want := range map[string]System{"us": US, "Imperial": US, "metric": Metric, "SI units": Metric} {
		var s System
		if _, err := s.ReadText(word, Box{}); err != nil || s != want {
			t.Errorf("%q is %v, %v", word, s, err)
		}
	}
	var s System
	if _, err := s.ReadText("cubits", Box{}); err == nil {
		t.Error("cubits name no system")
	}
	if text, _ := Metric.MarshalText(); string(text) != "metric" || s.UnmarshalText(text) != nil || s != Metric {
		t.Errorf("metric writes %q and reads %v", text, s)
	}
}
