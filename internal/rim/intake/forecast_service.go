package intake

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/engines/weather"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
)

// Asking is how a weather service is asked: by an address that a person gives, never by one of the program's own, and only when
// they ask. Client nil is one that waits ten seconds.
type Asking struct {
	Address string
	Client  *http.Client
	Agent   string // who asks; some services want it
}

// largestAnswer is the most that is read of a service's answer, bytes; two weeks of hours are a tenth of it.
const largestAnswer = 4 << 20

// patience is how long a service may take.
const patience = 10 * time.Second

// Ask asks a service and gives its answer as it came. See ServiceForecast.
func Ask(ctx context.Context, a Asking) ([]byte, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, a.Address, nil)
	if err != nil || request.URL.Scheme != "https" && request.URL.Scheme != "http" || request.URL.Host == "" {
		return nil, serviceFault(a.Address, "is not the address of a service.", "Type the whole address, beginning with https://.")
	}
	request.Header.Set("Accept", "application/geo+json, application/json")
	if a.Agent != "" {
		request.Header.Set("User-Agent", a.Agent)
	}
	client := a.Client
	if client == nil {
		client = &http.Client{Timeout: patience}
	}
	answer, err := client.Do(request)
	if err != nil {
		return nil, fmt.Errorf("the weather service did not answer: %w. Type the forecast as a table, or four numbers read on site", err)
	}
	defer answer.Body.Close()
	src, err := io.ReadAll(io.LimitReader(answer.Body, largestAnswer+1))
	switch {
	case answer.StatusCode != http.StatusOK:
		return nil, fmt.Errorf("the weather service answered %q. Type the forecast as a table, or four numbers read on site", answer.Status)
	case err != nil:
		return nil, fmt.Errorf("the weather service broke off: %w", err)
	case len(src) > largestAnswer:
		return nil, serviceFault(a.Address, fmt.Sprintf("answers with more than %d MB.", largestAnswer>>20), "Ask for hours, of one place.")
	}
	return src, nil
}

// Kept is an answer kept beside the job: what was asked, when, and the answer as it came.
type Kept struct {
	Asked   time.Time       `json:"asked"`
	Address string          `json:"address"`
	Answer  json.RawMessage `json:"answer"`
}

// AddressFor fills a service's address with the place: {latitude} and {longitude} stand for its degrees, to a hundredth (about a
// kilometre): no more of the job is told than that.
func AddressFor(service string, latitude, longitude known.Known[quantity.Angle]) (string, error) {
	for name, angle := range map[string]known.Known[quantity.Angle]{"latitude": latitude, "longitude": longitude} {
		mark := "{" + name + "}"
		if !strings.Contains(service, mark) {
			continue
		}
		if !angle.Given() {
			return "", check.Faults{{Field: name, Why: "the weather service is asked for a place, and the job does not say where it is.", Type: "Type `" + name + ": 41.9` in the job file, in degrees."}}
		}
		service = strings.ReplaceAll(service, mark, fmt.Sprintf("%.2f", quantity.In(angle.Value, "deg")))
	}
	return service, nil
}

// ServiceForecast reads the answer of a public weather service, in one of two forms: a list of periods with a start and values with
// their units (GeoJSON, properties.periods), or columns of hourly values beside a column of times (hourly, hourly_units). It gives
// the hours in order and when the forecast was made, zero when it does not say. Several hours to a period are spread over them.
func ServiceForecast(file string, src []byte, reading Reading) ([]weather.Hour, time.Time, error) {
	var kept Kept
	if json.Unmarshal(src, &kept) == nil && len(kept.Answer) > 0 {
		hours, made, err := ServiceForecast(file, kept.Answer, reading)
		if made.IsZero() {
			made = kept.Asked
		}
		return hours, made, err
	}
	var doc struct {
		Properties *periodsAnswer     `json:"properties"`
		Hourly     map[string]rawList `json:"hourly"`
		Units      map[string]string  `json:"hourly_units"`
		Offset     int                `json:"utc_offset_seconds"`
		Error      bool               `json:"error"`
		Reason     string             `json:"reason"`
	}
	if err := json.Unmarshal(src, &doc); err != nil {
		return nil, time.Time{}, serviceFault(file, "is not JSON: "+err.Error()+".", "Give the answer of a weather service as it came.")
	}
	var hours []weather.Hour
	var made time.Time
	var err error
	switch {
	case doc.Error:
		return nil, made, serviceFault(file, "is a refusal: "+doc.Reason, "Mend the address.")
	case doc.Properties != nil && len(doc.Properties.Periods) > 0:
		hours, made, err = doc.Properties.hours()
	case len(doc.Hourly) > 0:
		hours, err = columnHours(doc.Hourly, doc.Units, zoneOf(doc.Offset, reading.Zone))
	default:
		err = errors.New("it holds neither periods nor hourly columns")
	}
	if err == nil && len(hours) == 0 {
		err = errors.New("no hour of it can be used")
	}
	if err != nil {
		return nil, made, serviceFault(file, "cannot be used: "+err.Error()+".", "Ask the service for an hourly forecast.")
	}
	return hours, made, nil
}

func serviceFault(given, why, instead string) error {
	return check.Faults{{Field: "forecast", Given: given, Why: why, Type: instead}}
}

func zoneOf(offset int, zone *time.Location) *time.Location {
	if zone != nil {
		return zone
	}
	return time.FixedZone("", offset)
}

// valued is a number with its unit, or a number alone, as such answers write both.
type valued struct {
	Value *float64
	Unit  string
}

