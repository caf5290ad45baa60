package spoken

import (
	"regexp"
	"strings"

	"slabwright/internal/engines/quantity"
)

// Stone is coarse aggregate by its nominal maximum size.
type Stone struct {
	Size quantity.Length `json:"size"`
	Name string          `json:"name"` // as said: "3/4 in", "No. 57", "20 mm"
}

// String is the stone as said.
func (s Stone) String() string { return s.Name }

// SizeNumber is a standard grading with its nominal maximum size.
type SizeNumber struct {
	Number string
	Size   quantity.Length
}

// SizeNumbers are the gradings of ASTM D448 and C33 by nominal maximum size (larger end of the named range). Source:
// sources.SizeNumbers.
var SizeNumbers = []SizeNumber{
	{"3", quantity.Inches(2)}, {"357", quantity.Inches(2)}, {"4", quantity.Inches(1.5)}, {"467", quantity.Inches(1.5)},
	{"5", quantity.Inches(1)}, {"56", quantity.Inches(1)}, {"57", quantity.Inches(1)}, {"6", quantity.Inches(0.75)},
	{"67", quantity.Inches(0.75)}, {"68", quantity.Inches(0.75)}, {"7", quantity.Inches(0.5)}, {"78", quantity.Inches(0.5)},
	{"8", quantity.Inches(0.375)}, {"89", quantity.Inches(0.375)},
}

const stoneExample = "3/4 in, 57 stone or 20 mm"

var (
	numberedStone = regexp.MustCompile(`^(#|no\.? ?|number |size )? ?(\d{1,3})s? ?(stone|rock|aggregate|gravel)?$`)
	stoneWords    = regexp.MustCompile(`\b(?:crushed|washed|clean|stone|rock|aggregate|gravel|minus|max(?:imum)?|down|nominal)\b`)
)

// usualStone is asked about outside it: in, and mm. Common practice.
var usualStone = map[string][2]float64{"in": {0.25, 3}, "mm": {6, 75}}

// ReadText reads 3/4, 57 stone, #57, 20 mm. A number alone is a size number when there is one of that number and it is
// no likely size. Checked: EXP-45.
func (s *Stone) ReadText(text string, box quantity.Box) (quantity.Heard, error) {
	if err := quantity.CheckTyped(text, box, stoneExample); err != nil {
		return quantity.Heard{}, err
	}
	if box.Unit == "" {
		box.Unit = map[quantity.System]string{quantity.US: "in", quantity.Metric: "mm"}[box.System]
	}
	p := quantity.OneSpelling(text)
	if stone, named, ok := numbered(p, box); named {
		if !ok {
			return quantity.Heard{}, quantity.CannotRead(text, "there is no stone of that number", stoneExample)
		}
		*s = stone
		return quantity.Heard{ReadBack: stone.Name + "  (" + sizeIn(stone.Size, quantity.US) + ", " + sizeIn(stone.Size, quantity.Metric) + ")",
			Notes: []string{stone.Name + " is read as a size number, largest stone " + sizeIn(stone.Size, box.System) + "."}}, nil
	}
	if usual, ok := usualStone[box.Unit]; ok && box.High == 0 {
		box.Low, box.High = usual[0], usual[1]
	}
	if box.Name == "" {
		box.Name = "stone"
	}
	plain := strings.TrimSpace(stoneWords.ReplaceAllString(p, ""))
	var size quantity.Length
	heard, err := size.ReadText(plain, box)
	if err != nil || size <= 0 {
		return quantity.Heard{}, quantity.CannotRead(text, "this is not a size of stone", stoneExample)
	}
	metric := strings.HasSuffix(plain, "m") || box.Unit == "mm" && !strings.ContainsAny(plain, `"/in`)
	*s = Stone{Size: size, Name: sizeIn(size, quantity.US)}
	if metric {
		s.Name = sizeIn(size, quantity.Metric)
	}
	heard.Exact = ""
	return heard, nil
}

// numbered reads a size number; named says that one was meant.
func numbered(p string, box quantity.Box) (stone Stone, named, ok bool) {
	m := numberedStone.FindStringSubmatch(p)
	if m == nil {
		return stone, false, false
	}
	for _, n := range SizeNumbers {
		if n.Number == m[2] {
			stone, ok = Stone{n.Size, "No. " + n.Number}, true
		}
	}
	marked := m[1] != "" || m[3] != "" && ok
	likelySize := box.Unit == "mm" || len(m[2]) == 1
	return stone, marked || ok && !likelySize, ok
}

func sizeIn(size quantity.Length, s quantity.System) string {
	if s == quantity.US {
		return quantity.Tape(size.Inches(), 16, false)
	}
	return quantity.Decimal(size.Millimetres(), 0, 0) + " mm"
}
