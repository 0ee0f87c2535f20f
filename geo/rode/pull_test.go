package rode_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// measured is a boat with everything on record.
func measured(kind string, loa, beam, bow, draft geo.Metres) geo.Boat {
	return geo.Boat{Kind: kind, LOA: geo.Known(loa), Beam: geo.Known(beam), BowHeight: geo.Known(bow), Draft: geo.Known(draft)}
}

// someBoat is any boat with a draft that the record takes.
func someBoat(t *rapid.T) geo.Boat {
	span := func(lo, hi float64, name string) geo.Metres {
		return geo.Metres(rapid.Float64Range(lo, hi).Draw(t, name))
	}
	boat := measured(rapid.SampledFrom([]string{"sloop", "motor"}).Draw(t, "kind"), span(0.5, 150, "loa"), span(0.2, 75, "beam"),
		span(0, 15, "bow"), span(0.01, 15, "draft"))
	if err := boat.Validate("she"); err != nil {
		t.Fatal(err)
	}
	return boat
}

// someWeather is any weather that its own check takes.
func someWeather(t *rapid.T) geo.Weather {
	span := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	w := geo.Weather{
		WindFromDeg: span(-360, 360, "wind from"), Wind: geo.Knots(span(0, geo.MaxWindKn, "wind")), GustRatio: span(1, 3, "gust"),
		StreamToDeg: span(-360, 360, "stream to"), Stream: geo.Knots(span(0, geo.MaxStreamKn, "stream")),
		Level: geo.Metres(span(-20, 30, "level")),
	}
	if err := w.Validate(); err != nil {
		t.Fatal(err)
	}
	return w
}

func pull(t rapid.TB, b rode.Windage, w geo.Weather) rode.Pull {
	t.Helper()
	p, err := rode.PullOf(b, w)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// apartDeg is the angle between two bearings, 0 to 180.
func apartDeg(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 360)) }

// sidesN are the forces of wind and stream on her side, were she to lie across them: 0.5 rho V² A with the densities of UFC 4-159-03 table
// 4-1, from memory.
func sidesN(b rode.Windage, w geo.Weather) (windN, streamN float64) {
	gust, stream := float64(w.Wind)*w.GustRatio, float64(w.Stream)
	return 0.5 * 1.221 * gust * gust * b.SideM2, 0.5 * 1026 * stream * stream * b.UnderM2
}

// leastN is a force under which a float64 has lost its digits.
const leastN = 1e-280

var barge = rode.Windage{FrontM2: 5, SideM2: 15, UnderM2: 8, Hull: rode.Hull{Waterline: 8, Beam: 3, Draft: 1, VolumeM3: 5}}

func TestWindAloneAndStreamAlone(t *testing.T) {
	// Dynamic pressures by UFC 4-159-03, section 4-4.1, equation 2, with 1.221 kg/m³ of its table 4-1 (from memory), worked out: pascals.
	for kn, pascals := range map[float64]float64{15: 36.35, 30: 145.41, 42: 285.01, 60: 581.65} {
		for _, gust := range []float64{1, 1.3} {
			for _, from := range []float64{0, 90, 200, 359, -45} {
				p := pull(t, rode.Windage{FrontM2: 8, SideM2: 20}, geo.Weather{Wind: geo.Knots(kn), GustRatio: gust, WindFromDeg: from})
				near(t, "load", float64(p.Load), pascals*gust*gust*8, 0.005*gust*gust*8+1e-9)
				if apartDeg(p.SternDeg, from+180) > 1e-9 || apartDeg(p.LoadDeg, from+180) > 1e-9 || p.To != rode.ToWind || p.Stream != 0 {
					t.Errorf("wind from %g°: %+v", from, p)
				}
			}
		}
	}
	for _, to := range []float64{0, 33, 180, 270} {
		p := pull(t, barge, geo.Weather{Stream: 0.5, StreamToDeg: to, WindFromDeg: 77, GustRatio: 1.3})
		want, err := rode.StreamForce(0.5, barge.Hull)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "load", float64(p.Load), float64(want), 1e-9)
		if apartDeg(p.SternDeg, to) > 1e-9 || apartDeg(p.LoadDeg, to) > 1e-9 || p.To != rode.ToStream || p.Wind != 0 {
			t.Errorf("stream to %g°: %+v", to, p)
		}
	}
}

