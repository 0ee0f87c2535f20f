package patch_test

import (
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"swingroom/api/patch"
	"swingroom/geo"
)

func mooring() geo.Mooring {
	return geo.Mooring{Number: "217", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.123456789012345, LonDeg: -41.5},
		Depth: geo.Known(geo.Metres(3.1)),
		Tackle: geo.Tackle{{Kind: geo.Anchor, Material: "mushroom"}, {Kind: geo.GroundChain, Length: geo.Known(geo.Metres(9.1))},
			{Kind: geo.Pennant}}, Boat: &geo.Boat{Name: "Grey Heron"}}
}

func TestFieldsAreSetByTheirPaths(t *testing.T) {
	for name, c := range map[string]struct {
		set  string
		want func(*geo.Mooring)
	}{
		"a field of the boat": {`{"boat.name":"=1+1 <b>"}`, func(m *geo.Mooring) { m.Boat.Name = "=1+1 <b>" }},
		"a figure, and one made unknown": {`{"boat.loa_m":8.5,"depth_m":null}`, func(m *geo.Mooring) {
			m.Boat.LOA = geo.Known(geo.Metres(8.5))
			m.Depth = geo.Maybe[geo.Metres]{}
		}},
		"a record that was not there": {`{"permit.year":2026,"permit.expires":"2026-12-31"}`, func(m *geo.Mooring) {
			m.Permit = geo.Permit{Year: 2026, Expires: "2026-12-31"}
		}},
		"a part by its place": {`{"tackle[2].inspected":"2026-05-01"}`, func(m *geo.Mooring) {
			m.Tackle[1].Inspected = "2026-05-01"
		}},
		"a part more": {`{"tackle[4].kind":"marker","tackle[4].material":"stick"}`, func(m *geo.Mooring) {
			m.Tackle = append(m.Tackle, geo.Part{Kind: geo.Marker, Material: "stick"})
		}},
		"a part less, and another changed": {`{"tackle[1]":null,"tackle[3].size_m":0.02}`, func(m *geo.Mooring) {
			m.Tackle[2].Size = geo.Known(geo.Metres(0.02))
			m.Tackle = m.Tackle[1:]
		}},
		"two parts less": {`{"tackle[1]":null,"tackle[3]":null}`, func(m *geo.Mooring) { m.Tackle = m.Tackle[1:2] }},
		"nothing":        {`{}`, func(*geo.Mooring) {}},
	} {
		t.Run(name, func(t *testing.T) {
			var set map[string]json.RawMessage
			if err := json.Unmarshal([]byte(c.set), &set); err != nil {
				t.Fatal(err)
			}
			want := mooring()
			c.want(&want)
			got, err := patch.Set(mooring(), set)
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("%v\n got %+v\nwant %+v", err, got, want)
			}
		})
	}
}

func TestWhatIsNoFieldIsRefused(t *testing.T) {
	for _, path := range []string{"", ".", "speed", "boat.", "boat..name", "boat.captain", "tackle[0].kind", "tackle[5].kind", "tackle[2",
		"tackle[02].kind", "tackle[2]x", "tackle[-1]", "tackle.kind", "number[1]", "boat.name.first", "a.b.c.d.e.f.g.h.i",
		"tackle[9999999999].kind", "tackle[1][1]"} {
		if _, err := patch.Set(mooring(), map[string]json.RawMessage{path: json.RawMessage(`"x"`)}); !errors.Is(err, patch.ErrPath) {
			t.Errorf("%q: %v", path, err)
		}
	}
	if _, err := patch.Set(mooring(), map[string]json.RawMessage{"boat.loa_m": json.RawMessage(`"long"`)}); err == nil {
		t.Error("a text for a figure was taken")
	}
}

func FuzzSet(f *testing.F) {
	f.Add("boat.name", `"x"`)
	f.Add("tackle[2].size_m", `0.01`)
	f.Add("tackle[1]", `null`)
	f.Add("tackle[4]", `{"kind":"marker"}`)
	f.Add("permit", `{}`)
	f.Fuzz(func(t *testing.T, path, value string) {
		m, err := patch.Set(mooring(), map[string]json.RawMessage{path: json.RawMessage(value)})
		if err != nil {
			return
		}
		// What was set is a record of its type, and setting it once more changes nothing, but where a member was taken out.
		again, err := patch.Set(m, nil)
		if err != nil || !reflect.DeepEqual(again, m) {
			t.Errorf("%v: %+v", err, m)
		}
	})
}
