package intake

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
)

// rawList is a column of an answer; values may be missing.
type rawList []json.RawMessage

func (l rawList) number(i int) (float64, bool) {
	var v *float64
	if i >= len(l) || json.Unmarshal(l[i], &v) != nil || v == nil {
		return 0, false
	}
	return *v, true
}

// first finds the first column of several names.
func first(columns map[string]rawList, units map[string]string, names ...string) (rawList, string) {
	for _, n := range names {
		if c, ok := columns[n]; ok {
			return c, units[n]
		}
	}
	return nil, ""
}

// columnHours reads the second form: columns beside a column of times, on the clock of a zone where they have no offset of their own.
func columnHours(columns map[string]rawList, units map[string]string, zone *time.Location) ([]weather.Hour, error) {
	times, ok := columns["time"]
	if !ok {
		return nil, errors.New("no column is named time")
	}
	air, airUnit := first(columns, units, "temperature_2m", "temperature", "air_temperature")
	if air == nil {
		return nil, errors.New("no column holds the air temperature")
	}
	var out []weather.Hour
	for i := range times {
		at, err := columnTime(times[i], zone)
		if err != nil {
			return nil, err
		}
		v, ok := air.number(i)
		if !ok {
			continue
		}
		h := weather.Hour{Time: at}
		if h.Air, err = temp(v, airUnit); err != nil {
			return nil, err
		}
		if err := fillHour(&h, i, columns, units); err != nil {
			return nil, fmt.Errorf("hour %d: %w", i+1, err)
		}
		if h.Dew != nil || h.Humidity != nil {
			out = append(out, h)
		}
	}
	return rising(out), nil
}

func columnTime(src json.RawMessage, zone *time.Location) (time.Time, error) {
	var text string
	if json.Unmarshal(src, &text) == nil {
		for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
			if t, err := time.Parse(form, text); err == nil {
				return t, nil
			}
		}
		if t, err := time.ParseInLocation("2006-01-02T15:04", text, zone); err == nil {
			return t, nil
		}
	}
	var seconds int64
	if json.Unmarshal(src, &seconds) == nil && seconds > 0 {
		return time.Unix(seconds, 0).In(zone), nil
	}
	return time.Time{}, fmt.Errorf("the time %s cannot be placed", src)
}

// fillHour reads what else an hour has.
func fillHour(h *weather.Hour, i int, columns map[string]rawList, units map[string]string) error {
	var err error
	if c, unit := first(columns, units, "dew_point_2m", "dewpoint_2m", "dew_point"); c != nil {
		if v, ok := c.number(i); ok {
			dew, err := temp(v, unit)
			if err != nil {
				return err
			}
			dew = min(dew, h.Air)
			h.Dew = &dew
		}
	}
	if c, _ := first(columns, units, "relative_humidity_2m", "relativehumidity_2m", "relative_humidity"); c != nil && h.Dew == nil {
		if v, ok := c.number(i); ok {
			h.Humidity = percent(v)
		}
	}
	if c, unit := first(columns, units, "wind_speed_10m", "windspeed_10m", "wind_speed"); c != nil {
		if v, ok := c.number(i); ok {
			if h.Wind, err = speed(v, unit); err != nil {
				return err
			}
		}
	}
	if c, _ := first(columns, units, "cloud_cover", "cloudcover"); c != nil {
		if v, ok := c.number(i); ok {
			cloud := quantity.Ratio(*percent(v))
			h.Cloud = &cloud
		}
	}
	if c, _ := first(columns, units, "shortwave_radiation"); c != nil {
		if v, ok := c.number(i); ok && v >= 0 {
			h.Solar = &v
		}
	}
	return fillRain(h, i, columns, units)
}

// fillRain takes the rain of the hour from this time on: the columns give it at the hour's end, one row later.
func fillRain(h *weather.Hour, i int, columns map[string]rawList, units map[string]string) error {
	if c, unit := first(columns, units, "precipitation", "rain"); c != nil {
		if v, ok := c.number(i + 1); ok {
			switch unit {
			case "inch", "in":
				h.Rain = quantity.Inches(v)
			case "mm", "":
				h.Rain = quantity.Millimetres(v)
			default:
				return fmt.Errorf("the unit of rain %q is not known", unit)
			}
		}
	}
	if c, _ := first(columns, units, "precipitation_probability"); c != nil {
		if v, ok := c.number(i + 1); ok {
			h.RainChance = percent(v)
		}
	}
	return nil
}
