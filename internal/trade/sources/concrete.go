package sources

// Sources of the concrete chapter.
const (
	ACI211Tables     Key = "aci-211.1-91-tables"
	ACI211Strength   Key = "aci-211.1-91-si-strength"
	ACI211Weight     Key = "aci-211.1-91-weight-method"
	ACI211Example    Key = "aci-211.1-91-example-1"
	ACI211FlyAsh     Key = "aci-211.1-91-fly-ash"
	NavyMixCourse    Key = "navy-engineering-aid-mix-design"
	PCARoundGravel   Key = "pca-rounded-gravel-water"
	USBRWater        Key = "usbr-concrete-manual-water"
	ACI318Exposure   Key = "aci-318-19-exposure"
	ACI318PlainF3    Key = "aci-318-19-plain-f3"
	ACI318Binders    Key = "aci-318-19-supplementary-limits"
	ACI318Accept     Key = "aci-318-19-acceptance"
	ACI318Average    Key = "aci-318-required-average"
	ACI318Cores      Key = "aci-318-19-cores"
	CylinderAges     Key = "astm-c39-ages"
	ACI318Stone      Key = "aci-318-stone-size"
	ACI332Exterior   Key = "aci-332-20-rf3"
	ACI332Older      Key = "aci-332-14-rf3"
	IBC1904          Key = "ibc-2021-1904.2"
	IRC402           Key = "irc-r402.2"
	WeatheringIndex  Key = "astm-c62-weathering-index"
	ACI214Control    Key = "aci-214r-11"
	ControlChart     Key = "control-chart-constants"
	ASTMC138         Key = "astm-c138"
	NRMCAYield       Key = "nrmca-cip-8"
	NRMCAOrdering    Key = "nrmca-cip-31"
	C94Slump         Key = "astm-c94-slump-tolerance"
	C94Time          Key = "astm-c94-21-time"
	C94OldTime       Key = "astm-c94-discharge-90-min"
	C94Cold          Key = "astm-c94-15a-cold-weather"
	C94SiteWater     Key = "astm-c94-site-water"
	C94Air           Key = "astm-c94-air-tolerance"
	C94Ticket        Key = "astm-c94-04-ticket"
	NormalLearning   Key = "normal-learning"
	ACI301Hot        Key = "aci-301-20-hot-weather"
	ACI209Age        Key = "aci-209r-92-strength-age"
	EN1992Age        Key = "en-1992-1-1-strength-age"
	EN1992Flexural   Key = "en-1992-1-1-flexural"
	RuptureModulus   Key = "aci-modulus-of-rupture"
	Yeh1998          Key = "yeh-1998-strength-data"
	C232BleedOrder   Key = "astm-c232-bleed-order"
	ACI117Thickness  Key = "aci-117-10-slab-thickness"
	Newsvendor       Key = "single-period-ordering"
	BridgeFormula    Key = "23-usc-127-bridge-formula"
	BackingTrucks    Key = "29-cfr-1926.601-backing"
	TruckWeights     Key = "mixer-truck-weights"
	LognormalHauling Key = "haul-time-scatter"
)

