package grade

import (
	"fmt"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
)

// pad is the three-number job: 14 by 40 ft, 6 in, nothing else known.
func pad() Input {
	in := Defaults()
	in.Outline = geometry.Rectangle(quantity.Feet(40).Metres(), quantity.Feet(14).Metres())
	in.Thickness = known.Say(quantity.Inches(6))
	return in
}

func ExampleDesign() {
	r, err := Design(pad())
	fmt.Println(r.Direction, quantity.Show(r.Fall, quantity.AsDrop).String(quantity.US), quantity.Show(r.BaseVolume, quantity.AsVolume).String(quantity.US), r.Lifts, err)
	// Output: to side AB 3 3/8 in 8.30 yd³ 3 <nil>
}
