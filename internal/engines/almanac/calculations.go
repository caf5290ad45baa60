package almanac

import (
	"time"

	"slabwright/internal/engines/calc"
	"slabwright/internal/engines/quantity"
)

// moment is an instant and a place as a table of checks writes them: a date, hours after midnight on a clock that stands
// `zone` hours ahead of UTC without summer time.
type moment struct {
	date            string
	hour, zone      float64
	latitude, longi quantity.Angle
}

func (m moment) read() (time.Time, Place, error) {
	day, err := time.Parse(time.DateOnly, m.date)
	if err != nil {
		return day, Place{}, err
	}
	clock := time.FixedZone("", int(m.zone*3600))
	year, month, date := day.Date()
	at := time.Date(year, month, date, 0, 0, 0, 0, clock).Add(time.Duration(m.hour * float64(time.Hour)))
	return at, Place{Latitude: float64(m.latitude), Longitude: float64(m.longi)}, nil
}

// Calculations lists the formulas of this package.
func Calculations() []calc.Calculation {
	return []calc.Calculation{
		calc.New("almanac.sun", "where the sun stands over a place", "noaa-solar", func(in struct {
			Date      string         `says:"calendar date, 2026-06-11"`
			Hour      float64        `says:"hours after midnight, standard time" unit:"h" range:"-24..48"`
			Zone      float64        `says:"hours ahead of UTC, standard time" unit:"h" range:"-14..14"`
			Latitude  quantity.Angle `says:"north positive" range:"-1.5708..1.5708"`
			Longitude quantity.Angle `says:"east positive" range:"-6.2832..6.2832"`
		}) (out struct {
			Zenith         quantity.Angle
			ApparentZenith quantity.Angle
			Elevation      quantity.Angle
			Azimuth        quantity.Angle
			Declination    quantity.Angle
			EquationOfTime quantity.Time
		}, err error) {
			at, place, err := moment{in.Date, in.Hour, in.Zone, in.Latitude, in.Longitude}.read()
			if err != nil {
				return out, err
			}
			s := SunAt(at, place)
			out.Zenith, out.ApparentZenith, out.Elevation = quantity.Angle(s.Zenith), quantity.Angle(s.Apparent), quantity.Angle(90*rad-s.Zenith)
			out.Azimuth, out.Declination, out.EquationOfTime = quantity.Angle(s.Azimuth), quantity.Angle(s.Declination), quantity.Time(s.EquationOfTime)
			return out, nil
		}),
		calc.New("almanac.daylight", "sunrise, solar noon and sunset, as hours after midnight in standard time", "noaa-solar", func(in struct {
			Date      string         `says:"calendar date, 2026-06-11"`
			Zone      float64        `says:"hours ahead of UTC, standard time" unit:"h" range:"-14..14"`
			Latitude  quantity.Angle `says:"north positive" range:"-1.5708..1.5708"`
			Longitude quantity.Angle `says:"east positive" range:"-6.2832..6.2832"`
		}) (out struct {
			Kind    string  `says:"rises and sets, never sets or never rises"`
			Sunrise float64 `unit:"h"`
			Noon    float64 `unit:"h"`
			Sunset  float64 `unit:"h"`
		}, err error) {
			at, place, err := moment{in.Date, 0, in.Zone, in.Latitude, in.Longitude}.read()
			if err != nil {
				return out, err
			}
			d := DayAt(at, place)
			out.Kind, out.Noon = string(d.Kind), d.Noon.Sub(at).Hours()
			if d.Kind == Ordinary {
				out.Sunrise, out.Sunset = d.Rise.Sub(at).Hours(), d.Set.Sub(at).Hours()
			}
			return out, nil
		}),
	}
}
