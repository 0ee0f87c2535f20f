package api

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"swingroom/api/store"
	"swingroom/geo"
)

// Records are what a search has found.
type Records struct {
	Results []FoundRecord `json:"results"`
	More    int           `json:"more"` // how many others there are
}

// FoundRecord is one thing on record in which the words stand.
type FoundRecord struct {
	Noun   string `json:"noun"`
	Name   string `json:"name"`
	Number string `json:"number"` // of the mooring that it leads to; empty where there is none
	Title  string `json:"title"`
	Words  string `json:"words"` // where in it they stand
}

// mostFound is how many results one search gives.
const mostFound = 50

var searchParams = []param{{name: "q", doc: "Words, each of which has to stand in it; case and accents do not count."},
	{name: "limit", doc: "How many results; 20 unless given, at most 50."}}

// wording is one thing with the words that can be searched for, folded once.
type wording struct {
	found  FoundRecord
	text   string // all of its words as they stand
	folded string
	title  string // folded
}

// wordings keep the folded words of the newest state of each harbor: most things are the same in the next one.
type wordings struct {
	mu sync.Mutex
	of map[string]*indexed
}

// indexed is one harbor's words, in the order of its lists.
type indexed struct {
	harbor                           *geo.Harbor
	moorings, owners, waiting, notes []wording
}

func (x *indexed) all() [][]wording {
	return [][]wording{x.moorings, x.owners, x.waiting, x.notes}
}

// index gives the words of a harbor.
func (w *wordings) index(slug string, h *geo.Harbor) *indexed {
	w.mu.Lock()
	defer w.mu.Unlock()
	old := w.of[slug]
	if old != nil && old.harbor == h {
		return old
	}
	if old == nil {
		old = &indexed{harbor: &geo.Harbor{}}
	}
	lies := make(map[string]string, len(h.Owners)) // the first mooring of an owner
	for i := range h.Moorings {
		if b := h.Moorings[i].Boat; b != nil && b.Owner != "" && lies[b.Owner] == "" {
			lies[b.Owner] = h.Moorings[i].Number
		}
	}
	next := &indexed{harbor: h,
		moorings: reworded(old.harbor.Moorings, old.moorings, h.Moorings, sameWords, wordsOfMooring),
		owners:   reworded(old.harbor.Owners, old.owners, h.Owners, func(a, b *geo.Owner) bool { return *a == *b }, wordsOfOwner),
		// a short list
		waiting: reworded(old.harbor.Waiting, old.waiting, h.Waiting, func(a, b *geo.Waiting) bool { return false }, wordsOfWaiting),
		notes: reworded(old.harbor.Notes, old.notes, h.Notes, func(a, b *geo.Note) bool {
			return a.ID == b.ID && a.Text == b.Text && a.By == b.By && a.Mooring == b.Mooring && a.At.Equal(b.At)
		}, wordsOfNote),
	}
	for i := range next.owners {
		next.owners[i].found.Number = lies[h.Owners[i].Name]
	}
	if _, _, past := split(slug); past { // of days that somebody looks back to there is no end
		return next
	}
	if w.of == nil {
		w.of = map[string]*indexed{}
	}
	w.of[slug] = next
	return next
}

// reworded gives the words of a list: those of the former list where a member is the same at the same place from the beginning or from the
// end.
func reworded[T any](old []T, words []wording, list []T, same func(a, b *T) bool, of func(*T) (FoundRecord, string)) []wording {
	next := make([]wording, len(list))
	for i := range list {
		back := i + len(old) - len(list)
		switch {
		case i < len(old) && same(&old[i], &list[i]):
			next[i] = words[i]
		case back >= 0 && back < len(old) && same(&old[back], &list[i]):
			next[i] = words[back]
		default:
			found, text := of(&list[i])
			next[i] = wording{found, text, folded(found.Title + " " + text), folded(found.Title)}
		}
	}
	return next
}

