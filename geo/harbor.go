package geo

import (
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"
)

// Units that a harbor shows to people; inside everything is metric.
type Units string

const (
	// UnitsFeet shows feet and pounds.
	UnitsFeet Units = "feet"
	// UnitsMetres shows metres and kilograms.
	UnitsMetres Units = "metres"
)

// Background is a chart or photo behind the map, as tiles by address with {z}, {x} and {y}.
type Background struct {
	URL         string `json:"url"`
	Attribution string `json:"attribution"`
}

// Defaults stand where a mooring or its area says nothing.
type Defaults struct {
	Rules Rules `json:"rules"`
	// Accuracy of a mooring's position, where its own is not on record.
	Accuracy Maybe[Metres] `json:"accuracy_m"`
	// ShoreSetback is kept between a swing circle and the shore.
	ShoreSetback Metres `json:"shore_setback_m"`
	// SoundingReach is how far from the nearest sounding a depth is still believed.
	SoundingReach Metres `json:"sounding_reach_m"`
	// Lines are the harbor's own tables of chain and rope.
	Lines Lines `json:"lines,omitzero"`
}

// AssumedAccuracy is taken where no accuracy of a mooring's position is on record anywhere: what a
// small receiver gives on deck. Common practice, no source.
const AssumedAccuracy Metres = 5

// DefaultSoundingReach is taken where a harbor sets none: about the spacing of soundings on a harbor chart
// of 1:10,000. Common practice, no source.
const DefaultSoundingReach Metres = 75

// NewDefaults are the defaults of a harbor that sets none.
func NewDefaults() Defaults {
	return Defaults{Rules: DefaultRules(), SoundingReach: DefaultSoundingReach}
}

// Shoreline is where the water ends, in lon, lat.
type Shoreline struct {
	Land  orb.MultiPolygon    // land as areas; outer rings counterclockwise
	Lines orb.MultiLineString // shore known as a line only: which side is land is not known
}

// Harbor is one harbor with everything that lies in it. Treat it as immutable: a change makes a new one.
type Harbor struct {
	Name       string
	Units      Units
	Levels     Maybe[Levels] // unknown levels make depths at a level unknown
	Defaults   Defaults
	Background *Background // nil: none
	Tide       *Tide       // nil: no constants on record, so no level can be predicted
	Waiting    []Waiting   // the waiting list
	Owners     []Owner     // by name
	Notes      []Note      // the oldest first
	Public     []Shown     // what the public may see beyond the map
	// Day on which the record is judged, for what ends on a day; empty: that is not asked. It is not kept on file.
	Day       Date
	Shoreline Shoreline
	KeepOuts  []KeepOut
	Areas     []Area
	Moorings  []Mooring
	// Soundings in layout XYZ: longitude, latitude, depth in metres below chart datum, positive down. Nil: none.
	Soundings *geom.MultiPoint
}

// Area finds an area by name.
func (h *Harbor) Area(name string) (*Area, bool) {
	for i := range h.Areas {
		if h.Areas[i].Name == name {
			return &h.Areas[i], true
		}
	}
	return nil, false
}

// Rules that hold for a mooring: its area's, or the harbor's defaults.
func (h *Harbor) Rules(m *Mooring) Rules {
	if a, ok := h.Area(m.Area); ok {
		return a.Rules
	}
	return h.Defaults.Rules
}

// AccuracyOf a mooring's position; from tells whether it is its own ("record"), the harbor's ("default") or taken
// for want of both ("assumed").
func (h *Harbor) AccuracyOf(m *Mooring) (accuracy Metres, from string) {
	if a, known := m.Accuracy.Get(); known {
		return a, "record"
	}
	if a, known := h.Defaults.Accuracy.Get(); known {
		return a, "default"
	}
	return AssumedAccuracy, "assumed"
}

// Origin is where the harbor's Frame touches the ellipsoid: the middle mooring by latitude and by longitude, so that one
// stray position cannot pull it away; without moorings, the middle of whatever else there is.
func (h *Harbor) Origin() Position {
	at := make([]Position, 0, len(h.Moorings))
	for i := range h.Moorings {
		at = append(at, h.Moorings[i].Position)
	}
	each := func(shape orb.MultiPolygon) {
		for _, polygon := range shape {
			for _, ring := range polygon {
				for _, pt := range ring {
					at = append(at, PositionOf(pt))
				}
			}
		}
	}
	if len(at) == 0 {
		for i := range h.Areas {
			each(h.Areas[i].Shape)
		}
		each(h.Shoreline.Land)
	}
	if len(at) == 0 {
		return Position{}
	}
	return medianPosition(at)
}

