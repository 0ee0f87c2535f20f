// Package record compares and copies records whole. It finds their fields by reflection, so that a field that is added to a record is
// compared and copied from its first day.
package record

import (
	"bytes"
	"fmt"
	"reflect"
	"time"
	"unsafe"
)

// Equal reports whether two records say the same in every field, exported or not, at any depth. A nil list equals an empty one, two times
// that are the same instant are equal, and so are 0 and -0. Records that share what they point to are told apart from others by their bytes
// alone, in a few nanoseconds. It panics for a type with a map, an interface, a channel or a function in it: records have none.
func Equal[T any](a, b *T) bool {
	if sameBytes(unsafe.Pointer(a), unsafe.Pointer(b), unsafe.Sizeof(*a)) {
		return true
	}
	return equal(reflect.ValueOf(a).Elem(), reflect.ValueOf(b).Elem())
}

// sameBytes compares memory. Equal bytes are equal values, also where they are addresses; other bytes may still be equal values.
func sameBytes(a, b unsafe.Pointer, size uintptr) bool {
	return a == b || bytes.Equal(unsafe.Slice((*byte)(a), size), unsafe.Slice((*byte)(b), size))
}

var timeType = reflect.TypeFor[time.Time]()

// equal compares two addressable values of one type.
func equal(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Struct:
		if a.Type() == timeType {
			return timeIn(a).Equal(timeIn(b))
		}
		return equalFields(a, b)
	case reflect.Slice:
		return equalLists(a, b)
	case reflect.Array:
		return equalMembers(a, b)
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() || a.UnsafePointer() == b.UnsafePointer() {
			return a.UnsafePointer() == b.UnsafePointer()
		}
		return equal(a.Elem(), b.Elem())
	case reflect.Map, reflect.Interface, reflect.Chan, reflect.Func, reflect.UnsafePointer:
		panic(fmt.Sprintf("record: a %v has no place in a record", a.Type()))
	}
	return a.Equal(b)
}

// timeIn reads a time, also out of an unexported field.
func timeIn(v reflect.Value) time.Time { return *(*time.Time)(v.Addr().UnsafePointer()) }

func equalFields(a, b reflect.Value) bool {
	for i := range a.NumField() {
		if !equal(a.Field(i), b.Field(i)) {
			return false
		}
	}
	return true
}

func equalLists(a, b reflect.Value) bool {
	if a.Len() != b.Len() || a.Len() == 0 {
		return a.Len() == b.Len()
	}
	size := a.Type().Elem().Size() * uintptr(a.Len())
	return sameBytes(a.UnsafePointer(), b.UnsafePointer(), size) || equalMembers(a, b)
}

func equalMembers(a, b reflect.Value) bool {
	size := a.Type().Elem().Size()
	for i := range a.Len() {
		x, y := a.Index(i), b.Index(i)
		if !sameBytes(x.Addr().UnsafePointer(), y.Addr().UnsafePointer(), size) && !equal(x, y) {
			return false
		}
	}
	return true
}

// Clone is a copy of a record whose lists are its own, those of the records within it too: members can be replaced, added and removed
// without the original changing. What a pointer points to, and what a member of a list has of its own, is shared with the original: to
// change it, put another in its place.
func Clone[T any](v *T) *T {
	c := *v
	ownLists(reflect.ValueOf(&c).Elem())
	return &c
}

// ownLists gives an addressable value its own lists. Fields that are not exported keep theirs: only their own package can change them.
func ownLists(v reflect.Value) {
	switch {
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			ownLists(v.Field(i))
		}
	case v.Kind() == reflect.Slice && v.CanSet() && !v.IsNil():
		own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(own, v)
		v.Set(own)
	}
}
