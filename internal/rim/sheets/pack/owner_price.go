package pack

import (
	"cmp"
	"math"
	"slices"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/price"
)

// part is a line of the price as the owner reads it.
type part struct {
	says   string
	lines  []string // the bill's lines in it, by name
	amount quantity.Money
}

// ownerParts gather the bill's lines into what an owner can picture; what is in none of them is other things.
func ownerParts() []part {
	return []part{
		{says: "Digging, hauling and packed stone", lines: []string{"stone", "digging", "hauling", "compactor"}},
		{says: "Concrete, brought to the slab", lines: []string{"concrete", "short_load", "pump", "buggy"}},
		{says: "Steel, forms and cuts", lines: []string{"bars", "chairs", "boards", "stakes", "isolation", "sawing"}},
		{says: "Our crew's work", lines: []string{"labour"}},
		{says: "Keeping it damp, and other things"},
	}
}

// priceParts shares the whole price, with what the shop adds and rounds, among the owner's lines in proportion to their cost,
// largest first, in whole units of money; the largest line takes what rounding leaves, so that they add up to the price.
func priceParts(p price.Result) []part {
	parts := ownerParts()
	for _, l := range p.Lines {
		i := slices.IndexFunc(parts, func(o part) bool { return slices.Contains(o.lines, l.Name) })
		if i < 0 {
			i = len(parts) - 1
		}
		parts[i].amount += l.Total
	}
	parts = slices.DeleteFunc(parts, func(o part) bool { return o.amount <= 0 })
	slices.SortStableFunc(parts, func(a, b part) int { return cmp.Compare(b.amount, a.amount) })
	sum := quantity.Money(0)
	for _, o := range parts {
		sum += o.amount
	}
	left := p.Price
	for i := len(parts) - 1; i > 0; i-- {
		parts[i].amount = quantity.Money(math.Round(float64(parts[i].amount / sum * p.Price)))
		left -= parts[i].amount
	}
	if len(parts) > 0 {
		parts[0].amount = left
	}
	return parts
}
