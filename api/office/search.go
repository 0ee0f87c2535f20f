package office

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"swingroom/api/store"
	"swingroom/geo"
	"swingroom/geo/record"
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

// maxFound is how many results one search gives: more than fit on a screen.
const maxFound = 50

// entry is one thing with the words that can be searched for, folded once.
type entry struct {
	found  FoundRecord
	text   string // all of its words as they stand
	folded string
	title  string // folded
}

// searchIndexes keep the folded words of the newest state of each harbor: most things are the same in the next one.
type searchIndexes struct {
	mu   sync.Mutex
	kept map[string]*searchIndex
}

// searchIndex is one harbor's words, in the order of its lists.
type searchIndex struct {
	harbor                           *geo.Harbor
	moorings, owners, waiting, notes []entry
}

func (x *searchIndex) all() [][]entry {
	return [][]entry{x.moorings, x.owners, x.waiting, x.notes}
}

// of gives the words of a harbor: those of its former state where they are the same. Of days that somebody looks back to there is no end,
// and they are not kept.
func (x *searchIndexes) of(slug string, h *geo.Harbor) *searchIndex {
	x.mu.Lock()
	defer x.mu.Unlock()
	old := x.kept[slug]
	if old != nil && old.harbor == h {
		return old
	}
	if old == nil {
		old = &searchIndex{harbor: &geo.Harbor{}}
	}
	next := old.next(h)
	if strings.Contains(slug, "@") {
		return next
	}
	if x.kept == nil {
		x.kept = map[string]*searchIndex{}
	}
	x.kept[slug] = next
	return next
}

// next is the index of the harbor's next state.
func (x *searchIndex) next(h *geo.Harbor) *searchIndex {
	next := &searchIndex{harbor: h,
		moorings: reindexed(x.harbor.Moorings, x.moorings, h.Moorings, sameText, entryOfMooring),
		owners:   reindexed(x.harbor.Owners, x.owners, h.Owners, record.Equal, entryOfOwner),
		waiting:  reindexed(x.harbor.Waiting, x.waiting, h.Waiting, record.Equal, entryOfWaiting),
		notes:    reindexed(x.harbor.Notes, x.notes, h.Notes, record.Equal, entryOfNote),
	}
	first := firstMoorings(h)
	for i := range next.owners {
		next.owners[i].found.Number = first[h.Owners[i].Name]
	}
	return next
}

// firstMoorings are the first moorings of all owners, by name.
func firstMoorings(h *geo.Harbor) map[string]string {
	first := make(map[string]string, len(h.Owners))
	for i := range h.Moorings {
		if b := h.Moorings[i].Boat; b != nil && b.Owner != "" && first[b.Owner] == "" {
			first[b.Owner] = h.Moorings[i].Number
		}
	}
	return first
}

// reindexed gives the words of a list: those of the former list where a member is the same at the same place from the beginning or from the
// end.
func reindexed[T any](old []T, words []entry, list []T, same func(a, b *T) bool, of func(*T) (FoundRecord, string)) []entry {
	next := make([]entry, len(list))
	for i := range list {
		back := i + len(old) - len(list)
		switch {
		case i < len(old) && same(&old[i], &list[i]):
			next[i] = words[i]
		case back >= 0 && back < len(old) && same(&old[back], &list[i]):
			next[i] = words[back]
		default:
			found, text := of(&list[i])
			next[i] = entry{found, text, folded(found.Title + " " + text), folded(found.Title)}
		}
	}
	return next
}

// sameText reports whether two records of a mooring have the same words in them.
func sameText(a, b *geo.Mooring) bool {
	return record.Equal(&a.Boat, &b.Boat) && a.Number == b.Number && a.Area == b.Area && a.Note == b.Note
}

func oneText(texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), " · ")
}

func entryOfMooring(m *geo.Mooring) (FoundRecord, string) {
	b := geo.Boat{}
	if m.Boat != nil {
		b = *m.Boat
	}
	return FoundRecord{Noun: store.NounMooring, Name: m.Number, Number: m.Number, Title: m.Number},
		oneText(b.Name, b.Kind, b.Owner, m.Area, m.Note)
}

func entryOfOwner(o *geo.Owner) (FoundRecord, string) {
	return FoundRecord{Noun: store.NounOwner, Name: o.Name, Title: o.Name}, oneText(o.Phone, o.Email, o.Address, o.Note)
}

func entryOfWaiting(w *geo.Waiting) (FoundRecord, string) {
	return FoundRecord{Noun: store.NounWaiting, Name: w.Name, Title: w.Name},
		oneText("waiting since "+string(w.Since), w.Boat.Name, w.Boat.Kind, strings.Join(w.Areas, ", "), w.Note)
}

func entryOfNote(n *geo.Note) (FoundRecord, string) {
	title := "Note of " + n.At.Format("2006-01-02")
	if n.Mooring != "" {
		title += ", " + n.Mooring
	}
	return FoundRecord{Noun: store.NounNote, Name: n.ID, Number: n.Mooring, Title: title}, oneText(n.Text, n.By)
}

// RecordsQuestion is what somebody looks for in everything on record.
type RecordsQuestion struct {
	Text  string `json:"q"`     // words, each of which has to stand in it; case and accents do not count
	Limit Count  `json:"limit"` // how many results; 20 unless said
}

// Search looks words up in everything on record: what begins with them first, then by how early they stand. Errors: ErrIncomplete without
// words, geo.ErrInvalid.
func (h *Harbor) Search(q RecordsQuestion) (Records, error) {
	limit, err := within("limit", q.Limit, 20, maxFound)
	if err != nil {
		return Records{}, err
	}
	words := strings.Fields(folded(q.Text))
	if len(words) == 0 {
		return Records{}, fmt.Errorf("%w: q is expected: words to look for", ErrIncomplete)
	}
	found := Records{Results: []FoundRecord{}}
	hits := search(h.office.index.of(h.Info.Slug, h.Field.Harbor()), words)
	for _, hit := range hits[:min(limit, len(hits))] {
		result := hit.found
		result.Words = excerpt(hit.text, words[0])
		found.Results = append(found.Results, result)
	}
	found.More = len(hits) - len(found.Results)
	return found, nil
}

// search gives the things in which every word stands, the best first.
func search(in *searchIndex, words []string) []*entry {
	type hit struct {
		*entry
		rank, at int
	}
	var hits []hit
	whole := strings.Join(words, " ")
	for _, list := range in.all() {
		for i := range list {
			w := &list[i]
			at := strings.Index(w.folded, words[0])
			if at < 0 || slices.ContainsFunc(words[1:], func(word string) bool { return !strings.Contains(w.folded, word) }) {
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
	found := make([]*entry, len(hits))
	for i := range hits {
		found[i] = hits[i].entry
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
