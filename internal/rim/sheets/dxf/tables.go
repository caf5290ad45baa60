package dxf

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/layout"
	"slabwright/internal/trade/draft"
)

// Handles of the fixed records, hexadecimal.
const (
	modelSpace = "1F"
	paperSpace = "1B"
	textStyle  = "LETTERS"
)

// INSUNITS values of the format.
const (
	insFeet   = 2
	insMetres = 6
)

// whole is the file: header, classes, tables, blocks, entities, objects.
func (f *file) whole() []byte {
	var b bytes.Buffer
	f.header(&b)
	section(&b, "CLASSES", func() {})
	section(&b, "TABLES", func() { f.tables(&b) })
	section(&b, "BLOCKS", func() { blocks(&b) })
	section(&b, "ENTITIES", func() { b.Write(f.entities.Bytes()) })
	section(&b, "OBJECTS", func() { objects(&b) })
	pair(&b, 0, "EOF")
	return b.Bytes()
}

func section(b *bytes.Buffer, name string, fill func()) {
	pair(b, 0, "SECTION")
	pair(b, 2, name)
	fill()
	pair(b, 0, "ENDSEC")
}

func (f *file) header(b *bytes.Buffer) {
	units, metric := insFeet, 0
	if f.system == quantity.Metric {
		units, metric = insMetres, 1
	}
	section(b, "HEADER", func() {
		variable := func(name string, code int, value any) {
			pair(b, 9, name)
			pair(b, code, value)
		}
		variable("$ACADVER", 1, "AC1024")
		variable("$DWGCODEPAGE", 3, "ANSI_1252")
		variable("$INSUNITS", 70, units)
		variable("$MEASUREMENT", 70, metric)
		variable("$HANDSEED", 5, fmt.Sprintf("%X", f.handle+1))
		pair(b, 9, "$EXTMIN")
		f.point(b, 10, f.low)
		pair(b, 9, "$EXTMAX")
		f.point(b, 10, f.high)
	})
}

// table writes one table with its records; each record is handed its own handle.
func table(b *bytes.Buffer, name, handle string, count int, fill func()) {
	pair(b, 0, "TABLE")
	pair(b, 2, name)
	pair(b, 5, handle)
	pair(b, 330, 0)
	pair(b, 100, "AcDbSymbolTable")
	pair(b, 70, count)
	if name == "DIMSTYLE" {
		pair(b, 100, "AcDbDimStyleTable")
		pair(b, 71, count)
	}
	fill()
	pair(b, 0, "ENDTAB")
}

func record(b *bytes.Buffer, kind, handle, owner, class, name string) {
	pair(b, 0, kind)
	if kind == "DIMSTYLE" {
		pair(b, 105, handle)
	} else {
		pair(b, 5, handle)
	}
	pair(b, 330, owner)
	pair(b, 100, "AcDbSymbolTableRecord")
	pair(b, 100, class)
	pair(b, 2, name)
}

func (f *file) tables(b *bytes.Buffer) {
	table(b, "VPORT", "8", 1, func() { f.viewport(b) })
	f.lineTypes(b)
	layers(b)
	table(b, "STYLE", "3", 2, func() {
		style(b, "31", "STANDARD")
		style(b, "32", textStyle)
	})
	table(b, "VIEW", "6", 0, func() {})
	table(b, "UCS", "7", 0, func() {})
	table(b, "APPID", "9", 1, func() {
		record(b, "APPID", "91", "9", "AcDbRegAppTableRecord", "ACAD")
		pair(b, 70, 0)
	})
	table(b, "DIMSTYLE", "A", 1, func() {
		record(b, "DIMSTYLE", "A1", "A", "AcDbDimStyleTableRecord", "STANDARD")
		pair(b, 70, 0)
	})
	table(b, "BLOCK_RECORD", "1", 2, func() {
		for _, space := range [][2]string{{modelSpace, "*Model_Space"}, {paperSpace, "*Paper_Space"}} {
			record(b, "BLOCK_RECORD", space[0], "1", "AcDbBlockTableRecord", space[1])
			pair(b, 340, 0)
		}
	})
}

// viewport opens the file looking at the whole drawing.
func (f *file) viewport(b *bytes.Buffer) {
	record(b, "VPORT", "81", "8", "AcDbViewportTableRecord", "*ACTIVE")
	pair(b, 70, 0)
	size := f.high.Sub(f.low)
	centre := f.low.Lerp(f.high, 0.5)
	for _, p := range [][3]float64{{10, 0, 0}, {11, 1, 1}, {12, centre.X, centre.Y}} {
		pair(b, int(p[0]), p[1])
		pair(b, int(p[0])+10, p[2])
	}
	pair(b, 40, max(size.Y, size.X*0.7)*1.4)
	pair(b, 41, 1.5)
}

