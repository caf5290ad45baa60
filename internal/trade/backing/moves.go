package backing

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/rollout"
)

// Move is one thing the driver does: set the wheel, drive so far.
type Move struct {
	Number   int             `json:"number"`
	Says     string          `json:"says"`
	Backward bool            `json:"backward"`
	Length   quantity.Length `json:"length"`
	Steer    quantity.Angle  `json:"steering"` // left positive
	From     rollout.Pose    `json:"from"`
	To       rollout.Pose    `json:"to"`
}

// moves are the numbered moves of a drive.
func moves(in Input, rig rollout.Rig, d rollout.Drive) []Move {
	poses := rig.Poses(d)
	out := make([]Move, len(d.Pieces))
	for i, p := range d.Pieces {
		m := Move{Number: i + 1, Backward: p.Distance < 0, Length: quantity.Length(math.Abs(p.Distance)), Steer: quantity.Angle(rig.Steer(p.Curvature)), From: poses[i], To: poses[i+1]}
		way := "Forward"
		if m.Backward {
			way = "Back"
		}
		m.Says = fmt.Sprintf("%s %s, %s", way, quantity.Show(m.Length, quantity.AsDistance).String(in.Units), wheel(float64(m.Steer), rig.Lock))
		if rig.Towing() {
			m.Says += "; " + lean(poses[i+1].Bend())
		}
		out[i] = m
	}
	return out
}

// wheel says how far the steering wheel is turned.
func wheel(steer, lock float64) string {
	side := "left"
	if steer < 0 {
		side = "right"
	}
	switch share := math.Abs(steer) / lock; {
	case share < 0.06:
		return "wheel straight"
	case share < 0.35:
		return "wheel a little " + side
	case share < 0.65:
		return "wheel half " + side
	case share < 0.9:
		return "wheel three quarters " + side
	}
	return "wheel full " + side
}

// lean says how the trailer stands behind the tow vehicle when the move ends.
func lean(bend float64) string {
	side := "right"
	if bend < 0 {
		side = "left"
	}
	switch size := math.Abs(bend) * 180 / math.Pi; {
	case size < 3:
		return "trailer straight behind"
	case size < 15:
		return "tail a little to the " + side
	default:
		return fmt.Sprintf("tail %.0f° to the %s", size, side)
	}
}
