package hydration

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
)

// The two reference cases: 4 in of concrete in April, 5 in in November with a blanket for three days; hourly weather beside
// this package, solved once on a fine mesh by another program.
var (
	//go:embed testdata/curing-case1-spring-4in-inputs.csv
	springCSV string
	//go:embed testdata/curing-case2-autumn-blanket-5in-inputs.csv
	autumnCSV string
)

// hourly is a table of weather by hours after placing, read on straight lines.
type hourly struct{ hours, air, dew, wind, solar, cloud []float64 }

func (w hourly) at(hour float64) (weather.Conditions, error) {
	n := len(w.hours)
	if n < 2 || hour < w.hours[0]-1e-9 || hour > w.hours[n-1]+1e-9 {
		return weather.Conditions{}, fmt.Errorf("hydration: the weather does not reach hour %.1f", hour)
	}
	i := min(n-2, max(0, sort.SearchFloat64s(w.hours, hour+1e-12)-1))
	share := (hour - w.hours[i]) / (w.hours[i+1] - w.hours[i])
	mix := func(v []float64) float64 { return v[i] + share*(v[i+1]-v[i]) }
	c := weather.Conditions{Air: mix(w.air), Dew: mix(w.dew), Wind: mix(w.wind), Solar: mix(w.solar), Cloud: mix(w.cloud)}
	c.Humidity = weather.Humidity(c.Air, c.Dew)
	return c, nil
}

// readHourly reads the columns t_h, clock, air_c, dew_c, wind_ms, solar_w_m2, cloud_0_1.
func readHourly(text string) (hourly, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return hourly{}, err
	}
	var w hourly
	columns := []*[]float64{&w.hours, nil, &w.air, &w.dew, &w.wind, &w.solar, &w.cloud}
	for _, row := range rows[1:] {
		for i, column := range columns {
			if column == nil {
				continue
			}
			v, err := strconv.ParseFloat(row[i], 64)
			if err != nil {
				return hourly{}, err
			}
			*column = append(*column, v)
		}
	}
	return w, nil
}

// ReferenceCase sets up one of the two cases.
func ReferenceCase(number int) (Slab, error) {
	cement, err := CementOf(DefaultCement)
	if err != nil {
		return Slab{}, err
	}
	curve, err := CurveOf(Blend{Cement: cement, WaterCement: 0.45})
	if err != nil {
		return Slab{}, err
	}
	s := Slab{Base: 0.1016, Concrete: Concrete, BaseIs: Gravel, Soil: Clay, Content: 335, Curve: curve, Placed: 18, Absorptance: 0.60, Emissivity: 0.90}
	table := springCSV
	switch number {
	case 1:
		s.Thickness, s.Ground, s.Deep, s.WetUntil = 0.1016, 12, 11, 5
	case 2:
		s.Thickness, s.Ground, s.Deep, s.WetUntil = 0.127, 6, 12, 6
		s.Covers, table = []Cover{{On: 6, Off: 72, Resistance: 0.35}}, autumnCSV
	default:
		return s, fmt.Errorf("hydration: there are cases 1 and 2, not %d", number)
	}
	w, err := readHourly(table)
	s.Sky = w.at
	return s, err
}

// caseStrength is the strength curve of the cases, MPa and days.
var caseStrength = Hyperbolic{Ultimate: 36, Rate: 0.22, Start: 0.25}

// statePorts are a slab's state at one hour.
type statePorts struct {
	Top, Mid, Bottom quantity.Temp
	Degree           quantity.Ratio  `says:"share hydrated, middle"`
	HydrationAge     float64         `says:"at 21.1 °C, middle" unit:"h"`
	StrengthAge      float64         `says:"at 20 °C, middle" unit:"h"`
	Strength         quantity.Stress `says:"middle, curve 36 MPa, 0.22 per day, 0.25 d"`
	Evaporation      quantity.Evaporation
}

func ported(s State) statePorts {
	return statePorts{Top: quantity.Temp(s.Top), Mid: quantity.Temp(s.Mid), Bottom: quantity.Temp(s.Bottom), Degree: quantity.Ratio(s.Degree),
		HydrationAge: s.HydrationAge, StrengthAge: s.StrengthAge, Strength: quantity.MPa(caseStrength.At(s.StrengthAge / 24)), Evaporation: quantity.Evaporation(s.Evaporation / 3600)}
}

