package heat

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/weather"
)

var clay = Layer{Conductivity: 1.3, Capacity: 2.16e6}

func flat(t float64) func(float64) float64 { return func(float64) float64 { return t } }

// Far from the edge nothing flows sideways: the section is the body.
func TestFarFromTheEdgeTheSectionIsTheBody(t *testing.T) {
	air := weather.Conditions{Air: -2, Dew: -5, Humidity: 0.8, Wind: 2, Cloud: 0.3}
	skin := Skin{Absorptance: 0.6, Emissivity: 0.9, Cover: 0.2}
	b, err := NewBody(layers, flat(15), 10)
	if err != nil {
		t.Fatal(err)
	}
	s, err := NewSection(layers, Edge{Sunk: 0.1, Outside: clay, Reach: 2, Cell: 0.01}, flat(15), flat(15), 10)
	if err != nil {
		t.Fatal(err)
	}
	source := func(age, temp, dt float64) (float64, float64) {
		after := age + dt*math.Exp(0.05*(temp-20))
		return after, 6e7 * (1 - math.Exp(-after/40000))
	}
	top := func(_, _ float64) Surface { return Outdoors(air, skin) }
	if err := b.March(0, 24*3600, Even(300), nil, top, source, nil); err != nil {
		t.Fatal(err)
	}
	bare := skin
	bare.Cover = 0
	err = s.March(0, 24*3600, 300, nil, func(_, _ float64) Around {
		return Around{Outdoors(air, skin), Outdoors(air, bare), Outdoors(air, bare)}
	}, source, nil)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(s.FarTop()-b.Face()) > 0.15 {
		t.Errorf("far inside %.3f °C, the body %.3f °C", s.FarTop(), b.Face())
	}
	if s.EdgeTop() > s.FarTop()-1 {
		t.Errorf("the bare edge is at %.2f °C, inside %.2f °C", s.EdgeTop(), s.FarTop())
	}
	if s.Unclosed() > 1e-6 || b.Unclosed() > 1e-9 {
		t.Errorf("unclosed: section %v, body %v", s.Unclosed(), b.Unclosed())
	}
}

// A quarter of infinite ground whose two faces are stepped: the closed form is the product of the two steps.
//
//	(T − Ts)/(Ti − Ts) = erf(x/2√(at)) erf(z/2√(at))
func TestACornerIsTheProductOfTwoSteps(t *testing.T) {
	const a, k = 8.7e-7, 2.0
	deep := []Layer{{Thickness: 1.2, Conductivity: k, Capacity: k / a, Cell: 0.005, Growth: 1.1, Largest: 0.1}}
	s, err := NewSection(deep, Edge{Sunk: 1.2, Outside: Layer{Conductivity: k, Capacity: k / a}, Reach: 1, Cell: 0.005}, flat(20), flat(20), math.NaN())
	if err != nil {
		t.Fatal(err)
	}
	if err := s.March(0, 6*3600, 60, nil, func(_, _ float64) Around { return Around{Held(0), Held(0), Surface{}} }, nil, nil); err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	x := 0.0
	for i := s.inside; i < len(s.widths) && x < 0.2; i++ {
		z := 0.0
		for j, dz := range s.body.dz {
			root := 2 * math.Sqrt(a*6*3600)
			want := 20 * math.Erf((x+s.widths[i]/2)/root) * math.Erf((z+dz/2)/root)
			if z < 0.2 {
				worst = math.Max(worst, math.Abs(s.Temps[i][j]-want))
			}
			z += dz
		}
		x += s.widths[i]
	}
	t.Logf("within %.3f K of the product", worst)
	if worst > 0.12 {
		t.Errorf("off by %.3f K", worst)
	}
}

func TestEnergyClosesWhateverTheWeatherAndSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := weather.Conditions{Air: rapid.Float64Range(-20, 40).Draw(t, "air"), Wind: rapid.Float64Range(0, 15).Draw(t, "wind"),
			Cloud: rapid.Float64Range(0, 1).Draw(t, "cloud"), Solar: rapid.Float64Range(0, 1000).Draw(t, "sun"), Humidity: rapid.Float64Range(0.1, 1).Draw(t, "humidity")}
		c.Dew = weather.DewPoint(c.Air, c.Humidity)
		skin := Skin{Absorptance: 0.6, Emissivity: 0.9, Wet: rapid.Bool().Draw(t, "wet"), Cover: rapid.SampledFrom([]float64{0, 0.05, 0.7}).Draw(t, "cover")}
		b, err := NewBody(layers, func(z float64) float64 { return 20 - 5*z }, 10)
		if err != nil {
			t.Fatal(err)
		}
		source := func(age, temp, dt float64) (float64, float64) {
			after := age + dt*math.Exp(0.05*(temp-20))
			return after, 1e8 * (1 - math.Exp(-after/40000))
		}
		pace := rapid.SampledFrom([]Pace{Even(300), Even(1800), {Most: 1800, Least: 60, Tolerance: 0.05}, {Most: 3600, Least: 225, Tolerance: 1, Twice: true}}).Draw(t, "pace")
		if err := b.March(0, 12*3600, pace, []float64{700, 5000}, func(_, _ float64) Surface { return Outdoors(c, skin) }, source, nil); err != nil {
			t.Fatal(err)
		}
		if b.Unclosed() > 1e-9 {
			t.Fatalf("unclosed %v", b.Unclosed())
		}
	})
}
