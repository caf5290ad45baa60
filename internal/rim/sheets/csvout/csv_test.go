package csvout_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"slabwright/internal/rim/sheets/csvout"
	"slabwright/internal/rim/sheets/ledger"
)

func bill() ledger.Tab {
	return ledger.Tab{Name: "Quantities", Columns: []ledger.Column{
		{Name: "item"}, {Name: "amount", Unit: "yd3", Decimals: 2}, {Name: "price", Unit: "$/yd3", Decimals: 2},
		{Name: "cost", Unit: "$", Money: true, Decimals: 2, Product: []string{"amount", "price"}, Sum: true}},
		Rows: [][]ledger.Cell{
			{ledger.Text("Concrete, 4,000 psi \"air\"\nsecond line"), ledger.Number(11.25), ledger.Number(165), {}},
			{ledger.Text("=HYPERLINK(\"x\")"), ledger.Number(1), ledger.Number(-2), {}},
			{ledger.Text("@cmd"), {}, ledger.Number(3), {}},
		}}
}

// CON-05: commas, quotes and line breaks in fields, text that looks like a formula, units in the header, CRLF.
func TestRFC4180(t *testing.T) {
	var b bytes.Buffer
	if err := csvout.Write(&b, bill()); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	if !strings.HasPrefix(text, "item,amount_yd3,price_usd_per_yd3,cost_usd\r\n") {
		t.Errorf("header is %q", strings.SplitN(text, "\n", 2)[0])
	}
	if !strings.HasSuffix(text, "\r\n") {
		t.Error("the last line does not end in CRLF")
	}
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		row, column int
		want        string
	}{
		{1, 0, "Concrete, 4,000 psi \"air\"\nsecond line"}, {1, 3, "1856.25"}, {2, 0, `'=HYPERLINK("x")`}, {2, 2, "-2"},
		{3, 0, "'@cmd"}, {3, 3, ""},
	} {
		if got := rows[c.row][c.column]; got != c.want {
			t.Errorf("row %d column %d is %q, want %q", c.row, c.column, got, c.want)
		}
	}
}

func TestRefusesRaggedRows(t *testing.T) {
	ragged := bill()
	ragged.Rows[1] = ragged.Rows[1][:2]
	var b bytes.Buffer
	if err := csvout.Write(&b, ragged); err == nil || b.Len() > 0 {
		t.Errorf("wrote %d bytes, error %v; want a refusal and nothing written", b.Len(), err)
	}
}