func TestWindAndStreamTogether(t *testing.T) {
	// 10 m/s on the barge: front 0.5 · 1.221 · 100 · 5 = 305.25 N, side 915.75 N. 0.5 m/s of stream: q = 128.25 Pa, side 1026 N; along her,
	// form 38.475 N and friction with Re = 3.3613e6, C = 0.0036604 and S = 18.6 m²: 8.732 N, together 47.207 N. Across each other: stern
	// atan2(915.75, 1026) = 41.7503°; wind 305.25 + 610.5 · cos² 41.7503° = 645.052 N, stream 47.207 + 978.793 · sin² 41.7503° = 481.207 N.
	const windSideN, streamSideN = 915.75, 1026.0
	balanced := geo.Weather{Wind: geo.MetresPerSecond(10 * math.Sqrt(streamSideN/windSideN)), GustRatio: 1, WindFromDeg: 180, Stream: 0.5,
		StreamToDeg: 180}
	for _, tc := range []struct {
		name                    string
		w                       geo.Weather
		sternDeg, loadDeg, load float64
		to                      rode.LiesTo
	}{
		{"in line they add", geo.Weather{Wind: 10, WindFromDeg: 180, Stream: 0.5}, 0, 0, 305.25 + 47.207, rode.ToBoth},
		{"a gust in line", geo.Weather{Wind: 5, GustRatio: 2, WindFromDeg: 180, Stream: 0.5}, 0, 0, 305.25 + 47.207, rode.ToBoth},
		{"a gust ratio under 1 takes nothing off", geo.Weather{Wind: 10, GustRatio: 0.5, WindFromDeg: 180, Stream: 0.5}, 0, 0,
			305.25 + 47.207, rode.ToBoth},
		{"across each other", geo.Weather{Wind: 10, WindFromDeg: 270, Stream: 0.5}, 41.7503, math.Atan2(645.052, 481.207) * 180 / math.Pi,
			math.Hypot(645.052, 481.207), rode.ToBoth},
		{"against each other the stronger turns her", geo.Weather{Wind: 12, WindFromDeg: 0, Stream: 0.5}, 180, 180, 305.25*1.44 - 47.207,
			rode.ToBoth},
		{"against each other and alike", balanced, 0, 0, 305.25*streamSideN/windSideN - 47.207, rode.ToBoth},
		{"three times the wind", geo.Weather{Wind: 20, WindFromDeg: 180, Stream: 0.5}, 0, 0, 4*305.25 + 47.207, rode.ToWind},
		{"a third of the wind", geo.Weather{Wind: 6, WindFromDeg: 180, Stream: 0.5}, 0, 0, 0.36*305.25 + 47.207, rode.ToStream},
		{"not quite three times the wind", geo.Weather{Wind: 16, WindFromDeg: 180, Stream: 0.5}, 0, 0, 2.56*305.25 + 47.207, rode.ToBoth},
		{"a little more than a third of the wind", geo.Weather{Wind: 7, WindFromDeg: 180, Stream: 0.5}, 0, 0, 0.49*305.25 + 47.207,
			rode.ToBoth},
		{"calm: as the last air had her", geo.Weather{WindFromDeg: 200, StreamToDeg: 90, GustRatio: 1.3}, 20, 20, 0, rode.ToNone},
	} {
		p := pull(t, barge, tc.w)
		near(t, tc.name+": load", float64(p.Load), tc.load, 0.01)
		near(t, tc.name+": stern", apartDeg(p.SternDeg, tc.sternDeg), 0, 1e-4)
		near(t, tc.name+": direction of the load", apartDeg(p.LoadDeg, tc.loadDeg), 0, 1e-3)
		if p.To != tc.to {
			t.Errorf("%s: lies to %s, want %s", tc.name, p.To, tc.to)
		}
	}
	if _, err := rode.PullOf(rode.Windage{FrontM2: 5, SideM2: 15}, geo.Weather{Wind: 5, Stream: 0.5}); !errors.Is(err, geo.ErrUnknown) {
		t.Errorf("a stream on a boat without a draft: %v", err)
	}
}

