package record_test

import (
	"math"
	"testing"
	"time"

	"swingroom/geo/record"
)

type inner struct {
	text  string
	Marks []string
}

type outer struct {
	Name   string
	At     time.Time
	Size   float64
	Inner  inner
	Ring   [2]float64
	Boat   *inner
	Parts  []inner
	hidden time.Time
}

func one() *outer {
	at := time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)
	return &outer{Name: "a", At: at, Size: 1, Inner: inner{"i", []string{"x"}}, Ring: [2]float64{1, 2}, Boat: &inner{text: "b"},
		Parts: []inner{{"p", []string{"y"}}, {text: "q"}}, hidden: at}
}

func TestEqualTellsWhatDiffers(t *testing.T) {
	for name, c := range map[string]struct {
		change func(o *outer)
		equal  bool
	}{
		"nothing":                      {func(*outer) {}, true},
		"a text":                       {func(o *outer) { o.Name = "b" }, false},
		"an equal text kept elsewhere": {func(o *outer) { o.Name = string([]byte("a")) }, true},
		"a member's own list":          {func(o *outer) { o.Parts[0].Marks = []string{"z"} }, false},
		"a list is longer":             {func(o *outer) { o.Parts = append(o.Parts, inner{}) }, false},
		"an empty list for none":       {func(o *outer) { o.Parts[1].Marks = []string{} }, true},
		"a figure of an array":         {func(o *outer) { o.Ring[1] = 3 }, false},
		"behind a pointer":             {func(o *outer) { o.Boat = &inner{text: "c"} }, false},
		"an equal one behind it":       {func(o *outer) { o.Boat = &inner{text: "b"} }, true},
		"no pointer":                   {func(o *outer) { o.Boat = nil }, false},
		"a time":                       {func(o *outer) { o.At = o.At.Add(1) }, false},
		"the same instant elsewhere":   {func(o *outer) { o.At = o.At.In(time.FixedZone("", 3600)) }, true},
		"a time that is not exported":  {func(o *outer) { o.hidden = o.hidden.Add(1) }, false},
		"... the same instant":         {func(o *outer) { o.hidden = o.hidden.In(time.FixedZone("", 3600)) }, true},
		"a text that is not exported":  {func(o *outer) { o.Inner.text = "j" }, false},
	} {
		t.Run(name, func(t *testing.T) {
			a, b := one(), one()
			c.change(b)
			if record.Equal(a, b) != c.equal || record.Equal(b, a) != c.equal {
				t.Errorf("want %v", c.equal)
			}
		})
	}
	zero, minus := 0.0, math.Copysign(0, -1)
	if !record.Equal(&zero, &minus) {
		t.Error("0 and -0 differ")
	}
}

func TestEqualRefusesWhatNoRecordHas(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a map was compared")
		}
	}()
	a, b := struct{ M map[string]int }{map[string]int{"a": 1}}, struct{ M map[string]int }{}
	record.Equal(&a, &b)
}

func TestACloneHasListsOfItsOwn(t *testing.T) {
	o := one()
	c := record.Clone(o)
	c.Parts[0] = inner{text: "other"}
	c.Inner.Marks[0] = "other"
	c.Ring[0] = 9
	c.Boat = nil
	if !record.Equal(o, one()) {
		t.Errorf("the original has changed: %+v", o)
	}
}
