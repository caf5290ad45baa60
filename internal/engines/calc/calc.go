// Package calc makes a calculation callable by name: named, united inputs and outputs, so that a table of check values
// written by anybody can be run against the code.
//
// A package offers its formulas as data:
//
//	func Calculations() []calc.Calculation {
//		return []calc.Calculation{
//			calc.New("slab.radius_of_relative_stiffness", "how far a slab spreads a load", "westergaard-1926",
//				func(in struct {
//					E  quantity.Stress          `says:"modulus of elasticity"`
//					Nu quantity.Ratio           `says:"Poisson's ratio" default:"0.15"`
//					H  quantity.Length          `says:"slab thickness"`
//					K  quantity.SubgradeModulus `says:"modulus of subgrade reaction"`
//				}) (out struct{ L quantity.Length }, err error) { ... }),
//		}
//	}
//
// The fields of the two structs are the ports. A port's name is its `name` tag or the field's name in snake_case. Its
// unit follows from its type; a float64 port names its unit in a `unit` tag (see quantity.UnitOf; "1" for a pure number)
// and receives the value in that unit. Ports may be numbers, text (string), truth (bool), lists of numbers or of text, and
// lists of points ([][]float64, with a `unit` tag for every coordinate). A `default` tag makes an input optional; a `range` tag
// ("> 0", ">= 0", "0..1") refuses other numbers before the formula sees them.
package calc

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
)

// Form is the shape of a port's value.
type Form string

// The forms.
const (
	Number Form = "number"
	Text   Form = "text"
	Truth  Form = "truth"
	List   Form = "list"   // of numbers
	Names  Form = "names"  // list of text
	Points Form = "points" // list of lists of numbers
)

// Port is one named input or output.
type Port struct {
	Name    string
	Says    string
	Form    Form
	Unit    quantity.Unit // for numbers, lists and points
	Default string        // how it would be typed; inputs without one are required
	Range   string        // what a number must be, in the port's unit: "> 0", ">= 0", "0..1"; empty: anything
	field   []int
	whole   bool
}

// Whole says whether the port's numbers are whole.
func (p Port) Whole() bool { return p.whole }

// Values are port values by name: float64, string, bool, []float64, []string or [][]float64; numbers in the port's unit.
type Values map[string]any

// Calculation is a formula of the program, callable by name.
type Calculation struct {
	Name    string
	Says    string
	Source  string // key in the registry of sources
	Inputs  []Port
	Outputs []Port
	run     func(Values) (Values, error)
}

// New registers a function of one input struct and one output struct. It panics when a field's type or tag cannot be a
// port: that is a mistake in the program, found by any test that lists the calculations.
func New[I, O any](name, says, source string, f func(I) (O, error)) Calculation {
	c := Calculation{Name: name, Says: says, Source: source,
		Inputs: portsOf(name, reflect.TypeFor[I]()), Outputs: portsOf(name, reflect.TypeFor[O]())}
	c.run = func(given Values) (Values, error) {
		var in I
		if err := load(reflect.ValueOf(&in).Elem(), c.Inputs, given); err != nil {
			return nil, err
		}
		out, err := f(in)
		if err != nil {
			return nil, err
		}
		return unload(reflect.ValueOf(out), c.Outputs), nil
	}
	return c
}

// Run calls the calculation. Missing inputs take their default; a missing input without one, an unknown name or a value of
// the wrong form is an error that says which. An answer that is not a finite number is an error too.
func (c Calculation) Run(given Values) (Values, error) {
	for name := range given {
		if _, ok := FindPort(c.Inputs, name); !ok {
			return nil, fmt.Errorf("%s has no input %q; it takes %s", c.Name, name, portNames(c.Inputs))
		}
	}
	out, err := c.run(given)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", c.Name, err)
	}
	for _, p := range c.Outputs {
		for _, v := range flatten(out[p.Name]) {
			if !quantity.Finite(v) {
				return nil, fmt.Errorf("%s: %s came out as %v", c.Name, p.Name, v)
			}
		}
	}
	return out, nil
}

