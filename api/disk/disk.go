// Package disk writes files so that they are whole, and still there after a power cut, or not there at all.
package disk

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
)

// Write puts what is read into a new file, or in place of one, under its name only when all of it is on disk. It makes the file's folder
// where there is none; sum is the SHA-256 of the bytes in hexadecimal. A sum that is expected, unless empty, is compared: where it differs
// nothing is written and the error is ErrSum.
func Write(path string, from io.Reader, expected string) (sum string, err error) {
	folder := filepath.Dir(path)
	if err := MakeFolder(folder); err != nil {
		return "", err
	}
	part, err := os.CreateTemp(folder, "."+filepath.Base(path)+".part-*")
	if err != nil {
		return "", err
	}
	sum, err = fill(part, from, expected)
	err = errors.Join(err, part.Close())
	if err == nil {
		err = os.Rename(part.Name(), path)
	}
	if err != nil {
		return "", errors.Join(err, os.Remove(part.Name()))
	}
	return sum, SyncFolder(folder)
}

// fill writes a file and brings it to disk.
func fill(to *os.File, from io.Reader, expected string) (sum string, err error) {
	if sum, err = sumOf(io.TeeReader(from, to)); err != nil {
		return "", err
	}
	if expected != "" && sum != expected {
		return "", fmt.Errorf("%w: %s instead of %s", ErrSum, sum, expected)
	}
	return sum, to.Sync()
}

// ErrSum: the bytes are not those that were expected.
var ErrSum = errors.New("the bytes do not have the SHA-256 that is expected")

// MakeFolder makes a folder that only its owner may enter, with those above it, so that their names survive a power cut.
func MakeFolder(path string) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil
	}
	above := filepath.Dir(path)
	if above != path {
		if err := MakeFolder(above); err != nil {
			return err
		}
	}
	if err := os.Mkdir(path, 0o700); err != nil && !errors.Is(err, os.ErrExist) {
		return err
	}
	return SyncFolder(above)
}

// SyncFolder brings the names in a folder to disk.
func SyncFolder(path string) error {
	if runtime.GOOS == "windows" { // which does so by itself, and opens no folder for it
		return nil
	}
	return sync(path, os.O_RDONLY)
}

// SyncFile brings the bytes of a file to disk that another part of the program has written.
func SyncFile(path string) error { return sync(path, os.O_RDWR) }

func sync(path string, flag int) error {
	f, err := os.OpenFile(path, flag, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Sum is the SHA-256 of a file in hexadecimal.
func Sum(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close() // it was only read
	return sumOf(f)
}

// sumOf is the SHA-256 of all that is read, in hexadecimal.
func sumOf(r io.Reader) (string, error) {
	hash := sha256.New()
	_, err := io.Copy(hash, r)
	return hex.EncodeToString(hash.Sum(nil)), err
}
