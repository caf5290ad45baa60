package spoken

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
)

// Asked is the concrete somebody asks for: by strength, by cement, or both. What was not said is zero.
type Asked struct {
	Strength quantity.Stress  `json:"strength,omitempty"` // specified, on cylinders
	Cement   quantity.Density `json:"cement,omitempty"`   // from sacks
	Class    string           `json:"class,omitempty"`    // "C25/30" when asked for so
}

// sack is the cement in one sack; "n sack" is n of them in a cubic yard. Source: sources.SackWeight.
const sack = 94 // lb

const strengthExample = "4000 psi, 28 MPa, C25/30 or 5 1/2 sack"

// NoteSacks is said whenever concrete is asked for by sacks alone.
const NoteSacks = "Sacks tell cement, not strength. Type the psi too, or ask the plant."

// String writes the wish in US units, or the class as it was said.
func (a Asked) String() string {
	var parts []string
	switch {
	case a.Class != "":
		parts = append(parts, a.Class)
	case a.Strength > 0:
		parts = append(parts, quantity.Show(a.Strength, quantity.AsStrength).String(quantity.US))
	}
	if a.Cement > 0 {
		parts = append(parts, quantity.Show(a.Cement, quantity.AsContent).String(quantity.US)+" cement")
	}
	return strings.Join(parts, ", ")
}

var (
	sackForm  = regexp.MustCompile(`^(.*?)([\d.,]+(?:(?: ?- ?| and | )\d+ ?/ ?\d+)?|\d+ ?/ ?\d+)[ -]?(?:sacks?|bags?|sx|sk)(?: mix| cement)?(.*)$`)
	classForm = regexp.MustCompile(`^c ?(\d{1,3}) ?/ ?(\d{1,3})$`)
	cubeless  = regexp.MustCompile(`^c ?(\d{1,3})$`)
)

// ReadText reads 4000, 4,000 psi, 4 ksi, 28 MPa, C25/30 (25 MPa on cylinders), 5 1/2 sack, 5.5 bag, or sacks and strength
// together. A sack count is an amount of cement and never a strength. A bare number is in the unit of the box.
// Checked: EXP-40, EXP-41.
func (a *Asked) ReadText(text string, box quantity.Box) (quantity.Heard, error) {
	if err := quantity.CheckTyped(text, box, strengthExample); err != nil {
		return quantity.Heard{}, err
	}
	p := quantity.OneSpelling(text)
	m := sackForm.FindStringSubmatch(p)
	if m == nil {
		read, heard, err := readStrength(p, text, box)
		if err == nil {
			*a = read
		}
		return heard, err
	}
	cement, err := readSacks(m[2], text, box)
	if err != nil {
		return quantity.Heard{}, err
	}
	rest := strings.Trim(strings.Join([]string{m[1], m[3]}, " "), " ,;&-")
	rest = strings.TrimSpace(strings.TrimPrefix(strings.TrimSuffix(rest, " and"), "and "))
	content := quantity.Show(cement, quantity.AsContent)
	if rest == "" {
		*a = Asked{Cement: cement}
		return quantity.Heard{
			ReadBack: fmt.Sprintf("%s cement  (%s)", content.String(box.System), content.String(other(box.System))),
			Notes:    []string{NoteSacks},
		}, nil
	}
	read, heard, err := readStrength(rest, text, box)
	if err != nil {
		return heard, err
	}
	read.Cement = cement
	*a = read
	heard.ReadBack += ", " + content.String(box.System) + " cement"
	return heard, nil
}

func readSacks(count, text string, box quantity.Box) (quantity.Density, error) {
	var sacks quantity.Ratio
	if _, err := sacks.ReadText(count, quantity.Box{Unit: "1", Locale: box.Locale}); err != nil {
		return 0, quantity.CannotRead(text, "the number of sacks cannot be read", "5 1/2 sack")
	}
	if sacks < 1 || sacks > 15 {
		return 0, quantity.CannotRead(text, "a cubic yard takes 1 to 15 sacks", "5 1/2 sack")
	}
	return quantity.Of[quantity.Density](sack*float64(sacks), "lb/yd3"), nil
}

func readStrength(p, text string, box quantity.Box) (Asked, quantity.Heard, error) {
	if m := classForm.FindStringSubmatch(p); m != nil {
		return readClass(m[1], m[2], text, box)
	}
	if m := cubeless.FindStringSubmatch(p); m != nil {
		value, heard, err := readStress(m[1]+" MPa", text, box)
		heard.Notes = append(heard.Notes, "Read as "+m[1]+" MPa on cylinders.")
		return Asked{Strength: value, Class: "C" + m[1]}, heard, err
	}
	value, heard, err := readStress(p, text, box)
	return Asked{Strength: value}, heard, err
}

// readClass reads a class of EN 206: cylinder strength over cube strength.
func readClass(cylinder, cube, text string, box quantity.Box) (Asked, quantity.Heard, error) {
	low, _ := strconv.Atoi(cylinder)
	high, _ := strconv.Atoi(cube)
	if low >= high || 10*low < 7*high {
		return Asked{}, quantity.Heard{}, quantity.CannotRead(text,
			"a class is cylinder strength over cube strength, about 4 to 5", "C25/30")
	}
	value, heard, err := readStress(cylinder+" MPa", text, box)
	heard.Notes = append(heard.Notes, fmt.Sprintf("%d MPa on cylinders, %d MPa on cubes.", low, high))
	return Asked{Strength: value, Class: "C" + cylinder + "/" + cube}, heard, err
}

// usualStrength is what slabs are made of, asked about outside it: in psi, and in MPa. Common practice.
var usualStrength = map[string][2]float64{"psi": {1500, 8000}, "MPa": {10, 55}}

func readStress(p, text string, box quantity.Box) (quantity.Stress, quantity.Heard, error) {
	if box.Unit == "" {
		box.Unit = map[quantity.System]string{quantity.US: "psi", quantity.Metric: "MPa"}[box.System]
	}
	if usual, ok := usualStrength[box.Unit]; ok && box.High == 0 {
		box.Low, box.High = usual[0], usual[1]
	}
	if box.Name == "" {
		box.Name = "strength"
	}
	box.Kind = quantity.AsStrength
	var value quantity.Stress
	heard, err := value.ReadText(p, box)
	if err != nil {
		return 0, quantity.Heard{}, quantity.CannotRead(text, "this is not a strength", strengthExample)
	}
	if value == 0 {
		return 0, quantity.Heard{}, quantity.CannotRead(text, "concrete without strength is not asked for", strengthExample)
	}
	return value, heard, nil
}

func other(s quantity.System) quantity.System {
	if s == quantity.US {
		return quantity.Metric
	}
	return quantity.US
}
