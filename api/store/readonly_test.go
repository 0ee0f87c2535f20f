//go:build unix

package store_test

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"swingroom/api/store"
)

// nobody is a user of every Unix that owns nothing. A superuser may write to every file, so the test steps down to it.
const nobody = 65534

func TestAFileThatMayNotBeWrittenIsRefused(t *testing.T) {
	const variable = "SWINGROOM_TEST_OPENS"
	if path := os.Getenv(variable); path != "" {
		s, err := store.Open(ctx, path)
		if err == nil {
			s.Close()
			t.Fatal("it was opened")
		}
		if !strings.Contains(err.Error(), path) || !errors.Is(err, store.ErrReadOnly) {
			t.Fatal(err)
		}
		return
	}
	dir, err := os.MkdirTemp("", "swingroom-readonly-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	path, program := filepath.Join(dir, "h.db"), filepath.Join(dir, "program")
	s, err := store.Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	save(t, s, 0, rich())
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	copyProgram(t, program)
	for name, mode := range map[string]os.FileMode{path: 0o444, program: 0o555, dir: 0o555} {
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { _ = os.Chmod(dir, 0o755) }) // so that it can be removed
	cmd := exec.Command(program, "-test.run", "^TestAFileThatMayNotBeWrittenIsRefused$")
	cmd.Dir, cmd.Env = dir, append(os.Environ(), variable+"="+path)
	if os.Getuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

// copyProgram puts this test program where another user can run it.
func copyProgram(t *testing.T, to string) {
	t.Helper()
	in, err := os.Open(os.Args[0])
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_CREATE|os.O_WRONLY, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(out, in); err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
}
