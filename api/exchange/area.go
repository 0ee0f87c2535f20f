package exchange

import (
	"slices"

	"swingroom/geo"
)

// areas reads areas.geojson. An area of the file takes the place of the one of its name; the others stay as they are on file.
func (r *reader) areas(text []byte) {
	features, _ := r.features(text)
	taken := map[string]bool{}
	for _, f := range features {
		name, _ := f.text("name")
		place := slices.IndexFunc(r.h.Areas, func(a geo.Area) bool { return a.Name == name })
		a := geo.Area{Name: name, Shape: f.polygons, Rules: r.h.Defaults.Rules}
		if place >= 0 {
			a.Rules = r.h.Areas[place].Rules
		}
		f.rules(&a.Rules)
		f.reportUnknown()
		f.checkArea(name, taken[name])
		taken[name] = true
		switch {
		case !f.good:
		case place >= 0:
			r.h.Areas[place] = a
		default:
			r.h.Areas = append(r.h.Areas, a)
		}
	}
}

// checkArea refuses what cannot be an area.
func (f *feature) checkArea(name string, taken bool) {
	switch {
	case name == "":
		f.refuse("name", "", "an area needs a name")
	case taken:
		f.refuse("name", name, "another area has that name already")
	case len(f.polygons) == 0:
		f.refuse("geometry", "", "an area is a polygon")
	}
}