// FindPort looks a port up by name.
func FindPort(ports []Port, name string) (Port, bool) {
	for _, p := range ports {
		if p.Name == name {
			return p, true
		}
	}
	return Port{}, false
}

func portNames(ports []Port) string {
	names := make([]string, len(ports))
	for i, p := range ports {
		names[i] = p.Name
	}
	return strings.Join(names, ", ")
}

func portsOf(calculation string, t reflect.Type) []Port {
	fields := reflect.VisibleFields(t)
	ports := make([]Port, 0, len(fields))
	for _, f := range fields {
		if f.Anonymous { // its own fields come after it
			continue
		}
		p := Port{Name: f.Tag.Get("name"), Says: f.Tag.Get("says"), Default: f.Tag.Get("default"), Range: f.Tag.Get("range"), field: f.Index}
		if p.Name == "" {
			p.Name = snake(f.Name)
		}
		err := p.shape(f.Type, f.Tag.Get("unit"))
		if _, known := p.within(0); !known {
			err = fmt.Errorf("range %q is none", p.Range)
		}
		if err != nil {
			panic(fmt.Sprintf("calc: %s, port %s: %v", calculation, p.Name, err))
		}
		ports = append(ports, p)
	}
	return ports
}

func (p *Port) shape(t reflect.Type, unit string) (err error) {
	for inner := t; ; inner = inner.Elem() {
		p.whole = inner.Kind() == reflect.Int
		if inner.Kind() != reflect.Slice {
			break
		}
	}
	switch {
	case t.Kind() == reflect.String:
		p.Form = Text
		return nil
	case t.Kind() == reflect.Bool:
		p.Form = Truth
		return nil
	case t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.String:
		p.Form = Names
		return nil
	case t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.Slice:
		p.Form = Points
		p.Unit, err = unitOf(t.Elem().Elem(), unit)
		return err
	case t.Kind() == reflect.Slice:
		p.Form = List
		p.Unit, err = unitOf(t.Elem(), unit)
		return err
	}
	p.Form = Number
	p.Unit, err = unitOf(t, unit)
	return err
}

func unitOf(t reflect.Type, symbol string) (quantity.Unit, error) {
	if q, ok := reflect.Zero(t).Interface().(quantity.Measured); ok {
		if symbol == "" {
			return quantity.SIUnit(q.Dimension()), nil
		}
		return quantity.Unit{}, fmt.Errorf("type %s is SI already; drop the unit tag %q", t, symbol)
	}
	if t.Kind() == reflect.Int {
		return quantity.SIUnit(quantity.Count), nil
	}
	if t.Kind() != reflect.Float64 {
		return quantity.Unit{}, fmt.Errorf("type %s cannot be a port", t)
	}
	return quantity.FindUnit(symbol)
}

// load fills the input struct. Numbers arrive in each port's unit.
func load(in reflect.Value, ports []Port, given Values) error {
	for _, p := range ports {
		v, ok := given[p.Name]
		if !ok {
			if p.Default == "" {
				return fmt.Errorf("needs %s (%s)", p.Name, p.Says)
			}
			v = p.fallback()
		}
		if err := p.store(in.FieldByIndex(p.field), v); err != nil {
			return err
		}
	}
	return nil
}

func (p Port) fallback() any {
	switch p.Form {
	case Number:
		v, err := strconv.ParseFloat(p.Default, 64)
		if err != nil {
			panic("calc: default of " + p.Name + " is not a number in SI: " + p.Default)
		}
		return v
	case Truth:
		return p.Default == "true"
	case Text:
		if p.Default == `""` {
			return ""
		}
		return p.Default
	case List:
		return []float64{}
	case Names:
		return []string{}
	}
	return [][]float64{}
}

// within says whether v lies in the port's range, and whether the range can be read.
func (p Port) within(v float64) (inside, known bool) {
	switch {
	case p.Range == "":
		return true, true
	case p.Range == "> 0":
		return v > 0, true
	case p.Range == ">= 0":
		return v >= 0, true
	}
	from, to, cut := strings.Cut(p.Range, "..")
	low, err := strconv.ParseFloat(from, 64)
	high, err2 := strconv.ParseFloat(to, 64)
	return v >= low && v <= high, cut && err == nil && err2 == nil
}

