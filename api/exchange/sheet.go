package exchange

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"swingroom/geo"
)

// sheet is a list ready to be written.
type sheet struct {
	headings []heading
	rows     [][]cell
}

// heading is the name of a column, with its unit, and how wide the column is shown, in characters.
type heading struct {
	name  string
	width float64
}

const (
	narrow     = 11
	coordinate = 18
	middling   = 22
	wide       = 48
)

// cell is a text, or a number or a date written out.
type cell struct {
	text string
	kind cellKind
}

type cellKind int

const (
	wordCell cellKind = iota
	numberCell
	dateCell
	unknownCell
)

func word(text string) cell    { return cell{text, wordCell} }
func number(text string) cell  { return cell{text, numberCell} }
func date(day geo.Date) cell   { return cell{string(day), dateCell} }
func degrees(deg float64) cell { return cell{strconv.FormatFloat(deg, 'f', -1, 64), numberCell} }

// unknown says that a thing is there of which nothing is on record.
func unknown() cell { return cell{"?", unknownCell} }

// amount is a figure in a unit; empty where it is not on record.
func amount(m geo.Maybe[float64], u unit) cell {
	v, known := m.Get()
	if !known {
		return number("")
	}
	return number(formatFigure(v, u.one))
}

// listColumn is a column of a list of records R: a heading and what stands under it. A column of figures takes both from its figure, by the
// units of the list.
type listColumn[R any] struct {
	heading
	cell   func(*R) cell
	figure figure[R]
}

// listed is a column of words, dates or plain numbers.
func listed[R any](name string, width float64, cell func(*R) cell) listColumn[R] {
	return listColumn[R]{heading: heading{name, width}, cell: cell}
}

// measured is a column of figures.
func measured[R any](f figure[R]) listColumn[R] {
	return listColumn[R]{heading: heading{f.name, narrow}, figure: f}
}

// sheetOf lists records.
func sheetOf[R any](columns []listColumn[R], records []R, units geo.Units) (s sheet) {
	for i := range columns {
		s.headings = append(s.headings, columns[i].headingIn(units))
	}
	for i := range records {
		cells := make([]cell, len(columns))
		for j := range columns {
			cells[j] = columns[j].of(&records[i], units)
		}
		s.rows = append(s.rows, cells)
	}
	return s
}

// headingIn is the heading with the unit of a figure.
func (c *listColumn[R]) headingIn(units geo.Units) heading {
	h := c.heading
	if c.cell == nil {
		h.name += "_" + c.figure.in(units).name
	}
	return h
}

// of is the cell of a record.
func (c *listColumn[R]) of(record *R, units geo.Units) cell {
	if c.cell == nil {
		return amount(c.figure.get(record), c.figure.in(units))
	}
	return c.cell(record)
}

// The lists name their columns as import does, so that what is written is read.

var mooringList = []listColumn[geo.Mooring]{
	listed("number", narrow, func(m *geo.Mooring) cell { return word(m.Number) }),
	listed("lat", coordinate, func(m *geo.Mooring) cell { return degrees(m.Position.LatDeg) }),
	listed("lon", coordinate, func(m *geo.Mooring) cell { return degrees(m.Position.LonDeg) }),
	measured(mooringFigures["accuracy"]),
	listed("area", middling, func(m *geo.Mooring) cell { return word(m.Area) }),
	listed("status", narrow, func(m *geo.Mooring) cell { return word(string(m.Status)) }),
	measured(mooringFigures["depth"]),
	measured(mooringFigures["radius"]),
	listed("boat", middling, boatName),
	listed("boat_kind", middling, func(m *geo.Mooring) cell { return word(boatOf(m).Kind) }),
	measured(mooringFigures["loa"]),
	measured(mooringFigures["length_all"]),
	measured(mooringFigures["beam"]),
	measured(mooringFigures["draft"]),
	measured(mooringFigures["bow_height"]),
	listed("owner", middling, func(m *geo.Mooring) cell { return word(boatOf(m).Owner) }),
	measured(mooringFigures["largest_loa"]),
	measured(mooringFigures["largest_draft"]),
	measured(mooringFigures["smallest_loa"]),
	listed("permit_year", narrow, permitYear),
	listed("permit_expires", narrow, func(m *geo.Mooring) cell { return date(m.Permit.Expires) }),
	listed("note", wide, func(m *geo.Mooring) cell { return word(m.Note) }),
}

// boatOf is the boat of a mooring, an empty one where it has none.
func boatOf(m *geo.Mooring) (b geo.Boat) {
	if m.Boat != nil {
		b = *m.Boat
	}
	return b
}

// boatName is the name of the boat; a boat of which nothing is known is said to be there, since a row of empty cells says that there is
// none.
func boatName(m *geo.Mooring) cell {
	if m.Boat != nil && *m.Boat == (geo.Boat{}) {
		return unknown()
	}
	return word(boatOf(m).Name)
}

func permitYear(m *geo.Mooring) cell {
	if m.Permit.Year == 0 {
		return number("")
	}
	return number(strconv.Itoa(m.Permit.Year))
}

