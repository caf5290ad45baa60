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
}
