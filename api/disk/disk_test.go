package disk_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"swingroom/api/disk"
)

const sumOfAbc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" // FIPS 180-2, appendix B.1

func TestAFileIsWholeUnderItsNameOrNotThere(t *testing.T) {
	broken := errors.New("the wire was cut")
	for name, c := range map[string]struct {
		from io.Reader
		want string
		err  error
	}{
		"whole":                        {strings.NewReader("abc"), "", nil},
		"whole, with the expected sum": {strings.NewReader("abc"), sumOfAbc, nil},
		"with another sum":             {strings.NewReader("abd"), sumOfAbc, disk.ErrSum},
		"cut off":                      {io.MultiReader(strings.NewReader("ab"), iotest.ErrReader(broken)), "", broken},
	} {
		t.Run(name, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "a", "b")
			path := filepath.Join(folder, "f")
			sum, err := disk.Write(path, c.from, c.want)
			if !errors.Is(err, c.err) {
				t.Fatal(err)
			}
			names, err := os.ReadDir(folder)
			if err != nil {
				t.Fatal(err)
			}
			if c.err != nil {
				if len(names) != 0 {
					t.Errorf("%v is left behind", names)
				}
				return
			}
			if on, err := os.ReadFile(path); err != nil || string(on) != "abc" || sum != sumOfAbc || len(names) != 1 {
				t.Errorf("%q %s %v %v", on, sum, names, err)
			}
			if again, err := disk.Sum(path); err != nil || again != sumOfAbc {
				t.Errorf("%s %v", again, err)
			}
		})
	}
}

func TestAFailedWriteLeavesTheFormerFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f")
	if _, err := disk.Write(path, strings.NewReader("abc"), ""); err != nil {
		t.Fatal(err)
	}
	if _, err := disk.Write(path, strings.NewReader("other"), sumOfAbc); !errors.Is(err, disk.ErrSum) {
		t.Fatal(err)
	}
	if on, err := os.ReadFile(path); err != nil || string(on) != "abc" {
		t.Errorf("%q %v", on, err)
	}
}
