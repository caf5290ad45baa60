// Package xlsx writes tables as a spreadsheet whose products and totals are live formulas, set up to print. Text is always
// text: nothing a person typed becomes a formula.
package xlsx

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/rim/sheets/ledger"
)

// About is what the file says about itself, and over each table.
type About struct {
	Title string
	Note  string
	AsOf  time.Time
}

// The rows of every tab: title, note, an empty one, head, then the rows.
const headRow = 4

// Write renders tabs, one sheet each. The same tabs and date give the same bytes; nothing is written when it fails.
func Write(w io.Writer, about About, tabs []ledger.Tab) error {
	f := excelize.NewFile()
	defer f.Close()
	if len(tabs) == 0 {
		return fmt.Errorf("xlsx: no tables to write")
	}
	styles, err := newStyles(f)
	if err != nil {
		return err
	}
	for i, t := range tabs {
		if err := t.Check(); err != nil {
			return err
		}
		if err := addTab(f, styles, about, i, t); err != nil {
			return fmt.Errorf("xlsx: table %q: %w", t.Name, err)
		}
	}
	if err := finish(f, about); err != nil {
		return fmt.Errorf("xlsx: %w", err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		return fmt.Errorf("xlsx: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

func finish(f *excelize.File, about About) error {
	yes := true
	date := about.AsOf.UTC().Format(time.RFC3339)
	if err := f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes}); err != nil {
		return err
	}
	return f.SetDocProps(&excelize.DocProperties{Created: date, Modified: date, Creator: "slabwright", Title: about.Title})
}

func addTab(f *excelize.File, s styles, about About, i int, t ledger.Tab) error {
	name := sheetName(t.Name, i)
	if i == 0 {
		if err := f.SetSheetName("Sheet1", name); err != nil {
			return err
		}
	} else if _, err := f.NewSheet(name); err != nil {
		return err
	}
	p := &putter{file: f, sheet: name}
	p.text(1, 1, about.Title, s.title)
	p.text(1, 2, about.Note, s.words)
	for c, column := range t.Columns {
		says := column.Name
		if column.Unit != "" {
			says += ", " + quantity.PrettyUnit(column.Unit)
		}
		p.text(c+1, headRow, says, s.head)
	}
	for r, row := range t.Rows {
		for c := range row {
			p.cell(t, s, row, c, headRow+1+r)
		}
	}
	p.totals(t, s)
	p.setUp(t)
	return p.err
}

// sheetName is a name the format allows: at most 31 characters, without those it forbids.
func sheetName(name string, i int) string {
	clean := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]'`, r) {
			return ' '
		}
		return r
	}, name)
	if clean = strings.TrimSpace(clean); clean == "" {
		clean = fmt.Sprintf("Table %d", i+1)
	}
	if runes := []rune(clean); len(runes) > 31 {
		clean = string(runes[:31])
	}
	return clean
}

// putter writes cells and keeps the first error.
type putter struct {
	file  *excelize.File
	sheet string
	err   error
}

func (p *putter) try(err error) {
	if p.err == nil {
		p.err = err
	}
}

func at(column, row int) string {
	name, err := excelize.CoordinatesToCellName(column, row)
	if err != nil {
		return "A1" // columns and rows count from one here: it cannot fail
	}
	return name
}

func (p *putter) text(column, row int, says string, style int) {
	cell := at(column, row)
	p.try(p.file.SetCellStr(p.sheet, cell, says))
	p.try(p.file.SetCellStyle(p.sheet, cell, cell, style))
}

func (p *putter) cell(t ledger.Tab, s styles, row []ledger.Cell, column, r int) {
	c, where := t.Columns[column], at(column+1, r)
	value := t.Value(row, column)
	switch {
	case len(c.Product) > 0 && value.Is == ledger.Figure:
		var factors []string
		for _, name := range c.Product {
			factors = append(factors, at(t.Index(name)+1, r))
		}
		p.try(p.file.SetCellFormula(p.sheet, where, strings.Join(factors, "*")))
		p.try(p.file.SetCellStyle(p.sheet, where, where, s.number(c)))
	case value.Is == ledger.Figure:
		p.try(p.file.SetCellFloat(p.sheet, where, value.Number, -1, 64))
		p.try(p.file.SetCellStyle(p.sheet, where, where, s.number(c)))
	case value.Is == ledger.Words:
		p.text(column+1, r, value.Text, s.words)
	}
}

