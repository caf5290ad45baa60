package quantity_test

import (
	"fmt"
	"time"

	"slabwright/internal/engines/quantity"
)

// A side from a pad of paper: the value is exact, and the box shows how it was understood.
func ExampleLength_ReadText() {
	side := quantity.Box{Name: "side", Unit: "ft", Low: 1, High: 400}
	for _, text := range []string{`12-7 3/8`, `12.6`, `9.7 m`, `12 1/3`} {
		var l quantity.Length
		heard, err := l.ReadText(text, side)
		fmt.Println(heard.ReadBack, heard.Notes, err)
	}
	// Output:
	// 12'-7 3/8"  (12.61 ft, 3.845 m) [] <nil>
	// 12'-7 1/4"  (12.60 ft, 3.840 m) [If you meant 12 ft 6 in, type 12 6.] <nil>
	// 31'-9 7/8"  (31.82 ft, 9.700 m) [] <nil>
	//  [] `12 1/3`: a tape has halves, quarters, eighths, sixteenths. Type 12'-4" or 12.33 ft.
}

// Feet where inches are usual: the person is asked, not refused.
func ExampleBox_usualRange() {
	var thickness quantity.Length
	heard, _ := thickness.ReadText("6'", quantity.Box{Name: "slab thickness", Unit: "in", Low: 2, High: 24})
	fmt.Println(heard.Ask.Says, heard.Ask.Choices)
	// Output: 6 ft is thick for a slab. Use 6 in? [6 in 6 ft]
}

func ExampleDate_ReadText() {
	monday := time.Date(2026, 6, 8, 5, 0, 0, 0, time.UTC)
	for _, locale := range []string{"en-US", "en-GB"} {
		var pour quantity.Date
		heard, _ := pour.ReadText("6/11", quantity.Box{Name: "pour day", Locale: locale, Today: monday})
		fmt.Println(pour, heard.Notes)
	}
	// Output:
	// Thu 11 Jun 2026 [Read as month/day.]
	// Fri 6 Nov 2026 [Read as day/month.]
}
