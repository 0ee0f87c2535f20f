package exchange

import (
	"cmp"
	"slices"
	"strings"

	"swingroom/geo"
)

// waitingFigures are the figures of the boat of one who waits, by name.
var waitingFigures = boatFiguresOf(waitingBoat, waitingBoat)

func waitingBoat(w *geo.Waiting) *geo.Boat { return &w.Boat }

var waitingForm = form[geo.Waiting]{
	texts:   []string{"name", "since", "areas", "boat", "boat_kind", "note"},
	figures: waitingFigures,
	needed:  []string{"name", "since"},
	holds:   ": who waits, and since when (such as 2024-03-15)",
}

// waiting reads waiting.csv: one who waits for a place a row. The list takes the place of that on file as a whole.
func (r *reader) waiting(text []byte) {
	before := len(r.im.Problems)
	t, figures, good := waitingForm.open(r, text)
	if !good {
		return
	}
	var list []geo.Waiting
	t.eachRow(func(w *row) { list = append(list, w.waiting(figures)) })
	if len(r.im.Problems) > before {
		return
	}
	r.matchWaiting(list)
	slices.SortStableFunc(list, func(a, b geo.Waiting) int {
		return cmp.Or(cmp.Compare(a.Since, b.Since), cmp.Compare(a.Name, b.Name))
	})
	r.h.Waiting = list
}

// waiting reads one who waits.
func (w *row) waiting(figures []figureColumn[geo.Waiting]) geo.Waiting {
	name, _ := w.text("name")
	since, _ := w.text("since")
	areas, _ := w.text("areas")
	note, _ := w.text("note")
	v := geo.Waiting{Name: name, Since: geo.Date(since), Areas: splitAreas(areas), Note: note,
		Boat: geo.Boat{Name: w.known("boat"), Kind: w.known("boat_kind"), Owner: name}}
	readFigures(w, figures, &v)
	for _, fe := range geo.FieldErrors(v.Validate()) {
		w.refuse(fe.Field, fe.Got, fe.Want)
	}
	w.checkAreas(v.Areas)
	return v
}

// checkAreas refuses names that no area has.
func (w *row) checkAreas(names []string) {
	for _, name := range names {
		if _, ok := w.h.Area(name); !ok {
			w.refuse("areas", name, "there is no area of that name; several are separated by semicolons")
		}
	}
}

// waitingKey identifies an entry of the list: the same name with the same date is the same entry, several of them in their order.
type waitingKey struct {
	name  string
	since geo.Date
}

func keyOfWaiting(w *geo.Waiting) waitingKey { return waitingKey{w.Name, w.Since} }

// matchWaiting holds a list against the one on file.
func (r *reader) matchWaiting(list []geo.Waiting) {
	onFile := map[waitingKey][]*geo.Waiting{}
	for i := range r.h.Waiting {
		k := keyOfWaiting(&r.h.Waiting[i])
		onFile[k] = append(onFile[k], &r.h.Waiting[i])
	}
	for i := range list {
		k := keyOfWaiting(&list[i])
		if same := onFile[k]; len(same) > 0 {
			keepSameWaiting(&list[i], same[0])
			onFile[k] = same[1:]
		}
	}
}

// keepSameWaiting keeps of one who waits what is but for rounding on file: figures, and whose the boat is said to be.
func keepSameWaiting(w, onFile *geo.Waiting) {
	w.Boat.Owner = onFile.Boat.Owner
	if slices.Equal(w.Areas, onFile.Areas) {
		w.Areas = onFile.Areas
	}
	keepSameFigures(boatFigures, &w.Boat, &onFile.Boat)
}

// areaSplitter splits the names of areas in one cell. encoding/csv knows one separator, and here there are two, as people write them.
type areaSplitter struct {
	names  []string
	name   strings.Builder
	quoted bool // inside double quotes
	closed bool // the name stood in quotes, which have closed or will
}

// splitAreas splits the names of areas at semicolons or slashes. A name with one of these in it stands in double quotes, as joinAreas
// writes it.
func splitAreas(cell string) []string {
	s := areaSplitter{names: []string{}}
	for i := 0; i < len(cell); i++ {
		if s.quoted && strings.HasPrefix(cell[i:], `""`) { // a double quote of the name
			i++
			s.name.WriteByte('"')
			continue
		}
		s.take(cell[i])
	}
	s.end()
	return s.names
}

// take takes one character of the cell.
func (s *areaSplitter) take(c byte) {
	switch {
	case s.quoted && c == '"':
		s.quoted = false
	case s.quoted:
		s.name.WriteByte(c)
	case c == '"' && !s.closed && strings.TrimSpace(s.name.String()) == "":
		s.name.Reset()
		s.quoted, s.closed = true, true
	case c == ';' || c == '/':
		s.end()
	case c == ' ' && s.closed: // between the closing quotes and the separator
	default:
		s.name.WriteByte(c)
	}
}

// end ends a name. Space around it does not count, unless it stood in quotes.
func (s *areaSplitter) end() {
	name := s.name.String()
	if !s.closed {
		name = strings.TrimSpace(name)
	}
	if name != "" {
		s.names = append(s.names, name)
	}
	s.name.Reset()
	s.closed = false
}

// joinAreas writes a list of areas for one cell.
func joinAreas(areas []string) string {
	written := make([]string, len(areas))
	for i, name := range areas {
		written[i] = quoteArea(name)
	}
	return strings.Join(written, "; ")
}

// quoteArea puts a name in quotes that splitAreas would split or trim.
func quoteArea(name string) string {
	if strings.ContainsAny(name, `;/"`) || name != strings.TrimSpace(name) {
		return quote(name)
	}
	return name
}
