package bed_test

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"
	"github.com/paulmach/orb/planar"

	"swingroom/fixtures/outside"
	"swingroom/geo"
	"swingroom/geo/bed"
)

// GDAL's tools (Debian's gdal-bin), a triangulation and a contouring of their own, on the same soundings in metres on the plane.

// run runs a program of GDAL and gives what it prints.
func run(t *testing.T, program string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(outside.Program(t, program, "gdal-bin"), args...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", strings.Join(cmd.Args, " "), err, stderr.Bytes())
	}
	return out
}

// pointsFile writes soundings as GeoJSON points with the depth as their height.
func pointsFile(t *testing.T, soundings []bed.Corner) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i, s := range soundings {
		if i > 0 {
			b.WriteString(",\n")
		}
		fmt.Fprintf(&b, `{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[%.17g,%.17g,%.17g]}}`, s.At.EastM,
			s.At.NorthM, s.DepthM)
	}
	b.WriteString("]}")
	return written(t, "soundings.geojson", b.String())
}

func written(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// nothing is what GDAL is told to write where it has no triangle.
const nothing = -9999

// linearGrid has GDAL interpolate linearly at the middles of the cells of a square.
func linearGrid(t *testing.T, soundings []bed.Corner, loM, hiM float64, cells int) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "grid.tif")
	lo, hi, n := fmt.Sprint(loM), fmt.Sprint(hiM), strconv.Itoa(cells)
	run(t, "gdal_grid", "-q", "-a", fmt.Sprintf("linear:radius=0:nodata=%d", nothing), "-ot", "Float64",
		"-txe", lo, hi, "-tye", lo, hi, "-outsize", n, n, pointsFile(t, soundings), path)
	return path
}

func TestDepthIsGDALsLinearInterpolation(t *testing.T) {
	// Soundings at random, because where four lie on one circle there are two ways to triangulate, and programs differ.
	r := rand.New(rand.NewPCG(20, 26))
	b := build(t, surveyed(scattered(1500, 1000, 21), func(geo.Offset) float64 { return r.Float64()*12 - 2 }), geo.Shoreline{}, 1000)
	grid := linearGrid(t, b.Soundings(), -20, 1020, 34)
	checked, outsideHull := 0, 0
	for lines := bufio.NewScanner(bytes.NewReader(run(t, "gdal_translate", "-q", "-of", "XYZ", grid,
		"/vsistdout/"))); lines.Scan(); checked++ {
		var p geo.Offset
		var want float64
		if _, err := fmt.Sscan(lines.Text(), &p.EastM, &p.NorthM, &want); err != nil {
			t.Fatalf("%q: %v", lines.Text(), err)
		}
		got, err := b.Depth(p)
		switch {
		case want == nothing:
			outsideHull++
			if unknown := (*bed.Unknown)(nil); !errors.As(err, &unknown) || unknown.Gap != bed.Outside {
				t.Errorf("%v: %v, %v; GDAL has no triangle", p, got, err)
			}
		case err != nil || math.Abs(float64(got)-want) > 1e-6: // m: the print of GDAL's XYZ has about ten digits
			t.Errorf("%v: %.9f, %v; GDAL has %.9f", p, got, err, want)
		}
	}
	if checked < 1000 || outsideHull < 20 || outsideHull > 300 {
		t.Errorf("%d places checked, %d of them outside", checked, outsideHull)
	}
}

// hills are shallow places in water 8 m deep, so that the bands from 2 to 6 m lie within the soundings.
func hills(p geo.Offset) float64 {
	hill := func(top geo.Offset, heightM, widthM float64) float64 {
		d := float64(p.Sub(top).Length()) / widthM
		return heightM * math.Exp(-d*d)
	}
	return 8 - hill(at(300, 400), 7, 150) - hill(at(650, 550), 5, 120) - hill(at(600, 250), 4, 90)
}