// medianPosition takes the median of latitudes and of longitudes; these are counted from the first one, so that
// a harbor on the antimeridian has its middle there and not on the other side of the world.
func medianPosition(at []Position) Position {
	lats, lons := make([]float64, len(at)), make([]float64, len(at))
	for i, p := range at {
		lats[i] = p.LatDeg
		lons[i] = wrapLonDeg(p.LonDeg - at[0].LonDeg)
	}
	return Position{LatDeg: median(lats), LonDeg: wrapLonDeg(at[0].LonDeg + median(lons))}
}

// Validate returns every FieldError of the harbor and of all that lies in it, joined.
func (h *Harbor) Validate() error {
	pr := problems{noun: "harbor", name: h.Name}
	pr.required("name", h.Name, "a harbor needs a name")
	oneOf(&pr, "units", h.Units, UnitsFeet, UnitsMetres)
	if l, known := h.Levels.Get(); known {
		pr.join(l.Validate())
	}
	if h.Tide != nil {
		pr.join(h.Tide.Validate())
	}
	h.Defaults.problems(&pr)
	names := h.areaNames(&pr)
	for _, k := range h.KeepOuts {
		pr.join(k.Validate())
	}
	pr.public(h.Public)
	pr.join(h.validPeople())
	h.waitingProblems(&pr, names)
	pr.join(h.validMoorings(names))
	return pr.err()
}

// problems notes what is wrong with the defaults.
func (d Defaults) problems(pr *problems) {
	pr.join(d.Rules.Validate("defaults"), d.Lines.Validate())
	pr.within("accuracy_m", d.Accuracy, 0, 5000)
	pr.within("shore_setback_m", Known(d.ShoreSetback), 0, 1000)
	pr.within("sounding_reach_m", Known(d.SoundingReach), 1, 5000)
}

// areaNames are the names of the areas; what is wrong with these is noted.
func (h *Harbor) areaNames(pr *problems) map[string]bool {
	names := map[string]bool{}
	for _, a := range h.Areas {
		pr.join(a.Validate())
		if names[a.Name] {
			pr.add("area", a.Name, "each area needs a name of its own")
		}
		names[a.Name] = true
	}
	return names
}

// waitingProblems notes what is wrong with the waiting list.
func (h *Harbor) waitingProblems(pr *problems, areas map[string]bool) {
	for _, w := range h.Waiting {
		pr.join(w.Validate())
		for _, area := range w.Areas {
			if !areas[area] {
				pr.add("waiting", w.Name, fmt.Sprintf("there is no area %q", area))
			}
		}
	}
}

// validPeople checks owners and notes, and that each can be told from the others.
func (h *Harbor) validPeople() error {
	pr := problems{noun: "owner"}
	seen := make(map[string]bool, len(h.Owners)+len(h.Notes))
	for _, o := range h.Owners {
		pr.join(o.Validate())
		if seen[o.Name] {
			pr.add("name", o.Name, "each owner needs a name of its own")
		}
		seen[o.Name] = true
	}
	clear(seen)
	for _, n := range h.Notes {
		pr.join(n.Validate())
		if seen[n.ID] {
			pr.add("note", n.ID, "each note needs an id of its own")
		}
		seen[n.ID] = true
	}
	return pr.err()
}

func (h *Harbor) validMoorings(areas map[string]bool) error {
	var all []error
	seen := make(map[string]bool, len(h.Moorings))
	for i := range h.Moorings {
		m := &h.Moorings[i]
		pr := problems{noun: "mooring", name: m.Number}
		pr.join(m.Validate())
		if m.Area != "" && !areas[m.Area] {
			pr.add("area", fmt.Sprintf("%q", m.Area), "there is no area of that name")
		}
		if seen[m.Number] {
			pr.add("number", m.Number, "each mooring needs a number of its own")
		}
		seen[m.Number] = true
		all = append(all, pr.err())
	}
	return errors.Join(all...)
}

func median(v []float64) float64 {
	// Moorings number in the thousands: sorting a copy is quick enough and plain.
	sorted := slices.Sorted(slices.Values(v))
	mid := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[mid]
	}
	return (sorted[mid-1] + sorted[mid]) / 2
}
