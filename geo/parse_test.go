package geo_test

import (
	"bufio"
	"errors"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"swingroom/fixtures/outside"
	"swingroom/geo"
)

func TestParsePositionTakesWhatPeoplePaste(t *testing.T) {
	want := geo.Position{LatDeg: 44 + 7.407/60, LonDeg: -(68 + 45.926/60)}
	for _, text := range []string{
		"44.12345, -68.7654333", "44.12345 -68.7654333", "+44.12345;-68.7654333", "44.12345\t-68.7654333", "44.12345|-68.7654333",
		"44,12345; -68,7654333", "44,12345 -68,7654333",
		"44.12345N 68.7654333W", "44.12345 n, 68.7654333 w", "N44.12345 W68.7654333", "W 68.7654333, N 44.12345", "(44.12345, −68.7654333)",
		"[44.12345, -68.7654333]", "geo:44.12345,-68.7654333;u=5",
		"44° 07.407' N 68° 45.926' W", "44°07.407′N, 068°45.926′W", "44 07.407 N 68 45.926 W", "N 44° 07.407’ W 068° 45.926’",
		"44-07.407 N 068-45.926 W", "44d07.407'N 68d45.926'W",
		"44° 07,407' N 68° 45,926' W", "44° 07,407' N; 68° 45,926' W", "44:07.407, -68:45.926", "44 07.407 / -68 45.926",
		"44 07.407 -68 45.926", "44 deg 7.407 min north 68 deg 45.926 min west",
		"latitude 44.12345 longitude -68.7654333", "Lat: 44.12345, Lon: -68.7654333", "lat=44.12345 long=-68.7654333",
		"44.12345 latitude, -68.7654333 longitude", "longitude -68.7654333, latitude 44.12345",
		"44° 07' 24.42\" N 68° 45' 55.56\" W", "44°07′24.42″N 068°45′55.56″W", "44 07 24.42 N, 68 45 55.56 W", "44:07:24.42N 68:45:55.56W",
		"44°07'24.42''N 68°45'55.56''W", "44 07 24.42, -68 45 55.56", "44 07 24.42 -68 45 55.56",
		"44º 07’ 24.42” N 68º 45’ 55.56” W", "44°\u00a007.407'\u2009N\n68°\u00a045.926'\u2009W",
	} {
		got, err := geo.ParsePosition(text, nil)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if d := geo.Distance(got, want); d > 0.05 /* m: half of the last digit written */ {
			t.Errorf("%q: %v, %.2f m off", text, got, float64(d))
		}
	}
}

func TestParsePositionRefusesWithReasonAndReadings(t *testing.T) {
	near := &geo.Vicinity{Centre: geo.Position{LatDeg: 44.2, LonDeg: -41.5}, Reach: 20000}
	for _, tc := range []struct {
		text     string
		near     *geo.Vicinity
		kind     error
		reason   string
		readings int
	}{
		{"91, 10", nil, geo.ErrInvalid, "between 89° S and 89° N", 1},
		{"91 N 10 E", nil, geo.ErrInvalid, "between 89° S and 89° N", 0},
		{"89° 00.001' N 10° E", nil, geo.ErrInvalid, "between 89° S and 89° N", 0},
		{"89° 30' S 10° E", nil, geo.ErrInvalid, "nearer to a pole", 0},
		{"-89.5, 10", nil, geo.ErrInvalid, "nearer to a pole", 1},
		{"89° N 10° E", nil, nil, "", 0},
		{"44, 181", nil, geo.ErrInvalid, "180°", 0},
		{"44° 60' N 68° 10' W", nil, geo.ErrInvalid, "minutes go up to 59", 0},
		{"44° 10' 60\" N 68° 10' 1\" W", nil, geo.ErrInvalid, "seconds go up to 59", 0},
		{"44.5 10 N 68 10 W", nil, geo.ErrInvalid, "decimals already", 0},
		{"44° 29' 30' N 41° 30' 10\" W", nil, geo.ErrAmbiguous, "double prime", 1},
		{"442900N 413000W", nil, geo.ErrAmbiguous, "runs degrees", 1},
		{"442930N 0413000W", nil, geo.ErrAmbiguous, "runs degrees", 4},
		{"4429.5N 04130.2W", nil, geo.ErrAmbiguous, "runs degrees", 1},
		{"44.12345", nil, geo.ErrInvalid, "only one half", 0},
		{"44 29 30", nil, geo.ErrInvalid, "only one half", 0},
		{"N 44 29.5", nil, geo.ErrInvalid, "only one half", 0},
		{"44,5", nil, geo.ErrAmbiguous, "decimal comma", 1},
		{"44,5,68,2", nil, geo.ErrAmbiguous, "commas", 1},
		{"44 N 45 N", nil, geo.ErrInvalid, "same kind", 0},
		{"44 N 45 S", nil, geo.ErrInvalid, "same kind", 0},
		{"-44 N, 41 W", nil, geo.ErrInvalid, "one of them is enough", 0},
		{"44 29 30 68 10", nil, geo.ErrInvalid, "not clear", 0},
		{"1, 2, 3", nil, geo.ErrInvalid, "more than two", 0},
		{"44' 10, 41", nil, geo.ErrInvalid, "mark '", 0},
		{"", nil, geo.ErrInvalid, "expected latitude and longitude", 0},
		{"the red buoy", nil, geo.ErrInvalid, "does not belong", 0},
		{"NaN, NaN", nil, geo.ErrInvalid, "does not belong", 0},
		{"1e5, 2", nil, geo.ErrInvalid, "", 0},
		{strings.Repeat("4", 300), nil, geo.ErrInvalid, "not that long", 0},
		{"-41.5, 44.2", near, geo.ErrAmbiguous, "longitude first", 2},
		{"41.5, 44.2", near, geo.ErrAmbiguous, "longitude first", 2},
		{"44.2, 41.5", near, geo.ErrAmbiguous, "sign turned", 2},
		{"44 12 N, 41 30 E", near, nil, "", 0}, // told by letters, it is taken as it stands
		{"44.21, -41.51", near, nil, "", 0},
	} {
		p, err := geo.ParsePosition(tc.text, tc.near)
		if tc.kind == nil {
			if err != nil {
				t.Errorf("%q: %v", tc.text, err)
			}
			continue
		}
		var refused *geo.PositionError
		if !errors.As(err, &refused) || !errors.Is(err, tc.kind) || !strings.Contains(refused.Reason, tc.reason) ||
			len(refused.Readings) != tc.readings {
			t.Errorf("%q: %v as %v, readings %+v; want %v, %q, %d readings", tc.text, err, p, refused, tc.kind, tc.reason, tc.readings)
		}
	}
}