// slabCalculations run the heat of a slab.
func slabCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("hydration.reference_slab", "state of a reference slab at an hour: case 1 April 4 in, case 2 November 5 in under a blanket", "schindler-folliard-2005", func(in struct {
			Case    quantity.Number `says:"1 or 2"`
			Hour    quantity.Number `says:"after placing, 1 to 168"`
			Dry     bool            `says:"bone-dry from the start" default:"false"`
			NoCover bool            `says:"without the blanket" default:"false"`
		}) (out statePorts, err error) {
			s, err := ReferenceCase(int(in.Case))
			if err != nil {
				return out, err
			}
			if in.Dry {
				s.WetUntil = 0
			}
			if in.NoCover {
				s.Covers = nil
			}
			states, err := s.Warmth(float64(in.Hour))
			if err != nil {
				return out, err
			}
			return ported(states[len(states)-1]), nil
		}),
		calc.New("hydration.reference_edge", "edge and corner of reference slab 2 in section, standing half its thickness proud", "schindler-folliard-2005", func(in struct {
			Hour    int                 `says:"after placing" range:"1..168"`
			Form    quantity.Insulation `says:"form board at its side; 0: stripped" default:"0.32" range:">= 0"`
			NoCover bool                `says:"without the blanket" default:"false"`
		}) (out struct {
			Far     quantity.Temp `says:"top far inside"`
			Edge    quantity.Temp `says:"top at the edge"`
			Coldest quantity.Temp
			Corner  quantity.Temp
		}, err error) {
			s, err := ReferenceCase(2)
			if err != nil {
				return out, err
			}
			if in.NoCover {
				s.Covers = nil
			}
			states, err := s.Edge(float64(in.Hour), Rim{Proud: s.Thickness / 2, Form: float64(in.Form), Over: true})
			if err != nil {
				return out, err
			}
			e := states[len(states)-1]
			out.Far, out.Edge, out.Coldest, out.Corner = quantity.Temp(e.Far), quantity.Temp(e.Edge), quantity.Temp(e.Coldest), quantity.Temp(e.Corner)
			return out, nil
		}),
		calc.New("hydration.reference_set", "initial and final set in the middle of a reference slab", "schindler-2004-set", func(in struct {
			Case quantity.Number `says:"1 or 2"`
		}) (out struct {
			Initial quantity.Time
			Final   quantity.Time
		}, err error) {
			s, err := ReferenceCase(int(in.Case))
			if err != nil {
				return out, err
			}
			states, err := s.Warmth(24)
			set := SetAges(s.Curve, 0.45)
			out.Initial, out.Final = quantity.Hours(hourOf(states, set.Initial)), quantity.Hours(hourOf(states, set.Final))
			return out, err
		}),
		calc.New("hydration.slab_warmth", "state of a slab of your own weather at its last hour", "schindler-folliard-2005", func(in slabPorts) (out statePorts, err error) {
			s, err := in.slab()
			if err != nil {
				return out, err
			}
			states, err := s.Warmth(math.Floor(in.Hours[len(in.Hours)-1].Hours() + 1e-9))
			if err != nil {
				return out, err
			}
			return ported(states[len(states)-1]), nil
		}),
	}
}

// hourOf is the hour at which the hydration clock of the middle passes an age, between full hours on straight lines.
func hourOf(states []State, age float64) float64 {
	before := State{}
	for _, s := range states {
		if s.HydrationAge >= age {
			return before.Hour + (age-before.HydrationAge)/(s.HydrationAge-before.HydrationAge)*(s.Hour-before.Hour)
		}
		before = s
	}
	return math.Inf(1)
}

// slabPorts is how a table of checks writes a slab and its weather.
type slabPorts struct {
	Hours       []quantity.Time `says:"after placing, from 0, rising"`
	Air         []quantity.Temp
	Dew         []quantity.Temp
	Wind        []quantity.Speed `says:"at the slab"`
	Solar       []float64        `says:"on level ground" unit:"W/m2"`
	Cloud       []quantity.Ratio
	Thickness   quantity.Length
	Base        quantity.Length  `default:"0.1016"`
	Content     quantity.Density `says:"cementitious" default:"335"`
	WaterCement quantity.Ratio   `default:"0.45"`
	Placed      quantity.Temp    `says:"concrete as placed"`
	Ground      quantity.Temp
	Deep        quantity.Temp       `says:"1.5 m lower"`
	WetFor      quantity.Time       `says:"until curing seals it" default:"18000"`
	CoverOn     quantity.Time       `default:"0"`
	CoverOff    quantity.Time       `default:"0"`
	Cover       quantity.Insulation `default:"0"`
}

func (p slabPorts) slab() (Slab, error) {
	w := hourly{dew: degrees(p.Dew), air: degrees(p.Air), solar: p.Solar}
	for _, h := range p.Hours {
		w.hours = append(w.hours, h.Hours())
	}
	for _, v := range p.Wind {
		w.wind = append(w.wind, float64(v))
	}
	for _, n := range p.Cloud {
		w.cloud = append(w.cloud, float64(n))
	}
	n := len(w.hours)
	for _, list := range [][]float64{w.air, w.dew, w.wind, w.solar, w.cloud} {
		if len(list) != n || n < 2 {
			return Slab{}, fmt.Errorf("the lists of weather are not of one length, or shorter than two")
		}
	}
	for i := 1; i < n; i++ {
		if w.hours[i] <= w.hours[i-1] {
			return Slab{}, fmt.Errorf("the hours of the weather do not rise")
		}
	}
	s, err := ReferenceCase(1)
	if err != nil {
		return s, err
	}
	cement, _ := CementOf(DefaultCement)
	s.Curve, err = CurveOf(Blend{Cement: cement, WaterCement: float64(p.WaterCement)})
	s.Sky, s.Thickness, s.Base, s.Content = w.at, p.Thickness.Metres(), p.Base.Metres(), float64(p.Content)
	s.Placed, s.Ground, s.Deep, s.WetUntil = p.Placed.Celsius(), p.Ground.Celsius(), p.Deep.Celsius(), p.WetFor.Hours()
	if p.Cover > 0 {
		s.Covers = []Cover{{On: p.CoverOn.Hours(), Off: p.CoverOff.Hours(), Resistance: float64(p.Cover)}}
	}
	return s, err
}
