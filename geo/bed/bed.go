// Package bed is the bottom of the harbor as a triangulated surface over its soundings: the depth at a place,
// the shallowest depth within a circle, and the lines and areas by which a chart shows it. Where there is
// no sounding near, the answer is 'unknown' and says why.
package bed

import (
	"fmt"
	"math"

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
	NoPlace     Gap = "there is no such place or radius"
)

// Unknown is the error of a depth that is not known; it is a geo.ErrUnknown.
type Unknown struct {
	Gap       Gap
	DistanceM float64 // to the nearest sounding, for TooFar
	ReachM    float64 // the set distance, for TooFar
}

func (u *Unknown) Error() string { return u.In(geo.UnitsMetres) }

// In tells it in the reader's units.
func (u *Unknown) In(units geo.Units) string {
	if u.Gap == TooFar {
		return geo.TellIn(units, "depth unknown: the nearest sounding is %s away (believed up to %s)", geo.Metres(u.DistanceM),
			geo.Metres(u.ReachM))
	}
	return "depth unknown: " + string(u.Gap)
}

// Unwrap gives geo.ErrUnknown.
func (u *Unknown) Unwrap() error { return geo.ErrUnknown }

// Bed is an immutable surface. Any number of goroutines may ask it at once.
type Bed struct {
	reachM float64
	sounds kdTree
	stray  int
	shore  shape.Edges // land as polygons and shore as lines, by the numbers below
	mesh   mesh
	gap    Gap // why there is no surface at all; empty when there is one
}

// The numbers of the features in Bed.shore.
const (
	landFeature int32 = iota
	lineFeature
)

// New triangulates soundings in layout XYZ (longitude, latitude, depth in metres below chart datum, positive down; nil is none) on the
// plane of frame. Of soundings in one place (within 1 cm) the shallowest is kept, which errs on the safe side; those beyond
// geo.FrameReach, where the plane is no plane of this harbor, are left out ([Bed.Stray]).
//
// The bed has no depth where the soundings do not tell it: a triangle of which a side between two soundings in the water crosses
// land or a shoreline, or that holds a whole island of which no corner is a height, is no part of it; and no depth is believed
// farther than reach from a sounding.
// The error is geo.ErrInvalid: another layout, a number that is no number, or a negative reach.
func New(soundings *geom.MultiPoint, shore geo.Shoreline, frame geo.Frame, reach geo.Metres) (*Bed, error) {
	if !reach.Finite() || reach < 0 {
		return nil, fmt.Errorf("reach of soundings %g m: %w; a distance from 0 m on is expected", float64(reach), geo.ErrInvalid)
	}
	b := &Bed{reachM: float64(reach)}
	b.shore.AddPolygons(frame, shore.Land, landFeature)
	b.shore.AddLines(frame, shore.Lines, lineFeature)
	sounds, stray, err := read(soundings, frame)
	if err != nil {
		return nil, err
	}
	b.sounds, b.stray = newKDTree(keepShallowest(sounds)), stray
	if len(b.sounds) == 0 {
		b.gap = NoSoundings
		return b, nil
	}
	b.triangulate()
	if b.gap == "" {
		b.cover(shore, frame)
	}
	return b, nil
}

// triangulate makes the mesh; soundings on one line leave the bed without a surface.
func (b *Bed) triangulate() {
	if len(b.sounds) < 3 {
		b.gap = Collinear
		return
	}
	t, err := delaunay.Triangulate(b.sounds.points())
	if err != nil || len(t.Triangles) == 0 {
		b.gap = Collinear
		return
	}
	b.mesh = newMesh(b.sounds, t.Triangles, t.Halfedges)
	if b.mesh.widthM() < sameM {
		b.mesh = mesh{}
		b.gap = Collinear
	}
}

// points are the soundings as the library takes them. Its triangles run clockwise in its axes; with north turned they run counterclockwise
// in ours.
func (t kdTree) points() []delaunay.Point {
	points := make([]delaunay.Point, len(t))
	for i, s := range t {
		points[i] = delaunay.Point{X: s.at.EastM, Y: -s.at.NorthM}
	}
	return points
}

// Count is the number of soundings in use: of those in one place only the shallowest counts.
func (b *Bed) Count() int { return len(b.sounds) }

// Stray is the number of soundings that were left out because they lie beyond geo.FrameReach of the frame's origin.
func (b *Bed) Stray() int { return b.stray }

// Empty reports that no depth can be told anywhere, and why.
func (b *Bed) Empty() (Gap, bool) { return b.gap, b.gap != "" }

// OnLand reports whether a place lies inside a land area.
func (b *Bed) OnLand(at geo.Offset) bool { return b.shore.Inside(at, landFeature) }

// Nearest finds the sounding nearest to a place: its distance and its depth below chart datum. False when there is none.
func (b *Bed) Nearest(at geo.Offset) (distance, depth geo.Metres, ok bool) {
	i, distM := b.sounds.nearest(at)
	if i < 0 {
		return 0, 0, false
	}
	return geo.Metres(distM), geo.Metres(b.sounds[i].depthM), true
}

// Depth is the depth at a place in metres below chart datum, linear on the triangle in which it lies. The
// error is an *Unknown: on land, outside the soundings, across land, or farther than the set distance from the nearest one.
// [Bed.Shallowest] is stricter: where it calls a circle whole, Depth is known everywhere in its water.
func (b *Bed) Depth(at geo.Offset) (geo.Metres, error) {
	if !onPlane(at) {
		return 0, &Unknown{Gap: NoPlace}
	}
	if b.gap != "" {
		return 0, &Unknown{Gap: b.gap}
	}
	near, distM := b.sounds.nearest(at)
	t := b.mesh.locate(at, near)
	switch gap := b.gapAt(at, t, distM); gap {
	case "":
	case TooFar:
		return 0, &Unknown{Gap: gap, DistanceM: distM, ReachM: b.reachM}
	default:
		return 0, &Unknown{Gap: gap}
	}
	return geo.Metres(b.mesh.plane(t).depthM(at)), nil
}

// gapAt is why a place has no depth: t is the triangle in which it lies, -1 outside all of them, and distM the distance to the nearest
// sounding. Empty where the depth is known.
func (b *Bed) gapAt(at geo.Offset, t int32, distM float64) Gap {
	switch {
	case (t < 0 || b.mesh.shore[t]) && b.OnLand(at):
		return OnLand
	case distM > b.reachM:
		return TooFar
	case t < 0 || b.mesh.gap[t] == gapSliver:
		return Outside
	case b.mesh.gap[t] == gapAcross:
		return AcrossLand
	}
	return ""
}

// onPlane refuses what is no number and what is farther away than the Earth is wide.
func onPlane(at geo.Offset) bool {
	const widthM = 2 * geo.SemiMajorM
	return math.Abs(at.EastM) <= widthM && math.Abs(at.NorthM) <= widthM
}
