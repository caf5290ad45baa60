package order

import (
	"fmt"
	"math"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/winkler"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
	"slabwright/internal/trade/working"
)

// How a loaded truck stands on a drive. Source: common practice.
const (
	steerShare = 0.30    // of the weight that the front axle carries, at most what road law lets it
	axlesApart = 1.32    // m, of the rear pair
	setsApart  = 1.85    // m, middle to middle of the two pairs of tyres of an axle
	setWide    = 0.55    // m, over a pair of tyres
	tyrePress  = 700e3   // Pa
	poisson    = 0.15    // of the drive's concrete
	elasticSI  = 4.73e9  // Pa, modulus of elasticity over √f'c in MPa; ACI 318 (recalled)
	ruptureSI  = 0.62e6  // Pa, modulus of rupture over √f'c in MPa
	gravity    = 9.80665 // m/s²
)

// RearPair is what the rear pair of axles carries when a truck backs in with its extra axles lifted: the weight less three tenths of
// it on the front axle, there at most what road law lets it. Source: common practice.
func RearPair(truck quantity.Mass) quantity.Mass {
	return truck - min(quantity.Mass(steerShare)*truck, singleAxle)
}

// Drive is a concrete drive that a truck crosses.
type Drive struct {
	Thickness quantity.Length
	Strength  quantity.Stress          // of its concrete
	Support   quantity.SubgradeModulus // of what lies under it
}

// EdgeStress is the bending stress at the edge of a drive with the outer tyres of a pair of axles along it, and the stress at which
// its concrete cracks: four pairs of tyres, each a patch 0.55 m wide at 700 kPa, beside the free edge of a thin plate on springs. A truck is
// nearly as wide as a drive, so its tyres run near the edges. Warping and cracks that are there already make it worse.
//
// Source: Westergaard's plate, as in the slab's own check; rupture 0.62 √f'c (MPa), ACI 318. Checked: CON-DRIVE rows.
func (d Drive) EdgeStress(pair quantity.Mass) (stress, cracks quantity.Stress) {
	root := math.Sqrt(d.Strength.MPa())
	plate := winkler.Plate{E: elasticSI * root, H: d.Thickness.Metres(), Nu: poisson, K: float64(d.Support)}
	l, force := plate.Radius(), float64(pair)*gravity/4
	along := force / tyrePress / setWide
	var asks []winkler.Ask
	for _, x := range []float64{0, axlesApart} {
		for _, y := range []float64{setWide / 2, setWide/2 + setsApart} {
			asks = append(asks, winkler.Ask{Patch: winkler.Patch{X: x / l, Y: y / l, Along: along / l, Across: setWide / l}})
		}
	}
	free, _ := winkler.NewEdge(poisson, 0).AtJoint(asks, 0)
	moment := 0.0
	for _, a := range free {
		moment += a.M * force
	}
	return quantity.Stress(plate.Stress(moment)), quantity.Stress(ruptureSI * root)
}

// drive puts the axles on the sheet, and what the rear pair does to a concrete drive.
func (d *design) drive() {
	in, w := d.in, &d.r.Working
	d.r.RearPair = RearPair(d.r.TruckWeight)
	w.Answer(working.Step{Name: "rear_pair", Says: "its rear pair of axles, the extra ones lifted", Formula: "weight less 0.3 of it, at most 20,000 lb (9.07 t), in front", Value: quantity.Show(d.r.RearPair, quantity.AsMass), From: []string{"truck_weight"}, Source: sources.TruckWeights})
	if !in.crosses() {
		return
	}
	stress, cracks := Drive{in.DriveThick.Value, in.DriveStrength.Value, in.DriveSupport.Value}.EdgeStress(d.r.RearPair)
	d.r.DriveUsed = quantity.Ratio(float64(stress / cracks))
	from := []string{"rear_pair", working.Given(w, "drive_thickness", "h", "thickness of the concrete drive", in.DriveThick, quantity.AsThickness),
		working.Given(w, "drive_strength", "f'c", "strength of its concrete", in.DriveStrength, quantity.AsStrength), working.Given(w, "drive_support", "k", "what lies under it", in.DriveSupport, quantity.AsSubgrade)}
	w.Show(working.Step{Name: "drive_stress", Says: "bending at the edge of the drive under the rear pair", Symbol: "σ", Formula: "plate on springs, four pairs of tyres along a free edge", Value: quantity.Show(stress, quantity.AsStress), From: from, Source: sources.Westergaard1926})
	w.Show(working.Step{Name: "drive_cracks", Says: "bending at which it cracks", Formula: "0.62 √f'c (MPa)", Value: quantity.Show(cracks, quantity.AsStress), From: []string{"drive_strength"}, Source: sources.RuptureModulus})
	w.Answer(working.Step{Name: "drive_used", Says: "share of what the drive bears at its edge", Formula: "σ / cracking stress", Value: quantity.Show(d.r.DriveUsed, quantity.AsPercent), From: []string{"drive_stress", "drive_cracks"}, Source: sources.Arithmetic})
}

// crosses says whether the truck goes over a drive: it is taken to until somebody says that it does not.
func (in Input) crosses() bool { return !in.OverDrive.Given() || in.OverDrive.Value }

// fewPasses is the share of the cracking stress that a drive bears some few times. Source: common practice, half of it any number.
const fewPasses = 0.5

// driveCheck holds the rear pair against the concrete drive; nil: the truck crosses none.
func (d *design) driveCheck() *check.Check {
	in, u := d.in, d.in.Units
	if !in.crosses() {
		return nil
	}
	thick, pair := in.DriveThick.Show(quantity.AsThickness).String(u), d.roundMass(d.r.RearPair)
	used := fmt.Sprintf("%.0f %%", 100*float64(d.r.DriveUsed))
	c := check.Check{ID: "order.drive", Level: check.Good, Value: quantity.Plain(float64(d.r.DriveUsed), quantity.AsPercent), Limit: quantity.Plain(fewPasses, quantity.AsPercent), Source: sources.Westergaard1926,
		Says: fmt.Sprintf("A concrete drive of %s bears the rear axles, %s, at %s of what cracks its edge.", thick, pair, used)}
	keepOff := []string{"Stay on the street, or keep the wheels well inside the edge on plates or mats, with the smallest load.", "Look at the drive with the owner first and photograph its cracks; have a signed note.",
		"Measure the drive at a joint and type it: order: {drive_thickness: " + thick + "}; off it altogether: access: {over_drive: no}."}
	switch {
	case d.r.DriveUsed > 1:
		c.Level, c.Then = check.Care, keepOff
		if in.DriveThick.Origin == known.Said || in.DriveThick.Origin == known.Measured {
			c.Level = check.Stop
		}
		c.Says = fmt.Sprintf("The rear axles, %s, bend the edge of a concrete drive of %s to %s of what cracks it: one pass can break it.", pair, thick, used)
	case float64(d.r.DriveUsed) > fewPasses:
		c.Level, c.Then = check.Care, keepOff
		c.Says = fmt.Sprintf("The rear axles, %s, bend the edge of a concrete drive of %s to %s of what cracks it: a few passes, not many.", pair, thick, used)
	}
	return &c
}
