// Package geojson writes what is on a harbor's map as GeoJSON by RFC 7946: longitude, latitude on WGS 84, seven decimals. Every feature of
// a collection has every property, null where nothing is known.
package geojson

import "swingroom/api/office"

// MediaType is that of GeoJSON, RFC 7946, section 12.
const MediaType = "application/geo+json"

// Collection is a list of features of a harbor.
type Collection struct {
	Name    string
	Summary string
	add     func(s *office.Snapshot, f *features, b *Box)
}

// Collections are all there are, in the order in which a reader wants to know them.
func Collections() []Collection {
	return []Collection{
		{"moorings", "Every mooring: anchor, boat, radius, state.", addMoorings},
		{"circles", "Swing circles as polygons, for show: the corners lie on the circle, so a polygon is a little smaller than its circle.",
			addCircles},
		{"areas", "Areas with their rules.", addAreas},
		{"fairways", "Fairways and closed water.", addKeepOuts},
		{"shoreline", "Land, and shore known as a line.", addShoreline},
		{"depth_lines", "Depth lines, metres below chart datum.", addDepthLines},
		{"depth_areas", "Areas between depth lines, metres below chart datum.", addDepthAreas},
		{"soundings", "Soundings, metres below chart datum.", addSoundings},
		{"conflicts", "Conflicts, worst first, as lines from anchor to anchor.", addConflicts},
		{"hazards", "Hazards, worst first, each where it is worst.", addHazards},
	}
}

// Of is the collection of a harbor as it stands in a snapshot, whole or as far as it touches a box; nil is the whole.
func (c Collection) Of(s *office.Snapshot, b *Box) []byte {
	f := newFeatures(b)
	c.add(s, f, b)
	return f.end()
}

// Moorings are those of a snapshot, as in the collection of that name.
func Moorings(s *office.Snapshot) []byte { return Collection{add: addMoorings}.Of(s, nil) }