// UnmarshalJSON reads either.
func (v *valued) UnmarshalJSON(src []byte) error {
	var number float64
	if json.Unmarshal(src, &number) == nil {
		if string(src) != "null" {
			v.Value = &number
		}
		return nil
	}
	var both struct {
		Value *float64 `json:"value"`
		Unit  string   `json:"unitCode"`
	}
	if err := json.Unmarshal(src, &both); err != nil {
		return err
	}
	v.Value, v.Unit = both.Value, both.Unit
	return nil
}

// periodsAnswer is the first form.
type periodsAnswer struct {
	Updated   time.Time `json:"updateTime"`
	Generated time.Time `json:"generatedAt"`
	Periods   []period  `json:"periods"`
}

type period struct {
	Start      time.Time       `json:"startTime"`
	End        time.Time       `json:"endTime"`
	Temp       valued          `json:"temperature"`
	TempUnit   string          `json:"temperatureUnit"`
	Dew        valued          `json:"dewpoint"`
	Humidity   valued          `json:"relativeHumidity"`
	RainChance valued          `json:"probabilityOfPrecipitation"`
	Rain       valued          `json:"quantitativePrecipitation"`
	Cloud      valued          `json:"skyCover"`
	Wind       json.RawMessage `json:"windSpeed"`
}

func (a *periodsAnswer) hours() ([]weather.Hour, time.Time, error) {
	var out []weather.Hour
	for i, p := range a.Periods {
		h, err := p.hour()
		if err != nil {
			return nil, time.Time{}, fmt.Errorf("period %d: %w", i+1, err)
		}
		long := 1
		if n := int(p.End.Sub(p.Start).Hours() + 0.5); n > 1 && n <= 24 {
			long = n
		}
		h.Rain /= quantity.Length(long)
		for k := range long {
			h.Time = p.Start.Add(time.Duration(k) * time.Hour)
			out = append(out, h)
		}
	}
	made := a.Updated
	if made.IsZero() {
		made = a.Generated
	}
	return rising(out), made, nil
}

func (p period) hour() (weather.Hour, error) {
	var h weather.Hour
	if p.Start.IsZero() || p.Temp.Value == nil {
		return h, errors.New("it has no start or no temperature")
	}
	air, err := temp(*p.Temp.Value, p.Temp.Unit+p.TempUnit)
	if err != nil {
		return h, err
	}
	h.Air = air
	if p.Dew.Value != nil {
		dew, err := temp(*p.Dew.Value, p.Dew.Unit)
		if err != nil {
			return h, err
		}
		dew = min(dew, air)
		h.Dew = &dew
	} else if p.Humidity.Value != nil {
		h.Humidity = percent(*p.Humidity.Value)
	}
	if p.RainChance.Value != nil {
		h.RainChance = percent(*p.RainChance.Value)
	}
	if p.Rain.Value != nil {
		h.Rain = quantity.Millimetres(*p.Rain.Value)
	}
	if p.Cloud.Value != nil {
		cloud := quantity.Ratio(*percent(*p.Cloud.Value))
		h.Cloud = &cloud
	}
	h.Wind, err = wind(p.Wind)
	return h, err
}

func temp(v float64, unit string) (quantity.Temp, error) {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return 0, errors.New("a temperature is not a number")
	case strings.HasSuffix(unit, "F"):
		return quantity.Fahrenheit(v), nil
	case strings.HasSuffix(unit, "C"):
		return quantity.Celsius(v), nil
	}
	return 0, fmt.Errorf("the unit of temperature %q is neither °F nor °C", unit)
}

// percent keeps a share in what a share can be; forecasts round past both ends.
func percent(v float64) *quantity.Percent {
	p := quantity.Percent(math.Max(0, math.Min(1, v/100)))
	return &p
}

// wind reads "10 to 15 mph" by its stronger end, or a number with a unit.
func wind(src json.RawMessage) (quantity.Speed, error) {
	if len(src) == 0 {
		return 0, nil
	}
	var text string
	if json.Unmarshal(src, &text) != nil {
		var v valued
		if err := json.Unmarshal(src, &v); err != nil || v.Value == nil {
			return 0, fmt.Errorf("the wind %s cannot be read", src)
		}
		return speed(*v.Value, v.Unit)
	}
	if i := strings.LastIndex(text, " to "); i >= 0 {
		text = text[i+len(" to "):]
	}
	var number float64
	var unit string
	if _, err := fmt.Sscanf(text, "%f %s", &number, &unit); err != nil {
		return 0, fmt.Errorf("the wind %q cannot be read", text)
	}
	return speed(number, unit)
}

var speeds = map[string]float64{"mph": 0.44704, "mp/h": 0.44704, "km/h": 1 / 3.6, "km_h-1": 1 / 3.6, "kmh": 1 / 3.6, "m/s": 1, "m_s-1": 1, "ms": 1, "kn": 1852.0 / 3600, "kt": 1852.0 / 3600}

func speed(v float64, unit string) (quantity.Speed, error) {
	name := strings.ToLower(unit[strings.LastIndex(unit, ":")+1:])
	factor, ok := speeds[name]
	if !ok || math.IsNaN(v) {
		return 0, fmt.Errorf("the unit of wind %q is not known", unit)
	}
	return quantity.Speed(v * factor), nil
}

// rising puts hours in order; of two for one time the later given counts.
func rising(hours []weather.Hour) []weather.Hour {
	var out []weather.Hour
	for _, h := range hours {
		i := len(out)
		for i > 0 && out[i-1].Time.After(h.Time) {
			i--
		}
		if i > 0 && out[i-1].Time.Equal(h.Time) {
			out[i-1] = h
			continue
		}
		out = append(out, weather.Hour{})
		copy(out[i+1:], out[i:])
		out[i] = h
	}
	return out
}
