package clearance

import "swingroom/geo"

// AreaAt names the area in which a position lies; empty when it lies in none, or in more than one.
func (f *Field) AreaAt(p geo.Position) string {
	if _, far := f.far(p); far {
		return ""
	}
	name, at := "", f.frame.Project(p)
	for _, a := range f.harbor.Areas {
		if f.fixed.areas.Inside(at, f.fixed.area[a.Name]) {
			if name != "" {
				return ""
			}
			name = a.Name
		}
	}
	return name
}
