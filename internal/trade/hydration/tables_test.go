package hydration

import (
	"math"
	"testing"
)

// The tables stand in for the formulas at every cell and step of the heat; 1e-7 is far below what moves a temperature.
func TestTablesAgainstTheFormulas(t *testing.T) {
	cement, _ := CementOf(DefaultCement)
	for _, b := range []Blend{{Cement: cement, WaterCement: 0.45}, {Cement: cement, WaterCement: 0.42, Slag: 0.3}, {Cement: cement, WaterCement: 0.5, FlyAsh: 0.4, FlyAshLime: 0.1}} {
		c, err := CurveOf(b)
		if err != nil {
			t.Fatal(err)
		}
		tables, worst, pace := NewTables(c), 0.0, 0.0
		for te := 0.0; te < 6000; te = te*1.003 + 0.0007 {
			worst = math.Max(worst, math.Abs(tables.Degree(te)-c.Degree(te)))
		}
		for temp := -30.0; temp < 120; temp += 0.0137 {
			pace = math.Max(pace, math.Abs(tables.HeatPace(temp)-AgeFactor(temp, c.Energy, HydrationRef))/(1+AgeFactor(temp, c.Energy, HydrationRef)))
			pace = math.Max(pace, math.Abs(tables.StrengthPace(temp)-AgeFactor(temp, StrengthEnergy, StrengthRef))/(1+AgeFactor(temp, StrengthEnergy, StrengthRef)))
		}
		t.Logf("degree within %.1e, pace within %.1e", worst, pace)
		if worst > 1e-7 || pace > 1e-7 {
			t.Errorf("degree off by %v, pace by %v", worst, pace)
		}
	}
}
