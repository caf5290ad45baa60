package grade

import "testing"

// BenchmarkDesign is the three-number job: nothing measured, no tie, one plane tried in every direction.
func BenchmarkDesign(b *testing.B) {
	in := pad()
	for b.Loop() {
		if _, err := Design(in); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMeasured is the pad against a shop, with shots.
func BenchmarkMeasured(b *testing.B) {
	in := apron()
	for b.Loop() {
		if _, err := Design(in); err != nil {
			b.Fatal(err)
		}
	}
}
