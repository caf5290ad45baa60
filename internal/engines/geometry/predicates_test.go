package geometry

import "testing"

// BenchmarkInCircleTie is the slow path: four points exactly on one circle, not on an upright rectangle.
func BenchmarkInCircleTie(b *testing.B) {
	p, q, r, s := Point{5.1, 0.1}, Point{0.1, 5.1}, Point{-4.9, 0.1}, Point{0.1, -4.9}
	for b.Loop() {
		InCircle(p, q, r, s)
	}
}

func BenchmarkInCircle(b *testing.B) {
	p, q, r, s := Point{5.1, 0.1}, Point{0.1, 5.1}, Point{-4.9, 0.1}, Point{0.1, -4.8}
	for b.Loop() {
		InCircle(p, q, r, s)
	}
}
