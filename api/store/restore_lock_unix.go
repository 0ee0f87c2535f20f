//go:build unix

package store

import (
	"errors"
	"io"
	"os"
	"syscall"
)

// The bytes on which SQLite puts its locks: https://www.sqlite.org/lockingv3.html, "Locking Implementation", and PENDING_BYTE and
// SHARED_SIZE in its os.h.
const (
	pendingByte = 0x40000000
	lockedBytes = 2 + 510
)

// lockUnreadable takes the locks of a file that SQLite cannot read, as a writer of all its bytes would.
func lockUnreadable(path string) (release func() error, err error) {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return nil, err
	}
	lock := syscall.Flock_t{Type: syscall.F_WRLCK, Whence: io.SeekStart, Start: pendingByte, Len: lockedBytes}
	if err := syscall.FcntlFlock(f.Fd(), syscall.F_SETLK, &lock); err != nil {
		if errors.Is(err, syscall.EAGAIN) || errors.Is(err, syscall.EACCES) {
			err = inUse(path)
		}
		return nil, errors.Join(err, f.Close())
	}
	return f.Close, nil
}