func (p Port) store(field reflect.Value, v any) error {
	for _, x := range flatten(v) {
		if inside, _ := p.within(x); !inside {
			return fmt.Errorf("%s is %.6g %s; it must be %s", p.Name, x, p.Unit.Symbol, p.Range)
		}
	}
	switch v := v.(type) {
	case float64:
		if p.Form == Number {
			return storeNumber(field, v, p.Name)
		}
	case string:
		if p.Form == Text {
			field.SetString(v)
			return nil
		}
	case bool:
		if p.Form == Truth {
			field.SetBool(v)
			return nil
		}
	case []string:
		if p.Form == Names {
			field.Set(reflect.ValueOf(v).Convert(field.Type()))
			return nil
		}
	case []float64:
		if p.Form == List {
			return p.storeList(field, v)
		}
	case [][]float64:
		if p.Form == Points {
			return p.storePoints(field, v)
		}
	}
	return fmt.Errorf("%s wants a %s, not %v", p.Name, p.Form, v)
}

// largest is the greatest size of an input, in its port's unit, and 1/largest the least: far beyond anything measured, and
// powers of it still compute.
const largest = 1e18

func storeNumber(field reflect.Value, v float64, name string) error {
	switch size := math.Abs(v); {
	case !quantity.Finite(v):
		return fmt.Errorf("%s is not a number", name)
	case size > largest || (size > 0 && size < 1/largest):
		return fmt.Errorf("%s is %.3g: sizes from %.0g to %.0g can be computed with, and zero", name, v, 1/largest, largest)
	}
	if field.Kind() == reflect.Int {
		if v != float64(int(v)) {
			return fmt.Errorf("%s is a whole number, not %v", name, v)
		}
		field.SetInt(int64(v))
		return nil
	}
	field.SetFloat(v)
	return nil
}

func (p Port) storeList(field reflect.Value, list []float64) error {
	out := reflect.MakeSlice(field.Type(), len(list), len(list))
	for i, v := range list {
		if err := storeNumber(out.Index(i), v, p.Name); err != nil {
			return err
		}
	}
	field.Set(out)
	return nil
}

func (p Port) storePoints(field reflect.Value, rows [][]float64) error {
	out := reflect.MakeSlice(field.Type(), len(rows), len(rows))
	for i, row := range rows {
		if err := p.storeList(out.Index(i), row); err != nil {
			return err
		}
	}
	field.Set(out)
	return nil
}

func unload(out reflect.Value, ports []Port) Values {
	values := Values{}
	for _, p := range ports {
		field := out.FieldByIndex(p.field)
		switch p.Form {
		case Number:
			values[p.Name] = number(field)
		case List:
			values[p.Name] = numbers(field)
		case Points:
			rows := make([][]float64, field.Len())
			for i := range rows {
				rows[i] = numbers(field.Index(i))
			}
			values[p.Name] = rows
		case Names:
			names := make([]string, field.Len())
			for i := range names {
				names[i] = field.Index(i).String()
			}
			values[p.Name] = names
		case Text:
			values[p.Name] = field.String()
		case Truth:
			values[p.Name] = field.Bool()
		}
	}
	return values
}

func number(v reflect.Value) float64 {
	if v.Kind() == reflect.Int {
		return float64(v.Int())
	}
	return v.Float()
}

func numbers(v reflect.Value) []float64 {
	out := make([]float64, v.Len())
	for i := range out {
		out[i] = number(v.Index(i))
	}
	return out
}

// snake turns a Go field name into a port name: NetVolume becomes net_volume, FC becomes fc.
func snake(name string) string {
	var b strings.Builder
	for i, r := range name {
		upper := r >= 'A' && r <= 'Z'
		if upper && i > 0 && !(name[i-1] >= 'A' && name[i-1] <= 'Z') {
			b.WriteByte('_')
		}
		if upper {
			r += 'a' - 'A'
		}
		b.WriteRune(r)
	}
	return b.String()
}
