package main

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"swingroom/api"
	"swingroom/api/store"
)

// healthOf asks a service how it is.
func healthOf(t *testing.T, address string) (h api.Health) {
	t.Helper()
	r, err := http.Get(address + "/healthz")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if err := json.NewDecoder(r.Body).Decode(&h); err != nil {
		t.Fatal(err)
	}
	return h
}

func TestAServiceMakesItsFirstBackupAtOnceAndTells(t *testing.T) {
	dir := t.TempDir()
	path, out := filepath.Join(dir, "h.db"), filepath.Join(dir, "out")
	withHarbormaster(t, path)
	address := served(t, "serve", "--db", path, "--listen", "127.0.0.1:0", "--backup-to", out)
	var told api.Health
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		if told = healthOf(t, address); told.Backup == nil || told.Backup.Last != nil || told.Backup.FailingSince != nil {
			break
		}
	}
	if told.Backup == nil || told.Backup.Last == nil || time.Since(*told.Backup.Last) > time.Minute {
		t.Fatalf("%+v", told.Backup)
	}
	made, err := os.ReadDir(out)
	if err != nil || len(made) != 1 {
		t.Fatalf("%v %v", made, err)
	}
	if done, err := store.Restore(t.Context(), filepath.Join(out, made[0].Name()), filepath.Join(dir, "back.db"), false); err != nil ||
		done.Harbors[0].Slug != "tarrowick" {
		t.Errorf("%+v %v", done, err)
	}
}

func TestAServiceWhoseBackupsFailTellsAndGoesOn(t *testing.T) {
	dir := t.TempDir()
	path, out := filepath.Join(dir, "h.db"), filepath.Join(dir, "out")
	withHarbormaster(t, path)
	if err := os.WriteFile(out, nil, 0o600); err != nil { // where the folder should be
		t.Fatal(err)
	}
	address := served(t, "serve", "--db", path, "--listen", "127.0.0.1:0", "--backup-to", out)
	var told api.Health
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		if told = healthOf(t, address); told.Backup != nil && told.Backup.FailingSince != nil {
			break
		}
	}
	if told.Backup == nil || told.Backup.FailingSince == nil || told.Backup.Last != nil || told.Status != "ok" {
		t.Errorf("%+v", told.Backup)
	}
}
