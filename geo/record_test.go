package geo_test

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"swingroom/geo"
	"swingroom/geo/clearance"
	"swingroom/geo/record"
)

// field is one thing of a record that can be set by itself: a text, a figure, a time, whether there is something behind a pointer, how long
// a list is.
type field struct {
	path string
	at   reflect.Value
}

// writable gives a field that is not exported as one that can be set.
func writable(v reflect.Value) reflect.Value {
	return reflect.NewAt(v.Type(), v.Addr().UnsafePointer()).Elem()
}

// fill sets everything that a record can hold, and lists its fields. It knows a record by its type alone, so that a new field is filled and
// listed too.
func fill(t *testing.T, path string, v reflect.Value) (all []field) {
	t.Helper()
	switch v.Kind() {
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)))
			return []field{{path, v}}
		}
		for i := range v.NumField() {
			all = append(all, fill(t, path+"."+v.Type().Field(i).Name, writable(v.Field(i)))...)
		}
		return all
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return append(fill(t, path, v.Elem()), field{path + " there", v})
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range v.Len() {
			all = append(all, fill(t, fmt.Sprintf("%s[%d]", path, i), v.Index(i))...)
		}
		return append(all, field{path + " length", v})
	case reflect.Array:
		for i := range v.Len() {
			all = append(all, fill(t, fmt.Sprintf("%s[%d]", path, i), v.Index(i))...)
		}
		return all
	}
	vary(t, v)
	return []field{{path, v}}
}

// vary sets a field to another value.
func vary(t *testing.T, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.String:
		v.SetString(v.String() + "x")
	case reflect.Float64:
		v.SetFloat(v.Float() + 1)
	case reflect.Int, reflect.Int32, reflect.Int64:
		v.SetInt(v.Int() + 1)
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.Struct:
		v.Set(reflect.ValueOf(v.Interface().(time.Time).Add(time.Second)))
	case reflect.Pointer:
		v.SetZero()
	case reflect.Slice:
		v.Set(v.Slice(0, v.Len()-1))
	default:
		t.Fatalf("a %v has no other value here", v.Type())
	}
}

// fullHarbor is a harbor with something in every field, and a list of these. What it holds makes no sense together.
func fullHarbor(t *testing.T) (*geo.Harbor, []field) {
	t.Helper()
	h := &geo.Harbor{}
	fields := fill(t, "", reflect.ValueOf(h).Elem())
	if len(fields) < 200 {
		t.Fatalf("only %d fields", len(fields))
	}
	return h, fields
}

func TestEveryFieldOfAHarborIsCompared(t *testing.T) {
	h, fields := fullHarbor(t)
	for i := range fields {
		other, at := fullHarbor(t)
		if !h.Equal(other) || !other.Equal(h) {
			t.Fatal("two that were made alike differ")
		}
		vary(t, at[i].at)
		if h.Equal(other) || other.Equal(h) {
			t.Errorf("%s is not compared", at[i].path)
		}
	}
}

func TestACloneHasEveryFieldAndListsOfItsOwn(t *testing.T) {
	h, _ := fullHarbor(t)
	c := h.Clone()
	if !c.Equal(h) {
		t.Fatal("something was not copied")
	}
	own := reflect.ValueOf(c).Elem()
	lists := 0
	for i := range own.NumField() {
		if list := own.Field(i); list.Kind() == reflect.Slice {
			lists++
			list.Index(0).SetZero()
		}
	}
	c.Defaults.Lines.Chain[0], c.Shoreline.Land[0], c.Shoreline.Lines[0] = geo.ChainSize{}, nil, nil
	if again, _ := fullHarbor(t); !h.Equal(again) || lists < 7 {
		t.Errorf("a list is shared with the original; %d lists", lists)
	}
}

// notGround are the fields of a harbor that do not tell what its moorings lie in.
var notGround = []string{"Name", "Units", "Background", "Tide", "Public", "Day", "Moorings", "Owners", "Notes", "Waiting"}

func TestEveryOtherFieldOfAHarborIsItsGround(t *testing.T) {
	h, _ := fullHarbor(t)
	of := reflect.TypeFor[geo.Harbor]()
	for i := range of.NumField() {
		other, _ := fullHarbor(t)
		reflect.ValueOf(other).Elem().Field(i).SetZero()
		if name := of.Field(i).Name; h.SameGround(other) != slices.Contains(notGround, name) {
			t.Errorf("without %s: the same ground: %v", name, h.SameGround(other))
		}
	}
}

// words are the fields of a mooring that do not change how its boat swings.
var words = []string{".Number", ".Note", ".Permit.Year", ".Permit.Expires", ".Boat.Name", ".Boat.Owner", ".Tackle[0].Installed",
	".Tackle[0].Inspected", ".Tackle[1].Installed", ".Tackle[1].Inspected"}

func TestEveryFieldOfAMooringButItsWordsAndDatesIsItsWater(t *testing.T) {
	var m geo.Mooring
	fields := fill(t, "", reflect.ValueOf(&m).Elem())
	for i := range fields {
		var other geo.Mooring
		f := fill(t, "", reflect.ValueOf(&other).Elem())[i]
		vary(t, f.at)
		if same := clearance.SameWater(&m, &other); same != slices.Contains(words, f.path) {
			t.Errorf("%s: the same water: %v", f.path, same)
		}
	}
}

// BenchmarkEqual compares 500 moorings of two lists that share what they point to, as an act leaves them, with one that differs.
func BenchmarkEqual(b *testing.B) {
	list := make([]geo.Mooring, 500)
	for i := range list {
		list[i] = geo.Mooring{Number: fmt.Sprint(i), Boat: &geo.Boat{Name: "Heron"}, Tackle: geo.Tackle{{Kind: geo.Rode}}}
	}
	other := slices.Clone(list)
	other[499].Note = "seen"
	for b.Loop() {
		for i := range list {
			if record.Equal(&list[i], &other[i]) != (i < 499) {
				b.Fatal(i)
			}
		}
	}
}
