package mix

import (
	"fmt"

	"slabwright/internal/engines/quantity"
)

// Proportions is what a trial recipe is worked out from.
type Proportions struct {
	Water         quantity.Density // mixing water, aggregates saturated and surface-dry
	WaterCement   float64          // water over all cementitious, by mass
	FlyAsh        float64          // shares of the cementitious mass, 0 to 1
	Slag          float64
	SilicaFume    float64
	CoarseShare   float64          // dry-rodded volume of coarse aggregate per volume of concrete
	Rodded        quantity.Density // dry-rodded bulk density of the coarse aggregate
	Air           float64          // share of the volume
	CementGravity float64
	AshGravity    float64
	SlagGravity   float64
	FumeGravity   float64
	CoarseGravity float64
	SandGravity   float64
}

// Recipe is a unit volume of concrete: masses per volume, and the share of the volume each fills.
type Recipe struct {
	Water        quantity.Density `json:"water"`
	Cementitious quantity.Density `json:"cementitious"`
	Cement       quantity.Density `json:"cement"`
	FlyAsh       quantity.Density `json:"fly_ash"`
	Slag         quantity.Density `json:"slag"`
	SilicaFume   quantity.Density `json:"silica_fume"`
	Coarse       quantity.Density `json:"coarse"`
	Sand         quantity.Density `json:"sand"`
	Air          quantity.Percent `json:"air"`
	Density      quantity.Density `json:"density"`
	Shares       Shares           `json:"shares"`
}

// Shares are parts of the volume.
type Shares struct {
	Water  float64 `json:"water"`
	Binder float64 `json:"binder"`
	Coarse float64 `json:"coarse"`
	Air    float64 `json:"air"`
	Sand   float64 `json:"sand"`
}

// Proportion works out a recipe by absolute volumes: what water, binders, stone and air leave is sand.
//
//	V_fa = 1 - w/ρw - Σ mᵢ/(ρw Gᵢ) - m_ca/(ρw G_ca) - A      m_fa = V_fa G_fa ρw
//
// w water, m masses per volume, G relative densities, A air as a share, ρw density of water (62.4 lb/ft³ in the US edition,
// 1000 kg/m³ in the SI one). Source: ACI 211.1-91, 6.3. Refuses when nothing is left for sand.
// Checked: CON-07, CON-09, CON-11, CON-12, CON-14, CON-15.
func (t Tables) Proportion(p Proportions) (Recipe, error) {
	r := p.binders()
	r.Coarse = quantity.Density(p.CoarseShare * float64(p.Rodded))
	r.Air = quantity.Percent(p.Air)
	fills := func(mass quantity.Density, gravity float64) float64 {
		return float64(mass) / (t.waterDensity * gravity)
	}
	r.Shares = Shares{
		Water: fills(r.Water, 1),
		Binder: fills(r.Cement, p.CementGravity) + fills(r.FlyAsh, p.AshGravity) +
			fills(r.Slag, p.SlagGravity) + fills(r.SilicaFume, p.FumeGravity),
		Coarse: fills(r.Coarse, p.CoarseGravity),
		Air:    p.Air,
	}
	filled := r.Shares.Water + r.Shares.Binder + r.Shares.Coarse + r.Shares.Air
	r.Shares.Sand = 1 - filled
	if !(r.Shares.Sand > 0) {
		return Recipe{}, fmt.Errorf("no room for sand: cement + water + coarse + air = %.2f of the volume; more w/cm, less stone or less slump makes room", filled)
	}
	r.Sand = quantity.Density(r.Shares.Sand * p.SandGravity * t.waterDensity)
	r.Density = r.Water + r.Cementitious + r.Coarse + r.Sand
	return r, nil
}

func (p Proportions) binders() Recipe {
	cm := quantity.Density(float64(p.Water) / p.WaterCement)
	part := func(share float64) quantity.Density { return quantity.Density(share * float64(cm)) }
	return Recipe{Water: p.Water, Cementitious: cm,
		FlyAsh: part(p.FlyAsh), Slag: part(p.Slag), SilicaFume: part(p.SilicaFume),
		Cement: part(1 - p.FlyAsh - p.Slag - p.SilicaFume)}
}

// WeightSand is the sand by the weight method: what is left of the estimated fresh density. Absolute volume is the rule
// here; this is its cross-check, usually within 4 % of sand. Source: ACI 211.1-91, 6.3.7.1 (recalled). Checked: CON-08, CON-11.
func WeightSand(fresh quantity.Density, r Recipe) quantity.Density {
	return fresh - r.Water - r.Cementitious - r.Coarse
}

