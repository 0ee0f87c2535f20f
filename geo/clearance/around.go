package clearance

import "swingroom/geo"

// AreaAt names the area in which a position lies; empty when it lies in none, or in more than one.
func (f *Field) AreaAt(p geo.Position) string {
	if names := f.areasAt(p); len(names) == 1 {
		return names[0]
	}
	return ""
}

// areasAt names all areas in which a position lies.
func (f *Field) areasAt(p geo.Position) (names []string) {
	if _, far := f.far(p); far {
		return nil
	}
	at := f.frame.Project(p)
	for _, a := range f.harbor.Areas {
		if f.fixed.areas.Inside(at, f.fixed.area[a.Name]) {
			names = append(names, a.Name)
		}
	}
	return names
}
