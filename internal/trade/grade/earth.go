package grade

import (
	"fmt"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/terrain"
)

// spoil is what is hauled and what is left.
type spoil struct {
	soil     soilRow
	weight   quantity.Density
	bank     quantity.Volume // to haul, as it lies
	mass     quantity.Mass
	byWeight bool // the truck is full by weight before its box is
}

// measure works out what moves: the dig by exact overlay of ground and subgrade, concrete, stone, lifts, spoil.
func (w *work) measure() error {
	if err := w.measureBulk(); err != nil {
		return err
	}
	if err := w.volumes(); err != nil {
		return err
	}
	if err := w.concrete(); err != nil {
		return err
	}
	dry, err := w.stoneWeight()
	if err != nil {
		return err
	}
	w.BaseVolume = quantity.Volume(w.digArea() * w.in.Base.Value.Metres())
	w.StoneVolume = w.BaseVolume + w.Fill + w.in.undercut()
	w.BaseMass = quantity.Mass(float64(stoneMass(w.StoneVolume, dry, w.in.Moisture.Value)) * (1 + float64(w.in.Waste.Value)))
	w.Lifts = lifts(w.in.Base.Value, w.in.Packing.Value, w.in.Lift.Value)
	if err := w.pack(dry); err != nil {
		return err
	}
	s, err := w.spoil()
	if err != nil {
		return err
	}
	w.Loose = quantity.Volume(float64(s.bank) * s.soil.loose)
	w.Left = quantity.Volume(float64(w.Cut-s.bank) * s.soil.loose)
	w.HaulLoads, _ = haulLoads(w.Loose, s.mass, w.in.Box.Value, w.in.Payload.Value)
	return nil
}

func (w *work) digArea() float64 {
	area := 0.0
	for _, p := range w.Dig {
		area += p.Area()
	}
	return area
}

func (w *work) volumes() error {
	under, err := w.surface(w.in.depth())
	if err != nil {
		return err
	}
	var sum terrain.Volumes
	for _, p := range w.Dig {
		v, err := terrain.VolumesBetween(w.ground.surface, under, p)
		if err != nil {
			return fmt.Errorf("grade: cut and fill: %w", err)
		}
		sum = sum.Plus(v)
		if v.Cut > 0 && v.Fill > 0 {
			if err := w.zeroLine(under, p); err != nil {
				return err
			}
		}
	}
	w.Cut, w.Fill = max(0, quantity.Volume(sum.Cut)+w.dugBelow()+w.in.undercut()), quantity.Volume(max(0, sum.Fill))
	if err := w.handDig(under); err != nil {
		return err
	}
	if err := w.crossCheck(under); err != nil {
		return err
	}
	for i, c := range w.Cells {
		w.Cells[i].Depth = quantity.Length(w.ground.at(c.At) - w.top(c.At) + w.deep(c.At))
	}
	return nil
}

// zeroLine collects where the depth changes sign. Depth is linear on every piece of the overlay, so its part there is straight.
func (w *work) zeroLine(under terrain.Ground, p geometry.Polygon) error {
	err := terrain.Overlay(w.ground.surface, under, p, func(ring []geometry.Point, depth []float64) {
		var ends []geometry.Point
		for i, d := range depth {
			j := (i + 1) % len(depth)
			if (d > 0) != (depth[j] > 0) {
				ends = append(ends, ring[i].Lerp(ring[j], d/(d-depth[j])))
			}
		}
		if len(ends) == 2 && ends[0].Distance(ends[1]) > shortestZero {
			w.Zero = append(w.Zero, geometry.Segment{A: ends[0], B: ends[1]})
		}
	})
	if err != nil {
		return fmt.Errorf("grade: line between cut and fill: %w", err)
	}
	return nil
}

// shortestZero is the shortest piece of the zero line that is kept, m.
const shortestZero = 1e-4

// concrete is the volume between the top and the base: as it was shot, or as it is drawn.
func (w *work) concrete() error {
	w.NetVolume = w.bulk.total()
	if len(w.in.BaseShots) == 0 {
		return nil
	}
	base, _, err := w.baseSurface()
	if err != nil {
		return err
	}
	top, err := w.surface(0)
	if err != nil {
		return err
	}
	v, err := terrain.VolumesBetween(top, base, w.slab)
	if err != nil {
		return fmt.Errorf("grade: concrete: %w", err)
	}
	w.NetVolume = quantity.Volume(v.Cut) + w.bulk.total() - w.bulk.slab
	return nil
}

// baseSurface is the finished base as shot; one or two shots say how far a base parallel to the slab lies off its plan.
func (w *work) baseSurface() (terrain.Ground, bool, error) {
	shots, _ := shotsOf(w.in.BaseShots)
	if len(shots) < 3 {
		off := 0.0
		for _, s := range shots {
			off += (s.Z - w.top(s.Point())) / float64(len(shots))
		}
		level, err := w.surface(-off)
		return level, false, err
	}
	surface, hull, err := blanket(shots, nil, w.slab, 1, "grade.base_shots")
	return surface, !hull.IsEmpty(), err
}

func (w *work) stoneWeight() (quantity.Density, error) {
	if w.in.StoneWeight.Given() {
		return w.in.StoneWeight.Value, nil
	}
	row, err := stoneOf(w.in.Stone.Value)
	return row.weight(), err
}

func (w *work) spoil() (spoil, error) {
	row, err := soilOf(w.in.Soil.Value)
	s := spoil{soil: row, weight: row.weight()}
	if w.in.SoilWeight.Given() {
		s.weight = w.in.SoilWeight.Value
	}
	s.bank = quantity.Volume(float64(w.Cut) * (1 - float64(w.in.Keep.Value)))
	s.mass = quantity.Mass(float64(s.bank) * float64(s.weight))
	_, s.byWeight = haulLoads(quantity.Volume(float64(s.bank)*row.loose), s.mass, w.in.Box.Value, w.in.Payload.Value)
	return s, err
}
