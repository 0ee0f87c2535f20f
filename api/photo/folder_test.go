package photo_test

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"swingroom/api/disk"
	"swingroom/api/photo"
)

func read(f photo.Folder, sha256 string) ([]byte, error) {
	r, err := f.Open(sha256)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

func TestAPhotoIsKeptOnceUnderItsHash(t *testing.T) {
	f := photo.FolderOf(filepath.Join(t.TempDir(), "harbor.db"))
	p := take(t, asJPEG(t, corners(64, 32)))
	var wait sync.WaitGroup
	for range 8 { // as several who send the same picture
		wait.Go(func() {
			if err := f.Put(p); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	if b, err := read(f, p.SHA256); err != nil || !bytes.Equal(b, p.Bytes) {
		t.Errorf("%d bytes come back, %d were kept (%v)", len(b), len(p.Bytes), err)
	}
	files := 0
	err := filepath.WalkDir(string(f), func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			files++
			if want := filepath.Join(string(f), p.SHA256[:2], p.SHA256+".jpg"); path != want {
				t.Errorf("%s, want %s", path, want)
			}
		}
		return err
	})
	if err != nil || files != 1 {
		t.Errorf("%d files (%v)", files, err)
	}
}

func TestADamagedPhotoIsReplacedByTheSameOneWhole(t *testing.T) {
	f := photo.FolderOf(filepath.Join(t.TempDir(), "harbor.db"))
	p := take(t, asJPEG(t, corners(64, 32)))
	if err := f.Put(p); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(string(f), p.SHA256[:2], p.SHA256+".jpg")
	if err := os.WriteFile(path, p.Bytes[:100], 0o600); err != nil {
		t.Fatal(err)
	}
	if err := f.Put(p); err != nil {
		t.Fatal(err)
	}
	if b, err := read(f, p.SHA256); err != nil || !bytes.Equal(b, p.Bytes) {
		t.Errorf("%d bytes (%v)", len(b), err)
	}
}

func TestOtherBytesUnderAHashAreRefused(t *testing.T) {
	f := photo.FolderOf(filepath.Join(t.TempDir(), "harbor.db"))
	if err := f.PutFrom(strings.Repeat("ab", 32), strings.NewReader("other")); !errors.Is(err, disk.ErrSum) {
		t.Errorf("%v", err)
	}
	if _, err := f.Open(strings.Repeat("ab", 32)); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("%v", err)
	}
}

func TestANameThatIsNoHashOpensNothing(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "secret.jpg"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	f := photo.FolderOf(filepath.Join(dir, "harbor.db"))
	for _, name := range []string{"", "../../secret", "../secret.jpg", strings.Repeat("AB", 32), strings.Repeat("ab", 31) + "/x",
		strings.Repeat("ab", 32) + "\x00", strings.Repeat("ab", 32) + "\n"} {
		if _, err := f.Open(name); !errors.Is(err, fs.ErrInvalid) {
			t.Errorf("%q: %v", name, err)
		}
		if err := f.PutFrom(name, strings.NewReader("")); !errors.Is(err, fs.ErrInvalid) {
			t.Errorf("%q: %v", name, err)
		}
	}
}
