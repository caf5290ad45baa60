package sources

// Sources of the building chapter.
const (
	ACI302Joints         Key = "aci-302.1r-96-joints"
	ACI330Joints         Key = "aci-330-joints"
	PCAJointTable        Key = "pca-floors-1983"
	NRMCAJoints          Key = "nrmca-cip-6"
	ContractorJointRules Key = "contractor-joint-rules"
	ACI302EarlySaw       Key = "aci-302.1r-early-saw"
	ACI325Depth          Key = "aci-325-saw-depth"
	SawWindow            Key = "trade-joint-tips"
	DragExample          Key = "reinforcing-institute-drag"
	DragFriction         Key = "trade-drag-friction"
	WireNote             Key = "wire-reinforcement-note"
	WireTable            Key = "wire-table-1975"
	WireLap              Key = "aci-318-wire-lap"
	BarTable             Key = "astm-a615-table"
	ShrinkageSteel       Key = "aci-318-19-24.4.3.2"
	DevelopmentLength    Key = "aci-318-14-25.4.2.2"
	DowelTable           Key = "ufc-3-260-02-table-12-8"
	DowelPlace           Key = "tm-5-809-12-dowels"
	DowelDoubt           Key = "aci-prc-330-21-faq"
	FibreFAQ             Key = "aci-fibre-faq"
	FormPressure         Key = "aci-347-04-basic"
	BeamFormulas         Key = "simple-beam"
	PlywoodRadius        Key = "plywood-bend-radius"
	LumberSizes          Key = "american-softwood-sizes"
	SilicaTable          Key = "osha-1926.1153-table-1"
	BarEnds              Key = "osha-1926.701b"
	LiftingLimit         Key = "niosh-lifting"
	QueueFormulas        Key = "queueing-survey"
	NetworkTimes         Key = "pert-textbook"
)

var building = []Source{
	{ACI302Joints, "ACI 302.1R-96, Guide for Concrete Floor and Slab Construction: joints 24 to 36 slab thicknesses apart, 18 ft at most, panels at most 1.5 long to wide (as quoted in trade answers)", Published},
	{ACI330Joints, "ACI Committee 330, Guide for Design and Construction of Concrete Parking Lots, draft text, section 2.7: 30 thicknesses, 15 ft at most, length at most 1.25 width, saw depth a quarter of the thickness, saw width 1/10 to 1/8 in", Published},
	{PCAJointTable, "Portland Cement Association, Concrete Floors on Ground, 1983, joint spacing table by thickness, slump and stone (as cited in a construction databook)", Published},
	{NRMCAJoints, "NRMCA, Concrete in Practice 6, Joints in Concrete Slabs on Grade: isolation, construction joints, joints meeting the corners of a column box-out", Published},
	{ContractorJointRules, "Contractor-journal article on joint layout: aspect 1.5 at most, no L- or T-shaped panels", Published},
	{ACI302EarlySaw, "ACI 302.1R: early-entry dry saw, 1 in deep for slabs up to 9 in, about 1 to 4 h after finishing", Recalled},
	{ACI325Depth, "ACI 325 and federal highway guides: saw depth a third of the thickness on stiff or stabilised base", Recalled},
	{SawWindow, "Trade-journal joint tips: wet sawing as soon as the edge does not ravel, usually 4 to 12 h after placing", Published},
	{DragExample, "Reinforcing-institute slab-on-ground example: subgrade drag equation, 8 in slab, 24 ft between free joints; steel stopped at joints meant to move", Published},
	{DragFriction, "Trade-journal answers: friction factor 1.06 to 2.10 under 6 in slabs 20 to 100 ft long", Published},
	{WireNote, "Wire-reinforcement technical note: interlock fades above 1/16 in crack width; steel a third of the thickness below the top", Published},
	{WireTable, "Trade-journal table of welded wire styles, 1975 (ASTM A1064 areas)", Published},
	{WireLap, "ACI 318: lap of welded wire sheets, one mesh square plus 2 in, 6 in at least", Recalled},
	{BarTable, "ASTM A615 bar sizes, areas and weights (trade-journal table)", Published},
	{ShrinkageSteel, "ACI 318-19, 24.4.3.2: shrinkage and temperature steel 0.0018 of the gross area in structural slabs, Grade 60", Recalled},
	{DevelopmentLength, "ACI 318-14, Table 25.4.2.2, simplified development length, and class B lap 1.3 of it (equations shown in technical note ETN-D-1-15)", Published},
	{DowelTable, "UFC 3-260-02, Table 12-8, dowel size and spacing", Published},
	{DowelPlace, "TM 5-809-12: dowels smooth, parallel to surface and to each other, at mid-depth", Published},
	{DowelDoubt, "FAQ citing ACI PRC-330-21: dowels in slabs of 7 in and less can be impractical; steel to stretch joint spacing is discouraged", Published},
	{FibreFAQ, "ACI FAQ on fibres: micro 0.5 to 1.5 lb/yd³, macro-synthetic at least 3, steel at least 15 to 20", Published},
	{FormPressure, "ACI 347-04 basic equation, full liquid head of fresh concrete (trade note)", Published},
	{BeamFormulas, "Simple-beam formulas of strength of materials: M = WL²/8, δ = 5WL⁴/(384EI)", Exact},
	{PlywoodRadius, "Plywood-association table of bending radii of dry plywood (trade journal)", Published},
	{LumberSizes, "Actual sizes of surfaced softwood lumber by nominal size", Practice},
	{SilicaTable, "OSHA 29 CFR 1926.1153, Table 1, silica dust by tool and task", Published},
	{BarEnds, "OSHA 29 CFR 1926.701(b) and interpretation letters: guard every protruding bar onto which someone could fall", Published},
	{LiftingLimit, "NIOSH lifting equation: 51 lb under ideal conditions", Recalled},
	{QueueFormulas, "Queueing survey: waits of M/D/1 are half of M/M/1; Pollaczek and Khinchine between", Published},
	{NetworkTimes, "PERT in textbooks of operations research, after Malcolm, Roseboom, Clark and Fazar 1959: mean (a + 4m + b)/6, variance ((b - a)/6)², longest path", Recalled},
}
