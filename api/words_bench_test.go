package api_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/fixtures"
	"swingroom/geo"
)

// manyRecords are 5,000 moorings with as many owners and twice as many notes.
func manyRecords() *geo.Harbor {
	h := fixtures.Large(5000, 1)
	for i := range h.Moorings {
		name := fmt.Sprintf("Owner %d of %s", i, strings.Repeat("Lane ", i%4))
		name = strings.TrimSpace(name)
		h.Owners = append(h.Owners, geo.Owner{Name: name, Phone: fmt.Sprintf("+00 555 %05d", i),
			Email: fmt.Sprintf("owner%d@example.invalid", i), Address: fmt.Sprintf("%d Quay Street, Tarrowick", i)})
		if m := &h.Moorings[i]; m.Boat != nil {
			boat := *m.Boat
			boat.Owner = name
			m.Boat = &boat
		}
		for k := range 2 {
			h.Notes = append(h.Notes, geo.Note{ID: fmt.Sprintf("n%d-%d", i, k), Mooring: h.Moorings[i].Number,
				At: time.Date(2020, 1, 1+i%2000, 0, 0, 0, 0, time.UTC), By: "crew",
				Text: fmt.Sprintf("pennant %d worn at the chock, chain good, swivel turns; next look in spring", i)})
		}
	}
	return h
}

// BenchmarkSearchRecords: words looked up in everything on record, through the service: again in the same state, and in one that an act has
// just made.
func BenchmarkSearchRecords(b *testing.B) {
	h := manyRecords()
	db := onFile(b, h)
	s, err := api.New(api.Options{Store: db, Local: true})
	if err != nil {
		b.Fatal(err)
	}
	ask := func(q string) {
		if r := get(b, s, "/api/search?q="+q); r.StatusCode != 200 {
			b.Fatal(r.Status)
		}
	}
	start := time.Now()
	ask("first")
	b.Logf("the first of all, which folds every word: %v", time.Since(start))
	words := []string{"owner+4711", "swivel", "quay+12", "nothing+at+all", "555+00042", "e"}
	b.Run("same state", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			ask(words[i%len(words)])
		}
	})
	b.Run("after an act", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			b.StopTimer()
			w := post(s, "/api/acts/note", fmt.Sprintf(`{"text":"note %d","who":"a","why":"b"}`, i))
			if w.Code != 200 {
				b.Fatal(w.Body)
			}
			b.StartTimer()
			ask(words[i%len(words)])
		}
	})
}