// patterns are the line types there are, in the order of the table.
var patterns = []drawing.Pattern{drawing.Dash, drawing.Dotted, drawing.LongShort, drawing.LongTwo, drawing.DashDot}

func lineTypeName(p drawing.Pattern) string {
	if layout.Dashes(p) == nil {
		return "Continuous"
	}
	return strings.ToUpper(string(p))
}

func (f *file) lineTypes(b *bytes.Buffer) {
	plain := []string{"ByBlock", "ByLayer", "Continuous"}
	table(b, "LTYPE", "5", len(plain)+len(patterns), func() {
		for i, name := range plain {
			lineType(b, fmt.Sprintf("5%X", i+1), name, nil)
		}
		for i, p := range patterns {
			var lengths []float64
			for j, d := range layout.Dashes(p) {
				sign := 1 - 2*float64(j%2)
				lengths = append(lengths, sign*d*f.paper)
			}
			lineType(b, fmt.Sprintf("5%X", len(plain)+i+1), lineTypeName(p), lengths)
		}
	})
}

func lineType(b *bytes.Buffer, handle, name string, lengths []float64) {
	record(b, "LTYPE", handle, "5", "AcDbLinetypeTableRecord", name)
	total := 0.0
	for _, d := range lengths {
		total += math.Abs(d)
	}
	pair(b, 70, 0)
	pair(b, 3, name)
	pair(b, 72, 65)
	pair(b, 73, len(lengths))
	pair(b, 40, total)
	for _, d := range lengths {
		pair(b, 49, d)
		pair(b, 74, 0)
	}
}

func layers(b *bytes.Buffer) {
	all := draft.Layers()
	table(b, "LAYER", "2", len(all)+1, func() {
		layer(b, "C0", drawing.Layer{Name: "0"})
		for i, l := range all {
			layer(b, fmt.Sprintf("%X", 0xC1+i), l)
		}
	})
}

func layer(b *bytes.Buffer, handle string, l drawing.Layer) {
	record(b, "LAYER", handle, "2", "AcDbLayerTableRecord", l.Name)
	pair(b, 70, 0)
	pair(b, 62, 7)
	if rgb, err := strconv.ParseUint(strings.TrimPrefix(l.Colour, "#"), 16, 24); err == nil { // none stated: no true colour
		pair(b, 420, rgb)
	}
	pair(b, 6, lineTypeName(l.Pattern))
	pair(b, 370, lineWeight(l.Width))
}

// lineWeight is the format's nearest pen, hundredths of a millimetre; −3 is its usual one.
func lineWeight(width float64) int {
	if width <= 0 {
		return -3
	}
	best := 0
	for _, w := range []int{0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211} {
		if math.Abs(float64(w)-width*100) < math.Abs(float64(best)-width*100) {
			best = w
		}
	}
	return best
}

func style(b *bytes.Buffer, handle, name string) {
	record(b, "STYLE", handle, "3", "AcDbTextStyleTableRecord", name)
	pair(b, 70, 0)
	pair(b, 40, 0.0)
	pair(b, 41, 1.0)
	pair(b, 50, 0.0)
	pair(b, 71, 0)
	pair(b, 42, 2.5)
	pair(b, 3, "arial.ttf")
	pair(b, 4, "")
}

func blocks(b *bytes.Buffer) {
	for i, space := range [][2]string{{modelSpace, "*Model_Space"}, {paperSpace, "*Paper_Space"}} {
		pair(b, 0, "BLOCK")
		pair(b, 5, fmt.Sprintf("%X", 0x20+2*i))
		pair(b, 330, space[0])
		pair(b, 100, "AcDbEntity")
		pair(b, 8, "0")
		pair(b, 100, "AcDbBlockBegin")
		pair(b, 2, space[1])
		pair(b, 70, 0)
		for _, code := range []int{10, 20, 30} {
			pair(b, code, 0.0)
		}
		pair(b, 3, space[1])
		pair(b, 1, "")
		pair(b, 0, "ENDBLK")
		pair(b, 5, fmt.Sprintf("%X", 0x21+2*i))
		pair(b, 330, space[0])
		pair(b, 100, "AcDbEntity")
		pair(b, 8, "0")
		pair(b, 100, "AcDbBlockEnd")
	}
}

func objects(b *bytes.Buffer) {
	pair(b, 0, "DICTIONARY")
	pair(b, 5, "C")
	pair(b, 330, 0)
	pair(b, 100, "AcDbDictionary")
	pair(b, 281, 1)
	pair(b, 3, "ACAD_GROUP")
	pair(b, 350, "D")
	pair(b, 0, "DICTIONARY")
	pair(b, 5, "D")
	pair(b, 330, "C")
	pair(b, 100, "AcDbDictionary")
	pair(b, 281, 1)
}
