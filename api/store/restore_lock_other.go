//go:build !unix

package store

// lockUnreadable leaves it to the system, which does not move a file that SQLite has open.
func lockUnreadable(path string) (release func() error, err error) {
	return func() error { return nil }, nil
}
