package sources

// Sources of the site chapter: survey, levels, drainage, earthwork, trees, utilities, access.
const (
	RootRadius       Key = "root-radius-rule"
	ToleranceZone    Key = "one-call-tolerance-zone"
	StemsRule        Key = "root-stems-rule"
	OneCall          Key = "one-call-811"
	UtilityColours   Key = "apwa-colour-code"
	OverheadLines    Key = "29-cfr-1926.1408-overhead-lines"
	BuriedLines      Key = "osha-1926.651-b"
	PlaneGeometry    Key = "plane-geometry"
	LeastSquares     Key = "adjustment-computations"
	LevelBooking     Key = "level-booking"
	TapeCorrections  Key = "elementary-surveying"
	LevelClosure     Key = "geodetic-control-standards"
	PriorityFlood    Key = "priority-flood"
	BarrowRates      Key = "placing-guides-barrows"
	BreakOver        Key = "break-over-trr-1356"
	GreenBook        Key = "aashto-green-book"
	FoundationGrades Key = "irc-r401.3"
	DrainRules       Key = "flatwork-slopes"
	AccessSlopes     Key = "ada-2010-403-405-502"
	DrivewayGrades   Key = "driveway-grades"
	SwellTraining    Key = "swell-training-table"
	SwellManual      Key = "earthmoving-manual"
	SwellExercise    Key = "swell-exercise"
	SandCone         Key = "astm-d1556"
	ZeroAirVoids     Key = "zero-air-voids"
	Proctor          Key = "astm-d698-d1557"
	RationalMethod   Key = "rational-method"
	Manning          Key = "manning"
	RunoffShares     Key = "runoff-coefficients"
	GutterFlow       Key = "hec-22-gutter"
	TrenchSafety     Key = "29-cfr-1926.652"
	SpoilBack        Key = "29-cfr-1926.651-j"
	PlaneProgram     Key = "plane-fit-program"
	TriangleSurface  Key = "triangulated-overlay"
	Statics          Key = "statics"
	TownRules        Key = "town-rules"
	ReedsShepp       Key = "reeds-shepp-1990"
	RollingChain     Key = "rolling-without-slip"
	DesignVehicles   Key = "aashto-design-vehicles"
)

var site = []Source{
	{RootRadius, "Municipal tree rules: root protection 1 ft per inch of trunk diameter, some 1.25 or 1.5, least 6 ft", Published},
	{ToleranceZone, "State one-call laws: 18 or 24 in each side of the mark", Recalled},
	{StemsRule, "BS 5837:2012, root protection of several stems", Recalled},
	{OneCall, "Call-before-you-dig rules (811 in the US): 2 to 10 working days before digging, by state", Published},
	{UtilityColours, "APWA uniform colour code for marking buried lines", Published},
	{OverheadLines, "29 CFR 1926.1408: equipment 10 ft from lines up to 50 kV, more above (secondary pages)", Published},
	{BuriedLines, "29 CFR 1926.651(b), underground installations: locate, then expose by hand", Published},
	{PlaneGeometry, "Plane geometry", Exact},
	{LeastSquares, "Adjustment computations textbooks: observation equations, standardised residuals, data snooping", Recalled},
	{LevelBooking, "Level booking by height of instrument and by rise and fall, surveying lecture pages", Published},
	{TapeCorrections, "Elementary surveying texts: tape corrections, two-peg test, curvature and refraction", Recalled},
	{LevelClosure, "US federal geodetic control standards: misclosure of level runs, 8 to 12 mm per root kilometre", Recalled},
	{PriorityFlood, "Barnes, Lehman and Mulla, Priority-flood, 2014: spill levels of depressions", Recalled},
	{BarrowRates, "Placing guides: barrows 1 to 1.5 yd³/h each to 200 ft, power buggies 15 to 20 yd³/h to 1000 ft", Recalled},
	{BreakOver, "TRR 1356, low-bed vehicles at crossings: 36 ft wheelbase, 5 in clearance; the formula is plane geometry", Published},
	{GreenBook, "AASHTO Green Book, design vehicles and minimum turning radii (radii partly from secondary pages)", Published},
	{FoundationGrades, "IRC R401.3: 6 in of fall in the first 10 ft of soil, 2 % away on paving (check the adopted edition)", Published},
	{DrainRules, "Flatwork slopes: 1/8 in/ft least on a broomed slab, 1/4 in/ft usual; under 1 % puddles", Practice},
	{AccessSlopes, "2010 ADA Standards 405.3 and 502.4: 1:48 across and on parking places, seen in a state code; 403.3, walks 1:20, recalled", Published},
	{DrivewayGrades, "Driveway grades: 10 % preferred, 12 to 15 % the most many places allow", Practice},
	{SwellTraining, "Engineering training table: 1 bank of sand is 1.11 loose, 0.95 compacted", Published},
	{SwellManual, "Military earthmoving manual, soil conversion factors", Recalled},
	{SwellExercise, "Earthwork exercise: clay 3,000 bank, 2,310 loose, 3,750 compacted lb/yd³", Published},
	{SandCone, "ASTM D1556, density in place by the sand cone", Recalled},
	{ZeroAirVoids, "Soil phases: dry density with all voids full of water", Exact},
	{Proctor, "ASTM D698 and D1557, maximum dry density at standard and modified effort", Published},
	{RationalMethod, "Rational method, Q = C · i · A", Recalled},
	{Manning, "Manning's formula, Q = (k/n) · A · R^(2/3) · S^(1/2)", Recalled},
	{RunoffShares, "Runoff coefficients of university drainage tables; paving and roofs by common practice", Published},
	{GutterFlow, "FHWA HEC-22, flow in a triangular gutter", Recalled},
	{TrenchSafety, "29 CFR 1926.652: trenches 5 ft and deeper are protected against cave-in", Recalled},
	{SpoilBack, "29 CFR 1926.651(j): spoil at least 2 ft back from the edge of the dig", Recalled},
	{PlaneProgram, "Plane fitted to samples under linear limits by a convex program; multipliers are its dual answer", Exact},
	{TriangleSurface, "Exact overlay of triangulated surfaces", Exact},
	{TownRules, "The town's own zoning, drainage and permit rules: ask the building office", Practice},
	{Statics, "Statics of a hanging string", Exact},
	{ReedsShepp, "Reeds and Shepp, Optimal paths for a car that goes both forwards and backwards, Pacific J. Math. 145, 1990", Recalled},
	{RollingChain, "Rolling without slip of a tow vehicle and trailer, and feedback linearisation of the bend when reversing", Exact},
	{DesignVehicles, "AASHTO Green Book, dimensions of design vehicles (stored copy of the metric table)", Published},
}
