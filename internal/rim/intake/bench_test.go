package intake

import (
	"os"
	"testing"

	"slabwright/internal/trade/plan"
)

func BenchmarkPlanOfTheShippedExample(b *testing.B) {
	path := "../../../examples/boathouse-apron.yaml"
	src, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	j, _, err := Job(path, src, asOf)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		var planner plan.Planner
		planner.Make(j)
	}
}
