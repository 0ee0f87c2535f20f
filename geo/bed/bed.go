// Package bed is the bottom of the harbor as a triangulated surface over its soundings: the depth at a place,
// the shallowest depth within a circle, and the lines and areas by which a chart shows it. Where there is
// no sounding near, the answer is 'unknown' and says why.
package bed

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/fogleman/delaunay"
	geom "github.com/twpayne/go-geom"

	"swingroom/geo"
	"swingroom/geo/shape"
)

// Gap says why a depth is unknown.
type Gap string

// The reasons, in the words that a person reads.
const (
	NoSoundings Gap = "there are no soundings"
	Collinear   Gap = "the soundings lie on one line"
	Outside     Gap = "outside the soundings"
	AcrossLand  Gap = "only soundings across land are near"
	TooFar      Gap = "the nearest sounding is too far away"
	OnLand      Gap = "on land"
)

// Unknown is the error of a depth that is not known; it is a geo.ErrUnknown.
type Unknown struct {
	Gap       Gap
	DistanceM float64 // to the nearest sounding, for TooFar
	ReachM    float64 // the set distance, for TooFar
}

func (u *Unknown) Error() string {
	if u.Gap == TooFar {
		return fmt.Sprintf("depth unknown: the nearest sounding is %.0f m away (believed up to %.0f m)", u.DistanceM, u.ReachM)
	}
	return "depth unknown: " + string(u.Gap)
}

// Unwrap gives geo.ErrUnknown.
func (u *Unknown) Unwrap() error { return geo.ErrUnknown }

// Bed is an immutable surface. Any number of goroutines may ask it at once.
type Bed struct {
	reachM float64
	sounds []sounding
	tree   kdTree
	land   shape.Edges
	mesh   mesh
	gap    Gap // why there is no surface at all; empty when there is one
	marks  sync.Pool
}

// sounding is a place on the plane and its depth in metres below chart datum.
type sounding struct {
	at     geo.Offset
	depthM float64
}

// sameM is the distance in metres within which two soundings are one place.
const sameM = 0.01

// New triangulates soundings in layout XYZ (longitude, latitude, depth in metres below chart datum, positive down; nil is none) on the
// plane of frame. Of soundings within 1 cm of each other the shallowest is kept, which errs on the safe side. A triangle that
// reaches across land is no part of the bed, and no depth is believed farther than reach from a sounding.
// The error is geo.ErrInvalid: another layout, or a number that is no number.
func New(soundings *geom.MultiPoint, shore geo.Shoreline, frame geo.Frame, reach geo.Metres) (*Bed, error) {
	b := &Bed{reachM: float64(reach)}
	b.land.AddPolygons(frame, shore.Land, 0)
	b.land.AddLines(frame, shore.Lines, 0)
	if soundings != nil {
		if soundings.Layout() != geom.XYZ {
			return nil, fmt.Errorf("soundings in layout %v: %w; XYZ is wanted", soundings.Layout(), geo.ErrInvalid)
		}
		flat := soundings.FlatCoords()
		b.sounds = make([]sounding, 0, len(flat)/3)
		for i := 0; i+2 < len(flat); i += 3 {
			p := geo.Position{LonDeg: flat[i], LatDeg: flat[i+1]}
			if p.Validate() != nil || !geo.Metres(flat[i+2]).Finite() {
				return nil, fmt.Errorf("sounding %d (%v): %w; longitude, latitude and depth are wanted", i/3+1, flat[i:i+3], geo.ErrInvalid)
			}
			b.sounds = append(b.sounds, sounding{frame.Project(p), flat[i+2]})
		}
	}
	b.sounds = thin(b.sounds)
	b.tree = newKDTree(b.sounds)
	if len(b.sounds) == 0 {
		b.gap = NoSoundings
		return b, nil
	}
	b.triangulate()
	b.marks.New = func() any { return &marks{seen: make([]uint32, len(b.mesh.corner)/3)} }
	return b, nil
}

// thin keeps the shallowest of soundings that fall in one place, by a grid of that size: two on either side of a grid line
// stay two, which does no harm.
func thin(all []sounding) []sounding {
	type cell struct{ e, n int64 }
	key := func(s sounding) cell {
		return cell{int64(math.Round(s.at.EastM / sameM)), int64(math.Round(s.at.NorthM / sameM))}
	}
	slices.SortFunc(all, func(s, t sounding) int {
		a, b := key(s), key(t)
		switch {
		case a.e != b.e:
			return compare(a.e, b.e)
		case a.n != b.n:
			return compare(a.n, b.n)
		case s.depthM != t.depthM:
			return compare(s.depthM, t.depthM)
		case s.at.EastM != t.at.EastM:
			return compare(s.at.EastM, t.at.EastM)
		}
		return compare(s.at.NorthM, t.at.NorthM)
	})
	return slices.CompactFunc(all, func(s, t sounding) bool { return key(s) == key(t) })
}

func compare[T int64 | float64](a, b T) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// triangulate makes the mesh; soundings on one line leave the bed without a surface.
func (b *Bed) triangulate() {
	if len(b.sounds) < 3 {
		b.gap = Collinear
		return
	}
	points := make([]delaunay.Point, len(b.sounds))
	for i, s := range b.sounds {
		// The library's triangles run clockwise in its axes; with north turned they run counterclockwise in ours.
		points[i] = delaunay.Point{X: s.at.EastM, Y: -s.at.NorthM}
	}
	t, err := delaunay.Triangulate(points)
	if err != nil || len(t.Triangles) == 0 {
		b.gap = Collinear
		return
	}
	b.mesh = newMesh(b.sounds, t.Triangles, t.Halfedges)
	if b.mesh.widthM() < sameM {
		b.gap = Collinear
		return
	}
	b.mesh.cover(b)
}

// Count is the number of soundings in use: of those in one place only the shallowest counts.
func (b *Bed) Count() int { return len(b.sounds) }

// Empty reports that no depth can be told anywhere, and why.
func (b *Bed) Empty() (Gap, bool) { return b.gap, b.gap != "" }

// OnLand reports whether a place lies inside a land area.
func (b *Bed) OnLand(at geo.Offset) bool { return b.land.Inside(at, shape.AnyFeature) }

// Nearest finds the sounding nearest to a place: its distance and its depth below chart datum. False when there is none.
func (b *Bed) Nearest(at geo.Offset) (distance, depth geo.Metres, ok bool) {
	i, distM := b.tree.nearest(at)
	if i < 0 {
		return 0, 0, false
	}
	return geo.Metres(distM), geo.Metres(b.sounds[i].depthM), true
}

// Depth is the depth at a place in metres below chart datum, linear on the triangle in which it lies. The
// error is an *Unknown: on land, outside the soundings, across land, or farther than the set distance from the nearest one.
func (b *Bed) Depth(at geo.Offset) (geo.Metres, error) {
	if b.gap != "" {
		return 0, &Unknown{Gap: b.gap}
	}
	if b.OnLand(at) {
		return 0, &Unknown{Gap: OnLand}
	}
	near, distM := b.tree.nearest(at)
	if distM > b.reachM {
		return 0, &Unknown{Gap: TooFar, DistanceM: distM, ReachM: b.reachM}
	}
	t, _ := b.mesh.locate(at, near)
	switch {
	case t < 0:
		return 0, &Unknown{Gap: Outside}
	case b.mesh.gap[t] == gapAcross:
		return 0, &Unknown{Gap: AcrossLand}
	}
	return geo.Metres(b.mesh.plane(t).depthM(at)), nil
}
