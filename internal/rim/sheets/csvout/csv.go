// Package csvout writes tables as CSV after RFC 4180: a header with the units in its names, CRLF line ends, quotes doubled,
// numbers with a decimal point and no separators.
package csvout

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"slabwright/internal/rim/sheets/ledger"
)

// Write renders one table. Nothing is written when it fails.
func Write(w io.Writer, t ledger.Tab) error {
	if err := t.Check(); err != nil {
		return err
	}
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	out.UseCRLF = true
	header := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		header[i] = ledger.Harmless(c.Head())
	}
	records := [][]string{header}
	for _, row := range t.Rows {
		record := make([]string, len(row))
		for i := range row {
			record[i] = text(t.Value(row, i))
		}
		records = append(records, record)
	}
	if err := out.WriteAll(records); err != nil {
		return fmt.Errorf("csv: %w", err)
	}
	_, err := w.Write(b.Bytes())
	return err
}

func text(c ledger.Cell) string {
	switch c.Is {
	case ledger.Figure:
		return strconv.FormatFloat(c.Number, 'f', -1, 64)
	case ledger.Words:
		return ledger.Harmless(c.Text)
	}
	return ""
}
