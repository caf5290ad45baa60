// Package plate answers what a slab on soil does under what stands on it: deflection, moments, and tension in both
// faces, for panels of any outline with joints between them, under wheels, weight and temperature.
//
//	slab := plate.Slab{
//		Panels:    []plate.Panel{{Outline: plate.Polygon{{0, 0}, {4, 0}, {4, 4}, {0, 4}}}},
//		Thickness: 0.15, Modulus: 27.6e9, Poisson: 0.15, Support: 54e6,
//	}
//	tyre := plate.Rectangle(plate.Point{X: 0.1, Y: 2}, 0.2, 0.2, 20e3)
//	result, err := plate.Solve(ctx, slab, plate.Load{Patches: []plate.Patch{tyre}}, plate.Mesh{})
//
// All numbers are SI: m, N, Pa, N/m³, K. Deflection w is positive down; stress is positive in tension; a positive moment
// puts the bottom face in tension, σ = 6M/h². Temperature differences are top less bottom.
//
// # What is solved
//
// A slab that is thin against the length over which it spreads a load bends without changing thickness, and lines through
// its depth stay straight and square to its middle (G. Kirchhoff 1850). The soil answers with k per depth, each place for
// itself (E. Winkler 1867). Of all deflections w the slab takes the one with the least energy:
//
//	½∫ D [w,xx² + w,yy² + 2ν w,xx w,yy + 2(1−ν) w,xy²] dA   bending, D = Eh³/(12(1−ν²))
//	+ ½∫ k w² dA                                             soil
//	+ ½∫ q (w₁ − w₂)² ds                                     joints, q shear per length and step
//	− ∫ p w dA − ∫ D(1+ν)(αΔT/h)(w,xx + w,yy) dA             loads, temperature
//
// Free edges need nothing: where the energy is least, moment and shear vanish there by themselves. The slab is cut into a
// grid of rectangles, the deflection in each is a product of cubic polynomials that join with continuous slope (file
// hermite.go), and least energy turns into a system of linear equations, four unknowns for each node: deflection, two slopes
// and twist. Package sparse solves it. Errors in deflection fall with the fourth power of the element size.
//
// # Joints
//
// Each panel has nodes of its own, so an open joint needs nothing either. A joint that passes shear is a row of springs
// between the deflections on its two sides, integrated along its length (joints.go, shear.go).
//
// # Outlines that fit no grid
//
// A panel with a skewed side, a round corner or a box-out is laid over the same grid. Elements that it only partly covers
// are integrated over just that part, exactly (region.go). A sliver that is nearly empty would have next to no stiffness,
// so elements at the edge are tied to their neighbours by the smoothness that a true deflection has anyway (stiffness.go).
// Any bending that a whole element can represent passes the patch test on any outline.
//
// # Soil that cannot pull
//
// A slab that curls leaves the soil. With Slab.LiftOff the soil term is ½∫ k max(w, 0)² dA, taken at 16 points in each
// element. The energy still has one least place, found in a few rounds, each a linear solution with the soil where it
// touched last (contact.go).
//
// # Stress
//
// Stress needs second derivatives, in which elements are weakest. They are recovered from the deflections and slopes of
// neighbouring nodes, which are far better (recovery.go); with three elements across a tyre the governing stress is within
// half a per cent. Accuracy.Recovery says how much recovery changed it.
//
// # How it is known to be right
//
// testdata/checks.csv holds the checks of the structural chapter, STR-07 to STR-29, which the tests answer one by one. Beside
// them stand closed forms (levy in convergence_test.go, Kelvin functions for round slabs and boundless plates), the patch
// test on odd outlines, turned slabs against straight ones, reciprocity, observed orders of convergence, and a record of
// three-dimensional solutions by a general-purpose program (testdata/solid.md). Every answer carries its Balance.
//
// # What it does not know
//
// Shear through the depth: a slab a quarter as thick as its radius of relative stiffness deflects some 3 % more than computed
// (STR-28). An inward corner without a joint, where stress has no bound (Slab.InwardCorners). The tilt of the middle plane at a step in thickness. Cracking. Soil that settles beside the slab.
package plate
