package pour

import (
	"errors"
	"fmt"
	"strings"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// ruleCalculations offers the small rules of a pour day.
func ruleCalculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("pour.protection_days", "days a young slab is kept from freezing", string(sources.ACI306R), protectionDays),
		calc.New("pour.crew_size", "persons for a pour by its area", string(sources.CommonPractice), crewSize),
		calc.New("pour.finishing_hours", "hours a strip needs of finishers against the hours it gives them", string(sources.Arithmetic), finishingHours),
		calc.New("pour.countermeasure", "evaporation with one remedy, by the habit of the trade", string(sources.CommonPractice), countermeasure),
	}
}

// protections are days by exposure: usual set, then accelerated (Type III, more cement, or accelerator). Source: ACI 306R-88
// Tables 5.1 and 5.3 (recalled). Under full load strength decides, not days.
var protections = map[string][2]int{"no load, not exposed": {2, 1}, "no load, exposed": {3, 2}, "partial load, exposed": {6, 4}}

func protectionDays(in struct {
	Service     string `says:"no load, not exposed; no load, exposed; partial load, exposed" default:"no load, exposed"`
	Accelerated bool   `default:"false"`
}) (out struct{ Days int }, err error) {
	days, ok := protections[strings.ToLower(in.Service)]
	if !ok {
		return out, fmt.Errorf("no days are kept for %q; under full load strength decides", in.Service)
	}
	out.Days = days[0]
	if in.Accelerated {
		out.Days = days[1]
	}
	return out, nil
}

// crews are persons by area, ft². Source: common practice.
var crews = []struct {
	upto      float64
	low, high int
}{{250, 2, 3}, {600, 3, 4}, {1200, 4, 5}, {2000, 5, 7}}

func crewSize(in struct{ Area quantity.Area }) (out struct {
	Low  int
	High int `says:"0: no upper end; pour in strips or on two days"`
}, err error) {
	area := quantity.In(in.Area, "ft2")
	if area <= 0 {
		return out, errors.New("an area is above zero")
	}
	for _, c := range crews {
		if area <= c.upto+1e-6 {
			out.Low, out.High = c.low, c.high
			return out, nil
		}
	}
	out.Low = 7
	return out, nil
}

func finishingHours(in struct {
	Area  quantity.Area
	Rate  quantity.AreaRate `says:"of all finishers together"`
	Opens quantity.Time     `says:"initial set, after placing"`
	Shuts quantity.Time     `says:"final set, after placing"`
}) (out struct {
	Required  quantity.Time
	Available quantity.Time
	Enough    bool
}, err error) {
	if in.Area <= 0 || in.Rate <= 0 || in.Opens < 0 || in.Shuts <= in.Opens {
		return out, errors.New("area and rate are above zero, and the window opens before it shuts")
	}
	out.Required = quantity.Time(in.Area.SquareMetres() / float64(in.Rate))
	out.Available = in.Shuts - in.Opens
	out.Enough = out.Required <= out.Available+1e-6
	return out, nil
}

func countermeasure(in struct {
	Evaporation quantity.Evaporation
	Film        bool           `says:"evaporation reducer: 0.4 of it is left" default:"false"`
	Covered     quantity.Ratio `says:"share of the time under the film" default:"1"`
	Fog         bool           `says:"fog: nothing is left while on" default:"false"`
}) (out struct{ Evaporation quantity.Evaporation }, err error) {
	if in.Evaporation < 0 || in.Covered < 0 || in.Covered > 1 {
		return out, errors.New("evaporation is not below zero, the share 0 to 1")
	}
	out.Evaporation = in.Evaporation
	if in.Film {
		out.Evaporation *= quantity.Evaporation(1 - 0.6*float64(in.Covered))
	}
	if in.Fog {
		out.Evaporation = 0
	}
	return out, nil
}