var concrete = []Source{
	{ACI211Tables, "ACI 211.1-91, tables 6.3.3 (water and air), 6.3.4(a) (w/c and strength), 6.3.6 (coarse aggregate), US and SI editions", Published},
	{ACI211Strength, "ACI 211.1-91, SI appendix, table A1.5.3.4(a) (w/c and strength)", Recalled},
	{ACI211Weight, "ACI 211.1-91, table and equations 6.3.7.1 (density of fresh concrete, weight method)", Recalled},
	{ACI211Example, "ACI 211.1-91, worked example 1, US and SI", Recalled},
	{ACI211FlyAsh, "ACI 211.1-91, 6.3.4 (pozzolan by mass and by volume)", Recalled},
	{NavyMixCourse, "US Navy training manual, engineering aid course, chapter on mix design, worked example", Published},
	{PCARoundGravel, "PCA, Design and Control of Concrete Mixtures: rounded gravel needs less water", Recalled},
	{USBRWater, "USBR Concrete Manual: change of water with slump and temperature", Recalled},
	{ACI318Exposure, "ACI 318-19, tables 19.3.1.1, 19.3.2.1, 19.3.3.1 (exposure classes), read in excerpt and summary", Published},
	{ACI318PlainF3, "ACI 318-19, table 19.3.2.1, row of plain concrete in class F3", Recalled},
	{ACI318Binders, "ACI 318-19, table 26.4.2.2(b) (limits of supplementary materials in class F3)", Recalled},
	{ACI318Accept, "ACI 318-19, 26.12.1.1 and 26.12.3.1 (strength tests and acceptance)", Published},
	{ACI318Average, "ACI 318 and ACI 301, required average strength", Published},
	{ACI318Cores, "ACI 318-19, 26.12.4 (cores)", Recalled},
	{CylinderAges, "ASTM C39, tolerances of the age at test", Recalled},
	{ACI318Stone, "ACI 318, largest stone against slab depth, bar spacing and forms", Published},
	{ACI332Exterior, "ACI 332-20, exposure class RF3 (plain exterior slab, freezing and deicers), quoted in a regional advisory", Published},
	{ACI332Older, "ACI 332-14, exposure class RF3, quoted in a commentary", Published},
	{IBC1904, "International Building Code 2021, 1904.2 (non-structural concrete)", Published},
	{IRC402, "International Residential Code, R402.2 (strength by weathering)", Recalled},
	{WeatheringIndex, "ASTM C62, definition of the weathering index; IRC map legend", Recalled},
	{ACI214Control, "ACI 214R-11, standards of control", Recalled},
	{ControlChart, "Control-chart constants d2 (1.128 of pairs, 1.693 of threes)", Published},
	{ASTMC138, "ASTM C138, density, yield and gravimetric air", Published},
	{NRMCAYield, "NRMCA, Concrete in Practice 8 (discrepancies in yield)", Published},
	{NRMCAOrdering, "NRMCA, Concrete in Practice 31 (ordering ready mixed concrete)", Published},
	{C94Slump, "ASTM C94, tolerances of slump", Recalled},
	{C94Time, "ASTM C94/C94M-21, 6.1.10 and 12.9 (time limit agreed, no built-in one)", Published},
	{C94OldTime, "ASTM C94 up to 2019: discharge within 1.5 h", Published},
	{C94Cold, "ASTM C94-15a, 12.11 (least concrete temperature)", Published},
	{C94SiteWater, "ASTM C94 up to 2017, water added on arrival", Recalled},
	{C94Air, "ASTM C94, air within 1.5 points", Published},
	{C94Ticket, "ASTM C94-04, 13.1 and 13.2 (what a delivery ticket tells)", Published},
	{NormalLearning, "Textbook result: a normal belief after normal measurements weighs both by their precision", Recalled},
	{ACI301Hot, "ACI 301-20 and ACI 305.1-14, concrete at most 95 °F (35 °C) at discharge", Published},
	{ACI209Age, "ACI 209R-92, equation 2-1 (strength against age)", Published},
	{EN1992Age, "CEB-FIP Model Code 1990 and EN 1992-1-1, 3.1.2 (strength against age)", Published},
	{EN1992Flexural, "EN 1992-1-1, 3.1.8 (flexural tensile strength)", Recalled},
	{RuptureModulus, "ACI 318 (7.5 √f'c), ACI 360R (9 √f'c), ACI 330R (2.3 f'c^2/3), modulus of rupture", Recalled},
	{Yeh1998, "I-C. Yeh, Cement and Concrete Research 28(12), 1998, 1797-1808, strength data; fit computed for this program", Computed},
	{C232BleedOrder, "Order of ASTM C232 bleed results; a planning figure to be calibrated", Recalled},
	{ACI117Thickness, "ACI 117-10, 4.4.5 and 4.5.4 (fine grade, slab thickness)", Published},
	{Newsvendor, "Textbook result for ordering once under uncertain need: order up to the share Cu/(Cu+Co)", Recalled},
	{BridgeFormula, "23 USC 127, bridge formula W = 500 (LN/(N-1) + 12N + 36)", Recalled},
	{BackingTrucks, "29 CFR 1926.601(b)(4): reverse alarm or observer", Recalled},
	{TruckWeights, "Mixer trucks hold 9 to 11 yd³ and weigh about 66,000 to 72,000 lb loaded; read in a summary", Published},
	{LognormalHauling, "Haul lognormal with 20 % scatter, plant delay 5 min on average: a planning model", Own},
}
