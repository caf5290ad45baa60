package survey

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"slabwright/internal/engines/geometry"
	"slabwright/internal/trade/site"
)

// sane holds whatever a file gives to what the site can take.
func sane(t *testing.T, name string, src []byte, told Told) {
	in, err := Read(name, src, told)
	if err != nil {
		if faults, ok := err.(Faults); !ok || len(faults) == 0 || faults[0].Why == "" {
			t.Fatalf("refused without a reason: %v", err)
		}
		return
	}
	in.Groups()
	taken, err := in.Take(site.SurveyFile{File: name}, true)
	if err != nil {
		t.Fatalf("nothing was asked for, and refused: %v", err)
	}
	for _, s := range taken.Survey.Shots {
		if !s.Point().IsFinite() || math.IsNaN(s.Z) || math.IsInf(s.Z, 0) {
			t.Fatalf("shot %+v", s)
		}
	}
	_, _ = in.Take(site.SurveyFile{File: name}, false)
}

// mustTake takes from a file what a person says of it.
func mustTake(t testing.TB, in Import, f site.SurveyFile, sized bool) Taken {
	t.Helper()
	taken, err := in.Take(f, sized)
	if err != nil {
		t.Fatal(err)
	}
	return taken
}

// station is what a total station writes: point, northing, easting, elevation, code; feet.
const station = "1,5000.000,2000.000,100.00,BM\n2,5040.125,2000.010,99.62,EP\n3,5040.120,2014.020,99.41,\"EP, corner\"\n"

func TestATableWithoutAHeaderIsAskedAbout(t *testing.T) {
	for _, c := range []struct {
		told  Told
		field string
	}{{Told{Unit: site.Feet}, "axes"}, {Told{Axes: site.NorthEast}, "unit"}, {Told{}, "axes"}, {Told{Unit: site.Degrees, Axes: site.EastNorth}, "unit"}, {Told{Unit: "rod"}, "unit"}, {Told{Axes: "up"}, "axes"}} {
		_, err := Read("shots.csv", []byte(station), c.told)
		if faults, ok := err.(Faults); !ok || faults[0].Field != c.field {
			t.Errorf("%+v: %v", c.told, err)
		}
	}
	in := mustRead(t, "shots.csv", station, Told{Unit: site.Feet, Axes: site.NorthEast})
	want := geometry.Point{X: 2000.010 * .3048, Y: 5040.125 * .3048}
	if len(in.Points) != 3 || in.Points[1].At.Distance(want) > 1e-9 || math.Abs(in.Points[1].Z-99.62*.3048) > 1e-12 || in.Points[2].Code != "EP, corner" {
		t.Errorf("got %+v", in.Points)
	}
	if s := mustTake(t, in, site.SurveyFile{Origin: "1"}, true).Survey.Shots; len(s) != 3 || s[1].Name != "2" || s[0].Point() != (geometry.Point{}) || math.Abs(s[1].X-0.010*.3048) > 1e-9 {
		t.Errorf("counted from shot 1: %+v", s)
	}
	if s := mustTake(t, in, site.SurveyFile{Origin: "2000, 5000"}, true).Survey.Shots; s[0].Point().Length() > 1e-9 {
		t.Errorf("counted from two numbers: %+v", s)
	}
}

func TestHeadersSayWhatTheySay(t *testing.T) {
	for says, c := range map[string]struct {
		src  string
		told Told
		at   geometry.Point
		z    float64
	}{
		"easting, northing, metres":  {"Point,Northing (m),Easting (m),Elevation (m)\nA,20,10,5\n", Told{}, geometry.Point{X: 10, Y: 20}, 5},
		"x and y, told":              {"id;x;y;z\nA;10,5;20,25;5,125\n", Told{Unit: site.Metres, Axes: site.EastNorth}, geometry.Point{X: 10.5, Y: 20.25}, 5.125},
		"x is north":                 {"id\tx\ty\tz\nA\t20\t10\t5\n", Told{Unit: site.Metres, Axes: site.NorthEast}, geometry.Point{X: 10, Y: 20}, 5},
		"survey feet by the heading": {"point,easting_usft,northing_usft,elev_usft\nA,3937,7874,3937\n", Told{}, geometry.Point{X: 1200, Y: 2400}, 1200},
		"feet, and which":            {"point,easting_ft,northing_ft,elev_ft\nA,10,20,5\n", Told{Unit: site.Feet}, geometry.Point{X: 3.048, Y: 6.096}, 1.524},
		"spaces":                     {"A 10 20 5 note\n", Told{Unit: site.Metres, Axes: site.EastNorth}, geometry.Point{X: 10, Y: 20}, 5},
	} {
		in, err := Read("t.csv", []byte(c.src), c.told)
		if err != nil {
			t.Errorf("%s: %v", says, err)
			continue
		}
		if p := in.Points[0]; p.Name != "A" || p.At.Distance(c.at) > 1e-9 || math.Abs(p.Z-c.z) > 1e-9 {
			t.Errorf("%s: %+v", says, p)
		}
	}
	for says, c := range map[string]struct {
		src   string
		told  Told
		field string
		line  int
	}{
		"x and y alone":    {"id,x,y,z\nA,1,2,3\n", Told{Unit: site.Metres}, "axes", 0},
		"which foot":       {"point,easting_ft,northing_ft\nA,1,2\n", Told{}, "unit", 0},
		"metres told feet": {"point,easting_m,northing_m\nA,1,2\n", Told{Unit: site.Feet}, "unit", 1},
		"degrees":          {"point,lat,lon\nA,1,2\n", Told{Unit: site.Metres}, "file", 1},
		"no number":        {"point,easting,northing\nA,1,2\nB,x,2\n", Told{Unit: site.Metres}, "easting", 3},
		"no columns":       {"point,code\nA,B\n", Told{Unit: site.Metres}, "file", 1},
		"empty":            {"", Told{Unit: site.Metres}, "file", 1},
	} {
		_, err := Read("t.csv", []byte(c.src), c.told)
		if faults, ok := err.(Faults); !ok || faults[0].Field != c.field || faults[0].Line != c.line {
			t.Errorf("%s: %v", says, err)
		}
	}
}

