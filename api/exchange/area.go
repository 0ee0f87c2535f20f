package exchange

import "swingroom/geo"

// areas reads areas.geojson. An area of the file takes the place of the one of its name; the others stay as they are on file.
func (r *reader) areas(text []byte) {
	features, _ := r.features(text)
	k := newKeyed(r.h.Areas, func(a *geo.Area) string { return a.Name })
	taken := map[string]bool{}
	for _, f := range features {
		a := f.area(k, r.h.Defaults.Rules)
		f.checkArea(a.Name, taken[a.Name])
		taken[a.Name] = true
		if f.good {
			k.put(a.Name, a)
		}
	}
	r.h.Areas = k.list
}

// area takes an area by the rules of the one on file; a new one begins with the harbor's defaults.
func (f *feature) area(k *keyed[geo.Area], defaults geo.Rules) geo.Area {
	name, _ := f.text("name")
	a, onFile := k.onFile(name)
	if !onFile {
		a.Rules = defaults
	}
	f.rules(&a.Rules)
	f.reportUnknown()
	return geo.Area{Name: name, Shape: f.polygons, Rules: a.Rules}
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
