package intake

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"slabwright/internal/engines/calc"
)

// maxTable is the largest table of check rows that is read, in bytes: some half million rows.
const maxTable = 64 << 20

// CheckRows reads a table of check rows from a file: CSV, or YAML as a list of rows with the same column names.
func CheckRows(path string) ([]calc.Row, error) {
	src, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if len(src) > maxTable {
		return nil, fmt.Errorf("%s has %d bytes; at most %d are read", path, len(src), maxTable)
	}
	switch strings.ToLower(filepath.Ext(path)) {
	case ".yaml", ".yml", ".json":
		return YAMLRows(path, src)
	}
	rows, err := calc.ReadCSV(bytes.NewReader(src))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return rows, nil
}

// YAMLRows reads check rows written as a YAML list of mappings.
func YAMLRows(file string, src []byte) ([]calc.Row, error) {
	d := &decoder{file: file, rowsOnly: true}
	root, err := d.parse(src)
	if err != nil {
		return nil, err
	}
	list, ok := root.(*ast.SequenceNode)
	if !ok {
		return nil, d.whole(1, 1, "is not a list of rows.", "Begin each row with `- id: …`.")
	}
	var rows []calc.Row
	for _, item := range list.Values {
		rows = append(rows, d.checkRow(item))
	}
	if len(d.faults) > 0 {
		return nil, d.faults
	}
	if err := calc.Validate(rows); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return rows, nil
}

func (d *decoder) checkRow(n ast.Node) calc.Row {
	line, _ := place(n)
	row := calc.Row{Line: line}
	m, ok := asMapping(n)
	if !ok {
		d.fault(n, "row", scalarText(n), "is not a row.", "Write id, calculation, inputs, expect and tolerance.")
		return row
	}
	for _, pair := range m.Values {
		field := row.Column(keyOf(pair))
		if field == nil {
			d.unknown(pair, keyOf(pair), "row", calc.Columns)
			continue
		}
		if text, ok := d.scalar(pair.Value, keyOf(pair)); ok {
			*field = text
		}
	}
	return row
}
