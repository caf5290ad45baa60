package rollout

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"slabwright/internal/engines/geometry"
)

// Undercarriage is what hangs low under a rig, for humps and gutters.
type Undercarriage struct {
	Rig     Rig
	Coupler float64 // height of the hitch, m
	Tow     []Low   // from the front to the back; the underside runs straight between neighbours
	Trailer []Low
}

// Low is a low point of the underside.
type Low struct {
	Name   string
	Ahead  float64 // of the axle the body is measured from, m
	Height float64 // over the plane of the wheels, m
}

// Scrape is the least room under a rig on its way over a profile.
type Scrape struct {
	Room    float64 // m; below zero it drags
	What    string
	Trailer bool
	Station float64        // along the profile or the drive, m
	Near    geometry.Point // of the ground, where the way is a drive
}

// Profile is ground along the way: stations in rising order with levels, straight between.
type Profile []geometry.Point

// Level is the ground's level at a station; level beyond the ends.
func (g Profile) Level(s float64) float64 {
	i, _ := slices.BinarySearchFunc(g, s, func(p geometry.Point, s float64) int {
		if p.X < s {
			return -1
		}
		return 1
	})
	switch {
	case i == 0:
		return g[0].Y
	case i == len(g):
		return g[len(g)-1].Y
	}
	a, b := g[i-1], g[i]
	return a.Y + (b.Y-a.Y)*(s-a.X)/(b.X-a.X)
}

// Validate says what keeps the stations from being a profile.
func (g Profile) Validate() error {
	if len(g) < 2 {
		return errors.New("rollout: a profile needs two points")
	}
	for i, p := range g {
		if !p.IsFinite() || i > 0 && !(p.X-g[i-1].X > 1e-6) {
			return fmt.Errorf("rollout: profile point %d: stations rise", i+1)
		}
	}
	if g[len(g)-1].X-g[0].X > 2000 {
		return errors.New("rollout: a profile is at most 2 km long")
	}
	return nil
}

// mostSteps is how often a vehicle is set down on one profile at most: 10 km in steps of a centimetre.
const mostSteps = 1e6

// Cross rolls the rig along the profile in steps and finds where its underside comes nearest to the ground: every low point
// against the ground, and every break of the ground against the underside. The wheels stand on the profile as points, the
// ground goes on level past its ends. Checked: SITE-28 as a crest that just touches.
func (u Undercarriage) Cross(ground Profile, step float64) (Scrape, error) {
	if err := ground.Validate(); err != nil {
		return Scrape{}, err
	}
	if !(step >= 0.002) || !(u.Rig.Wheelbase >= shortest) || !(u.Rig.Tongue >= 0) || !(u.Coupler >= 0) {
		return Scrape{}, errors.New("rollout: steps of 2 mm or more, a wheelbase, a hitch above the ground")
	}
	worst := Scrape{Room: math.Inf(1)}
	from := ground[0].X - u.Rig.Wheelbase - max(0, u.Rig.Tow.Ahead)
	to := ground[len(ground)-1].X + max(0, u.Rig.Tow.Behind) + max(0, u.Rig.Hitch) + 2*u.Rig.Tongue + max(0, u.Rig.Trailer.Behind)
	if (to-from)/step > mostSteps {
		return Scrape{}, fmt.Errorf("rollout: %.3g m of ground and vehicle in steps of %g m: give lengths of a site, or longer steps", to-from, step)
	}
	n := int(math.Ceil((to - from) / step))
	for i := range n + 1 {
		u.stand(ground, from+(to-from)*float64(i)/float64(n), &worst)
	}
	if math.IsInf(worst.Room, 1) {
		return Scrape{}, errors.New("rollout: nothing hangs low")
	}
	return worst, nil
}

// frame is a body in the side view: where the axle's wheel touches and how it pitches.
type frame struct {
	at     geometry.Point
	ahead  geometry.Point
	bottom []Low
}

func (f frame) place(ahead, height float64) geometry.Point {
	return f.at.Add(f.ahead.Scale(ahead)).Add(f.ahead.Left().Scale(height))
}

// stand sets the rig with its rear axle at a station.
func (u Undercarriage) stand(g Profile, s float64, worst *Scrape) {
	rear := geometry.Point{X: s, Y: g.Level(s)}
	front := onGround(g, rear, u.Rig.Wheelbase, 1)
	tow := frame{rear, front.Sub(rear).Unit(), u.Tow}
	tow.against(g, false, worst)
	if !u.Rig.Towing() {
		return
	}
	hitch := tow.place(-u.Rig.Hitch, u.Coupler)
	axle := onGround(g, hitch, math.Hypot(u.Rig.Tongue, u.Coupler), -1)
	pitch := hitch.Sub(axle).Heading() - math.Atan2(u.Coupler, u.Rig.Tongue)
	frame{axle, geometry.Direction(pitch), u.Trailer}.against(g, true, worst)
}

// onGround is the ground point a distance from p, ahead (1) or behind (−1), by halving: the distance grows along the way.
func onGround(g Profile, p geometry.Point, distance, way float64) geometry.Point {
	low, high := 0.0, distance
	at := func(t float64) geometry.Point {
		x := p.X + way*t
		return geometry.Point{X: x, Y: g.Level(x)}
	}
	for range 50 {
		if mid := (low + high) / 2; at(mid).Distance(p) < distance {
			low = mid
		} else {
			high = mid
		}
	}
	return at((low + high) / 2)
}

func (f frame) against(g Profile, trailer bool, worst *Scrape) {
	keep := func(room, station float64, what string) {
		if room < worst.Room {
			*worst = Scrape{Room: room, What: what, Trailer: trailer, Station: station}
		}
	}
	var last geometry.Point
	for i, low := range f.bottom {
		p := f.place(low.Ahead, low.Height)
		keep(p.Y-g.Level(p.X), p.X, low.Name)
		if i > 0 && last.X > p.X {
			for _, q := range g {
				if q.X > p.X && q.X < last.X {
					keep(p.Y+(last.Y-p.Y)*(q.X-p.X)/(last.X-p.X)-q.Y, q.X, low.Name)
				}
			}
		}
		last = p
	}
}