func TestAPositionIsReadBackFromEachOfItsForms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := geo.Position{LatDeg: rapid.Float64Range(-89, 89).Draw(t, "lat"), LonDeg: rapid.Float64Range(-180, 180).Draw(t, "lon")}
		for form, tolDeg := range map[string]float64{p.DD(): 0.51e-6, p.DDM(): 0.51e-4 / 60, p.DMS(): 0.51e-2 / 3600} {
			q, err := geo.ParsePosition(form, nil)
			if err != nil {
				t.Fatalf("%q: %v", form, err)
			}
			if math.Abs(q.LatDeg-p.LatDeg) > tolDeg || math.Abs(q.LonDeg-p.LonDeg) > tolDeg {
				t.Fatalf("%q reads %v, was %v", form, q, p)
			}
		}
	})
}

// TestParsePositionAgreesWithGeoConvert reads the same texts with GeographicLib.
func TestParsePositionAgreesWithGeoConvert(t *testing.T) {
	program := outside.Program(t, "GeoConvert", "geographiclib-tools")
	texts := []string{ // the first two are corners of 33 CFR 110.50b, area 1
		`41:19:44N 71:58:42W`, `41:19:30N 71:58:43W`, `44d24 -68d12`, `44d24.5' -68d12.25'`, `N44d24'30" W68d12'15.5"`, `33.3 44.4`,
		`S12.5 E179.99999`, `12d30'0.1"S 0d0'1"W`,
	}
	cmd := exec.Command(program, "-g", "-p", "6")
	cmd.Stdin = strings.NewReader(strings.Join(texts, "\n"))
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(strings.NewReader(string(out)))
	for _, text := range texts {
		lines.Scan()
		var want geo.Position
		if _, err := fmt.Sscan(lines.Text(), &want.LatDeg, &want.LonDeg); err != nil {
			t.Fatalf("%q: %q: %v", text, lines.Text(), err)
		}
		got, err := geo.ParsePosition(text, nil)
		if err != nil || math.Abs(got.LatDeg-want.LatDeg) > 1e-10 || math.Abs(got.LonDeg-want.LonDeg) > 1e-10 {
			t.Errorf("%q: %v (%v), GeoConvert has %v", text, got, err, want)
		}
	}
}

func FuzzParsePosition(f *testing.F) {
	for _, text := range []string{"44° 07.407' N 68° 45.926' W", "44,5,68,2", "442900N 0413000W", "geo:1,2", "lat 4 lon -5",
		"44°29'30'N 1E", "-.5 -.25", "1:2:3 4:5:6"} {
		f.Add(text)
	}
	near := &geo.Vicinity{Centre: geo.Position{LatDeg: 44.2, LonDeg: -41.5}, Reach: 20000}
	f.Fuzz(func(t *testing.T, text string) {
		for _, v := range []*geo.Vicinity{nil, near} {
			p, err := geo.ParsePosition(text, v)
			if err != nil {
				var refused *geo.PositionError
				if !errors.As(err, &refused) || refused.Reason == "" || refused.Kind == nil {
					t.Fatalf("%q: refused without a reason: %v", text, err)
				}
				for _, r := range refused.Readings {
					if r.Position.Validate() != nil {
						t.Fatalf("%q: offers %v", text, r)
					}
				}
				continue
			}
			if p.Validate() != nil {
				t.Fatalf("%q: accepted as %v", text, p)
			}
			if q, err := geo.ParsePosition(p.DDM(), nil); err != nil || math.Abs(q.LatDeg-p.LatDeg) > 1e-6 ||
				math.Abs(q.LonDeg-p.LonDeg) > 1e-6 {
				t.Fatalf("%q: %v, read back %v (%v)", text, p, q, err)
			}
		}
	})
}

func TestNoPositionWithinADegreeOfAPoleIsTaken(t *testing.T) {
	for latDeg, taken := range map[float64]bool{
		89: true, -89: true, 0: true, 89.0001: false, -89.0001: false, 90: false, -90: false, math.NaN(): false, math.Inf(1): false,
	} {
		err := geo.Position{LatDeg: latDeg, LonDeg: 10}.Validate()
		if taken != (err == nil) || !taken && !strings.Contains(geo.FieldErrors(err)[0].Want, fmt.Sprintf("%d° N", geo.MaxLatDeg)) {
			t.Errorf("latitude %g: %v", latDeg, err)
		}
	}
}

func ExampleParsePosition() {
	p, err := geo.ParsePosition("44° 12,345' N; 041° 30,123' W", nil)
	if err != nil {
		panic(err)
	}
	fmt.Println(p.DD())
	fmt.Println(p.DDM())
	fmt.Println(p.DMS())
	// Output:
	// 44.205750, -41.502050
	// 44° 12.3450' N  041° 30.1230' W
	// 44° 12' 20.70" N  041° 30' 07.38" W
}
