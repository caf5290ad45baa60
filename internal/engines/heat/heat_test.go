package heat

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/weather"
)

var layers = []Layer{{Thickness: 0.1, Conductivity: 2, Capacity: 2.3e6, Cell: 0.01}, {Thickness: 0.1, Conductivity: 1.2, Capacity: 1.71e6, Cell: 0.02},
	{Thickness: 2.8, Conductivity: 1.3, Capacity: 2.16e6, Cell: 0.02, Growth: 1.08, Largest: 0.1}}

func TestHeatIsNeitherMadeNorLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		top, slope := rapid.Float64Range(-10, 60).Draw(t, "top"), rapid.Float64Range(-20, 20).Draw(t, "slope")
		b, err := NewBody(layers, func(z float64) float64 { return top + slope*z }, math.NaN())
		if err != nil {
			t.Fatal(err)
		}
		before := b.Stored()
		if err := b.March(0, 86400, Even(600), nil, func(_, _ float64) Surface { return Surface{} }, nil, nil); err != nil {
			t.Fatal(err)
		}
		if drift := math.Abs(b.Stored()-before) / (math.Abs(before) + 1e6); drift > 1e-9 {
			t.Fatalf("drift %v", drift)
		}
	})
}

func TestTheSourceGivesAllItsHeat(t *testing.T) {
	b, err := NewBody(layers, func(float64) float64 { return 10 }, math.NaN())
	if err != nil {
		t.Fatal(err)
	}
	before := b.Stored()
	const total = 1e8 // J/m³ as the age goes to one
	source := func(age, _, dt float64) (float64, float64) {
		after := 1 - (1-age)*math.Exp(-dt/7200)
		return after, total * after
	}
	if err := b.March(0, 5*86400, Even(300), nil, func(_, _ float64) Surface { return Surface{} }, source, nil); err != nil {
		t.Fatal(err)
	}
	if given := b.Stored() - before; math.Abs(given-total*0.1) > 1e-6*total {
		t.Errorf("given %v J/m², not %v", given, total*0.1)
	}
	if a := b.AgeAt(0.05); math.Abs(a-1) > 1e-6 {
		t.Errorf("age %v", a)
	}
}

// Backward Euler is of first order in time: halving the step halves the error against the closed form.
func TestTheErrorHalvesWithTheStep(t *testing.T) {
	errorAt := func(step float64) float64 {
		b, err := NewBody([]Layer{{Thickness: 1.5, Conductivity: 1, Capacity: 1 / 8.7e-7, Cell: 0.0015}}, func(float64) float64 { return 0 }, 0)
		if err != nil {
			t.Fatal(err)
		}
		if err := b.March(0, 3600, Even(step), nil, func(_, _ float64) Surface { return Held(1) }, nil, nil); err != nil {
			t.Fatal(err)
		}
		return math.Abs(b.At(0.05) - SurfaceStep(0, 1, 0.05, 8.7e-7, 3600))
	}
	if rate := errorAt(400) / errorAt(200); rate < 1.8 || rate > 2.2 {
		t.Errorf("the error falls by %v", rate)
	}
}

// Two stages are of second order: halving the step quarters the error. Smooth surface, a source that ages.
func TestTwoStagesQuarterTheErrorWithTheStep(t *testing.T) {
	at := func(pace Pace) float64 {
		b, err := NewBody(layers, func(float64) float64 { return 15 }, 15)
		if err != nil {
			t.Fatal(err)
		}
		source := func(age, temp, dt float64) (float64, float64) {
			after := age + dt*math.Exp(0.05*(temp-20))
			return after, 1e8 * (1 - math.Exp(-after/40000))
		}
		top := func(_, to float64) Surface { return Surface{Transfer: 20, Air: 15 + 8*math.Sin(2*math.Pi*to/86400)} }
		if err := b.March(0, 2*86400, pace, nil, top, source, nil); err != nil {
			t.Fatal(err)
		}
		if b.Unclosed() > 1e-9 {
			t.Errorf("unclosed %v", b.Unclosed())
		}
		return b.At(0.05)
	}
	fine := at(Pace{Most: 50, Least: 50, Twice: true})
	coarse, half := math.Abs(at(Pace{Most: 3600, Least: 3600, Twice: true})-fine), math.Abs(at(Pace{Most: 1800, Least: 1800, Twice: true})-fine)
	if rate := coarse / half; rate < 3.3 || rate > 5 {
		t.Errorf("the error falls by %.2f, from %.2e K", rate, coarse)
	}
}

