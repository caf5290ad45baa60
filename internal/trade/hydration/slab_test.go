package hydration

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"slabwright/internal/engines/heat"
	"slabwright/internal/engines/weather"
)

// reference reads the fine-mesh solution beside the inputs.
func reference(t *testing.T, name string) []map[string]float64 {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]float64
	for _, row := range rows[1:] {
		m := map[string]float64{}
		for i, text := range row {
			if m[rows[0][i]], err = strconv.ParseFloat(text, 64); err != nil {
				t.Fatal(err)
			}
		}
		out = append(out, m)
	}
	return out
}

func follow(t *testing.T, s Slab, hours float64) []State {
	t.Helper()
	states, err := s.Warmth(hours)
	if err != nil {
		t.Fatal(err)
	}
	return states
}

// Every hour of both cases but the first, in which the concrete is stepped onto cold ground, against the fine solution; 0.15 K
// is the tolerance of CUR-34 and CUR-35.
func TestEveryHourOfTheReferenceCases(t *testing.T) {
	for number, name := range map[int]string{1: "curing-case1-spring-4in-reference.csv", 2: "curing-case2-autumn-blanket-5in-reference.csv"} {
		s, err := ReferenceCase(number)
		if err != nil {
			t.Fatal(err)
		}
		fine, worst, worstAge := reference(t, name), 0.0, 0.0
		for i, got := range follow(t, s, 168) {
			ref := fine[i]
			if ref["t_h"] != got.Hour {
				t.Fatalf("hour %v against %v", got.Hour, ref["t_h"])
			}
			off := math.Max(math.Abs(got.Top-ref["T_top_c"]), math.Max(math.Abs(got.Mid-ref["T_mid_c"]), math.Abs(got.Bottom-ref["T_bot_c"])))
			if got.Hour > 1 {
				worst = math.Max(worst, off)
			}
			worstAge = math.Max(worstAge, math.Abs(got.TopStrengthAge/ref["te_str_top_h_20C"]-1))
			worstAge = math.Max(worstAge, math.Abs(got.BottomStrengthAge/ref["te_str_bot_h_20C"]-1))
		}
		t.Logf("case %d: temperatures within %.3f K, strength ages within %.2f %%", number, worst, 100*worstAge)
		if worst > 0.15 || worstAge > 0.02 {
			t.Errorf("case %d: temperatures off by %.3f K, ages by %.2f %%", number, worst, 100*worstAge)
		}
	}
}

// The blanket's story of case 2: without it the young slab freezes before 3.5 MPa and must be warned of.
func TestTheBlanketKeepsTheFrostOff(t *testing.T) {
	firstFrost := func(s Slab) (hour, strength float64) {
		for _, st := range follow(t, s, 168) {
			if st.Top < 0 {
				return st.Hour, caseStrength.At(st.TopStrengthAge / 24) // the coldest place counts
			}
		}
		return math.Inf(1), 0
	}
	s, err := ReferenceCase(2)
	if err != nil {
		t.Fatal(err)
	}
	states := follow(t, s, 168)
	if hour, strength := firstFrost(s); hour != 85 || math.Abs(strength-9.5) > 0.1 {
		t.Errorf("with the blanket: frost at %v h with %.1f MPa", hour, strength)
	}
	lowest := math.Inf(1)
	for _, st := range states[:72] {
		lowest = math.Min(lowest, st.Top)
	}
	if math.Abs(lowest-4.7) > 0.1 {
		t.Errorf("the top falls to %.2f °C under the blanket", lowest)
	}
	drop := 0.0
	for _, st := range states[72:96] {
		drop = math.Max(drop, states[71].Top-st.Top)
	}
	if math.Abs(drop-11.6) > 0.2 {
		t.Errorf("it drops %.1f K in the day after", drop)
	}
	s.Covers = nil
	if hour, strength := firstFrost(s); hour != 15 || strength > 0.15 {
		t.Errorf("without the blanket: frost at %v h with %.2f MPa", hour, strength)
	}
}

func TestAFinerStepMovesLittle(t *testing.T) {
	s, _ := ReferenceCase(1)
	coarse := follow(t, s, 48)
	s.Pace = heat.Even(75)
	for i, fine := range follow(t, s, 48) {
		if i > 0 && math.Abs(fine.Mid-coarse[i].Mid) > 0.12 {
			t.Errorf("hour %v: %.3f K", fine.Hour, fine.Mid-coarse[i].Mid)
		}
	}
}

func TestSlabsThatCannotBeFollowedAreRefused(t *testing.T) {
	good, _ := ReferenceCase(1)
	for name, spoil := range map[string]func(*Slab){
		"thin":       func(s *Slab) { s.Thickness = 0 },
		"nan":        func(s *Slab) { s.Thickness = math.NaN() },
		"frozen":     func(s *Slab) { s.Ground = -3 },
		"content":    func(s *Slab) { s.Content = 900 },
		"no weather": func(s *Slab) { s.Sky = nil },
		"short": func(s *Slab) {
			s.Sky = func(float64) (weather.Conditions, error) { return weather.Conditions{}, weather.ErrOutside }
		},
	} {
		s := good
		spoil(&s)
		if _, err := s.Warmth(12); err == nil {
			t.Errorf("%s passed", name)
		}
	}
	if _, err := good.Warmth(1e6); err == nil {
		t.Error("a hundred years passed")
	}
	if _, err := ReferenceCase(3); err == nil {
		t.Error("case 3 passed")
	}
}

