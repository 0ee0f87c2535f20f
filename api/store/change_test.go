package store_test

import (
	"encoding/json"
	"slices"
	"testing"

	"swingroom/api/store"
)

func TestFieldsNamesEachFieldThatDiffers(t *testing.T) {
	type fields = []store.FieldChange
	for name, c := range map[string]struct {
		before, after string
		want          fields
	}{
		"nothing":              {`{"note":"a"}`, `{"note":"a"}`, nil},
		"the order of keys":    {`{"a":1,"b":2}`, `{"b":2,"a":1}`, nil},
		"a figure":             {`{"depth_m":2}`, `{"depth_m":2.5}`, fields{{"depth_m", "2", "2.5"}}},
		"unknown becomes zero": {`{"depth_m":null}`, `{"depth_m":0}`, fields{{"depth_m", "", "0"}}},
		"zero becomes unknown": {`{"depth_m":0}`, `{"depth_m":null}`, fields{{"depth_m", "0", ""}}},
		"a text":               {`{"note":""}`, `{"note":"x, {y}: [z]"}`, fields{{"note", `""`, `"x, {y}: [z]"`}}},
		"inside a boat": {`{"boat":{"name":"A","loa_m":8}}`, `{"boat":{"name":"A","loa_m":9}}`,
			fields{{"boat.loa_m", "8", "9"}}},
		"a boat leaves": {`{"boat":{"name":"A","loa_m":null}}`, `{"boat":null}`, fields{{"boat.name", `"A"`, ""}}},
		"a part of the tackle": {`{"tackle":[{"kind":"anchor"},{"kind":"rope","length_m":3}]}`,
			`{"tackle":[{"kind":"anchor"},{"kind":"rope","length_m":4}]}`, fields{{"tackle[2].length_m", "3", "4"}}},
		"a part is added": {`{"tackle":null}`, `{"tackle":[{"kind":"rode","size_m":null}]}`,
			fields{{"tackle[1].kind", "", `"rode"`}}},
		"a shape is told as one": {`{"shape":{"coordinates":[[1,2]]}}`, `{"shape":{"coordinates":[[1,3]]}}`,
			fields{{"shape.coordinates", "[[1,2]]", "[[1,3]]"}}},
		"new":     {``, `{"number":"7","boat":null}`, fields{{"number", "", `"7"`}}},
		"removed": {`{"number":"7"}`, ``, fields{{"number", `"7"`, ""}}},
		"several, by name": {`{"b":1,"a":1,"c":{"d":1}}`, `{"b":2,"a":2,"c":{"d":2}}`,
			fields{{"a", "1", "2"}, {"b", "1", "2"}, {"c.d", "1", "2"}}},
		"neither before nor after":    {``, ``, nil},
		"a text that looks like JSON": {`{"note":"{\"a\":1}"}`, `{"note":"{\"a\":2}"}`, fields{{"note", `"{\"a\":1}"`, `"{\"a\":2}"`}}},
	} {
		t.Run(name, func(t *testing.T) {
			got := store.Change{Before: json.RawMessage(c.before), After: json.RawMessage(c.after)}.Fields()
			if !slices.Equal(got, c.want) {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
