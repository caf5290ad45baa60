package survey

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

// pair is one group of a drawing exchange file: a code and its value, with the line of the code.
type pair struct {
	code int
	text string
	line int
}

func (p pair) number() (float64, error) { return strconv.ParseFloat(strings.TrimSpace(p.text), 64) }

// mostPairs bounds what is kept of a drawing.
const mostPairs = 4 << 20

// pairsOf splits a file into groups. Lines may end in CR LF, codes may be indented.
func pairsOf(src []byte) ([]pair, error) {
	if bytes.HasPrefix(src, []byte("AutoCAD Binary DXF")) {
		return nil, fault(1, "file", "", "is a binary drawing.", "Save it as ASCII DXF.")
	}
	lines := strings.Split(strings.TrimRight(string(src), "\r\n \t\x00\x1a"), "\n")
	if len(lines)/2 > mostPairs {
		return nil, fault(0, "file", "", fmt.Sprintf("has more than %d groups.", mostPairs), "Save the points and outlines alone.")
	}
	out := make([]pair, 0, len(lines)/2)
	for i := 0; i+1 < len(lines); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		if err != nil {
			return nil, fault(i+1, "file", strings.TrimSpace(lines[i]), "is no group code; a whole number is expected here.", "Save it as ASCII DXF again.")
		}
		out = append(out, pair{code, strings.TrimRight(lines[i+1], "\r"), i + 1})
	}
	if len(lines)%2 == 1 {
		return nil, fault(len(lines), "file", "", "ends in the middle of a group.", "Save it as ASCII DXF again.")
	}
	return out, nil
}

// entity is one thing of a drawing: its groups, and for a polyline of the old kind its vertices.
type entity struct {
	kind     string
	line     int
	groups   []pair
	vertices []entity
}

// real is the value of a group, or a default.
func (e entity) real(code int, otherwise float64) float64 {
	for _, p := range e.groups {
		if p.code == code {
			if v, err := p.number(); err == nil {
				return v
			}
		}
	}
	return otherwise
}

func (e entity) text(code int) string {
	for _, p := range e.groups {
		if p.code == code {
			return strings.TrimSpace(p.text)
		}
	}
	return ""
}

// block is a named drawing within the drawing.
type block struct {
	baseX, baseY float64
	entities     []entity
}

// drawing is a file taken apart.
type drawing struct {
	unitCode int // $INSUNITS; 0 where it does not say
	blocks   map[string]block
	entities []entity
}

// parse walks the sections.
func parse(pairs []pair) drawing {
	d := drawing{blocks: map[string]block{}}
	section, variable := "", ""
	var things []entity // of the section or block at hand
	var name string
	var base entity
	for i := 0; i < len(pairs); i++ {
		p := pairs[i]
		if p.code == 9 {
			variable = strings.TrimSpace(p.text)
		}
		if section == "HEADER" && variable == "$INSUNITS" && p.code == 70 {
			d.unitCode, _ = strconv.Atoi(strings.TrimSpace(p.text))
		}
		if p.code != 0 {
			continue
		}
		kind := strings.TrimSpace(p.text)
		switch kind {
		case "SECTION":
			if i+1 < len(pairs) && pairs[i+1].code == 2 {
				section = strings.TrimSpace(pairs[i+1].text)
			}
			things = nil
		case "ENDSEC":
			if section == "ENTITIES" {
				d.entities = append(d.entities, things...)
			}
			section, things = "", nil
		case "BLOCK":
			base, i = takeEntity(pairs, i)
			name, things = base.text(2), nil
		case "ENDBLK":
			d.blocks[name] = block{base.real(10, 0), base.real(20, 0), things}
			things = nil
		default:
			if section == "ENTITIES" || section == "BLOCKS" {
				var e entity
				e, i = takeEntity(pairs, i)
				things = adopt(things, e)
			}
		}
	}
	return d
}

// takeEntity gathers the groups up to the next code 0 and returns the position of its last group.
func takeEntity(pairs []pair, at int) (entity, int) {
	e := entity{kind: strings.TrimSpace(pairs[at].text), line: pairs[at].line}
	i := at + 1
	for ; i < len(pairs) && pairs[i].code != 0; i++ {
		e.groups = append(e.groups, pairs[i])
	}
	return e, i - 1
}

// adopt adds an entity; vertices go to the polyline before them.
func adopt(things []entity, e entity) []entity {
	last := len(things) - 1
	switch {
	case e.kind == "SEQEND":
		return things
	case e.kind == "VERTEX" && last >= 0 && things[last].kind == "POLYLINE":
		things[last].vertices = append(things[last].vertices, e)
		return things
	case e.kind == "ATTRIB" || e.kind == "VERTEX":
		return things
	}
	return append(things, e)
}
