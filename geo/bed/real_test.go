package bed_test

import (
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"
	"github.com/paulmach/orb/planar"
	geom "github.com/twpayne/go-geom"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/bed"
)

// The real data is one bay at 1:12,000 from two NOAA ENC cells, US5MIACB (2024-04-16) and US5MIACC (2024-02-20): soundings below
// mean lower low water, land, and the depth contours that a cartographer drew there. No part of the repository; not for navigation.

func realSoundings(t *testing.T) *geom.MultiPoint {
	t.Helper()
	f, err := os.Open(outside.RealData(t, "real-water", "soundings.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := rows[0][:3]; !slices.Equal(got, []string{"lon", "lat", "depth_m_mllw"}) {
		t.Fatalf("columns %v", got)
	}
	var flat []float64
	for _, row := range rows[1:] {
		for _, field := range row[:3] {
			v, err := strconv.ParseFloat(field, 64)
			if err != nil {
				t.Fatal(err)
			}
			flat = append(flat, v)
		}
	}
	return geom.NewMultiPointFlat(geom.XYZ, flat)
}

func realFeatures(t *testing.T, name string) []*geojson.Feature {
	t.Helper()
	raw, err := os.ReadFile(outside.RealData(t, "real-water", name))
	if err != nil {
		t.Fatal(err)
	}
	all, err := geojson.UnmarshalFeatureCollection(raw)
	if err != nil {
		t.Fatal(err)
	}
	return all.Features
}

// realBed is the bay with its frame in the middle; reach is the spacing of soundings on its chart, not the default of a surveyed harbor.
func realBed(t *testing.T, reach geo.Metres) (*bed.Bed, geo.Frame, orb.MultiPolygon, *geom.MultiPoint) {
	t.Helper()
	soundings := realSoundings(t)
	var land orb.MultiPolygon
	for _, f := range realFeatures(t, "land.geojson") {
		if p, ok := f.Geometry.(orb.Polygon); ok {
			land = append(land, p)
		}
	}
	bounds := soundings.Bounds()
	f := geo.NewFrame(geo.Position{LonDeg: (bounds.Min(0) + bounds.Max(0)) / 2, LatDeg: (bounds.Min(1) + bounds.Max(1)) / 2})
	b, err := bed.New(soundings, geo.Shoreline{Land: land}, f, reach)
	if err != nil {
		t.Fatal(err)
	}
	return b, f, land, soundings
}

func TestARealBayAnswersOrSaysWhy(t *testing.T) {
	b, f, land, soundings := realBed(t, 150)
	if b.Count() != soundings.NumPoints() || b.Stray() != 0 {
		t.Errorf("%d of %d soundings in use, %d stray", b.Count(), soundings.NumPoints(), b.Stray())
	}
	bounds := soundings.Bounds()
	r := rand.New(rand.NewPCG(31, 26))
	answers := map[bed.Gap]int{}
	for range 3000 {
		p := geo.Position{LonDeg: bounds.Min(0) + r.Float64()*(bounds.Max(0)-bounds.Min(0)),
			LatDeg: bounds.Min(1) + r.Float64()*(bounds.Max(1)-bounds.Min(1))}
		at := f.Project(p)
		d, err := b.Depth(at)
		var unknown *bed.Unknown
		switch {
		case err == nil:
			answers[""]++
			if float64(d) < bounds.Min(2) || float64(d) > bounds.Max(2) {
				t.Errorf("%v: depth %g m, the soundings go from %g to %g", p, d, bounds.Min(2), bounds.Max(2))
			}
		case errors.As(err, &unknown):
			answers[unknown.Gap]++
		default:
			t.Errorf("%v: %v", p, err)
		}
		// Sides of land are straight on the plane here and straight in degrees there: they differ by millimetres, which no random place
		// meets.
		if onLand := planar.MultiPolygonContains(land, p.Point()); b.OnLand(at) != onLand ||
			onLand != (unknown != nil && unknown.Gap == bed.OnLand) {
			t.Errorf("%v: on land %v, by orb's planar %v, depth: %v", p, b.OnLand(at), onLand, err)
		}
	}
	t.Logf("reasons of 3000 places (\"\": a depth): %v", answers)
	for _, gap := range []bed.Gap{"", bed.TooFar, bed.AcrossLand, bed.OnLand} {
		if answers[gap] == 0 {
			t.Errorf("no place has %q", gap)
		}
	}
	if answers[bed.NoSoundings]+answers[bed.Collinear]+answers[bed.NoPlace] > 0 {
		t.Errorf("impossible reasons: %v", answers)
	}
}

func TestARealBaysLinesKeepOffTheLand(t *testing.T) {
	b, _, _, _ := realBed(t, 150)
	lines := b.Lines([]geo.Metres{1.8, 3.6, 5.4, 9.1})
	if len(lines) < 50 {
		t.Errorf("%d depth lines", len(lines))
	}
	for _, l := range lines {
		for _, p := range l.Points {
			if b.OnLand(p) { // none of the soundings is on land, so no covered triangle holds any
				t.Errorf("the line at %g m is on land at %v", l.Depth, p)
			}
		}
	}
	for _, band := range b.Bands([]geo.Metres{1.8, 3.6, 5.4, 9.1}) {
		if bandAreaM2(band) <= 0 {
			t.Errorf("the band from %v to %v has %g m²", band.From, band.To, bandAreaM2(band))
		}
	}
}

// TestTheBedAgreesWithTheCartographersContours reads the bed along the depth contours that the same chart shows. The soundings lie about
// 100 m apart and a cartographer smooths, so the two agree in the middle, not everywhere.
func TestTheBedAgreesWithTheCartographersContours(t *testing.T) {
	b, f, _, _ := realBed(t, 100)
	for _, depthM := range []float64{1.8, 3.6, 5.4} {
		var off []float64
		for _, feature := range realFeatures(t, "depth_contours.geojson") {
			if feature.Properties.MustFloat64("VALDCO") != depthM {
				continue
			}
			for _, pt := range feature.Geometry.(orb.LineString) {
				if d, err := b.Depth(f.ProjectPoint(pt)); err == nil {
					off = append(off, math.Abs(float64(d)-depthM))
				}
			}
		}
		if len(off) < 100 {
			t.Fatalf("%d places on the contour of %g m have a depth", len(off), depthM)
		}
		slices.Sort(off)
		median := off[len(off)/2]
		t.Logf("contour %g m: %d places, off by %.2f m in the middle, %.2f m at nine in ten", depthM, len(off), median, off[len(off)*9/10])
		if median > 0.5 {
			t.Errorf("the contour of %g m has depths that are off by %.2f m in the middle", depthM, median)
		}
	}
}