func TestAKeelLiesToTheStreamLongerThanALightBoat(t *testing.T) {
	sloop, missing := rode.WindageOf(measured("sloop", 10, 3.2, 1.3, 2))
	motor, missing2 := rode.WindageOf(measured("motor boat", 8, 2.8, 1.2, 0.4))
	if missing != nil || missing2 != nil {
		t.Fatal(missing, missing2)
	}
	for _, tc := range []struct {
		windKn         float64
		sloop0, sloop1 float64 // her stern's angle to the stream, which the wind crosses at 90°
		motor0, motor1 float64
	}{
		{8, 0, 10, 15, 45},  // both nearer to the stream, the light boat turned farther out of it
		{15, 0, 30, 45, 90}, // the light boat nearer to the wind, the keel to the stream still
	} {
		w := geo.Weather{WindFromDeg: 270, Wind: geo.Knots(tc.windKn), GustRatio: 1.3, Stream: geo.Knots(1.5)}
		s, m := pull(t, sloop, w).SternDeg, pull(t, motor, w).SternDeg
		if s < tc.sloop0 || s > tc.sloop1 || m < tc.motor0 || m > tc.motor1 {
			t.Errorf("%g kn across 1.5 kn: sloop %.1f° and motor boat %.1f° from the stream", tc.windKn, s, m)
		}
	}
}

func TestSideForcesBalanceAboutTheBow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, _ := rode.WindageOf(someBoat(t))
		w := someWeather(t)
		p := pull(t, b, w)
		for _, v := range []float64{float64(p.Load), p.LoadDeg, p.SternDeg, float64(p.Wind), float64(p.Stream)} {
			if !(v >= 0) || math.IsInf(v, 0) {
				t.Fatalf("%+v", p)
			}
		}
		if p.LoadDeg >= 360 || p.SternDeg >= 360 {
			t.Fatalf("a bearing runs up to 360 and not to it: %+v", p)
		}
		windN, streamN := sidesN(b, w)
		if windN+streamN < leastN {
			return
		}
		ws, wc := math.Sincos((p.SternDeg - w.WindFromDeg - 180) * math.Pi / 180)
		ss, sc := math.Sincos((p.SternDeg - w.StreamToDeg) * math.Pi / 180)
		if out := windN*ws + streamN*ss; math.Abs(out) > 2e-9*(windN+streamN) {
			t.Fatalf("out of balance by %g of %g N", out, windN+streamN)
		}
		// Bow and stern exchanged balance too, but the least yaw would turn her round.
		if back := windN*wc + streamN*sc; back < -2e-9*(windN+streamN) {
			t.Fatalf("she lies stern to it: %g N turn her away", back)
		}
	})
}

func TestTurningTheWeatherTurnsTheBoat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, _ := rode.WindageOf(someBoat(t))
		w := someWeather(t)
		turned, by := w, rapid.Float64Range(-360, 360).Draw(t, "turn")
		turned.WindFromDeg, turned.StreamToDeg = w.WindFromDeg+by, w.StreamToDeg+by
		p, q := pull(t, b, w), pull(t, b, turned)
		windN, streamN := sidesN(b, w)
		angle := (w.WindFromDeg + 180 - w.StreamToDeg) * math.Pi / 180
		if both := math.Hypot(windN+streamN*math.Cos(angle), streamN*math.Sin(angle)); both < 1e-6*(windN+streamN) ||
			windN+streamN < leastN {
			return // all but balanced against each other, or all but calm: rounding decides how she lies
		}
		const tol = 1e-6 // the part of the forces that may cancel, times rounding
		if apartDeg(q.SternDeg, p.SternDeg+by) > tol || q.To != p.To || math.Abs(float64(q.Load-p.Load)) > tol*float64(p.Wind+p.Stream) {
			t.Fatalf("%+v turned by %g°: %+v", p, by, q)
		}
		if float64(p.Load) > 1e-6*float64(p.Wind+p.Stream) && apartDeg(q.LoadDeg, p.LoadDeg+by) > tol {
			t.Fatalf("%+v turned by %g°: %+v", p, by, q)
		}
	})
}

func TestMoreWindIsMoreLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, _ := rode.WindageOf(someBoat(t))
		w := someWeather(t)
		w.Stream = 0
		more := w
		more.Wind *= geo.MetresPerSecond(rapid.Float64Range(1.001, 3).Draw(t, "more"))
		if p, q := pull(t, b, w), pull(t, b, more); q.Load <= p.Load && w.Wind > 1e-100 /* m/s: under it the square is nothing */ {
			t.Fatalf("%g N in %g m/s, %g N in %g m/s", float64(p.Load), float64(w.Wind), float64(q.Load), float64(more.Wind))
		}
	})
}
