package photo

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"

	"swingroom/api/disk"
)

// Folder keeps photos on disk, each once, under the hash of its bytes.
type Folder string

// FolderOf is where the photos of a database file are.
func FolderOf(database string) Folder { return Folder(database + ".photos") }

var sha256Text = regexp.MustCompile(`^[0-9a-f]{64}$`)

// Name is where a photo lies within its folder: ab/abcd….jpg, with slashes. Error: fs.ErrInvalid for what is no SHA-256 in hexadecimal.
func Name(sha256 string) (string, error) {
	if !sha256Text.MatchString(sha256) {
		return "", fmt.Errorf("photo %q: it is named by its SHA-256 in hexadecimal: %w", sha256, fs.ErrInvalid)
	}
	return sha256[:2] + "/" + sha256 + ".jpg", nil
}

func (f Folder) path(sha256 string) (string, error) {
	name, err := Name(sha256)
	return filepath.Join(string(f), filepath.FromSlash(name)), err
}

// Put keeps a photo: when it returns, it is on disk, and a note may name it.
func (f Folder) Put(p Photo) error { return f.PutFrom(p.SHA256, bytes.NewReader(p.Bytes)) }

// PutFrom keeps the photo of that hash as it is read. Errors: disk.ErrSum where the bytes are others, fs.ErrInvalid.
func (f Folder) PutFrom(sha256 string, r io.Reader) error {
	path, err := f.path(sha256)
	if err != nil {
		return err
	}
	if sum, err := disk.Sum(path); err == nil && sum == sha256 {
		return nil
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	_, err = disk.Write(path, r, sha256) // in place of a damaged one too
	return err
}

// Open opens a photo for reading; the caller closes it. Errors: fs.ErrNotExist, fs.ErrInvalid.
func (f Folder) Open(sha256 string) (*os.File, error) {
	path, err := f.path(sha256)
	if err != nil {
		return nil, err
	}
	return os.Open(path)
}