// FreshDensityEstimate is the density of fresh concrete of medium richness:
//
//	U = ρ Ga (100 - A)/100 + c (1 - Ga/Gc) - w (Ga - 1)
//
// Ga mean relative density of the aggregates, A air in %, c cement, w water, ρ 16.85 · 100 lb/yd³ in the US form,
// 1000 kg/m³ in SI. Source: ACI 211.1-91, 6.3.7.1 (recalled). Checked: CON-18.
func (t Tables) FreshDensityEstimate(gravity, air, cementG float64, cement, water quantity.Density) quantity.Density {
	rho := 1000.0
	if t.content == usTables.content {
		rho = float64(quantity.Of[quantity.Density](1685, "lb/yd3"))
	}
	return quantity.Density(rho*gravity*(1-air) + float64(cement)*(1-gravity/cementG) - float64(water)*(gravity-1))
}

// VolumeShare turns a share of fly ash by mass into its share by volume:
//
//	F_v = 1/(1 + (Gp/3.15) (1/F_w - 1))
//
// Source: ACI 211.1-91, 6.3.4 (recalled). Checked: CON-16.
func VolumeShare(massShare, gravity float64) float64 {
	if massShare == 0 {
		return 0
	}
	return 1 / (1 + gravity/cementGravity*(1/massShare-1))
}

// EquivalentRatio is the w/(c+p) by mass that keeps the paste volume of a plain w/c:
//
//	w/(c+p) = 3.15 (w/c) / (3.15 (1 - F_v) + Gp F_v)
//
// Source: ACI 211.1-91, 6.3.4 (recalled). Checked: CON-17.
func EquivalentRatio(waterCement, volumeShare, gravity float64) float64 {
	return cementGravity * waterCement / (cementGravity*(1-volumeShare) + gravity*volumeShare)
}

// Relative densities, usual values.
const (
	cementGravity = 3.15
	ashGravity    = 2.40
	slagGravity   = 2.90
	fumeGravity   = 2.20
)

// Basis says in which state a recipe's aggregate masses are counted.
type Basis string

// The bases. Mixing them is the classic error: 1 % of 1,800 lb is 18 lb, two gallons a yard.
const (
	Dry Basis = "dry" // oven-dry, as ACI 211.1 counts
	SSD Basis = "ssd" // saturated and surface-dry, as plants count
)

// Aggregate is one aggregate's mass in the recipe and its moistures, as shares.
type Aggregate struct {
	Mass       quantity.Density
	Moisture   float64 // total water over dry mass
	Absorption float64
}

// Batch is what goes into the drum: wet aggregates, and the water still to add.
type Batch struct {
	Coarse   quantity.Density `json:"coarse"`
	Sand     quantity.Density `json:"sand"`
	Water    quantity.Density `json:"water"`
	Absorbed quantity.Density `json:"absorbed"` // water inside the aggregates, in the masses but not mixing water
}

// BatchMasses corrects a recipe for moisture.
//
//	dry basis: batch = m (1 + M)               free water = m (M - a)
//	SSD basis: batch = m (1 + M)/(1 + a)       free water = m (M - a)/(1 + a)
//
// m mass in the recipe, M total moisture, a absorption. The water to add is the mixing water less the free water; on the dry
// basis the batch weighs the recipe plus the absorbed water, on the SSD basis just the recipe. Refuses when the aggregates carry more water
// than the mix may have. Source: ACI 211.1-91, 6.3.8; common practice for SSD. Checked: CON-10, CON-13.
func BatchMasses(basis Basis, water quantity.Density, coarse, sand Aggregate) (Batch, error) {
	cb, cf, ca := coarse.batch(basis)
	sb, sf, sa := sand.batch(basis)
	b := Batch{Coarse: cb, Sand: sb, Water: water - cf - sf, Absorbed: ca + sa}
	if b.Water < 0 {
		return Batch{}, fmt.Errorf("the sand and stone carry %.0f kg/m³ of free water and the mix may have %.0f; check the moistures",
			float64(cf+sf), float64(water))
	}
	return b, nil
}

func (a Aggregate) batch(basis Basis) (mass, free, absorbed quantity.Density) {
	dry := float64(a.Mass)
	if basis == SSD {
		dry /= 1 + a.Absorption
	}
	return quantity.Density(dry * (1 + a.Moisture)), quantity.Density(dry * (a.Moisture - a.Absorption)), quantity.Density(dry * a.Absorption)
}
