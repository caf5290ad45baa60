package pour_test

import (
	"strings"
	"testing"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

func TestFrozenGroundIsRefusedAndTheThawTold(t *testing.T) {
	in := at(apron(fineDays(june11, 48)), 7)
	in.FrostDepth = known.Say(quantity.Inches(8))
	r := design(t, in)
	c := find(t, r, "pour.concrete-cold")
	if c.Level != check.Stop || !strings.Contains(c.Says, "frozen") {
		t.Fatalf("%v: %s", c.Level, c.Says)
	}
	if then := strings.Join(c.Then, " "); !strings.Contains(then, "tent") || !strings.Contains(then, "thaws it in about") {
		t.Errorf("%s", then)
	}
}
