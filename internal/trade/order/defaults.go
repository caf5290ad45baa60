package order

import (
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// Defaults is what is assumed until somebody says otherwise. Money is a placeholder until the shop's own is typed.
func Defaults() Input {
	inches := func(v, low, high float64, why string, source sources.Key) known.Length {
		return known.Assume(quantity.Inches(v), quantity.Inches(low), quantity.Inches(high), why, source)
	}
	minutes := func(v, low, high float64, why string, source sources.Key) known.Time {
		return known.Assume(quantity.Minutes(v), quantity.Minutes(low), quantity.Minutes(high), why, source)
	}
	yards := func(v, low, high float64, why string) known.Volume {
		return known.Assume(quantity.CubicYards(v), quantity.CubicYards(low), quantity.CubicYards(high), why, sources.CommonPractice)
	}
	pounds := func(v float64) quantity.Mass { return quantity.Of[quantity.Mass](v, "lb") }
	pci := func(v float64) quantity.SubgradeModulus { return quantity.Of[quantity.SubgradeModulus](v, "pci") }
	perYard := func(v, low, high float64, why string) known.MoneyVolume {
		of := func(x float64) quantity.MoneyVolume { return quantity.Of[quantity.MoneyVolume](x, "$/yd3") }
		return known.Assume(of(v), of(low), of(high), why, sources.PlaceholderFee)
	}
	perHour := func(v, low, high float64, why string) known.VolumeRate {
		of := func(x float64) quantity.VolumeRate { return quantity.Of[quantity.VolumeRate](x, "yd3/h") }
		return known.Assume(of(v), of(low), of(high), why, sources.CommonPractice)
	}
	return Input{
		BaseMean:    inches(0.125, 0, 0.25, "bases come out a little low", sources.NRMCAYield),
		BaseLevel:   inches(0.25, 0.125, 0.5, "no depths taken from string to base", sources.CommonPractice),
		Roughness:   inches(0.375, 0.125, 0.75, "fine grading by hand", sources.ACI117Thickness),
		OpenStone:   known.Guess(false, "stone is choked or covered", sources.CommonPractice),
		Bow:         inches(0.25, 0, 0.5, "boards give a little", sources.CommonPractice),
		Yield:       known.Assume[quantity.Percent](0.01, 0, 0.02, "loads vary about a hundredth", sources.NRMCAYield),
		Waste:       yards(0.1, 0, 0.25, "what stays in drum and chute"),
		WasteSpread: yards(0.05, 0, 0.1, "waste varies"),

		Allowance: known.Assume[quantity.Percent](0.07, 0.04, 0.10, "4 to 10 % over the plan is usual", sources.NRMCAYield),
		Over:      perYard(190, 120, 260, "price of a yard and getting rid of it"),
		Under:     perYard(40, 0, 100, "a small load costs more a yard"),
		TopUp:     known.Assume[quantity.Money](350, 150, 800, "short-load fee, trip, crew waiting, a cold joint", sources.PlaceholderFee),

		TruckEmpty:    known.Assume(pounds(28000), pounds(25000), pounds(32000), "a loaded 10 yd³ truck weighs 66,000 to 72,000 lb", sources.TruckWeights),
		DriveThick:    inches(4, 3.5, 6, "what a house drive usually is", sources.CommonPractice),
		DriveStrength: known.Assume(quantity.PSI(3000), quantity.PSI(2500), quantity.PSI(4500), "an old drive nobody has tested", sources.CommonPractice),
		DriveSupport:  known.Assume(pci(100), pci(50), pci(200), "ground nobody has looked at", sources.CommonPractice),
		Density:       known.Assume[quantity.Density](2330, 2200, 2450, "ordinary concrete", sources.CommonPractice),
		Capacity:      yards(9, 8, 10, "trucks hold 9 to 11, legal load is often 8 to 10"),
		Rate:          perHour(10, 6, 20, "hand screed, three to five people"),
		Batch:         minutes(10, 5, 15, "usual at a plant", sources.CommonPractice),
		Haul:          minutes(30, 10, 60, "plant not named", sources.CommonPractice),
		SetUp:         minutes(5, 2, 10, "back in, fold the chute out", sources.CommonPractice),
		Wash:          minutes(10, 5, 15, "usual", sources.CommonPractice),
		TimeLimit:     minutes(90, 60, 120, "older rule; since 2021 the standard has none, agree one", sources.C94OldTime),
		FreeTime:      minutes(45, 30, 60, "30 to 60 min a load is usual", sources.CommonPractice),
		WaitPrice:     known.Assume(quantity.Of[quantity.MoneyRate](2, "$/min"), quantity.Of[quantity.MoneyRate](1, "$/min"), quantity.Of[quantity.MoneyRate](4, "$/min"), "plants charge by the minute", sources.PlaceholderFee),
		ShortBelow:    yards(5, 3, 6, "plants set it at 3 to 6"),
		ShortFee:      known.Assume[quantity.Money](100, 50, 250, "flat fee", sources.PlaceholderFee),
		Seed:          1,
	}
}