func TestBandsHaveTheAreaOfGDALsContours(t *testing.T) {
	b := build(t, surveyed(scattered(3000, 1000, 22), hills), geo.Shoreline{}, 1000)
	grid := linearGrid(t, b.Soundings(), 0, 1000, 500)
	contours := filepath.Join(t.TempDir(), "contours.geojson")
	run(t, "gdal_contour", "-q", "-p", "-amin", "from", "-amax", "to", "-fl", "2", "4", "6", "-f", "GeoJSON", grid, contours)
	raw, err := os.ReadFile(contours)
	if err != nil {
		t.Fatal(err)
	}
	features, err := geojson.UnmarshalFeatureCollection(raw)
	if err != nil {
		t.Fatal(err)
	}
	wantM2 := map[geo.Metres]float64{}
	for _, f := range features.Features {
		wantM2[geo.Metres(f.Properties.MustFloat64("from", 0))] += planar.Area(f.Geometry)
	}
	checked := 0
	for _, band := range b.Bands([]geo.Metres{2, 4, 6}) {
		from, known := band.From.Get()
		if !known || !band.To.IsKnown() {
			continue // bounded by the least depth of a cell, or by the soundings' edge
		}
		checked++
		if got := bandAreaM2(band); math.Abs(got-wantM2[from]) > 0.003*got /* the raster has cells of 2 m, the bands are 100 m wide */ {
			t.Errorf("from %g m: %.0f m², GDAL has %.0f m²", from, got, wantM2[from])
		}
	}
	if checked != 2 {
		t.Errorf("%d bands checked, want those from 2 and from 4 m", checked)
	}
}

// TestBandsAreValidPolygons asks GEOS through GDAL's SQL: valid by OGC Simple Features, and no two with an area in common.
func TestBandsAreValidPolygons(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 26))
	for name, depth := range map[string]func(geo.Offset) float64{
		"any depths":   func(geo.Offset) float64 { return r.Float64() * 8 },
		"whole metres": func(geo.Offset) float64 { return math.Floor(r.Float64() * 8) },
	} {
		t.Run(name, func(t *testing.T) {
			b := build(t, surveyed(scattered(800, 500, 24), depth),
				geo.Shoreline{Land: orb.MultiPolygon{box(200, -10, 210, 300), box(350, 350, 370, 370)}}, 30)
			all := geojson.NewFeatureCollection()
			var coverM2 float64
			for _, band := range b.Bands([]geo.Metres{2, 4, 6}) {
				var shape orb.MultiPolygon
				for _, polygon := range band.Polygons {
					shape = append(shape, planePolygon(polygon))
				}
				f := geojson.NewFeature(shape)
				f.Properties["from"] = float64(band.From.Or(-100))
				all.Append(f)
				coverM2 += bandAreaM2(band)
			}
			raw, err := all.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			path := written(t, "bands.geojson", string(raw))
			out := string(run(t, "ogrinfo", "-q", "-dialect", "SQLite", "-sql",
				"SELECT COUNT(*) AS bands, MIN(ST_IsValid(a.geometry)) AS valid, SUM(ST_Area(a.geometry)) AS area, "+
					"(SELECT SUM(ST_Area(ST_Intersection(b.geometry, c.geometry))) FROM bands b, bands c WHERE b.\"from\" < c.\"from\") "+
					"AS common FROM bands a", path))
			field := func(name string) float64 {
				for _, l := range strings.Split(out, "\n") {
					if value, ok := strings.CutPrefix(strings.TrimSpace(l), name+" ("); ok {
						_, value, _ = strings.Cut(value, "= ")
						v, err := strconv.ParseFloat(value, 64)
						if err != nil {
							t.Fatalf("%s: %v in %s", name, err, out)
						}
						return v
					}
				}
				t.Fatalf("no %s in %s", name, out)
				return 0
			}
			if field("bands") != 4 || field("valid") != 1 {
				t.Errorf("GEOS: %g bands, valid: %g\n%s", field("bands"), field("valid"), out)
			}
			if got := field("area"); math.Abs(got-coverM2) > 1e-3 {
				t.Errorf("GEOS has %.4f m², the bands %.4f m²", got, coverM2)
			}
			if got := field("common"); got > 1e-3 {
				t.Errorf("the bands have %g m² in common", got)
			}
		})
	}
}

// planePolygon is a polygon in metres on the plane.
func planePolygon(rings [][]geo.Offset) orb.Polygon {
	var p orb.Polygon
	for _, places := range rings {
		var r orb.Ring
		for _, at := range places {
			r = append(r, orb.Point{at.EastM, at.NorthM})
		}
		p = append(p, r)
	}
	return p
}