// sameWords reports whether two records of a mooring have the same words in them.
func sameWords(a, b *geo.Mooring) bool {
	boats := a.Boat == b.Boat || a.Boat != nil && b.Boat != nil && *a.Boat == *b.Boat
	return boats && a.Number == b.Number && a.Area == b.Area && a.Note == b.Note
}

func oneText(texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), " · ")
}

func wordsOfMooring(m *geo.Mooring) (FoundRecord, string) {
	b := geo.Boat{}
	if m.Boat != nil {
		b = *m.Boat
	}
	return FoundRecord{Noun: store.NounMooring, Name: m.Number, Number: m.Number, Title: m.Number},
		oneText(b.Name, b.Kind, b.Owner, m.Area, m.Note)
}

func wordsOfOwner(o *geo.Owner) (FoundRecord, string) {
	return FoundRecord{Noun: store.NounOwner, Name: o.Name, Title: o.Name}, oneText(o.Phone, o.Email, o.Address, o.Note)
}

func wordsOfWaiting(w *geo.Waiting) (FoundRecord, string) {
	return FoundRecord{Noun: store.NounWaiting, Name: w.Name, Title: w.Name},
		oneText("waiting since "+string(w.Since), w.Boat.Name, w.Boat.Kind, strings.Join(w.Areas, ", "), w.Note)
}

func wordsOfNote(n *geo.Note) (FoundRecord, string) {
	title := "Note of " + n.At.Format("2006-01-02")
	if n.Mooring != "" {
		title += ", " + n.Mooring
	}
	return FoundRecord{Noun: store.NounNote, Name: n.ID, Number: n.Mooring, Title: title}, oneText(n.Text, n.By)
}

// searchRecords looks words up in everything on record: what begins with them first, then by how early they stand.
func (q *request) searchRecords() error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	limit, err := q.count("limit", 20, mostFound)
	if err != nil {
		return err
	}
	wanted := strings.Fields(folded(q.query.Get("q")))
	if len(wanted) == 0 {
		return fmt.Errorf("%w: q is wanted: words to look for", errQuery)
	}
	found := Records{Results: []FoundRecord{}}
	hits := search(q.service.words.index(s.info.Slug, s.field.Harbor()), wanted)
	for _, hit := range hits[:min(limit, len(hits))] {
		result := hit.found
		result.Words = excerpt(hit.text, wanted[0])
		found.Results = append(found.Results, result)
	}
	found.More = len(hits) - len(found.Results)
	return q.writeJSON(found)
}

// search gives the things in which every word stands, the best first.
func search(in *indexed, wanted []string) []*wording {
	type hit struct {
		*wording
		rank, at int
	}
	var hits []hit
	whole := strings.Join(wanted, " ")
	for _, list := range in.all() {
		for i := range list {
			w := &list[i]
			at := strings.Index(w.folded, wanted[0])
			if at < 0 || slices.ContainsFunc(wanted[1:], func(word string) bool { return !strings.Contains(w.folded, word) }) {
				continue
			}
			rank := 3
			switch {
			case w.title == whole:
				rank = 0
			case strings.HasPrefix(w.title, whole):
				rank = 1
			case at == 0 || w.folded[at-1] == ' ':
				rank = 2
			}
			hits = append(hits, hit{w, rank, at})
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return cmp.Or(a.rank-b.rank, a.at-b.at) })
	found := make([]*wording, len(hits))
	for i := range hits {
		found[i] = hits[i].wording
	}
	return found
}

// excerpt cuts a long text round a word.
func excerpt(text, word string) string {
	const around, most = 40, 160
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	runes := []rune(text)
	at := max(strings.Index(folded(text), word), 0)
	from := min(max(utf8.RuneCountInString(folded(text)[:at])-around, 0), max(len(runes)-most, 0))
	cut := strings.TrimSpace(string(runes[from:min(from+most, len(runes))]))
	if from > 0 {
		cut = "… " + cut
	}
	if from+most < len(runes) {
		cut += " …"
	}
	return cut
}
