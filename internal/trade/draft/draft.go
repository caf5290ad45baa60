// Package draft says how this trade draws: the layers with their pens, lettering heights, and the marks that several
// stages' pictures share. Layer names follow the field order of the US National CAD Standard (discipline, major, minor,
// status N new or E existing); line weights are about two to one, thick for what is cut or new, thin for the rest.
package draft

import (
	"strings"

	"slabwright/internal/engines/drawing"
	"slabwright/internal/engines/geometry"
)

// The layers. Names are recalled from the standard's lists, field order as published.
var (
	SlabEdge     = drawing.Layer{Name: "S-SLAB-EDGE-N", Says: "slab edge", Width: 0.6}
	SlabConcrete = drawing.Layer{Name: "S-SLAB-PATT-N", Says: "concrete, cut", Width: 0.6, Hatch: drawing.Triangles}
	ThickEdge    = drawing.Layer{Name: "S-SLAB-HIDN-N", Says: "thick edge or pipe below", Width: 0.3, Pattern: drawing.Dash}
	SawJoint     = drawing.Layer{Name: "S-SLAB-JOIN-N", Says: "saw cut (SAW)", Width: 0.5, Pattern: drawing.DashDot, Colour: "#D55E00"}
	IsoJoint     = drawing.Layer{Name: "S-SLAB-ISOL-N", Says: "isolation strip (ISOL)", Width: 0.5, Pattern: drawing.DoubleLine, Colour: "#0072B2"}
	ConstrJoint  = drawing.Layer{Name: "S-SLAB-CNST-N", Says: "construction joint (CONSTR)", Width: 0.5, Pattern: drawing.TickedSolid}
	Bars         = drawing.Layer{Name: "S-SLAB-RBAR-N", Says: "bars", Width: 0.6}
	Boards       = drawing.Layer{Name: "S-SLAB-FORM-N", Says: "form boards", Width: 0.6}
	Stakes       = drawing.Layer{Name: "S-SLAB-STAK-N", Says: "stakes", Width: 0.3}
	Base         = drawing.Layer{Name: "C-GRAD-BASE-N", Says: "compacted stone", Width: 0.3, Hatch: drawing.Rounds}
	Earth        = drawing.Layer{Name: "C-TOPO-ERTH-E", Says: "ground", Width: 0.3, Hatch: drawing.Strokes}
	Strings      = drawing.Layer{Name: "C-GRAD-STRG-N", Says: "string line", Width: 0.3, Pattern: drawing.LongShort}
	SpotOld      = drawing.Layer{Name: "C-TOPO-SPOT-E", Says: "existing level", Width: 0.3}
	SpotNew      = drawing.Layer{Name: "C-TOPO-SPOT-N", Says: "new level", Width: 0.3}
	ContourOld   = drawing.Layer{Name: "C-TOPO-MINR-E", Says: "existing contour", Width: 0.25, Pattern: drawing.Dash}
	Break        = drawing.Layer{Name: "C-TOPO-BRKL-E", Says: "line the ground bends along", Width: 0.3, Pattern: drawing.LongTwo}
	Flow         = drawing.Layer{Name: "C-TOPO-FLOW-N", Says: "water runs this way", Width: 0.3, Colour: "#0072B2"}
	Hip          = drawing.Layer{Name: "C-GRAD-RIDG-N", Says: "hip: water parts", Width: 0.5, Pattern: drawing.LongTwo}
	Valley       = drawing.Layer{Name: "C-GRAD-SWAL-N", Says: "valley: water gathers", Width: 0.5, Pattern: drawing.LongShort, Colour: "#0072B2"}
	Pond         = drawing.Layer{Name: "C-GRAD-POND-N", Says: "water may stand", Width: 0.18, Hatch: drawing.Dots, Colour: "#0072B2"}
	Batter       = drawing.Layer{Name: "C-GRAD-BATT-N", Says: "batter board", Width: 0.6}
	Doubt        = drawing.Layer{Name: "V-CTRL-ELLI-E", Says: "95 in 100 the corner lies in here, drawn larger", Width: 0.3, Colour: "#D55E00"}
	Cut          = drawing.Layer{Name: "C-GRAD-CUT-N", Says: "dig", Width: 0.3, Hatch: drawing.Diagonal, Colour: "#E66101"}
	Fill         = drawing.Layer{Name: "C-GRAD-FILL-N", Says: "fill", Width: 0.3, Hatch: drawing.Dots, Colour: "#5E3C99"}
	House        = drawing.Layer{Name: "A-BLDG-OTLN-E", Says: "building", Width: 0.6, Hatch: drawing.Diagonal}
	Existing     = drawing.Layer{Name: "C-SITE-OTLN-E", Says: "existing wall, fence, lid", Width: 0.3, Pattern: drawing.Dotted}
	Tree         = drawing.Layer{Name: "L-PLNT-TREE-E", Says: "tree trunk", Width: 0.5}
	RootZone     = drawing.Layer{Name: "L-PLNT-ROOT-E", Says: "root protection", Width: 0.3, Pattern: drawing.Dash, Colour: "#009E73"}
	LotLine      = drawing.Layer{Name: "V-PROP-LINE-E", Says: "lot line", Width: 0.5, Pattern: drawing.LongTwo}
	Power        = drawing.Layer{Name: "C-POWR-UNDR-E", Says: "buried power (E)", Width: 0.5, Pattern: drawing.LongShort, Colour: "#D00000"}
	Gas          = drawing.Layer{Name: "C-NGAS-UNDR-E", Says: "buried gas (G)", Width: 0.5, Pattern: drawing.LongShort, Colour: "#C8A000"}
	Comm         = drawing.Layer{Name: "C-COMM-UNDR-E", Says: "buried communication (C)", Width: 0.5, Pattern: drawing.LongShort, Colour: "#E07000"}
	Water        = drawing.Layer{Name: "C-DOMW-UNDR-E", Says: "buried water (W)", Width: 0.5, Pattern: drawing.LongShort, Colour: "#0050C8"}
	Sewer        = drawing.Layer{Name: "C-SSWR-UNDR-E", Says: "buried sewer or drain (S)", Width: 0.5, Pattern: drawing.LongShort, Colour: "#008000"}
	Overhead     = drawing.Layer{Name: "C-POWR-OVHD-E", Says: "overhead line", Width: 0.5, Pattern: drawing.LongShort, Colour: "#D00000"}
	Vehicle      = drawing.Layer{Name: "C-VEHI-OTLN-N", Says: "truck or load", Width: 0.5}
	Reach        = drawing.Layer{Name: "C-VEHI-REAC-N", Says: "chute reach", Width: 0.3, Pattern: drawing.Dash}
	Dims         = drawing.Layer{Name: "C-ANNO-DIMS", Says: "dimensions", Width: 0.3}
	Letters      = drawing.Layer{Name: "C-ANNO-TEXT", Says: "lettering", Width: 0.3}
	Axis         = drawing.Layer{Name: "C-ANNO-AXIS", Says: "axes", Width: 0.3}
	GridLine     = drawing.Layer{Name: "C-ANNO-GRID", Says: "grid", Width: 0.18, Pattern: drawing.Dotted}
	LineA        = drawing.Layer{Name: "C-ANNO-LINA", Says: "first line", Width: 0.7, Colour: "#0072B2"}
	LineB        = drawing.Layer{Name: "C-ANNO-LINB", Says: "second line", Width: 0.7, Pattern: drawing.Dash, Colour: "#000000"}
	LineC        = drawing.Layer{Name: "C-ANNO-LINC", Says: "third line", Width: 0.7, Pattern: drawing.DashDot, Colour: "#D55E00"}
	Band         = drawing.Layer{Name: "C-ANNO-BAND", Says: "range", Width: 0.18, Hatch: drawing.Dots, Colour: "#56B4E9"}
	Danger       = drawing.Layer{Name: "C-ANNO-DNGR", Says: "danger", Width: 0.5, Hatch: drawing.Diagonal, Colour: "#D55E00"}
)