// listedPart is a part of the tackle with its mooring and its place, from 1 at the anchor.
type listedPart struct {
	mooring *geo.Mooring
	place   int
	part    *geo.Part
}

func listedParts(h *geo.Harbor) (all []listedPart) {
	for i := range h.Moorings {
		m := &h.Moorings[i]
		for j := range m.Tackle {
			all = append(all, listedPart{m, j + 1, &m.Tackle[j]})
		}
	}
	return all
}

var tackleList = []listColumn[listedPart]{
	listed("number", narrow, func(p *listedPart) cell { return word(p.mooring.Number) }),
	listed("part", narrow, func(p *listedPart) cell { return number(strconv.Itoa(p.place)) }),
	listed("kind", middling, func(p *listedPart) cell { return word(string(p.part.Kind)) }),
	measured(ofListedPart(partLength)),
	measured(ofListedPart(partSize)),
	measured(ofListedPart(partWeight)),
	measured(ofListedPart(partLeft)),
	listed("material", middling, func(p *listedPart) cell { return word(p.part.Material) }),
	listed("installed", narrow, func(p *listedPart) cell { return date(p.part.Installed) }),
	listed("inspected", narrow, func(p *listedPart) cell { return date(p.part.Inspected) }),
}

func ofListedPart(f figure[geo.Part]) figure[listedPart] {
	part := func(p *listedPart) *geo.Part { return p.part }
	return inner(f.name, f, part, part)
}

var ownerList = []listColumn[geo.Owner]{
	listed("name", middling, func(o *geo.Owner) cell { return word(o.Name) }),
	listed("phone", middling, func(o *geo.Owner) cell { return word(o.Phone) }),
	listed("email", middling, func(o *geo.Owner) cell { return word(o.Email) }),
	listed("address", wide, func(o *geo.Owner) cell { return word(o.Address) }),
	listed("resident", narrow, residentCell),
	listed("note", wide, func(o *geo.Owner) cell { return word(o.Note) }),
}

func residentCell(o *geo.Owner) cell {
	yes, known := o.Resident.Get()
	switch {
	case !known:
		return word("")
	case yes:
		return word("yes")
	}
	return word("no")
}

var waitingList = []listColumn[geo.Waiting]{
	listed("name", middling, func(w *geo.Waiting) cell { return word(w.Name) }),
	listed("since", narrow, func(w *geo.Waiting) cell { return date(w.Since) }),
	listed("areas", middling, func(w *geo.Waiting) cell { return word(joinAreas(w.Areas)) }),
	listed("boat", middling, func(w *geo.Waiting) cell { return word(w.Boat.Name) }),
	listed("boat_kind", middling, func(w *geo.Waiting) cell { return word(w.Boat.Kind) }),
	measured(waitingFigures["loa"]),
	measured(waitingFigures["length_all"]),
	measured(waitingFigures["beam"]),
	measured(waitingFigures["draft"]),
	measured(waitingFigures["bow_height"]),
	listed("note", wide, func(w *geo.Waiting) cell { return word(w.Note) }),
}

var noteList = []listColumn[geo.Note]{
	listed("id", middling, func(n *geo.Note) cell { return word(n.ID) }),
	listed("mooring", narrow, func(n *geo.Note) cell { return word(n.Mooring) }),
	listed("at", middling, func(n *geo.Note) cell { return word(n.At.Format(time.RFC3339Nano)) }),
	listed("by", middling, func(n *geo.Note) cell { return word(n.By) }),
	listed("text", wide, func(n *geo.Note) cell { return word(n.Text) }),
	listed("photos", middling, func(n *geo.Note) cell { return word(strings.Join(n.Photos, "; ")) }),
}

var historyList = []listColumn[Event]{
	listed("revision", narrow, func(e *Event) cell { return number(strconv.FormatInt(e.Revision, 10)) }),
	listed("at", middling, func(e *Event) cell { return word(e.At.UTC().Format(time.RFC3339)) }),
	listed("who", middling, func(e *Event) cell { return word(e.Who) }),
	listed("why", wide, func(e *Event) cell { return word(e.Why) }),
	listed("noun", narrow, func(e *Event) cell { return word(e.Noun) }),
	listed("name", middling, func(e *Event) cell { return word(e.Name) }),
	listed("what", narrow, func(e *Event) cell { return word(e.What) }),
	listed("field", middling, func(e *Event) cell { return word(e.Field) }),
	listed("before", wide, func(e *Event) cell { return word(shortJSON(e.Before)) }),
	listed("after", wide, func(e *Event) cell { return word(shortJSON(e.After)) }),
}

// maxJSON is how many characters of a value are written in the history: nobody reads more in a cell, such as the corners of an area.
const maxJSON = 2000

func shortJSON(text string) string {
	if r := []rune(text); len(r) > maxJSON {
		return fmt.Sprintf("%s... (%d characters)", string(r[:maxJSON]), len(r))
	}
	return text
}
