package terrain

import (
	"math/bits"

	"slabwright/internal/engines/geometry"
)

// insertionOrder returns the points' indices in the order they should enter the triangulation: in rounds, each about
// twice the last, and along a Hilbert curve within a round. The rounds keep the early triangles fat, the curve keeps
// the next point near the last one; together insertion takes near-linear time (a biased randomized insertion order,
// Amenta, Choi and Rote 2003, recalled). The round is drawn from a hash of the index: same input, same order.
func insertionOrder(points []geometry.Point) []int32 {
	box := geometry.BoundsOf(points)
	scale := 0.0
	if side := max(box.Width(), box.Height()); side > 0 {
		scale = (1<<hilbertBits - 1) / side
	}
	keys := make([]uint64, len(points))
	rounds := uint64(max(1, bits.Len(uint(len(points)))-6))
	for i, p := range points {
		late := min(uint64(bits.TrailingZeros64(mix(uint64(i)))), rounds-1)
		x, y := uint32((p.X-box.Min.X)*scale), uint32((p.Y-box.Min.Y)*scale)
		keys[i] = (rounds-1-late)<<(2*hilbertBits) | hilbert(x, y)
	}
	return sortedByKey(keys)
}

const hilbertBits = 16

// mix spreads an index over 64 bits (the finaliser of SplitMix64, recalled).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// hilbert returns the position of cell (x, y) along the Hilbert curve that fills the square of 2^hilbertBits cells.
func hilbert(x, y uint32) uint64 {
	var d uint64
	for s := uint32(1) << (hilbertBits - 1); s > 0; s >>= 1 {
		rx, ry := uint32(0), uint32(0)
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d = d<<2 | uint64((3*rx)^ry)
		if ry == 0 {
			if rx == 1 {
				x, y = ^x, ^y
			}
			x, y = y, x
		}
	}
	return d
}

// sortedByKey returns the indices of keys in rising order, equal keys by index: a radix sort, 11 bits a pass.
func sortedByKey(keys []uint64) []int32 {
	const digit = 11
	var most uint64
	order, spare := make([]int32, len(keys)), make([]int32, len(keys))
	for i, k := range keys {
		order[i], most = int32(i), max(most, k)
	}
	for shift := 0; most>>shift > 0; shift += digit {
		var start [1<<digit + 1]int32
		for _, k := range keys {
			start[k>>shift&(1<<digit-1)+1]++
		}
		for d := range 1 << digit {
			start[d+1] += start[d]
		}
		for _, i := range order {
			d := keys[i] >> shift & (1<<digit - 1)
			spare[start[d]] = i
			start[d]++
		}
		order, spare = spare, order
	}
	return order
}
