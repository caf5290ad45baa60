package intake

import (
	"context"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"slabwright/internal/engines/weather"
)

// service answers on this machine alone with a recorded answer.
func service(t *testing.T, status int, body []byte) string {
	t.Helper()
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Header.Get("User-Agent") != "a crew" {
			t.Errorf("who asks: %q", r.Header.Get("User-Agent"))
		}
		w.WriteHeader(status)
		if _, err := w.Write(body); err != nil {
			t.Error(err)
		}
	}))
	t.Cleanup(s.Close)
	return s.URL
}

func recorded(t *testing.T, name string) []byte {
	t.Helper()
	src, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

func TestPeriodsOfAServiceAreRead(t *testing.T) {
	address := service(t, http.StatusOK, recorded(t, "service-periods.json"))
	answer, err := Ask(context.Background(), Asking{Address: address, Agent: "a crew"})
	if err != nil {
		t.Fatal(err)
	}
	hours, made, err := ServiceForecast(address, answer, Reading{})
	if err != nil {
		t.Fatal(err)
	}
	if len(hours) != 6 || !made.Equal(time.Date(2027, 6, 17, 9, 40, 0, 0, time.UTC)) {
		t.Fatalf("%d hours, made %v", len(hours), made)
	}
	first, long := hours[0], hours[4]
	if math.Abs(first.Air.Celsius()-18.333) > 0.001 || math.Abs(float64(first.Wind)-15*0.44704) > 1e-9 || float64(*first.RainChance) != 0.2 || math.Abs(first.Dew.Celsius()-12.22) > 0.01 {
		t.Errorf("%+v", first)
	}
	if long.Air.Celsius() != 21 || math.Abs(float64(long.Wind)-5) > 1e-9 || math.Abs(1000*long.Rain.Metres()-1) > 1e-9 || !long.Time.Equal(hours[3].Time.Add(time.Hour)) {
		t.Errorf("a period of three hours: %+v", long)
	}
	if problems := weather.Problems(hours); len(problems) > 0 {
		t.Errorf("%+v", problems)
	}
}

func TestColumnsOfAServiceAreRead(t *testing.T) {
	hours, _, err := ServiceForecast("columns", recorded(t, "service-columns.json"), Reading{})
	if err != nil {
		t.Fatal(err)
	}
	if len(hours) != 3 {
		t.Fatalf("%d hours", len(hours))
	}
	h := hours[1]
	if h.Air.Celsius() != 9.5 || math.Abs(float64(h.Wind)-3) > 1e-9 || float64(*h.Cloud) != 0.4 || *h.Solar != 210 || math.Abs(1000*h.Rain.Metres()-0.6) > 1e-9 || float64(*h.RainChance) != 0.35 {
		t.Errorf("%+v", h)
	}
	if _, offset := h.Time.Zone(); offset != 7200 {
		t.Errorf("on the clock %v", h.Time)
	}
}

func TestWhatAServiceCannotSayIsRefusedInWords(t *testing.T) {
	for name, src := range map[string]string{"not json": "<html>", "empty": "{}", "refusal": `{"error":true,"reason":"no such place"}`,
		"unit":   `{"properties":{"periods":[{"startTime":"2027-06-17T05:00:00-05:00","temperature":65,"temperatureUnit":"K"}]}}`,
		"wind":   `{"properties":{"periods":[{"startTime":"2027-06-17T05:00:00-05:00","temperature":65,"temperatureUnit":"F","windSpeed":"strong"}]}}`,
		"no air": `{"hourly":{"time":["2027-06-17T05:00"]}}`, "bad time": `{"hourly":{"time":["soon"],"temperature_2m":[3]},"hourly_units":{"temperature_2m":"°C"}}`} {
		if _, _, err := ServiceForecast("answer", []byte(src), Reading{}); err == nil || !strings.Contains(err.Error(), ".") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Ask(context.Background(), Asking{Address: "forecast.csv"}); err == nil {
		t.Error("a file passed for an address")
	}
	address := service(t, http.StatusServiceUnavailable, nil)
	if _, err := Ask(context.Background(), Asking{Address: address, Agent: "a crew"}); err == nil || !strings.Contains(err.Error(), "503") {
		t.Errorf("a closed service: %v", err)
	}
}

func FuzzServiceForecast(f *testing.F) {
	for _, name := range []string{"service-periods.json", "service-columns.json"} {
		src, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		hours, _, err := ServiceForecast("fuzz", src, Reading{})
		if err == nil && len(hours) == 0 {
			t.Error("no hours and no fault")
		}
	})
}
