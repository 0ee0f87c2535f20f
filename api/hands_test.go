package api_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"swingroom/api/office"
)

// handsVariable names the environment variable that says for how long many work at once; two seconds unless given.
const handsVariable = "SWINGROOM_TEST_HANDS"

// hands are people who work with one service: what each request took, and what went wrong.
type hands struct {
	mu     sync.Mutex
	base   string
	client *http.Client
	reads  map[string][]time.Duration // by what was read
	writes []time.Duration
	faults []string
	done   map[string]int64
}

func (h *hands) read1(what string, since time.Time) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.reads[what] = append(h.reads[what], time.Since(since))
}

func (h *hands) fault(format string, args ...any) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if len(h.faults) < 20 {
		h.faults = append(h.faults, fmt.Sprintf(format, args...))
	}
}

// do sends one request and reads the answer to its end.
func (h *hands) do(method, path, body, etag string) (status int, tag string, answer []byte) {
	r, err := http.NewRequest(method, h.base+path, strings.NewReader(body))
	if err != nil {
		h.fault("%v", err)
		return 0, "", nil
	}
	if method == "GET" {
		r.Header.Set("Accept-Encoding", "br, gzip") // as a browser does
	}
	if method == "POST" {
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("If-Match", etag)
	} else if etag != "" {
		r.Header.Set("If-None-Match", etag)
	}
	w, err := h.client.Do(r)
	if err != nil {
		h.fault("%s: %v", path, err)
		return 0, "", nil
	}
	defer w.Body.Close()
	answer, err = io.ReadAll(w.Body)
	if err != nil {
		h.fault("%s: %v", path, err)
	}
	return w.StatusCode, w.Header.Get("Etag"), answer
}

// read is one who looks at the map, at sheets and at lists, a few times a second, and has the map again whenever it has changed.
func (h *hands) read(ctx context.Context, who int) {
	r := rand.New(rand.NewPCG(uint64(who), 7))
	tags := map[string]string{}
	for ctx.Err() == nil {
		number := fmt.Sprint(101 + r.IntN(40))
		what := []string{"map", "map", "conflicts", "harbor", "sheet", "sheet", "sheet", "search", "find", "history", "record"}[r.IntN(11)]
		if r.IntN(30) == 0 { // a question with a search behind it is asked now and then
			what = "fit with ways out"
		}
		path := map[string]string{"map": "/api/moorings", "conflicts": "/api/conflicts", "harbor": "/api/harbor",
			"sheet": "/api/moorings/" + number, "search": "/api/search?q=grey", "find": "/api/find?q=44.21,-41.4965",
			"history": "/api/history?noun=mooring&name=" + number, "record": "/api/records/mooring/" + number,
			"fit with ways out": "/api/moorings/" + number + "/fit?loa_m=9"}[what]
		start := time.Now()
		status, tag, _ := h.do("GET", path, "", tags[path])
		h.read1(what, start)
		if status != 200 && status != 304 {
			h.fault("%s: %d", path, status)
		}
		tags[path] = tag
		wait(ctx, time.Duration(100+r.IntN(300))*time.Millisecond)
	}
}

// write is one who writes notes and changes records, about once a second.
func (h *hands) write(ctx context.Context, who int) {
	r := rand.New(rand.NewPCG(uint64(who), 8))
	for i := 0; ctx.Err() == nil; i++ {
		number := fmt.Sprint(101 + r.IntN(40))
		text := fmt.Sprintf("writer %d, act %d", who, i)
		body, path := fmt.Sprintf(`{"mooring":%q,"text":%q,"who":"w%d","why":"load"}`, number, text, who), "/api/acts/note"
		if i%2 == 1 { // another accuracy: the water is worked out again
			body, path = fmt.Sprintf(`{"noun":"mooring","name":%q,"set":{"note":%q,"accuracy_m":%.2f},"who":"w%d","why":"load",`+
				`"despite":"load"}`, number, text, 2+r.Float64(), who), "/api/acts/edit"
		}
		start := time.Now()
		status, _, answer := h.do("POST", path, body, "*")
		h.mu.Lock()
		h.writes = append(h.writes, time.Since(start))
		h.mu.Unlock()
		var done office.Result
		if status != 200 || json.Unmarshal(answer, &done) != nil {
			h.fault("%s: %d %.200s", path, status, answer)
			continue
		}
		h.mu.Lock()
		h.done[text] = done.Revision
		h.mu.Unlock()
		wait(ctx, time.Duration(500+r.IntN(1000))*time.Millisecond)
	}
}

func wait(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// percentile of some durations.
func percentile(all []time.Duration, share float64) time.Duration {
	slices.Sort(all)
	return all[min(int(share*float64(len(all))), len(all)-1)]
}

// TestFiftyReadAndFiveWrite lets fifty people read and five write: no request fails, and nothing acknowledged is lost. What it took is
// told, not judged.
func TestFiftyReadAndFiveWrite(t *testing.T) {
	during := 2 * time.Second
	if testing.Short() {
		during = 500 * time.Millisecond
	}
	if text := os.Getenv(handsVariable); text != "" {
		var err error
		if during, err = time.ParseDuration(text); err != nil {
			t.Fatal(err)
		}
	}
	s, db := writing(t, demo(t))
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	serving, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(serving, listener) }()
	h := &hands{base: "http://" + listener.Addr().String(), done: map[string]int64{}, reads: map[string][]time.Duration{},
		client: &http.Client{Timeout: time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: 64, DisableCompression: true}}}
	ctx, enough := context.WithTimeout(t.Context(), during)
	defer enough()
	var work sync.WaitGroup
	for i := range 50 {
		work.Go(func() { h.read(ctx, i) })
	}
	for i := range 5 {
		work.Go(func() { h.write(ctx, i) })
	}
	work.Wait()
	h.client.CloseIdleConnections()
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	for _, fault := range h.faults {
		t.Error(fault)
	}
	changes, err := db.History(t.Context(), "", "", "")
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]int64{}
	for _, c := range changes {
		var record struct{ Text, Note string }
		if json.Unmarshal(c.After, &record) == nil {
			there[record.Text+record.Note] = c.Revision
		}
	}
	for text, revision := range h.done {
		if there[text] != revision {
			t.Errorf("%q was acknowledged at revision %d, history has it at %d", text, revision, there[text])
		}
	}
	var all []time.Duration
	for _, what := range slices.Sorted(maps.Keys(h.reads)) {
		t.Logf("%-18s %6d, median %v, p99 %v, worst %v", what, len(h.reads[what]), percentile(h.reads[what], 0.5),
			percentile(h.reads[what], 0.99), percentile(h.reads[what], 1))
		all = append(all, h.reads[what]...)
	}
	if len(all) < 50 || len(h.writes) < 5 {
		t.Fatalf("%d reads, %d writes", len(all), len(h.writes))
	}
	t.Logf("%v: %d reads, median %v, p99 %v, worst %v; %d writes, median %v, p99 %v, worst %v", during, len(all), percentile(all, 0.5),
		percentile(all, 0.99), percentile(all, 1),
		len(h.writes), percentile(h.writes, 0.5), percentile(h.writes, 0.99), percentile(h.writes, 1))
}
