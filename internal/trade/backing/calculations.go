package backing

import (
	_ "embed"
	"errors"
	"math"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/geometry"
	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/sources"
)

//go:embed testdata/checks.csv
var checksCSV string

// Checks is the stage's table of check rows.
func Checks() string { return checksCSV }

// Calculations offers the stage's formulas by name.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("backing.vehicle", "a vehicle of the table: sizes and turning", string(sources.DesignVehicles),
			func(in struct {
				Vehicle string `says:"as in a job file: car, travel trailer, motor home ..."`
			}) (out struct {
				Width      quantity.Length
				Length     quantity.Length `says:"of the tow vehicle"`
				Wheelbase  quantity.Length
				Lock       quantity.Angle  `says:"steering of the single front wheel"`
				Centreline quantity.Length `says:"turning radius at the middle of the front axle, full lock"`
				Inside     quantity.Length `says:"least inside radius of the steady turn at full lock; zero when the trailer folds"`
			}, err error) {
				v, ok := vehicleOf(Kind(in.Vehicle))
				if !ok {
					return out, errors.New("no such vehicle in the table")
				}
				r := v.rig()
				out.Width, out.Length, out.Wheelbase, out.Lock = quantity.Length(v.width), quantity.Length(r.Tow.Length()), quantity.Length(v.wheelbase), quantity.Angle(r.Lock)
				out.Centreline = quantity.Length(v.wheelbase / math.Sin(r.Lock))
				if c, err := r.Steady(r.Lock); err == nil {
					last := c.Trailer - max(v.wide, 0)/2
					if !r.Towing() {
						last = c.Rear - v.width/2
					}
					out.Inside = quantity.Length(last)
				}
				return out, nil
			}),
		calc.New("backing.levelling", "blocks that level a trailer on a sloping slab", string(sources.PlaneGeometry),
			func(in struct {
				EastSlope  quantity.Slope  `says:"rise of the slab to the right"`
				NorthSlope quantity.Slope  `says:"rise of the slab up the drawing"`
				Heading    quantity.Angle  `says:"where the trailer's nose points, turning left from straight right"`
				Track      quantity.Length `says:"wheel to wheel"`
				Tongue     quantity.Length `says:"hitch to trailer axle"`
			}) (out struct {
				Right quantity.Length `says:"block under the right wheels; negative: under the left"`
				Nose  quantity.Length `says:"ground under the hitch above that under the axle"`
			}, err error) {
				slab := Flat{B: float64(in.EastSlope), C: float64(in.NorthSlope)}
				out.Right, out.Nose, _ = falls(func(p geometry.Point) (float64, bool) { return slab.at(p), true }, geometry.Point{}, float64(in.Heading), in.Track.Metres(), in.Tongue.Metres())
				return out, nil
			}),
		calc.New("backing.way_in", "whether a vehicle gets from the street to its place, and how hard it is", string(sources.OwnRule), wayCalculation),
	}
}

func wayCalculation(in struct {
	Vehicle string          `says:"as in a job file"`
	Outline [][]float64     `unit:"m" says:"corners of the slab [x, y]"`
	Street  [][]float64     `unit:"m" says:"points along the middle of the street [x, y]"`
	Width   quantity.Length `says:"of the street" default:"7.3152"`
	Posts   [][]float64     `unit:"m" says:"round things [x, y, radius]" default:"[]"`
	Fences  [][]float64     `unit:"m" says:"straight things [x, y, x, y]" default:"[]"`
	Heading quantity.Angle  `says:"where the nose points when parked; the middle of the slab is its place"`
}) (out struct {
	Possible     bool
	PullForwards int
	Room         quantity.Length  `says:"at the tightest spot"`
	Made         quantity.Percent `says:"of tried drives"`
	HowHard      string
	Blocker      string
}, err error) {
	job := Defaults()
	job.Vehicle, job.Street.Width, job.WhatIf = known.Say(Kind(in.Vehicle)), known.Say(in.Width), known.Say(false)
	job.Parked.Heading = known.Say(in.Heading)
	for _, p := range in.Outline {
		if len(p) != 2 {
			return out, errors.New("a corner is [x, y]")
		}
		job.Outline.Outer = append(job.Outline.Outer, geometry.Point{X: p[0], Y: p[1]})
	}
	for _, p := range in.Street {
		if len(p) != 2 {
			return out, errors.New("a point of the street is [x, y]")
		}
		job.Street.Line = append(job.Street.Line, Spot{known.Say(quantity.Length(p[0])), known.Say(quantity.Length(p[1]))})
	}
	for _, p := range in.Posts {
		if len(p) != 3 {
			return out, errors.New("a round thing is [x, y, radius]")
		}
		job.Things = append(job.Things, Thing{Kind: "post", Centre: geometry.Point{X: p[0], Y: p[1]}, Radius: p[2]})
	}
	for _, p := range in.Fences {
		if len(p) != 4 {
			return out, errors.New("a fence is [x, y, x, y]")
		}
		job.Things = append(job.Things, Thing{Kind: "fence", Line: []geometry.Point{{X: p[0], Y: p[1]}, {X: p[2], Y: p[3]}}})
	}
	r, err := Design(job)
	out.Possible, out.PullForwards, out.Room, out.Made = r.Possible, r.PullForwards, r.Tightest.Room, r.Made
	out.HowHard, out.Blocker = r.Verdict, r.Blocker.Thing
	return out, err
}
