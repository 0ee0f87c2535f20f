package store

import (
	"slices"
	"testing"
)

func TestSlug(t *testing.T) {
	for name, want := range map[string]string{
		"Tarrowick Harbor": "tarrowick-harbor", "  Öland’s Cove ": "oland-s-cove", "港": "harbor", "--": "harbor", "A  &  B": "a-b",
	} {
		if got := Slug(name); got != want || Slug(got) != got {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

func TestNumbersAreOrderedAsPeopleDo(t *testing.T) {
	want := []string{"", "1", "2", "007", "9", "10", "A2", "A10", "A10b", "B1"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, compareNumbers)
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}
