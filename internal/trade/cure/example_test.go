package cure_test

import (
	"fmt"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/cure"
	"slabwright/internal/trade/known"
)

// apron is a slab poured by ten on a Thursday in June, mild weather after.
func apron() cure.Input {
	in := cure.Defaults()
	in.Zone = "America/Chicago"
	in.Poured = time.Date(2026, 6, 11, 15, 0, 0, 0, time.UTC)
	in.LaterAir = known.Say(quantity.Fahrenheit(70))
	return in
}

func Example() {
	r, err := cure.Design(apron())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range []string{"saw_from", "strip", "foot", "cure_until", "car", "trailer", "truck"} {
		step, _ := r.Working.Find(name)
		fmt.Printf("%s: %s\n", step.Says, step.Value.Text)
	}
	trailer, _ := r.Find("trailer")
	fmt.Println(trailer.Forward[1])
	// Output:
	// conventional saw from: Fri Jun 12, 12:00 am
	// earliest to strip the side forms: Fri Jun 12, 12:00 pm
	// earliest to walk on it: Fri Jun 12, 12:00 pm
	// earliest to end curing: Sun Jun 21, 2026
	// earliest to drive a car on it: Sat Jun 20, 2026
	// earliest to park the trailer: Fri Jun 26, 2026
	// earliest to let a truck on: Thu Jul 16, 2026
	// Cylinders of this mix that halve the doubt: Wed Jun 24, 2026.
}
