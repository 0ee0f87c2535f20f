package api_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/api/office"
	"swingroom/api/store"
)

// killsVariable names the environment variable that says how often the service is killed; 20 times unless given.
const killsVariable = "SWINGROOM_TEST_KILLS"

// servesVariable makes the test program a service on that database, to be killed.
const servesVariable = "SWINGROOM_TEST_SERVES"

// TestKilledAtAnyMomentNothingAcknowledgedIsLost kills a service with SIGKILL while four write: whatever it has acknowledged is there, and
// history is whole.
func TestKilledAtAnyMomentNothingAcknowledgedIsLost(t *testing.T) {
	if path := os.Getenv(servesVariable); path != "" {
		serveUntilKilled(t, path)
		return
	}
	kills := 20
	if text := os.Getenv(killsVariable); text != "" {
		var err error
		if kills, err = strconv.Atoi(text); err != nil {
			t.Fatal(err)
		}
	} else if testing.Short() {
		kills = 3
	}
	path := filepath.Join(t.TempDir(), "h.db")
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Save(t.Context(), "tarrowick-harbor", 0, demo(t), store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	acknowledged := map[string]int64{} // text of a note -> revision
	for round := range kills {
		for text, revision := range writeAndKill(t, path, round) {
			acknowledged[text] = revision
		}
		checkWhole(t, path, acknowledged)
	}
	t.Logf("%d kills, %d acts acknowledged", kills, len(acknowledged))
	if len(acknowledged) < kills {
		t.Error("too little was written for a test")
	}
}

func serveUntilKilled(t *testing.T, path string) {
	db, err := store.Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := api.New(api.Options{Store: db, Local: true})
	if err != nil {
		t.Fatal(err)
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println(listener.Addr())
	t.Fatal(s.Serve(context.Background(), listener))
}

// writeAndKill lets four write to a service until it is killed, and gives what was acknowledged.
func writeAndKill(t *testing.T, path string, round int) map[string]int64 {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run", "^TestKilledAtAnyMomentNothingAcknowledgedIsLost$")
	cmd.Env = append(os.Environ(), servesVariable+"="+path)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	address, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	acknowledged := map[string]int64{}
	var mu sync.Mutex
	var wait sync.WaitGroup
	client := &http.Client{Timeout: 10 * time.Second}
	for w := range 4 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := 0; ; i++ {
				text := fmt.Sprintf("round %d, writer %d, note %d", round, w, i)
				r, err := http.NewRequest("POST", "http://"+strings.TrimSpace(address)+"/api/acts/note",
					bytes.NewReader(fmt.Appendf(nil, `{"mooring":"10%d","text":%q,"who":"w%d","why":"load"}`, w+1, text, w)))
				if err != nil {
					t.Error(err)
					return
				}
				r.Header.Set("Content-Type", "application/json")
				r.Header.Set("If-Match", "*")
				answer, err := client.Do(r)
				if err != nil {
					return // it has been killed
				}
				var done office.Result
				err = json.NewDecoder(answer.Body).Decode(&done)
				answer.Body.Close()
				if err != nil {
					return
				}
				if answer.StatusCode != 200 {
					t.Errorf("%s", answer.Status)
					return
				}
				mu.Lock()
				acknowledged[text] = done.Revision
				mu.Unlock()
			}
		}()
	}
	// Every other time the moment is counted from the first act that was acknowledged, so that a slow machine gets to writing at all.
	for deadline := time.Now().Add(20 * time.Second); round%2 == 0 && time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		mu.Lock()
		begun := len(acknowledged) > 0
		mu.Unlock()
		if begun {
			break
		}
	}
	time.Sleep(time.Duration(20+rand.IntN(400)) * time.Millisecond)
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = cmd.Wait() // it was killed: its error is no news
	wait.Wait()
	return acknowledged
}

// checkWhole holds a database against what was acknowledged, and its history against its tables and itself.
func checkWhole(t *testing.T, path string, acknowledged map[string]int64) {
	t.Helper()
	db, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	h, info, err := db.Harbor(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, n := range h.Notes {
		there[n.Text] = true
	}
	for text, revision := range acknowledged {
		if !there[text] || revision > info.Revision {
			t.Fatalf("%q was acknowledged at revision %d and is lost", text, revision)
		}
	}
	past, err := db.HarborAt(t.Context(), info.Slug, info.Revision)
	if err != nil || !reflect.DeepEqual(past, h) {
		t.Fatalf("history and tables differ (%v)", err)
	}
	changes, err := db.History(t.Context(), info.Slug, "", "")
	if err != nil {
		t.Fatal(err)
	}
	last := map[store.Key]json.RawMessage{}
	for i := len(changes) - 1; i >= 0; i-- { // the oldest first
		c := changes[i]
		key := store.Key{Noun: c.Noun, Name: c.Name}
		if !bytes.Equal(last[key], c.Before) {
			t.Fatalf("revision %d of %v does not begin where the one before it ended", c.Revision, key)
		}
		if last[key] = c.After; i < len(changes)-1 && (c.Revision < changes[i+1].Revision || c.Revision > changes[i+1].Revision+1) {
			t.Fatalf("revision %d follows %d", c.Revision, changes[i+1].Revision)
		}
	}
}
