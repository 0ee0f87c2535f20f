package exchange

import (
	"strconv"

	"swingroom/geo"
)

// fairways reads fairways.geojson: fairways and closed water. Those of the file take the place of those on file as a whole.
func (r *reader) fairways(text []byte) {
	features, ok := r.features(text)
	var all []geo.KeepOut
	for i, f := range features {
		all = append(all, f.keepOut(i+1))
		ok = ok && f.good
	}
	if ok {
		r.h.KeepOuts = all
	}
}

// keepOut takes a fairway or closed water; one without a name is called by its place in the file.
func (f *feature) keepOut(place int) geo.KeepOut {
	k := geo.KeepOut{Kind: geo.Fairway, Shape: f.polygons}
	if kind, given := f.word("kind"); given {
		k.Kind = geo.KeepOutKind(kind)
	}
	k.Name, _ = f.text("name")
	k.Reason, _ = f.text("reason")
	k.Setback = figureAt(f.object, "setback", lengths).Or(0)
	if k.Name == "" {
		k.Name = strconv.Itoa(place)
	}
	f.reportUnknown()
	if len(f.polygons) == 0 && f.good {
		f.refuse("geometry", "", "a fairway or closed water is a polygon")
	}
	return k
}
