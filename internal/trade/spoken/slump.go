package spoken

import (
	"regexp"
	"strings"

	"slabwright/internal/engines/quantity"
)

// Slump is how far a cone of fresh concrete sinks, m.
type Slump float64

// Dimension of a slump is length.
func (Slump) Dimension() quantity.Dimension { return quantity.LengthDim }

// Length is the slump as a length.
func (s Slump) Length() quantity.Length { return quantity.Length(s) }

// wetSlump is asked about above it: a slab mix that flows more was made so by an admixture, or spoilt by water. Common
// practice. mostSlump is the height of the cone (ASTM C143, recalled: 12 in).
const (
	wetSlump  = 6 * 0.0254
	mostSlump = 12 * 0.0254
)

var admixture = regexp.MustCompile(`(?:,| by| with| from)? ?(?:an? )?(?:admixture|plasti[cs]i[sz]er|super ?plasti[cs]i[sz]er|superplasti[cs]i[sz]er|super|hrwr|water reducer)$`)

// ReadText reads 4, 4 in, 100 mm. Above 6 in it asks where the slump comes from; "8 in with admixture" answers that.
// Checked: EXP-43.
func (s *Slump) ReadText(text string, box quantity.Box) (quantity.Heard, error) {
	const example = "4 in or 100 mm"
	if err := quantity.CheckTyped(text, box, example); err != nil {
		return quantity.Heard{}, err
	}
	if box.Unit == "" {
		box.Unit = map[quantity.System]string{quantity.US: "in", quantity.Metric: "mm"}[box.System]
	}
	p := quantity.OneSpelling(text)
	said := admixture.FindString(p)
	plain := strings.TrimSpace(strings.TrimSuffix(p, said))
	here := box
	here.Low, here.High = 0, quantity.MustUnit(quantity.LengthDim, "m").SI(mostSlump)
	if unit, err := quantity.UnitOf(quantity.LengthDim, box.Unit); err == nil {
		here.High = unit.From(mostSlump)
	}
	if here.Name == "" {
		here.Name = "slump"
	}
	var value quantity.Length
	heard, err := value.ReadText(plain, here)
	if err != nil {
		return quantity.Heard{}, quantity.CannotRead(text, "this is not a slump", example)
	}
	if value > mostSlump*(1+1e-9) && strings.ContainsAny(plain, "m'\"in") {
		return quantity.Heard{}, quantity.CannotRead(text, "the cone is only 12 in (300 mm) high", example)
	}
	heard.Exact = ""
	*s = Slump(value)
	if heard.Ask == nil && said == "" && value > wetSlump*(1+1e-9) {
		heard.Ask = askWet(value, plain, box)
	}
	return heard, nil
}

// askWet asks where a high slump comes from.
func askWet(value quantity.Length, plain string, box quantity.Box) *quantity.Question {
	system, stiff := quantity.US, quantity.Inches(4)
	if strings.HasSuffix(plain, "m") || box.Unit == "mm" && !strings.ContainsAny(plain, `"in`) {
		system, stiff = quantity.Metric, quantity.Millimetres(100)
	}
	shown := sizeIn(value, system)
	return &quantity.Question{
		Says:    shown + " is wet. From an admixture? Added water takes strength and adds cracks.",
		Choices: []string{shown + " with admixture", sizeIn(stiff, system), shown},
	}
}