// Central differences are of second order in depth: halving the cells quarters the error against the steady parabola.
func TestTheErrorQuartersWithTheCells(t *testing.T) {
	errorAt := func(cells float64) float64 {
		b, err := NewBody([]Layer{{Thickness: 0.1, Conductivity: 2, Capacity: 2.3e6, Cell: 0.1 / cells}}, func(float64) float64 { return 0 }, 0)
		if err != nil {
			t.Fatal(err)
		}
		source := func(age, _, dt float64) (float64, float64) { return age + dt, 1000 * (age + dt) }
		if err := b.March(0, 4e5, Even(1000), nil, func(_, _ float64) Surface { return Held(0) }, source, nil); err != nil {
			t.Fatal(err)
		}
		return math.Abs(b.Temps[0] - SlabWithSource(1000, 0.1, 2, 2/2.3e6, 0.05/cells, math.Inf(1)))
	}
	if rate := errorAt(10) / errorAt(20); rate < 3.6 || rate > 4.4 {
		t.Errorf("the error falls by %v", rate)
	}
}

func TestWarmerSurroundingsMakeItWarmer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := weather.Conditions{Air: rapid.Float64Range(-10, 35).Draw(t, "air"), Wind: rapid.Float64Range(0, 12).Draw(t, "wind"),
			Cloud: rapid.Float64Range(0, 1).Draw(t, "cloud"), Solar: rapid.Float64Range(0, 900).Draw(t, "sun")}
		c.Humidity = rapid.Float64Range(0.2, 1).Draw(t, "humidity")
		skin := Skin{Absorptance: 0.6, Emissivity: 0.9, Wet: rapid.Bool().Draw(t, "wet"), Cover: rapid.SampledFrom([]float64{0, 0.35}).Draw(t, "cover")}
		run := func(c weather.Conditions) float64 {
			c.Dew = weather.DewPoint(c.Air, c.Humidity)
			b, err := NewBody(layers, func(float64) float64 { return 15 }, 12)
			if err != nil {
				t.Fatal(err)
			}
			if err := b.March(0, 6*3600, Even(900), []float64{1234}, func(_, _ float64) Surface { return Outdoors(c, skin) }, nil, nil); err != nil {
				t.Fatal(err)
			}
			return b.At(0.05)
		}
		base := run(c)
		sunny := c
		sunny.Solar += 50
		if run(sunny) < base {
			t.Fatal("more sun, cooler slab")
		}
		warm := c
		warm.Air++
		if run(warm) < base-1e-9 {
			t.Fatal("warmer air, cooler slab")
		}
	})
}

func TestBodiesThatCannotBeAreRefused(t *testing.T) {
	flat := func(float64) float64 { return 0 }
	for name, l := range map[string]Layer{"no thickness": {Conductivity: 1, Capacity: 1, Cell: 1}, "nan": {Thickness: math.NaN(), Conductivity: 1, Capacity: 1, Cell: 1},
		"too fine": {Thickness: 3, Conductivity: 1, Capacity: 1, Cell: 1e-6}} {
		if _, err := NewBody([]Layer{l}, flat, 0); err == nil {
			t.Errorf("%s passed", name)
		}
	}
	if _, err := NewBody(nil, flat, 0); err == nil {
		t.Error("no layers passed")
	}
	b, _ := NewBody(layers, flat, 0)
	if err := b.March(0, 100, Even(0), nil, nil, nil, nil); err == nil {
		t.Error("a step of nothing passed")
	}
}

func TestSwitchesEndAStep(t *testing.T) {
	b, _ := NewBody(layers, func(float64) float64 { return 0 }, 0)
	var ends []float64
	err := b.March(0, 1000, Even(300), []float64{450, 1000}, func(_, _ float64) Surface { return Surface{} }, nil, func(t float64) { ends = append(ends, t) })
	want := []float64{300, 450, 750, 1000}
	if err != nil || len(ends) != len(want) {
		t.Fatalf("%v, %v", ends, err)
	}
	for i := range want {
		if ends[i] != want[i] {
			t.Errorf("ends %v", ends)
		}
	}
}

func TestPeriodicSwing(t *testing.T) {
	// Six days of a daily wave at the face; on the last, at 0.1 m, the swing and its lag are those of the closed form within the mesh.
	const a, period = 8.69565e-7, 86400.0
	b, _ := NewBody([]Layer{{Thickness: 3, Conductivity: 2, Capacity: 2 / a, Cell: 0.005, Growth: 1.04, Largest: 0.1}}, func(float64) float64 { return 0 }, 0)
	top, at := 0.0, 0.0
	face := func(_, to float64) Surface { return Held(math.Sin(2 * math.Pi * to / period)) }
	err := b.March(0, 6*period, Even(300), nil, face, nil, func(now float64) {
		if v := b.At(0.1); now > 5*period && v > top {
			top, at = v, now-5*period-period/4
		}
	})
	swing, lag := Periodic(0.1, a, period)
	if err != nil || math.Abs(top-swing) > 0.005 || math.Abs(at-lag) > 600 {
		t.Errorf("swing %v, lag %v s; closed form %v, %v", top, at, swing, lag)
	}
}
