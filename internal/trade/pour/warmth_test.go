package pour

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	air "slabwright/internal/engines/weather"
	"slabwright/internal/trade/hydration"
)

func table(t *testing.T, name string) []map[string]float64 {
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
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

// The two real days of the curing chapter's reference cases were solved on a fine mesh; the slab as one lump must be near
// enough over its first hours that set comes out within the hour.
func TestLumpAgainstTheFineSolution(t *testing.T) {
	cement, _ := hydration.CementOf(hydration.DefaultCement)
	curve, err := hydration.CurveOf(hydration.Blend{Cement: cement, WaterCement: 0.45})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name                   string
		thickness, ground, wet float64
		hours                  int
		initial, final         float64 // of the middle, CUR-34 and CUR-35
	}{
		{"case1-spring-4in", 0.1016, 12, 5, 12, 4.65, 6.55},
		{"case2-autumn-blanket-5in", 0.127, 6, 6, 6, 7.94, 12.58}, // the blanket goes on at 6 h
	} {
		weather, fine := table(t, "curing-"+c.name+"-inputs.csv"), table(t, "curing-"+c.name+"-reference.csv")
		body := newLump(c.thickness, 335, c.ground, 18, curve)
		worstTop, worstMean, initial := 0.0, 0.0, 0.0
		for step := range c.hours * 6 {
			h := (float64(step) + 0.5) / 6
			i, share := int(h), h-math.Floor(h)
			mix := func(k string) float64 { return weather[i][k]*(1-share) + weather[i+1][k]*share }
			before := body.meanAge
			body.step(sky{Air: mix("air_c"), Dew: mix("dew_c"), Humidity: air.Humidity(mix("air_c"), mix("dew_c")), Wind: mix("wind_ms"),
				Cloud: mix("cloud_0_1"), Solar: mix("solar_w_m2")}, h < c.wet, noRelief, 600)
			if initial == 0 && body.meanAge >= 4.04 {
				initial = (float64(step) + (4.04-before)/(body.meanAge-before)) / 6
			}
			if (step+1)%6 == 0 {
				ref := fine[step/6]
				top := math.Abs(body.surface - ref["T_top_c"])
				mean := math.Abs(body.mean - (ref["T_top_c"]+4*ref["T_mid_c"]+ref["T_bot_c"])/6)
				worstTop, worstMean = math.Max(worstTop, top), math.Max(worstMean, mean)
			}
		}
		t.Logf("%s: surface within %.1f K, mean within %.1f K, initial set %.2f h (fine %.2f)", c.name, worstTop, worstMean, initial, c.initial)
		if worstTop > 2 || worstMean > 3 {
			t.Errorf("%s: surface off by %.1f K, mean by %.1f K", c.name, worstTop, worstMean)
		}
		if initial != 0 && math.Abs(initial-c.initial) > 0.5 {
			t.Errorf("%s: initial set at %.2f h, fine solution %.2f h", c.name, initial, c.initial)
		}
	}
}
