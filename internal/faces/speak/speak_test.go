package speak

import (
	"testing"

	"slabwright/internal/engines/quantity"
)

func TestValuesAreSaidAsTheTradeSaysThem(t *testing.T) {
	us, euro := Tongue{quantity.US, "$"}, Tongue{quantity.Metric, "€"}
	yard := 0.764554857984
	for _, c := range []struct {
		t     Tongue
		value quantity.Any
		want  string
	}{
		{us, quantity.Plain(11.5*yard, quantity.AsVolume), "11 1/2 yd³"},
		{us, quantity.Plain(10.56*yard, quantity.AsVolume), "10.56 yd³"},
		{us, quantity.Plain(0, quantity.AsVolume), "0 yd³"},
		{euro, quantity.Plain(11.5, quantity.AsVolume), "11.50 m³"},
		{us, quantity.Plain(20*907.18474, quantity.AsTons), "20.0 tons"},
		{us, quantity.Plain(0.07, quantity.AsPercent), "7 %"},
		{us, quantity.Plain(7.21, quantity.AsRatio), "7.21"},
		{us, quantity.Plain(8865, quantity.AsMoney), "$8,865"},
		{euro, quantity.Plain(173.18, quantity.AsMoney), "€173.18"},
		{euro, quantity.Plain(161.28, quantity.AsMoneyArea), "€161.28/m²"},
		{us, quantity.Words("Pour with care"), "Pour with care"},
	} {
		if got := c.t.Value(c.value); got != c.want {
			t.Errorf("%v: %q, not %q", c.value, got, c.want)
		}
	}
	if got := euro.Headline(quantity.Plain(8864.61, quantity.AsMoney)); got != "€8,865" {
		t.Errorf("headline %q", got)
	}
	if got := us.Span(quantity.Plain(0.05, quantity.AsPercent), quantity.Plain(0.2, quantity.AsPercent)); got != "5 to 20 %" {
		t.Errorf("span %q", got)
	}
}
