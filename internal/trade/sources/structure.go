package sources

// Sources of the structure chapter.
const (
	WestergaardInterior Key = "westergaard-1926-interior"
	Westergaard1926     Key = "westergaard-1926"
	Westergaard1939     Key = "westergaard-1939"
	Westergaard1947     Key = "westergaard-1947"
	Ioannides1985       Key = "ioannides-1985"
	PlateOnSprings      Key = "plate-on-springs"
	PlateElements       Key = "plate-elements"
	Bradbury1938        Key = "bradbury-1938"
	PackardCBR          Key = "packard-cbr"
	FAACBR              Key = "faa-150-5320-6e"
	ConePenetrometer    Key = "astm-d6951"
	PCAStreets          Key = "pca-eb109"
	PCATyre             Key = "pca-1966-tyre"
	ACI330Support       Key = "aci-330r-support"
	ACI330Practice      Key = "aci-330r-thickness"
	ACI330Rupture       Key = "aci-330r-rupture"
	ACI318Rupture       Key = "aci-318-rupture"
	ACI318Plain         Key = "aci-318-plain"
	ACI360Factors       Key = "aci-360r"
	ArmyAisle           Key = "tm-5-809-12"
	LoadTransferCurve   Key = "ioannides-korovesis"
	LoadTransferRatio   Key = "fhwa-rd-02-088"
	Dowels              Key = "friberg-1940"
	BuiltInCurl         Key = "built-in-curl"
	AxleLaw             Key = "23-cfr-658-17"
	BridgeTruck         Key = "aashto-h20"
	TypicalVehicle      Key = "typical-vehicle"
)

var structure = []Source{
	{WestergaardInterior, "Westergaard, Stresses in Concrete Pavements Computed by Theoretical Analysis, Public Roads 7(2), 1926: interior stress and equivalent radius b, as quoted in a lecture page and a thesis appendix after Ioannides, Thompson and Barenberg 1985", Published},
	{Westergaard1926, "Westergaard, Public Roads 7(2), 1926: edge and corner formulas, radius of relative stiffness", Recalled},
	{Westergaard1939, "Westergaard, Stresses in Concrete Runways of Airports, 1939: interior deflection; equals the exact plate to 5 digits", Recalled},
	{Westergaard1947, "Westergaard, New Formulas for Stresses in Concrete Pavements of Airfields, 1947: edge under a circle and a semicircle, as put in order by Ioannides, Thompson and Barenberg 1985", Recalled},
	{Ioannides1985, "Ioannides, Thompson and Barenberg, Westergaard Solutions Reconsidered, TRR 1043, 1985: corner under a square", Recalled},
	{PlateOnSprings, "Exact thin plate on springs: Kelvin functions in the infinite plate, one Fourier integral at the edge; recomputed here and held against an independent integration", Computed},
	{PlateElements, "Thin plate elements on springs, bicubic, solved here on the real panels; held against series solutions, closed forms and a general-purpose program in 3-D solids (STR-16 to STR-29)", Computed},
	{Bradbury1938, "Bradbury, Reinforced Concrete Pavements, 1938: warping stress coefficients; corner warping stress", Recalled},
	{PackardCBR, "k = 53.438 CBR^0.5719 pci: Barker and Alexander 2012, quoting Packard for PCA", Published},
	{FAACBR, "k = (1500 CBR/26)^0.7788 pci: FAA AC 150/5320-6E, 2009", Published},
	{ConePenetrometer, "ASTM D6951: CBR from the dynamic cone penetrometer", Recalled},
	{PCAStreets, "PCA EB109, Thickness Design for Concrete Highway and Street Pavements, 1984: k on top of a base, fatigue", Recalled},
	{PCATyre, "PCA 1966: tyre print of two half circles and a rectangle, 0.5227 L², as a rectangle 0.8712 L by 0.6 L", Recalled},
	{ACI330Support, "ACI 330R Table 3.1: support by soil class, with CBR and R-value", Recalled},
	{ACI330Practice, "ACI 330R-08 Table 3.4 style: thickness by traffic, typical", Recalled},
	{ACI330Rupture, "PCA and ACI 330R practice: modulus of rupture K√f'c, K 8 to 10 psi; 2.3 f'c^(2/3) psi", Recalled},
	{ACI318Rupture, "ACI 318 / 318M: modulus of rupture 7.5√f'c psi, 0.62√f'c MPa", Recalled},
	{ACI318Plain, "ACI 318, plain concrete chapter: bearing, two-way shear, 2 in off for ground contact", Recalled},
	{ACI360Factors, "ACI 360R and PCA: safety factors 1.7 to 2.0 for frequent loads, 1.4 to 1.7 for rare ones", Recalled},
	{ArmyAisle, "US Army TM 5-809-12: uniform load beside an unloaded aisle, 257.876 σ √(k h/E)", Recalled},
	{LoadTransferCurve, "Ioannides and Korovesis: load transfer against joint stiffness, as fitted for AASHTO 1998 and LTPP, 1/(1 + 1.2 R^-0.849)", Recalled},
	{LoadTransferRatio, "FHWA-RD-02-088, chapter 2: load transfer as the ratio of deflections", Published},
	{Dowels, "Friberg 1940; Tabatabaie and Barenberg: a bar across a joint as a beam in its bed", Recalled},
	{BuiltInCurl, "Mechanistic-empirical pavement design guide: built-in curl of -10 °F, shrinkage and set", Recalled},
	{AxleLaw, "23 CFR 658.17: single axle 20 000 lb, tandem 34 000 lb, gross 80 000 lb", Recalled},
	{BridgeTruck, "AASHTO standard trucks H20 and HS20: 8 000 and 32 000 lb axles 14 ft apart", Recalled},
	{TypicalVehicle, "Invented, typical: built from legal axle loads and usual tyre pressures; weigh the real one", Own},
}
