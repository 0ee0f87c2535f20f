package exchange

import (
	"strconv"
	"strings"
	"time"

	"swingroom/geo"
)

// The sheets name their columns as import does, so that what is written is read.

// boatFigures are the figures of a boat, in the order in which they are written.
var boatFigures = []string{"loa", "length_all", "beam", "draft", "bow_height"}

// figureColumns are columns of figures of a mooring or its boat.
func figureColumns(units geo.Units, names ...string) (columns []column) {
	for _, name := range names {
		columns = append(columns, column{name + "_" + unitIn(units, quantities()[name].units), narrow})
	}
	return columns
}

func mooringSheet(h *geo.Harbor, units geo.Units) sheet {
	long, _, _ := unitsOf(units)
	s := sheet{columns: []column{{"number", narrow}, {"lat", coordinate}, {"lon", coordinate}}}
	s.columns = append(s.columns, figureColumns(units, "accuracy")...)
	s.columns = append(s.columns, column{"area", middling}, column{"status", narrow})
	s.columns = append(s.columns, figureColumns(units, "depth", "radius")...)
	s.columns = append(s.columns, column{"boat", middling}, column{"boat_kind", middling})
	s.columns = append(s.columns, figureColumns(units, boatFigures...)...)
	s.columns = append(s.columns, column{"owner", middling})
	s.columns = append(s.columns, figureColumns(units, "largest_loa", "largest_draft", "smallest_loa")...)
	s.columns = append(s.columns, column{"permit_year", narrow}, column{"permit_expires", narrow}, column{"note", wide})
	q := quantities()
	for i := range h.Moorings {
		m := &h.Moorings[i]
		b := geo.Boat{}
		if m.Boat != nil {
			b = *m.Boat
		}
		boat := word(b.Name)
		if m.Boat != nil && b == (geo.Boat{}) {
			boat = unknown() // an empty row of cells would say that there is none
		}
		figure := func(name string) cell { return amount(q[name].get(m), long) }
		year := ""
		if m.Permit.Year != 0 {
			year = strconv.Itoa(m.Permit.Year)
		}
		row := []cell{word(m.Number), degrees(m.Position.LatDeg), degrees(m.Position.LonDeg), figure("accuracy"), word(m.Area),
			word(string(m.Status)), figure("depth"), figure("radius"), boat, word(b.Kind)}
		for _, name := range boatFigures {
			row = append(row, figure(name))
		}
		s.rows = append(s.rows, append(row, word(b.Owner), figure("largest_loa"), figure("largest_draft"), figure("smallest_loa"),
			number(year), date(m.Permit.Expires), word(m.Note)))
	}
	return s
}

func tackleSheet(h *geo.Harbor, units geo.Units) sheet {
	s := sheet{columns: []column{{"number", narrow}, {"part", narrow}, {"kind", middling}}}
	figures := partFigures()
	for _, f := range figures {
		s.columns = append(s.columns, column{f.name + "_" + unitIn(units, f.units), narrow})
	}
	s.columns = append(s.columns, column{"material", middling}, column{"installed", narrow}, column{"inspected", narrow})
	for i := range h.Moorings {
		m := &h.Moorings[i]
		for j := range m.Tackle {
			p := &m.Tackle[j]
			row := []cell{word(m.Number), number(strconv.Itoa(j + 1)), word(string(p.Kind))}
			for _, f := range figures {
				row = append(row, amount(f.get(p), unitIn(units, f.units)))
			}
			s.rows = append(s.rows, append(row, word(p.Material), date(p.Installed), date(p.Inspected)))
		}
	}
	return s
}

func ownerSheet(h *geo.Harbor, _ geo.Units) sheet {
	s := sheet{columns: []column{{"name", middling}, {"phone", middling}, {"email", middling}, {"address", wide}, {"resident", narrow},
		{"note", wide}}}
	for _, o := range h.Owners {
		resident := ""
		if yes, known := o.Resident.Get(); known {
			resident = map[bool]string{true: "yes", false: "no"}[yes]
		}
		s.rows = append(s.rows, []cell{word(o.Name), word(o.Phone), word(o.Email), word(o.Address), word(resident), word(o.Note)})
	}
	return s
}

func waitingSheet(h *geo.Harbor, units geo.Units) sheet {
	s := sheet{columns: []column{{"name", middling}, {"since", narrow}, {"areas", middling}, {"boat", middling}, {"boat_kind", middling}}}
	s.columns = append(append(s.columns, figureColumns(units, boatFigures...)...), column{"note", wide})
	long, _, _ := unitsOf(units)
	q := quantities()
	for i := range h.Waiting {
		w := &h.Waiting[i]
		row := []cell{word(w.Name), date(w.Since), word(areaNames(w.Areas)), word(w.Boat.Name), word(w.Boat.Kind)}
		for _, name := range boatFigures {
			row = append(row, amount(q[name].get(&geo.Mooring{Boat: &w.Boat}), long))
		}
		s.rows = append(s.rows, append(row, word(w.Note)))
	}
	return s
}

func noteSheet(h *geo.Harbor, _ geo.Units) sheet {
	s := sheet{columns: []column{{"id", middling}, {"mooring", narrow}, {"at", middling}, {"by", middling}, {"text", wide},
		{"photos", middling}}}
	for _, n := range h.Notes {
		s.rows = append(s.rows, []cell{word(n.ID), word(n.Mooring), word(n.At.Format(time.RFC3339Nano)), word(n.By), word(n.Text),
			word(strings.Join(n.Photos, "; "))})
	}
	return s
}
