package spoken

import (
	_ "embed"
	"fmt"
	"strings"
	"time"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the table of check rows of what people type.
func Checks() string { return checksCSV }

// typed is what every reading is given: the text and the box it was typed into.
type typed struct {
	Text   string  `says:"as typed"`
	Unit   string  `says:"unit of a bare number" default:"\"\""`
	Field  string  `says:"name of the box" default:"\"\""`
	System string  `says:"us or metric" default:"us"`
	Locale string  `says:"language tag; empty is en-US" default:"\"\""`
	Today  string  `says:"the day it is typed, as 2026-06-08" default:"\"\""`
	Low    float64 `says:"usual range, in the box's unit" unit:"1" default:"0"`
	High   float64 `says:"usual range; zero: none" unit:"1" default:"0"`
}

func (t typed) box() (quantity.Box, error) {
	box := quantity.Box{Name: t.Field, Unit: t.Unit, Locale: t.Locale, Low: t.Low, High: t.High}
	if _, err := box.System.ReadText(t.System, box); err != nil {
		return box, err
	}
	if t.Today == "" {
		return box, nil
	}
	today, err := time.Parse(time.DateOnly, t.Today)
	box.Today = today
	return box, err
}

// heard is how a text was understood.
type heard[T any] struct {
	Value    T
	ReadBack string
	Exact    string
	Note     string
	Ask      string
	Offers   []string
}

// read reads text with the reader of a type and fills the answer common to all.
func read[T, O any](t typed, shape func(T) O) (out heard[O], err error) {
	box, err := t.box()
	if err != nil {
		return out, err
	}
	var value T
	reader, ok := any(&value).(quantity.Typed)
	if !ok {
		return out, fmt.Errorf("spoken: %T cannot be typed", value)
	}
	h, err := reader.ReadText(t.Text, box)
	if err != nil {
		return out, err
	}
	out = heard[O]{Value: shape(value), ReadBack: h.ReadBack, Exact: h.Exact, Note: strings.Join(h.Notes, " ")}
	if h.Ask != nil {
		out.Ask, out.Offers = h.Ask.Says, h.Ask.Choices
	}
	return out, nil
}

// reading registers the reader of a quantity.
func reading[T any](name, says string) calc.Calculation {
	return calc.New("typed."+name, "what somebody means who types "+says, string(sources.OwnRule),
		func(in typed) (heard[T], error) { return read(in, func(v T) T { return v }) })
}

// Calculations offers every reading by name: typed.length, typed.slope, typed.strength, typed.clock …
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		reading[quantity.Length]("length", "a length"),
		reading[quantity.Area]("area", "an area"),
		reading[quantity.Volume]("volume", "an amount of concrete"),
		reading[quantity.Slope]("slope", "a slope"),
		reading[quantity.Angle]("angle", "an angle"),
		reading[quantity.Mass]("weight", "a weight"),
		reading[quantity.Force]("force", "a load"),
		reading[quantity.Stress]("stress", "a stress or pressure"),
		reading[quantity.SubgradeModulus]("subgrade", "the stiffness of ground"),
		reading[quantity.Density]("density", "a density"),
		reading[quantity.Temp]("temperature", "a temperature"),
		reading[quantity.TempDiff]("temperature_difference", "a difference of temperatures"),
		reading[quantity.Time]("duration", "how long"),
		reading[quantity.Speed]("speed", "a wind"),
		reading[quantity.Evaporation]("evaporation", "an evaporation rate"),
		reading[quantity.Insulation]("insulation", "an insulation"),
		reading[quantity.Percent]("share", "a share"),
		reading[quantity.Ratio]("ratio", "a pure number"),
		reading[quantity.Number]("count", "how many"),
		reading[quantity.Money]("money", "a price"),
		reading[quantity.MoneyVolume]("price_per_volume", "a price of concrete"),
		reading[quantity.MoneyRate]("price_per_time", "a wage or hire"),
		reading[Slump]("slump", "a slump"),
		calc.New("typed.strength", "what somebody asks for who types a strength or sacks", string(sources.OwnRule), typedStrength),
		calc.New("typed.bars", "which steel somebody means who types bars", string(sources.BarTable), typedBars),
		calc.New("typed.convert", "a value of one unit in another", string(sources.Definition), convert),
		calc.New("typed.stone", "which stone somebody means", string(sources.SizeNumbers), typedStone),
		calc.New("typed.clock", "which time of day somebody means", string(sources.OwnRule), func(in typed) (heard[quantity.Time], error) {
			return read(in, quantity.Clock.Since)
		}),
		calc.New("typed.date", "which day somebody means", string(sources.OwnRule), func(in typed) (heard[string], error) {
			return read(in, quantity.Date.ISO)
		}),
		calc.New("typed.units", "which system of units somebody means", string(sources.OwnRule), func(in typed) (heard[string], error) {
			return read(in, quantity.System.String)
		}),
	}
}

func typedStrength(in typed) (out struct {
	Strength quantity.Stress
	Cement   quantity.Density
	Class    string
	ReadBack string
	Note     string
	Ask      string
}, err error) {
	h, err := read(in, func(a Asked) Asked { return a })
	out.Strength, out.Cement, out.Class = h.Value.Strength, h.Value.Cement, h.Value.Class
	out.ReadBack, out.Note, out.Ask = h.ReadBack, h.Note, h.Ask
	return out, err
}

func typedBars(in typed) (out struct {
	Size       string
	Diameter   quantity.Length
	Area       quantity.Area
	LinearMass quantity.LinearMass
	Spacing    quantity.Length
	BothWays   bool
	PerWidth   quantity.SteelArea
	ReadBack   string
	Note       string
	Ask        string
}, err error) {
	h, err := read(in, func(g BarGrid) BarGrid { return g })
	g := h.Value
	out.Size, out.Diameter, out.Area, out.LinearMass = g.Size, g.Diameter, g.Area, g.LinearMass
	out.Spacing, out.BothWays, out.PerWidth = g.Spacing, g.BothWays, g.PerWidth()
	out.ReadBack, out.Note, out.Ask = h.ReadBack, h.Note, h.Ask
	return out, err
}

func typedStone(in typed) (out struct {
	Size     quantity.Length
	Name     string
	ReadBack string
	Note     string
	Ask      string
}, err error) {
	h, err := read(in, func(s Stone) Stone { return s })
	out.Size, out.Name = h.Value.Size, h.Value.Name
	out.ReadBack, out.Note, out.Ask = h.ReadBack, h.Note, h.Ask
	return out, err
}

// convert finds the dimension that knows both units; of several, the first by name.
func convert(in struct {
	Value float64 `unit:"1"`
	From  string  `says:"unit, as in a row"`
	To    string  `says:"unit, as in a row"`
}) (out struct {
	Value     float64 `unit:"1"`
	Dimension string
}, err error) {
	for _, dim := range quantity.Dimensions() {
		from, noFrom := quantity.UnitOf(dim, in.From)
		to, noTo := quantity.UnitOf(dim, in.To)
		if in.From != "" && in.To != "" && noFrom == nil && noTo == nil {
			out.Value, out.Dimension = to.From(from.SI(in.Value)), string(dim)
			return out, nil
		}
	}
	return out, fmt.Errorf("no dimension knows both %q and %q", in.From, in.To)
}
