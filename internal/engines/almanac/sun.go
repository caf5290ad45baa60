// Package almanac answers what a calendar with a sun table answers: where the sun stands, when it rises and sets at a
// place, how an instant reads on the clock there, and which date is some days later, summer time included.
package almanac

import (
	"math"
	"time"
)

// Place is a point on the earth: latitude north positive, longitude east positive, both in radians.
type Place struct{ Latitude, Longitude float64 }

// Sun is where the sun stands. Angles in radians; Azimuth from north turning east; EquationOfTime in seconds, apparent
// minus mean solar time.
type Sun struct {
	Zenith         float64 // true, from the vertical
	Apparent       float64 // lifted by refraction: what an eye sees
	Azimuth        float64
	Declination    float64
	EquationOfTime float64
}

const rad = math.Pi / 180

// orbit is the sun seen from the earth's centre.
type orbit struct{ declination, equation float64 } // rad, minutes

// orbitAt gives declination and equation of time.
//
//	L0 = 280.46646 + T(36000.76983 + 0.0003032T)      M = 357.52911 + T(35999.05029 − 0.0001537T)
//	e  = 0.016708634 − T(0.000042037 + 0.0000001267T)
//	C  = sinM(1.914602 − T(0.004817 + 0.000014T)) + sin2M(0.019993 − 0.000101T) + 0.000289 sin3M
//	λ  = L0 + C − 0.00569 − 0.00478 sinΩ              Ω = 125.04 − 1934.136T
//	ε  = 23 + (26 + (21.448 − T(46.815 + T(0.00059 − 0.001813T)))/60)/60 + 0.00256 cosΩ
//	δ  = asin(sinε sinλ)                               y = tan²(ε/2)
//	EoT = 4·deg[y sin2L0 − 2e sinM + 4e y sinM cos2L0 − ½y² sin4L0 − 1.25e² sin2M]
//
// T is in Julian centuries from noon of 1 January 2000, UTC; angles in degrees. Source: NOAA solar calculation sheet after
// Meeus, recalled. Good to about 0.01° between 1900 and 2100. Checked: CUR-15, CUR-17.
func orbitAt(at time.Time) orbit {
	T := (float64(at.Unix())/86400 + 2440587.5 - 2451545) / 36525
	L0 := rad * math.Mod(280.46646+T*(36000.76983+0.0003032*T), 360)
	M := rad * (357.52911 + T*(35999.05029-0.0001537*T))
	e := 0.016708634 - T*(0.000042037+0.0000001267*T)
	C := math.Sin(M)*(1.914602-T*(0.004817+0.000014*T)) + math.Sin(2*M)*(0.019993-0.000101*T) + 0.000289*math.Sin(3*M)
	omega := rad * (125.04 - 1934.136*T)
	lambda := L0 + rad*(C-0.00569-0.00478*math.Sin(omega))
	eps := rad * (23 + (26+(21.448-T*(46.815+T*(0.00059-0.001813*T)))/60)/60 + 0.00256*math.Cos(omega))
	y := math.Pow(math.Tan(eps/2), 2)
	eot := y*math.Sin(2*L0) - 2*e*math.Sin(M) + 4*e*y*math.Sin(M)*math.Cos(2*L0) - y*y/2*math.Sin(4*L0) - 1.25*e*e*math.Sin(2*M)
	return orbit{declination: math.Asin(math.Sin(eps) * math.Sin(lambda)), equation: 4 * eot / rad}
}

// SunAt is where the sun stands over a place at an instant.
//
//	H = TST/4 − 180      TST = 60h + EoT + 4·longitude (UTC, minutes)
//	cos z = sinφ sinδ + cosφ cosδ cosH
//
// Source and accuracy as orbitAt, about 0.01° against NREL's algorithm. Checked: CUR-15, CUR-17, CUR-18.
func SunAt(at time.Time, place Place) Sun {
	o, utc := orbitAt(at), at.UTC()
	minutes := float64(utc.Hour())*60 + float64(utc.Minute()) + (float64(utc.Second())+float64(utc.Nanosecond())/1e9)/60
	H := rad * ((minutes+o.equation+4*place.Longitude/rad)/4 - 180)
	sinPhi, cosPhi := math.Sincos(place.Latitude)
	sinD, cosD := math.Sincos(o.declination)
	z := math.Acos(clamp(sinPhi*sinD + cosPhi*cosD*math.Cos(H)))
	azimuth := math.Atan2(math.Sin(H), math.Cos(H)*sinPhi-math.Tan(o.declination)*cosPhi) + math.Pi
	return Sun{Zenith: z, Apparent: z - refraction(math.Pi/2-z), Azimuth: math.Mod(azimuth+2*math.Pi, 2*math.Pi),
		Declination: o.declination, EquationOfTime: 60 * o.equation}
}

func clamp(x float64) float64 { return math.Max(-1, math.Min(1, x)) }

// refraction is how far the air lifts the sun at a true elevation, radians. Source: as orbitAt.
func refraction(elevation float64) float64 {
	el, t := elevation/rad, math.Tan(elevation)
	seconds := 0.0
	switch {
	case el > 85:
	case el > 5:
		seconds = 58.1/t - 0.07/(t*t*t) + 8.6e-5/math.Pow(t, 5)
	case el > -0.575:
		seconds = 1735 + el*(-518.2+el*(103.4+el*(-12.79+0.711*el)))
	default:
		seconds = -20.772 / t
	}
	return rad * seconds / 3600
}

// Daylight says how the sun runs over one day.
type Daylight string

// The kinds of day.
const (
	Ordinary   Daylight = "rises and sets"
	PolarDay   Daylight = "never sets"
	PolarNight Daylight = "never rises"
)

// Day is one calendar day's sun at a place. Rise and Set are zero unless the day is Ordinary.
type Day struct {
	Kind            Daylight
	Rise, Noon, Set time.Time
}

// horizon is the zenith of the sun's centre when its upper edge appears: 90° and 50′ of refraction and half-width.
const horizon = 90.833

// DayAt gives sunrise, solar noon and sunset of the calendar day on which `at` falls on its own clock.
//
//	cos H0 = cos 90.833°/(cosφ cosδ) − tanφ tanδ      noon = 720 − 4·longitude − EoT (UTC, minutes)      ± 4 H0 minutes
//
// Declination and equation of time are those of solar noon; a day without sunrise or sunset is told by its Kind. Source as
// orbitAt. Good to 2 min below 65° latitude over a flat horizon. Checked: CUR-16, CUR-17, CUR-18.
func DayAt(at time.Time, place Place) Day {
	year, month, day := at.Date()
	midnight := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	about := midnight.Add(minutes(720 - 4*place.Longitude/rad))
	o := orbitAt(about)
	noon := about.Add(minutes(-o.equation)).In(at.Location())
	c := math.Cos(rad*horizon)/(math.Cos(place.Latitude)*math.Cos(o.declination)) - math.Tan(place.Latitude)*math.Tan(o.declination)
	switch {
	case c < -1:
		return Day{Kind: PolarDay, Noon: noon}
	case c > 1:
		return Day{Kind: PolarNight, Noon: noon}
	}
	half := minutes(4 * math.Acos(c) / rad)
	return Day{Kind: Ordinary, Rise: noon.Add(-half), Noon: noon, Set: noon.Add(half)}
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }
