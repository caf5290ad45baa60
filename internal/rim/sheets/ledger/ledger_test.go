package ledger_test

import (
	"testing"

	"slabwright/internal/rim/sheets/ledger"
)

func TestHead(t *testing.T) {
	for _, c := range []struct {
		column ledger.Column
		want   string
	}{
		{ledger.Column{Name: "slump", Unit: "in"}, "slump_in"}, {ledger.Column{Name: "bought over"}, "bought_over"},
		{ledger.Column{Name: "price", Unit: "$/yd3"}, "price_usd_per_yd3"}, {ledger.Column{Name: "cost", Unit: "€", Money: true}, "cost_eur"},
		{ledger.Column{Name: "air", Unit: "%"}, "air_pct"},
	} {
		if got := c.column.Head(); got != c.want {
			t.Errorf("%+v heads as %q, want %q", c.column, got, c.want)
		}
	}
}

func TestProductsAndTotals(t *testing.T) {
	tab := ledger.Tab{Name: "bill", Columns: []ledger.Column{{Name: "a"}, {Name: "b"}, {Name: "ab", Product: []string{"a", "b"}, Sum: true}},
		Rows: [][]ledger.Cell{{ledger.Number(2), ledger.Number(3), {}}, {ledger.Number(4), ledger.Text("soon"), {}}, {ledger.Number(5), ledger.Number(0.5), {}}}}
	if err := tab.Check(); err != nil {
		t.Fatal(err)
	}
	if v := tab.Value(tab.Rows[1], 2); v.Is != ledger.Nothing {
		t.Errorf("a number times words is %+v, want nothing", v)
	}
	if got := tab.Total(2); got != 8.5 {
		t.Errorf("total %v, want 8.5", got)
	}
	tab.Columns[2].Product[1] = "c"
	if tab.Check() == nil {
		t.Error("a product of a column that is not there was taken")
	}
}

func TestHarmless(t *testing.T) {
	for in, want := range map[string]string{"": "", "x=1": "x=1", "=1+1": "'=1+1", "+1": "'+1", "-1": "'-1", "@x": "'@x", "\tx": "'\tx", "\x00=1": "'\x00=1", "＝1": "'＝1", "½": "½"} {
		if got := ledger.Harmless(in); got != want {
			t.Errorf("Harmless(%q) = %q, want %q", in, got, want)
		}
	}
}
