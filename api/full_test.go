//go:build linux

package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"swingroom/api"
	"swingroom/api/store"
	"swingroom/fixtures/outside"
)

// A disk of 8 MB that is really full: neither an act nor a photo is half saved, both say so with status 507, and with room again they go
// through.
func TestOnAFullDiskActsAndPhotosAreRefusedInWords(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("none", dir, "tmpfs", 0, "size=8m"); err != nil {
		outside.Missing(t, fmt.Sprintf("a small disk cannot be made here (root on Linux can): %v", err))
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	ctx := context.Background()
	db, err := store.Open(ctx, filepath.Join(dir, "h.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Save(ctx, "tarrowick", 0, demo(t), store.Act{Who: "test", Why: "test"}); err != nil {
		t.Fatal(err)
	}
	s, err := api.New(api.Options{Store: db, Local: true})
	if err != nil {
		t.Fatal(err)
	}
	ballast := filepath.Join(dir, "ballast")
	f, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	for block := bytes.Repeat([]byte("x"), 4096); err == nil; {
		_, err = f.Write(block)
	}
	f.Close()
	note := func(i int) int {
		w := post(s, "/api/acts/note", fmt.Sprintf(`{"text":%q,"who":"crew","why":"seen %d"}`, strings.Repeat("kelp ", 100), i), "If-Match",
			"*")
		if w.Code != 200 && w.Code != 507 ||
			w.Code == 507 && !strings.Contains(w.Body.String(), "the disk is full: nothing of this was saved") {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		return w.Code
	}
	saved, refused := 0, 0
	for i := range 20 { // what is written beside the file may have room for some
		if note(i) == 507 {
			refused++
		} else {
			saved++
		}
	}
	if w := postPhoto(s, "image/png", picture(t, 1000, 1000)); w.Code != 507 {
		t.Errorf("a photo: %d %s", w.Code, w.Body)
	}
	if refused == 0 {
		t.Fatal("nothing was refused: nothing was tested")
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if note(99) != 200 {
		t.Error("with room again it is refused")
	}
	var taken api.KeptPhoto
	if w := postPhoto(s, "image/png", picture(t, 1000, 1000)); w.Code != 200 || json.Unmarshal(w.Body.Bytes(), &taken) != nil {
		t.Errorf("a photo with room again: %d %s", w.Code, w.Body)
	}
	if err := db.Check(ctx); err != nil {
		t.Error(err)
	}
	h, info, err := db.Harbor(ctx, "")
	if err != nil || info.Revision != int64(saved+2) || len(h.Notes) != len(demo(t).Notes)+saved+1 {
		t.Errorf("revision %d, %d notes, %d were saved (%v)", info.Revision, len(h.Notes), saved+1, err)
	}
	t.Logf("%d saved, %d refused", saved, refused)
}
