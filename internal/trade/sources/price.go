package sources

// Sources of the price stage.
const (
	MarginText Key = "contractor-finance-text"
	ThreePoint Key = "three-point-estimate"
	NormalLaw  Key = "normal-distribution"
)

var price = []Source{
	{MarginText, "Contractor finance text: price from margin and from mark-up", Published},
	{ThreePoint, "Network-planning texts: three-point estimate, mean (a + 4m + b)/6, variance ((b − a)/6)²", Recalled},
	{NormalLaw, "Normal distribution", Exact},
}
