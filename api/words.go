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

var searchParams = []param{{name: "q", doc: "Words, each of which has to stand in it; case and accents do not count."}, {name: "limit", doc: "How many results; 20 unless given, at most 50."}}

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

// indexed is one harbor's words.
type indexed struct {
	harbor *geo.Harbor
	all    []wording
	known  map[wordingKey]wording
}

// wordingKey is a thing as it is written: where it is written otherwise it is folded anew.
type wordingKey struct {
	store.Key
	text string
}

// of gives the words of a harbor.
func (w *wordings) index(slug string, h *geo.Harbor) []wording {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.of == nil {
		w.of = map[string]*indexed{}
	}
	old := w.of[slug]
	if old != nil && old.harbor == h {
		return old.all
	}
	next := &indexed{harbor: h, known: make(map[wordingKey]wording, len(h.Moorings))}
	each(h, func(found FoundRecord, text string) {
		key := wordingKey{store.Key{Noun: found.Noun, Name: found.Name}, found.Number + "\x00" + found.Title + "\x00" + text}
		word, ok := wording{}, false
		if old != nil {
			word, ok = old.known[key]
		}
		if !ok {
			word = wording{found, text, folded(found.Title + " " + text), folded(found.Title)}
		}
		next.known[key] = word
		next.all = append(next.all, word)
	})
	w.of[slug] = next
	return next.all
}

// each tells every thing on record with its words.
func each(h *geo.Harbor, tell func(found FoundRecord, text string)) {
	line := func(texts ...string) string {
		return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), " · ")
	}
	of := make(map[string]string, len(h.Owners)) // the first mooring of an owner
	for i := range h.Moorings {
		m := &h.Moorings[i]
		b := geo.Boat{}
		if m.Boat != nil {
			b = *m.Boat
			if _, ok := of[b.Owner]; !ok && b.Owner != "" {
				of[b.Owner] = m.Number
			}
		}
		tell(FoundRecord{Noun: store.NounMooring, Name: m.Number, Number: m.Number, Title: m.Number}, line(b.Name, b.Kind, b.Owner, m.Area, m.Note))
	}
	for i := range h.Owners {
		o := &h.Owners[i]
		tell(FoundRecord{Noun: store.NounOwner, Name: o.Name, Number: of[o.Name], Title: o.Name}, line(o.Phone, o.Email, o.Address, o.Note))
	}
	for i := range h.Waiting {
		w := &h.Waiting[i]
		tell(FoundRecord{Noun: store.NounWaiting, Name: w.Name, Title: w.Name}, line("waiting since "+string(w.Since), w.Boat.Name, w.Boat.Kind, strings.Join(w.Areas, ", "), w.Note))
	}
	for i := range h.Notes {
		n := &h.Notes[i]
		title := "Note of " + n.At.Format("2006-01-02")
		if n.Mooring != "" {
			title += ", " + n.Mooring
		}
		tell(FoundRecord{Noun: store.NounNote, Name: n.ID, Number: n.Mooring, Title: title}, line(n.Text, n.By))
	}
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
func search(all []wording, wanted []string) []*wording {
	type hit struct {
		*wording
		rank, at int
	}
	var hits []hit
	for i := range all {
		w := &all[i]
		at := strings.Index(w.folded, wanted[0])
		if at < 0 || slices.ContainsFunc(wanted[1:], func(word string) bool { return !strings.Contains(w.folded, word) }) {
			continue
		}
		rank := 3
		whole := strings.Join(wanted, " ")
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
