package sources

// Sources of the trade's words: how strength, bars and stone are named.
const (
	StrengthClasses Key = "en-206-classes"
	SizeNumbers     Key = "astm-d448-sizes"
	MetricBars      Key = "csa-g30.18-bars"
	NominalBars     Key = "nominal-bar-area"
	SackWeight      Key = "sack-94-lb"
)

var words = []Source{
	{StrengthClasses, "EN 206, strength classes: characteristic strength on cylinders over that on cubes, MPa", Recalled},
	{SizeNumbers, "ASTM D448 and C33, size numbers of coarse aggregate and their nominal maximum size", Recalled},
	{MetricBars, "CSA G30.18, bars 10M to 25M: nominal diameter, area and mass", Recalled},
	{NominalBars, "Round bar of the nominal diameter in steel of 7,850 kg/m³", Exact},
	{SackWeight, "A sack (bag) of Portland cement in North America is 94 lb, one cubic foot loose", Practice},
}
