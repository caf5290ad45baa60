package order

import (
	"slices"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

func TestTheCallSheetIsInTheDispatchersOrder(t *testing.T) {
	r := designed(t, func(in *Input) {
		in.Strength, in.Stone, in.Slump = known.Say(quantity.PSI(4500)), known.Say(quantity.Inches(0.75)), known.Say(quantity.Inches(4))
		in.Air, in.WaterCement = known.Say(quantity.Percent(0.06)), known.Say[quantity.Ratio](0.45)
		in.Start, in.Day = known.Say(quantity.Clock(7*60)), known.Say(quantity.Date{Year: 2026, Month: time.June, Day: 11})
		in.Method = known.Say("chute")
	})
	var numbers []int
	for _, l := range r.Call {
		numbers = append(numbers, l.Number)
	}
	if !slices.Equal(numbers, []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}) {
		t.Errorf("lines %v", numbers)
	}
	for i, want := range map[int]string{
		1: "Thursday the eleventh of June", 2: "seven in the morning, first truck on site",
		4: "eleven and a quarter, one-one point two-five yards",
		5: "forty-five hundred p s i, three-quarter inch stone, four inch slump at the chute, six percent air, water to cement zero point four-five at most",
		6: "two loads: five and three quarters, five point seven-five, then five and a half, five point five, thirty minutes apart, ten yards an hour",
		9: "ninety minutes from batching",
	} {
		if r.Call[i].Spoken != want {
			t.Errorf("line %d says %q, not %q", i+1, r.Call[i].Spoken, want)
		}
	}
	want := []string{"account", "call-back number", "address, cross street, which side, gate", "anything added", "fibre", "reach",
		"driveway and weight limit", "wires overhead", "wash-out place", "who accepts or turns away a load", "who may allow water"}
	if got := Blanks(r.Call); !slices.Equal(got, want) {
		t.Errorf("blank %q", got)
	}
	if !strings.Contains(strings.Join(r.Call[9].Assumed, ""), "time limit") {
		t.Error("an assumed time limit is not marked")
	}
}

func TestAmountsAreSaidTwice(t *testing.T) {
	for v, want := range map[float64]string{
		11.25: "eleven and a quarter, one-one point two-five", 9: "nine even, nine point zero", 0.5: "a half, zero point five",
		20.75: "twenty and three quarters, two-zero point seven-five", 106: "one hundred six even, one-zero-six point zero",
	} {
		if got := SayAmount(quantity.CubicYards(v), quantity.US); got != want {
			t.Errorf("%v: %q, not %q", v, got, want)
		}
	}
	for psi, want := range map[float64]string{4000: "four thousand p s i", 4500: "forty-five hundred p s i", 3250: "three thousand two hundred fifty p s i"} {
		if got := sayStrength(quantity.PSI(psi), quantity.US); got != want {
			t.Errorf("%v: %q", psi, got)
		}
	}
	for mm, want := range map[float64]string{19: "twenty millimetre", 12.5: "twelve millimetre", 37.5: "forty millimetre"} {
		if got := sayLength(quantity.Millimetres(mm), quantity.AsNominal, quantity.Metric); got != want {
			t.Errorf("%v: %q", mm, got)
		}
	}
	if got := sayLength(quantity.Inches(4), quantity.AsSlump, quantity.Metric); got != "one hundred millimetre" {
		t.Error(got)
	}
	for inches, want := range map[float64]string{0.375: "three-eighths inch", 1: "one inch", 1.5: "one and a half inch", 4.75: "four and three-quarter inch"} {
		if got := sayLength(quantity.Inches(inches), quantity.AsNominal, quantity.US); got != want {
			t.Errorf("%v: %q", inches, got)
		}
	}
}

func TestDaysAndHoursAreSaidInWords(t *testing.T) {
	for day, want := range map[int]string{1: "first", 2: "second", 3: "third", 12: "twelfth", 17: "seventeenth", 20: "twentieth", 21: "twenty-first", 30: "thirtieth", 31: "thirty-first"} {
		if got := ordinal(day); got != want {
			t.Errorf("%d: %q", day, got)
		}
	}
	for clock, want := range map[quantity.Clock]string{0: "midnight", 720: "noon", 405: "six forty-five in the morning", 785: "one oh five in the afternoon", 1170: "seven thirty in the evening"} {
		if got := sayClock(clock); got != want {
			t.Errorf("%v: %q", clock, got)
		}
	}
}

func TestAMetricCallReadsDaysAndSizesAsTheyAreThere(t *testing.T) {
	in := Defaults()
	in.Units, in.Net = quantity.Metric, known.From(quantity.Volume(7.93), "grade.net_volume")
	in.Day, in.Start = known.Say(quantity.Date{Year: 2027, Month: time.June, Day: 17}), known.Say(quantity.Clock(14*60+30))
	in.Stone, in.Slump, in.Strength = known.Say(quantity.Millimetres(19)), known.Say(quantity.Inches(4)), known.Say(quantity.MPa(32))
	r, err := Design(in)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range map[int]string{1: "Thursday 17 June 2027", 2: "14:30, first truck on site", 5: "32 MPa, 20 mm stone, 100 mm slump at the chute"} {
		if !strings.HasPrefix(r.Call[i].Written, want) {
			t.Errorf("line %d reads %q, not %q", i+1, r.Call[i].Written, want)
		}
	}
}
