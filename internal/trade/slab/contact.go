package slab

import (
	"fmt"
	"math"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

// loads is everything that stands on the slab, as prints.
type loads struct {
	wheels, posts []Contact
	axles         int          // how many axles a pass brings
	class         trafficClass // of the heaviest
	names         []string
	refer         []string // why an engineer must see it
	source        sources.Key
}

// findLoads turns the vehicle, the axles and the posts into prints. A vehicle that was only assumed gives way to axles or
// posts that somebody typed.
func findLoads(in Input) loads {
	l := loads{source: sources.Arithmetic} // as typed
	typed := len(in.Axles)+len(in.Posts) > 0
	if in.Vehicle.Given() && !(typed && in.Vehicle.Origin == known.Assumed) {
		v, _ := findVehicle(in.Vehicle.Value)
		l.addVehicle(v, in)
	}
	l.addAxles(in.Axles)
	l.addPosts(in.Posts, in.JackPad.Value)
	return l
}

func (l *loads) addVehicle(v vehicle, in Input) {
	scale := 1.0
	if in.Weight.Given() {
		scale = in.Weight.Value.Newtons() / (v.gross * 1e3)
	}
	for i, a := range v.axles {
		l.addAxle(fmt.Sprintf("axle %d", i+1), a, scale*1e3)
	}
	for _, j := range v.jacks {
		pad := in.JackPad.Value
		if j.pad > 0 && in.JackPad.Origin == known.Assumed {
			pad = quantity.Length(j.pad)
		}
		l.posts = append(l.posts, padContact(j.name, quantity.Force(j.force*scale*1e3), pad, j.at, j.across))
	}
	l.class = max(l.class, v.class)
	l.names = append(l.names, v.says)
	l.source = v.source
	if v.refer != "" {
		l.refer = append(l.refer, v.refer)
	}
}

// addAxle puts an axle's prints on the slab; newtons is the weight of one unit of its tyre load.
func (l *loads) addAxle(name string, a presetAxle, newtons float64) {
	l.axles++
	for _, side := range []float64{-1, 1} {
		for t := range a.perSide {
			offset := (float64(t) - float64(a.perSide-1)/2) * dualSpacing
			l.wheels = append(l.wheels, tyreContact(name, a.tyre*newtons, a.pressure*1e6, a.at, side*a.gauge/2+offset))
		}
	}
}

func tyreContact(name string, force, pressure, at, across float64) Contact {
	length, width := tyrePrint(force, pressure)
	return Contact{Name: name, At: geometry.Point{X: at, Y: across}, Force: quantity.Force(force),
		Area: quantity.Area(force / pressure), Along: quantity.Length(length), Wide: quantity.Length(width)}
}

func padContact(name string, force quantity.Force, pad quantity.Length, at, across float64) Contact {
	return Contact{Name: name, At: geometry.Point{X: at, Y: across}, Force: force,
		Area: quantity.Area(pad.Metres() * pad.Metres()), Along: pad, Wide: pad, Post: true}
}

func (l *loads) addAxles(axles []Axle) {
	at := 0.0
	for i, a := range axles {
		if i > 0 {
			at += axleSpacing.Metres()
		}
		if a.At.Given() {
			at = a.At.Value.Metres()
		}
		tyres := 2
		if a.Tyres.Given() {
			tyres = int(a.Tyres.Value)
		}
		preset := presetAxle{at: at, tyre: 1 / float64(tyres), perSide: tyres / 2,
			gauge: a.Gauge.Or(known.Say(axleGauge)).Value.Metres(), pressure: a.Pressure.Or(known.Say(axlePressure)).Value.MPa()}
		l.addAxle(fmt.Sprintf("axle %d as typed", i+1), preset, a.Load.Value.Newtons())
		l.class = max(l.class, classOfAxle(a.Load.Value))
		l.names = append(l.names, fmt.Sprintf("axle %d as typed", i+1))
	}
}

// classOfAxle is the traffic class of an axle typed in, by its load.
func classOfAxle(load quantity.Force) trafficClass {
	for _, p := range practice {
		if load.Newtons() <= p.axle*1e3 {
			return p.class
		}
	}
	return heavyTruck
}

func (l *loads) addPosts(posts []Post, pad quantity.Length) {
	for _, p := range posts {
		name := p.Name
		if name == "" {
			name = "post"
		}
		count := 1
		if p.Count.Given() {
			count = int(p.Count.Value)
		}
		side := p.Pad.Or(known.Say(pad)).Value
		spacing := p.Spacing.Or(known.Say(postSpacing)).Value.Metres()
		for i := range count {
			l.posts = append(l.posts, padContact(name, p.Load.Value, side, float64(i)*spacing, 0))
		}
		l.names = append(l.names, name)
		l.refer = append(l.refer, "posts ("+name+")")
	}
}

// legalAxle is what one axle may carry on a federal road, 20 000 lb; legalTandem two that stand close, 34 000 lb.
var legalAxle, legalTandem = quantity.Pounds(20000), quantity.Pounds(34000)

// tandemWithin is how close two axles stand to count as a tandem, m (8 ft in the law).
const tandemWithin = 2.44

// axleOverLaw is the heaviest axle over the legal load, alone or as half of a tandem; 0 when there is none.
func (l loads) axleOverLaw() quantity.Force {
	axles := map[float64]quantity.Force{}
	for _, c := range l.wheels {
		axles[c.At.X] += c.Force
	}
	worst := quantity.Force(0)
	for at, force := range axles {
		over := force > legalAxle
		for other, beside := range axles {
			over = over || other != at && math.Abs(other-at) <= tandemWithin && force+beside > legalTandem
		}
		if over {
			worst = max(worst, force)
		}
	}
	return worst
}

// radius is that of the disc of the contact's area, m.
func (c Contact) radius() float64 { return math.Sqrt(c.Area.SquareMetres() / math.Pi) }
