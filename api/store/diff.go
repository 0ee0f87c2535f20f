package store

import (
	"swingroom/geo"
	"swingroom/geo/record"
)

// sameBesides reports whether two harbors differ at most in moorings, owners, notes and those who wait. The day is not kept on file.
func sameBesides(a, b *geo.Harbor) bool {
	x, y := *a, *b
	for _, side := range []*geo.Harbor{&x, &y} {
		side.Moorings, side.Owners, side.Notes, side.Waiting, side.Day = nil, nil, nil, nil, ""
	}
	return x.Equal(&y)
}

// cutToDifference cuts two harbors down to what differs between them, where sameBesides holds.
func cutToDifference(from, to *geo.Harbor) (a, b *geo.Harbor) {
	a, b = &geo.Harbor{}, &geo.Harbor{}
	a.Moorings, b.Moorings = diff(from.Moorings, to.Moorings, func(m *geo.Mooring) string { return m.Number })
	a.Owners, b.Owners = diff(from.Owners, to.Owners, func(o *geo.Owner) string { return o.Name })
	a.Notes, b.Notes = diff(from.Notes, to.Notes, func(n *geo.Note) string { return n.ID })
	if !record.Equal(&from.Waiting, &to.Waiting) { // several may have one name, and are told apart by their order: all or none
		a.Waiting, b.Waiting = from.Waiting, to.Waiting
	}
	return a, b
}

// diff gives the members of two lists that are not the same in both; key names a member within its list.
func diff[T any](from, to []T, key func(*T) string) (removed, added []T) {
	from, to = trimSame(from, to)
	place := make(map[string]int, len(from))
	for i := range from {
		place[key(&from[i])] = i
	}
	kept := make([]bool, len(from))
	for i := range to {
		if at, ok := place[key(&to[i])]; ok && record.Equal(&from[at], &to[i]) {
			kept[at] = true
			continue
		}
		added = append(added, to[i])
	}
	for i := range from {
		if !kept[i] {
			removed = append(removed, from[i])
		}
	}
	return removed, added
}

// trimSame cuts off what two lists begin and end with alike: an act changes few members of long lists.
func trimSame[T any](a, b []T) (restA, restB []T) {
	for len(a) > 0 && len(b) > 0 && record.Equal(&a[0], &b[0]) {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && record.Equal(&a[len(a)-1], &b[len(b)-1]) {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	return a, b
}