// Steps are five fills from little to much, in lightness that a grey print keeps (viridis; S. van der Walt and N. Smith 2015).
var Steps = [5]drawing.Layer{
	{Name: "C-ANNO-STP1", Says: "least", Width: 0.18, Hatch: drawing.Full, Colour: "#FDE725"},
	{Name: "C-ANNO-STP2", Says: "little", Width: 0.18, Hatch: drawing.Full, Colour: "#5EC962"},
	{Name: "C-ANNO-STP3", Says: "half", Width: 0.18, Hatch: drawing.Full, Colour: "#21918C"},
	{Name: "C-ANNO-STP4", Says: "much", Width: 0.18, Hatch: drawing.Full, Colour: "#3B528B"},
	{Name: "C-ANNO-STP5", Says: "most", Width: 0.18, Hatch: drawing.Full, Colour: "#440154"},
}

// Revised rings what has changed since the last print. Source: the ring of arcs and the numbered triangle are drafting practice (common
// practice).
var Revised = drawing.Layer{Name: "C-ANNO-REVC", Says: "changed since the last print", Width: 0.5}

// Contour is a line of one value on a map of stress or sink.
var Contour = drawing.Layer{Name: "C-ANNO-CONT", Says: "line of one value", Width: 0.3}

// Layers lists every layer a drawing may use: an entity on any other layer is a mistake.
func Layers() []drawing.Layer {
	return append([]drawing.Layer{SlabEdge, SlabConcrete, ThickEdge, SawJoint, IsoJoint, ConstrJoint, Bars, Boards, Stakes, Base, Earth,
		Strings, SpotOld, SpotNew, ContourOld, Break, Flow, Hip, Valley, Pond, Batter, Doubt, Cut, Fill, House, Existing, Tree, RootZone, LotLine, Power, Gas, Comm,
		Water, Sewer, Overhead, Vehicle, Reach, Dims, Letters, Axis, GridLine, LineA, LineB, LineC, Band, Danger, Contour, Revised}, Steps[:]...)
}

// Cap heights on paper, in millimetres: read at arm's length (about 600 mm), notes not under 10 pt.
const (
	NoteHeight  = 2.5
	LabelHeight = 3.5
	KeyHeight   = 5.0
)

// LooksDown says whether a picture looks down on the site with north up; a section or a detail does not.
func LooksDown(pic drawing.Picture) bool {
	return pic.Space == drawing.Site && !strings.Contains(pic.Name, "section") && !strings.Contains(pic.Name, "detail")
}

// Outline draws a polygon's rings on a layer.
func Outline(layer drawing.Layer, p geometry.Polygon, ref string) drawing.Path {
	return drawing.Path{Layer: layer, Points: p.Outer, Holes: p.Holes, Closed: true, Ref: ref}
}

// Label is lettering of the usual size, centred.
func Label(at geometry.Point, says string) drawing.Text {
	return drawing.Text{Layer: Letters, At: at, Says: says, Height: LabelHeight, Anchor: drawing.Middle}
}
