package store

import "testing"

// Pragma asks the writing connection for one of its settings.
func (s *Store) Pragma(t testing.TB, name string) string {
	t.Helper()
	var v string
	if err := s.write.QueryRow("PRAGMA " + name).Scan(&v); err != nil {
		t.Fatal(err)
	}
	return v
}