func (p *putter) totals(t ledger.Tab, s styles) {
	last := headRow + len(t.Rows)
	row := last + 1
	labelled := false
	for c, column := range t.Columns {
		if !column.Sum || len(t.Rows) == 0 {
			continue
		}
		if !labelled {
			p.text(1, row, "total", s.head)
			labelled = true
		}
		where := at(c+1, row)
		p.try(p.file.SetCellFormula(p.sheet, where, fmt.Sprintf("SUM(%s:%s)", at(c+1, headRow+1), at(c+1, last))))
		p.try(p.file.SetCellStyle(p.sheet, where, where, s.total(column)))
	}
}

// setUp sets column widths, the frozen head and the printed page.
func (p *putter) setUp(t ledger.Tab) {
	for c, column := range t.Columns {
		widest := len([]rune(column.Name + column.Unit))
		for _, r := range t.Rows {
			widest = max(widest, len([]rune(r[c].Text)))
		}
		name, err := excelize.ColumnNumberToName(c + 1)
		p.try(err)
		p.try(p.file.SetColWidth(p.sheet, name, name, float64(min(max(widest+3, 11), 60))))
	}
	p.try(p.file.SetPanes(p.sheet, &excelize.Panes{Freeze: true, YSplit: headRow, TopLeftCell: at(1, headRow+1), ActivePane: "bottomLeft"}))
	wide, tall, fit := 1, 0, true
	p.try(p.file.SetSheetProps(p.sheet, &excelize.SheetPropsOptions{FitToPage: &fit}))
	p.try(p.file.SetPageLayout(p.sheet, &excelize.PageLayoutOptions{FitToWidth: &wide, FitToHeight: &tall}))
	p.try(p.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: p.sheet,
		RefersTo: fmt.Sprintf("'%s'!$%d:$%d", p.sheet, headRow, headRow)}))
}

// styles are the looks of cells; number formats are made as they are met.
type styles struct {
	file               *excelize.File
	title, head, words int
	made               map[string]int
}

func newStyles(f *excelize.File) (styles, error) {
	s := styles{file: f, made: map[string]int{}}
	var err error
	for _, look := range []struct {
		id    *int
		style excelize.Style
	}{
		{&s.title, excelize.Style{Font: &excelize.Font{Bold: true, Size: 16}}},
		{&s.head, excelize.Style{Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Style: 2, Color: "000000"}},
			Alignment: &excelize.Alignment{WrapText: true, Vertical: "bottom"}}},
		{&s.words, excelize.Style{Alignment: &excelize.Alignment{Vertical: "top"}}},
	} {
		style := look.style
		if *look.id, err = f.NewStyle(&style); err != nil {
			return s, fmt.Errorf("xlsx: %w", err)
		}
	}
	return s, nil
}

func (s styles) number(c ledger.Column) int { return s.format(c, false) }

func (s styles) total(c ledger.Column) int { return s.format(c, true) }

func (s styles) format(c ledger.Column, total bool) int {
	pattern := "#,##0"
	if c.Decimals > 0 {
		pattern += "." + strings.Repeat("0", c.Decimals)
	}
	if c.Money {
		pattern = fmt.Sprintf("%q", c.Unit) + pattern
	}
	key := fmt.Sprint(pattern, total)
	if id, ok := s.made[key]; ok {
		return id
	}
	style := excelize.Style{CustomNumFmt: &pattern}
	if total {
		style.Font = &excelize.Font{Bold: true}
		style.Border = []excelize.Border{{Type: "top", Style: 1, Color: "000000"}}
	}
	id, err := s.file.NewStyle(&style)
	if err != nil {
		return 0 // the plain look; the number itself is safe
	}
	s.made[key] = id
	return id
}