const yard = `{"type":"FeatureCollection","features":[
 {"type":"Feature","properties":{"name":"slab"},"geometry":{"type":"Polygon","coordinates":[[[0,0],[12,0],[12,4],[0,4],[0,0]]]}},
 {"type":"Feature","properties":{"name":"fence"},"geometry":{"type":"LineString","coordinates":[[0,5],[12,5]]}},
 {"type":"Feature","id":"s1","properties":null,"geometry":{"type":"Point","coordinates":[1,2,99.5]}},
 {"type":"Feature","properties":{},"geometry":null}]}`

func TestGeoJSON(t *testing.T) {
	if _, err := Read("yard.geojson", []byte(yard), Told{}); err == nil || err.(Faults)[0].Field != "unit" {
		t.Errorf("a unit was guessed: %v", err)
	}
	in := mustRead(t, "yard.geojson", yard, Told{Unit: site.Metres})
	if c := mustTake(t, in, site.SurveyFile{Outline: "slab"}, false).Corners; len(c) != 4 || float64(c[2].X.Value) != 12 {
		t.Errorf("outline %v", c)
	}
	if len(in.Points) != 1 || in.Points[0].Name != "s1" || in.Points[0].Z != 99.5 || len(in.Skipped) != 1 {
		t.Errorf("points %+v, skipped %+v", in.Points, in.Skipped)
	}
	if _, err := in.Take(site.SurveyFile{Outline: "barn"}, false); err == nil || !strings.Contains(err.Error(), "slab") {
		t.Errorf("an outline that is not there: %v", err)
	}
	// Tables of the ellipsoid give a degree at latitude 40° as 111.035 km north and 85.394 km east: 30.843 and 23.7206 m a second.
	deg := mustRead(t, "p.geojson", `{"type":"MultiPoint","coordinates":[[-90,40],[-89.99972222222222,40],[-90,40.00027777777778]]}`, Told{Unit: site.Degrees})
	if e, n := deg.Points[1].At.X, deg.Points[2].At.Y; math.Abs(e-23.7206) > 5e-4 || math.Abs(n-30.8430) > 5e-4 {
		t.Errorf("a second is %v m east, %v m north", e, n)
	}
	if _, err := Read("p.geojson", []byte(`{"type":"Point","coordinates":[500000,4400000]}`), Told{Unit: site.Degrees}); err == nil {
		t.Error("metres were taken as degrees")
	}
	for _, bad := range []string{"{", `{"type":"Point","coordinates":[1]}`, `{"type":"Polygon","coordinates":[1]}`, `{"type":"Topology"}`} {
		if _, err := Read("p.json", []byte(bad), Told{Unit: site.Metres}); err == nil {
			t.Errorf("%s was taken", bad)
		}
	}
}