// Steps that fit themselves to the weather: nearer to the fine solution than even ones of five minutes, in a fraction of the solves.
func TestStepsFitTheWeather(t *testing.T) {
	for number, name := range map[int]string{1: "curing-case1-spring-4in-reference.csv", 2: "curing-case2-autumn-blanket-5in-reference.csv"} {
		s, _ := ReferenceCase(number)
		s.Pace = Fitting
		steps := 0
		sky := s.Sky
		s.Sky = func(h float64) (weather.Conditions, error) { steps++; return sky(h) }
		fine, worst := reference(t, name), 0.0
		for i, got := range follow(t, s, 168) {
			ref := fine[i]
			if got.Hour > 1 {
				worst = math.Max(worst, math.Max(math.Abs(got.Top-ref["T_top_c"]), math.Max(math.Abs(got.Mid-ref["T_mid_c"]), math.Abs(got.Bottom-ref["T_bot_c"]))))
			}
		}
		t.Logf("case %d: within %.3f K in %d solves", number, worst, steps)
		if worst > 0.06 || steps > 400 {
			t.Errorf("case %d: off by %.3f K in %d solves", number, worst, steps)
		}
	}
}

// At the bare edge case 2 freezes before the top does far inside; far inside the section is the slab in one dimension.
func TestTheEdgeFreezesFirst(t *testing.T) {
	s, _ := ReferenceCase(2)
	flat := follow(t, s, 48)
	edge, err := s.Edge(48, Rim{Proud: 0.1, Form: FormBoard})
	if err != nil {
		t.Fatal(err)
	}
	for i, e := range edge {
		if i > 1 && math.Abs(e.Far-flat[i].Top) > 0.3 {
			t.Errorf("hour %v: far inside %.2f °C, slab %.2f °C", e.Hour, e.Far, flat[i].Top)
		}
		if e.Hour > 8 && (e.Edge > e.Far || e.Corner > e.Coldest) {
			t.Errorf("hour %v: %+v", e.Hour, e)
		}
	}
	s.Covers = nil
	bare, err := s.Edge(48, Rim{Proud: 0.127})
	if err != nil {
		t.Fatal(err)
	}
	if bare[14].Edge > edge[14].Edge-2 {
		t.Errorf("bare edge %.2f °C, covered %.2f °C", bare[14].Edge, edge[14].Edge)
	}
}

func BenchmarkThreeDaysOfAnEdge(b *testing.B) {
	s, _ := ReferenceCase(2)
	for b.Loop() {
		if _, err := s.Edge(72, Rim{Proud: 0.1, Form: FormBoard}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFourWeeksInFittingSteps(b *testing.B) {
	s, _ := ReferenceCase(1)
	s.Pace = Fitting
	sky := s.Sky
	s.Sky = func(h float64) (weather.Conditions, error) { return sky(math.Mod(h, 168)) }
	for b.Loop() {
		if _, err := s.Warmth(28 * 24); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFourWeeksOfHeatAtFiveMinutes(b *testing.B) {
	s, err := ReferenceCase(1)
	if err != nil {
		b.Fatal(err)
	}
	sky := s.Sky
	s.Sky = func(h float64) (weather.Conditions, error) { return sky(math.Mod(h, 168)) }
	for b.Loop() {
		if _, err := s.Warmth(28 * 24); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWeekOfHeat(b *testing.B) {
	s, err := ReferenceCase(1)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := s.Warmth(168); err != nil {
			b.Fatal(err)
		}
	}
}

// A life in steps of ten minutes on case 1, wet for its first five hours, is near the fine solution; so is its set.
func TestALifeIsNearTheFineSolution(t *testing.T) {
	s, err := ReferenceCase(1)
	if err != nil {
		t.Fatal(err)
	}
	life, err := s.Begin()
	if err != nil {
		t.Fatal(err)
	}
	fine := reference(t, "curing-case1-spring-4in-reference.csv")
	for step := range 72 {
		air, err := s.Sky((float64(step) + 0.5) / 6)
		if err != nil {
			t.Fatal(err)
		}
		life.Step(600, air, step < 30, Touch{1, 1, 1, 0})
		if ref := fine[step/6]; step%6 == 5 && math.Abs(life.Surface-ref["T_top_c"]) > 0.4 {
			t.Errorf("hour %v: surface %.2f °C, fine %.2f °C", ref["t_h"], life.Surface, ref["T_top_c"])
		}
	}
	if life.Unclosed() > 1e-9 {
		t.Errorf("unclosed %v", life.Unclosed())
	}
	if life.MeanAge < 12 || life.MeanAge > 13.2 { // the middle is 12.59 h old
		t.Errorf("mean age %.2f h", life.MeanAge)
	}
}
