package geo

import "reflect"

// SameGround reports whether two harbors have the same levels, rules, edges and soundings: what moorings lie in. Shapes and soundings are
// compared by where they are kept, so that equal ones may be told as different, never the other way.
func (h *Harbor) SameGround(o *Harbor) bool {
	return h.Levels == o.Levels && h.Soundings == o.Soundings && Shared(h.Areas, o.Areas) && Shared(h.KeepOuts, o.KeepOuts) &&
		Shared(h.Shoreline.Land, o.Shoreline.Land) &&
		Shared(h.Shoreline.Lines, o.Shoreline.Lines) && reflect.DeepEqual(h.Defaults, o.Defaults)
}

// Shared reports whether two lists are one and the same in memory, or both empty: then they need not be compared.
func Shared[T any](a, b []T) bool { return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0]) }