// landXML is written by the standard's own schema: northing, easting, elevation.
const landXML = `<?xml version="1.0"?>
<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" version="1.2">
 <Units><Imperial areaUnit="squareFoot" linearUnit="USSurveyFoot" volumeUnit="cubicFeet" temperatureUnit="fahrenheit" pressureUnit="inHG"/></Units>
 <CgPoints><CgPoint name="7" code="EP">3937 7874 393.7</CgPoint></CgPoints>
 <PlanFeatures><PlanFeature name="pad"><CoordGeom>
  <Line><Start>0 0</Start><End>0 3937</End></Line><Line><Start>0 3937</Start><End>3937 3937</End></Line>
  <Line><Start>3937 3937</Start><End>3937 0</End></Line><Line><Start>3937 0</Start><End>0 0</End></Line>
 </CoordGeom></PlanFeature></PlanFeatures>
 <Surfaces><Surface name="ground"><SourceData><Breaklines><Breakline name="edge"><PntList3D>0 0 393.7 3937 0 787.4</PntList3D></Breakline></Breaklines></SourceData>
  <Definition surfType="TIN"><Pnts><P id="1">3937 0 3937</P></Pnts></Definition></Surface></Surfaces>
</LandXML>`

func TestLandXML(t *testing.T) {
	in := mustRead(t, "ground.xml", landXML, Told{})
	if p := in.Points[0]; p.Name != "7" || p.Code != "EP" || p.At.Distance(geometry.Point{X: 2400, Y: 1200}) > 1e-9 || math.Abs(p.Z-120) > 1e-9 {
		t.Errorf("point %+v", p)
	}
	if p := in.Points[1]; p.Name != "1" || p.At.Distance(geometry.Point{Y: 1200}) > 1e-9 || math.Abs(p.Z-1200) > 1e-9 {
		t.Errorf("surface point %+v", p)
	}
	if c := mustTake(t, in, site.SurveyFile{Outline: "pad"}, false).Corners; len(c) != 4 || math.Abs(float64(c[1].X.Value)-1200) > 1e-9 {
		t.Errorf("outline %v", c)
	}
	if p := in.Points[1]; p.Code != "ground" {
		t.Errorf("a surface's point goes by %q", p.Code)
	}
	if b := in.Lines[1]; b.Name != "edge" || len(b.Points) != 2 || math.Abs(b.Points[1].Z-240) > 1e-9 {
		t.Errorf("breakline %+v", b)
	}
	for says, c := range map[string]struct {
		src   string
		told  Told
		field string
	}{
		"another unit": {landXML, Told{Unit: site.Metres}, "unit"},
		"east first":   {landXML, Told{Axes: site.EastNorth}, "axes"},
		"no unit":      {strings.Replace(landXML, `linearUnit="USSurveyFoot" `, "", 1), Told{}, "unit"},
		"odd unit":     {strings.Replace(landXML, "USSurveyFoot", "cubit", 1), Told{}, "unit"},
		"other XML":    {"<html></html>", Told{}, "file"},
		"broken":       {landXML[:300], Told{}, "file"},
		"not a number": {strings.Replace(landXML, "3937 7874 393.7", "3937 x 393.7", 1), Told{}, "file"},
	} {
		_, err := Read("ground.xml", []byte(c.src), c.told)
		if faults, ok := err.(Faults); !ok || faults[0].Field != c.field {
			t.Errorf("%s: %v", says, err)
		}
	}
}

// TestAnOriginMovesNothingElse: distances and heights stay.
func TestAnOriginMovesNothingElse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := Import{Unit: site.Metres}
		for range rapid.IntRange(2, 9).Draw(t, "points") {
			in.Points = append(in.Points, Point{Name: "p", At: geometry.Point{X: rapid.Float64Range(-6e5, 6e5).Draw(t, "x"), Y: rapid.Float64Range(0, 5e6).Draw(t, "y")}, Z: 1, HasZ: true})
		}
		taken, err := in.Take(site.SurveyFile{}, true)
		if err != nil {
			t.Fatal(err)
		}
		shots := taken.Survey.Shots
		for i := 1; i < len(shots) && len(shots) == len(in.Points); i++ {
			was, is := in.Points[i].At.Sub(in.Points[0].At), shots[i].Point().Sub(shots[0].Point())
			// 3e-9 m: rounding of coordinates of five million metres.
			if was.Distance(is) > 3e-9 || shots[i].Z != 1 {
				t.Fatalf("%v came out as %v", was, is)
			}
		}
	})
}

func FuzzTable(f *testing.F) {
	f.Add([]byte(station))
	f.Add([]byte("id;x;y;z\nA;10,5;20,25;5,125\n"))
	f.Fuzz(func(t *testing.T, src []byte) { sane(t, "x.csv", src, Told{Unit: site.Metres, Axes: site.EastNorth}) })
}

func FuzzGeoJSON(f *testing.F) {
	f.Add([]byte(yard))
	f.Fuzz(func(t *testing.T, src []byte) {
		sane(t, "x.geojson", src, Told{Unit: site.Degrees})
		sane(t, "x.geojson", src, Told{Unit: site.Metres})
	})
}

func FuzzLandXML(f *testing.F) {
	f.Add([]byte(landXML))
	f.Fuzz(func(t *testing.T, src []byte) { sane(t, "x.xml", src, Told{}) })
}
