package web

import (
	"cmp"
	"slices"
	"strings"
)

// word is one word of the trade and what it means.
type word struct{ Word, Means string }

// glossaryText is the trade's words in plain ones; the label check lets these words stand on a screen.
const glossaryText = `air|tiny bubbles that give freezing water room
apron|slab at a door
base|packed stone under the slab
bench mark|fixed point all levels start from
bleed|water that rises after placing
box-out|place left open in the slab, round a post or a lid
broom|rough finish drawn with a broom
bull float|first smoothing, with a wide board on a pole
chairs|what holds bars up
chute|the truck's slide
compacted|packed
construction joint|edge where one day's placing stops and the next begins
control cut|cut that picks where the slab cracks
cover|concrete over steel
cure|keep damp and warm while it hardens
cut|dig
cylinder|test piece of the concrete
darby|short board for levelling by hand
dowel|smooth bar across a joint
edger|tool that rounds the edge
fall|drop along a slope
fibre|short threads mixed into the concrete
fill|ground or stone added
finish|what the surface is left like
form|edge board
grade|ground level, or its slope
groover|hand tool that makes a joint in fresh concrete
isolation joint|soft strip at a house or a post
kicker|brace behind a form board
lap|how far bars run past each other
load|one truck
neat|exact volume, nothing added
panel|slab between joints
pour|place concrete
psi|unit of strength
reading|number on the rod
rebar|steel bar
rod|measuring staff
saw joint|control cut made with a saw
screed|board the top is struck off with
set|stiffen
setback|how far from the lot line a slab must stay
sheet|page to print
shot|level read at one point
slump|how runny, in inches
spot|a point's level
stake|driven post that holds a form
stone|rock for base or concrete
strike-off|first levelling
string|line stretched for height
subgrade|ground under the base
swale|shallow ditch
tamp|pack by blows
ticket|the truck's delivery paper
tongue jack|the trailer's front leg
wash-out|place where the truck is rinsed
water to binder|water over cement, by weight
yard|cubic yard`

// glossary lists the words in order of the alphabet.
func glossary() []word {
	var out []word
	for line := range strings.Lines(glossaryText) {
		w, means, _ := strings.Cut(strings.TrimSpace(line), "|")
		out = append(out, word{w, means})
	}
	slices.SortStableFunc(out, func(a, b word) int { return cmp.Compare(a.Word, b.Word) })
	return out
}

// Glossary is every word of the trade that the screens may use, one a line.
func Glossary() string {
	var out []string
	for _, w := range glossary() {
		out = append(out, w.Word)
	}
	return strings.Join(out, "\n")
}
