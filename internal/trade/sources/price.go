package sources

// Sources of the price stage.
const (
	MarginText Key = "contractor-finance-text"
	ThreePoint Key = "three-point-estimate"
	NormalLaw  Key = "normal-distribution"

	CarbonAverage Key = "concrete-carbon-2022"
)

var price = []Source{
	{MarginText, "Contractor finance text: price from margin and from mark-up", Published},
	{ThreePoint, "Network-planning texts: three-point estimate, mean (a + 4m + b)/6, variance ((b − a)/6)²", Recalled},
	{NormalLaw, "Normal distribution", Exact},
	{CarbonAverage, "Industry-average environmental product declaration of ready mixed concrete, 2022: about 220, 260, 310 kg CO₂e per yd³ at 3000, 4000, 5000 psi, within 20 %; steel 0.8 to 1.2 kg per kg", Recalled},
}
