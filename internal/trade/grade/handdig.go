package grade

import (
	"fmt"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// ByHand is what is dug by hand or vacuum near one buried line.
type ByHand struct {
	Name   string          `json:"name"`
	Volume quantity.Volume `json:"volume"` // as it lies
}

// handDig is the dig within each hand-dig zone, exactly as the dig itself.
func (w *work) handDig(under terrain.Ground) error {
	for _, z := range w.in.Zones {
		sum := 0.0
		for _, outline := range z.Outlines {
			for _, p := range w.Dig {
				common, err := outline.Intersection(p)
				if err != nil {
					return fmt.Errorf("grade: hand-dig zone of %s: %w", z.Name, err)
				}
				for _, piece := range common {
					v, err := terrain.VolumesBetween(w.ground.surface, under, piece)
					if err != nil {
						return fmt.Errorf("grade: hand-dig zone of %s: %w", z.Name, err)
					}
					sum += v.Cut
				}
			}
		}
		if sum > 0 {
			w.ByHand = append(w.ByHand, ByHand{z.Name, quantity.Volume(sum)})
		}
	}
	return nil
}

func (w *work) explainHandDig() {
	for i, h := range w.ByHand {
		w.Working.Answer(working.Step{Name: fmt.Sprintf("hand_dig_%d", i+1), Says: "of that by hand or vacuum, near " + h.Name, Formula: "∫ max(ground − subgrade, 0) dA over its hand-dig zone",
			Value: quantity.Show(h.Volume, quantity.AsVolume), From: []string{"cut"}, Source: sources.BuriedLines})
	}
}

func (w *work) handDigChecks() []check.Check {
	var out []check.Check
	for _, h := range w.ByHand {
		c := check.Caution("grade.hand-dig", fmt.Sprintf("%s of the dig lies in the hand-dig zone of %s: hands or vacuum only, until the line is seen.", w.text(quantity.Show(h.Volume, quantity.AsVolume)), h.Name),
			sources.BuriedLines, "Plan hands and hours for it before the machine comes.")
		c.Where = h.Name
		out = append(out, c)
	}
	return out
}
