package quantity

import "testing"

func TestMoneyTakesTheShopsSign(t *testing.T) {
	for _, c := range []struct{ text, sign, want string }{
		{"$8,865.00", "€", "€8,865.00"},
		{"costs fit under $8,885; the price is $-12.50/yd³", "£", "costs fit under £8,885; the price is £-12.50/yd³"},
		{"$165.00/yd³", "CHF", "CHF\u00a0165.00/yd³"},
		{"$165", "$", "$165"},
		{"$165", "", "$165"},
		{"$165", "$1", "$1165"},
		{"type $ here", "€", "type $ here"},
	} {
		if got := InCurrency(c.text, c.sign); got != c.want {
			t.Errorf("%q in %q: %q, not %q", c.text, c.sign, got, c.want)
		}
	}
	for _, c := range []struct{ unit, sign, want string }{{"$/yd3", "€", "€/yd3"}, {"$", "kr", "kr"}, {"psi", "€", "psi"}, {"$", "", "$"}, {"", "€", ""}} {
		if got := CurrencyUnit(c.unit, c.sign); got != c.want {
			t.Errorf("%q in %q: %q, not %q", c.unit, c.sign, got, c.want)
		}
	}
}
