package spoken

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/sources"
)

// Bar is one size of reinforcing bar.
type Bar struct {
	Size       string              // as said: "#4", "10M", "12 mm"
	Diameter   quantity.Length     // nominal
	Area       quantity.Area       // nominal
	LinearMass quantity.LinearMass // nominal
	Source     sources.Key
}

// Bars are the sizes of ASTM A615 a flatwork crew meets: nominal diameter in, area in², weight lb/ft. Source:
// sources.BarTable.
var Bars = []Bar{
	inchBar("#3", 0.375, 0.11, 0.376),
	inchBar("#4", 0.500, 0.20, 0.668),
	inchBar("#5", 0.625, 0.31, 1.043),
	inchBar("#6", 0.750, 0.44, 1.502),
	inchBar("#7", 0.875, 0.60, 2.044),
	inchBar("#8", 1.000, 0.79, 2.670),
}

// MetricBars are Canadian sizes: nominal diameter mm, area mm², mass kg/m. Source: sources.MetricBars.
var MetricBars = []Bar{
	metricBar("10M", 11.3, 100, 0.785, sources.MetricBars),
	metricBar("15M", 16.0, 200, 1.570, sources.MetricBars),
	metricBar("20M", 19.5, 300, 2.355, sources.MetricBars),
	metricBar("25M", 25.2, 500, 3.925, sources.MetricBars),
}

// softMetric are the numbers A615 rolls on the same bars: a #13 is a #4. 10 is left out: it is a US size too.
var softMetric = map[string]string{"13": "#4", "16": "#5", "19": "#6", "22": "#7", "25": "#8"}

func inchBar(size string, inches, squareInches, poundsPerFoot float64) Bar {
	return Bar{size, quantity.Inches(inches), quantity.Of[quantity.Area](squareInches, "in2"),
		quantity.Of[quantity.LinearMass](poundsPerFoot, "lb/ft"), sources.BarTable}
}

func metricBar(size string, mm, squareMM, kilosPerMetre float64, source sources.Key) Bar {
	return Bar{size, quantity.Millimetres(mm), quantity.Of[quantity.Area](squareMM, "mm2"), quantity.LinearMass(kilosPerMetre), source}
}

// steelDensity in kg/m³, for bars known by their diameter alone.
const steelDensity = 7850

func roundBar(size string, mm float64) Bar {
	area := math.Pi / 4 * mm * mm
	return metricBar(size, mm, area, area*1e-6*steelDensity, sources.NominalBars)
}

// BarNamed finds a bar by how it is said: #4, no. 4, 4, 1/2 in, 10M, 12 mm.
func BarNamed(text string) (Bar, bool) {
	m := barSize.FindStringSubmatch(quantity.OneSpelling(text))
	if m == nil || m[0] != quantity.OneSpelling(text) {
		return Bar{}, false
	}
	return barOf(m)
}

// BarGrid is bars of one size at one spacing.
type BarGrid struct {
	Size       string              `json:"size"`
	Diameter   quantity.Length     `json:"diameter"`
	Area       quantity.Area       `json:"area"` // of one bar
	LinearMass quantity.LinearMass `json:"linear_mass"`
	Spacing    quantity.Length     `json:"spacing"`
	BothWays   bool                `json:"both_ways"`
}

// PerWidth is the steel area crossing a metre of slab in one direction.
func (g BarGrid) PerWidth() quantity.SteelArea {
	if g.Spacing <= 0 {
		return 0
	}
	return quantity.SteelArea(float64(g.Area) / g.Spacing.Metres())
}

// String is the grid as it is said: #4 @ 18 in each way.
func (g BarGrid) String() string {
	system, ways := quantity.Metric, "one way"
	if strings.HasPrefix(g.Size, "#") {
		system = quantity.US
	}
	if g.BothWays {
		ways = "each way"
	}
	return fmt.Sprintf("%s @ %s %s", g.Size, sizeIn(g.Spacing, system), ways)
}

const barExample = "#4 @ 18 in each way"

// The groups of barSize: M number, millimetres, one inch, inches over, inches under, number.
var barSize = regexp.MustCompile(`^(?:(\d{1,2}) ?m\b|(\d{1,2}) ?mm\b|(1) ?(?:inch\b|in\b\.?|")|(\d) ?/ ?(\d) ?(?:inch\b|in\b\.?|")?|` +
	`(?:#|no\.? ?|number )? ?(\d{1,2})(?:$| |@|,|-|x))`)

var (
	barWords  = regexp.MustCompile(`\b(?:re)?bars?\b|\bsteel\b`)
	eachWay   = regexp.MustCompile(`\b(?:e\.?w\b\.?|b\.?w\b\.?|each[ -]?ways?|both[ -]?(?:ways|directions)|two[ -]?ways?|2[ -]?ways?)`)
	oneWay    = regexp.MustCompile(`\b(?:one|1|single)[ -]?way\b`)
	onCentre  = regexp.MustCompile(`\b(?:o\.?c\b\.?|c/c|c\.?c\b\.?|on cent(?:er|re)s?|cent(?:er|re)s?|apart|spacing)`)
	joinWords = regexp.MustCompile(`^(?: |@|,|-|\bat\b|\bon\b|\bevery\b)+`)
	twoEqual  = regexp.MustCompile(`^([\d./ ]+?) ?(?:"|in)? ?x ?([\d./ ]+?) ?(in|"|mm)?$`)
)

// ReadText reads #4 @ 18 ew, #4 18 oc both ways, 1/2 in at 18, 10M @ 300. Sizes with M or mm are kept as said and their
// bare spacing is millimetres. Checked: EXP-44.
func (g *BarGrid) ReadText(text string, box quantity.Box) (quantity.Heard, error) {
	if err := quantity.CheckTyped(text, box, barExample); err != nil {
		return quantity.Heard{}, err
	}
	p := quantity.OneSpelling(text)
	m := barSize.FindStringSubmatch(p)
	if m == nil {
		return quantity.Heard{}, quantity.CannotRead(text, "this begins with no bar size", barExample)
	}
	bar, ok := barOf(m)
	if !ok {
		return quantity.Heard{}, quantity.CannotRead(text, "no such bar: sizes are #3 to #8, 10M to 25M, or 6 to 32 mm", barExample)
	}
	rest, ways := directions(p[len(strings.TrimRight(m[0], " @,-x")):])
	if n := twoEqual.FindStringSubmatch(rest); n != nil && strings.TrimSpace(n[1]) == strings.TrimSpace(n[2]) {
		rest, ways = strings.TrimSpace(n[1]+" "+n[3]), "each way"
	}
	spacing, heard, err := readSpacing(rest, text, bar, box)
	if err != nil {
		return heard, err
	}
	*g = BarGrid{bar.Size, bar.Diameter, bar.Area, bar.LinearMass, spacing, ways != "one way"}
	if ways == "" {
		heard.Notes = append(heard.Notes, "Read as each way. If the bars run one way, add one way.")
	}
	heard.Exact, heard.ReadBack = "", g.String()
	return heard, nil
}

// directions takes the words away and says which way the bars run, empty where that is not said.
func directions(rest string) (spacing, ways string) {
	switch {
	case eachWay.MatchString(rest):
		rest, ways = eachWay.ReplaceAllString(rest, ""), "each way"
	case oneWay.MatchString(rest):
		rest, ways = oneWay.ReplaceAllString(rest, ""), "one way"
	}
	rest = barWords.ReplaceAllString(onCentre.ReplaceAllString(rest, ""), "")
	rest = joinWords.ReplaceAllString(strings.TrimSpace(rest), "")
	return strings.Trim(strings.Join(strings.Fields(rest), " "), " ,"), ways
}

// usualSpacing is asked about outside it: in, and mm. Common practice.
var usualSpacing = map[string][2]float64{"in": {3, 48}, "mm": {75, 1200}}

func readSpacing(rest, text string, bar Bar, box quantity.Box) (quantity.Length, quantity.Heard, error) {
	if rest == "" {
		return 0, quantity.Heard{}, quantity.CannotRead(text, "the spacing is missing", bar.Size+" @ 18 in each way")
	}
	here := quantity.Box{Name: "bar spacing", Unit: "in", System: box.System, Locale: box.Locale}
	if !strings.HasPrefix(bar.Size, "#") {
		here.Unit = "mm"
	}
	here.Low, here.High = usualSpacing[here.Unit][0], usualSpacing[here.Unit][1]
	var spacing quantity.Length
	heard, err := spacing.ReadText(rest, here)
	if err != nil {
		return 0, heard, quantity.CannotRead(text, fmt.Sprintf("the spacing %q cannot be read", rest), barExample)
	}
	if spacing <= bar.Diameter {
		return 0, heard, quantity.CannotRead(text, "bars this close would touch", barExample)
	}
	if heard.Ask != nil {
		for i, choice := range heard.Ask.Choices {
			heard.Ask.Choices[i] = bar.Size + " @ " + choice
		}
	}
	return spacing, heard, nil
}

func barOf(m []string) (Bar, bool) {
	switch {
	case m[1] != "":
		if bar, ok := find(MetricBars, m[1]+"M"); ok {
			return bar, true
		}
		return nominal(m[1], m[1]+"M")
	case m[2] != "":
		return nominal(m[2], m[2]+" mm")
	case m[3] != "":
		return find(Bars, "#8")
	case m[4] != "":
		over, _ := strconv.Atoi(m[4])
		under, _ := strconv.Atoi(m[5])
		if under == 0 || over*8%under != 0 {
			return Bar{}, false
		}
		return find(Bars, "#"+strconv.Itoa(over*8/under))
	}
	if size, soft := softMetric[m[6]]; soft {
		return find(Bars, size)
	}
	return find(Bars, "#"+m[6])
}

func nominal(digits, size string) (Bar, bool) {
	mm, _ := strconv.ParseFloat(digits, 64)
	return roundBar(size, mm), mm >= 6 && mm <= 32
}

func find(bars []Bar, size string) (Bar, bool) {
	for _, b := range bars {
		if b.Size == size {
			return b, true
		}
	}
	return Bar{}, false
}
