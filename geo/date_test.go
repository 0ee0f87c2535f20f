package geo_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"swingroom/geo"
)

func TestADayIsReadOrToldAsMalformed(t *testing.T) {
	for text, ok := range map[string]bool{
		"2026-03-15": true, "1900-01-01": true, "2100-12-31": true, "2024-02-29": true,
		"": false, "2026-3-15": false, "2025-02-29": false, "15.03.2026": false, "1899-12-31": false, "2101-01-01": false,
		"2026-03-15T10:00:00Z": false, " 2026-03-15": false, "soon": false,
	} {
		d, err := geo.ParseDate(text)
		var malformed *geo.DateError
		if ok != (err == nil) || !ok && (!errors.As(err, &malformed) || malformed.Text != text || !errors.Is(err, geo.ErrInvalid)) {
			t.Errorf("%q: %q, %v", text, d, err)
		}
		if begin, err := geo.Date(text).Begin(); ok != (err == nil) || ok && geo.DateOf(begin) != geo.Date(text) {
			t.Errorf("the beginning of %q: %v, %v", text, begin, err)
		}
	}
	if err := geo.Date("soon").Validate(); err == nil ||
		err.Error() != `"soon" is not understood; expected a day such as 2026-03-15, from 1900 to 2100` {
		t.Error(err)
	}
}

func TestATimeIsReadInTheWaysPeopleWriteIt(t *testing.T) {
	for text, want := range map[string]string{
		"2026-07-01T09:30:15Z":      "2026-07-01T09:30:15Z",
		"2026-07-01T09:30:15.25Z":   "2026-07-01T09:30:15.25Z",
		"2026-07-01T09:30:15-04:00": "2026-07-01T13:30:15Z",
		"2026-07-01T09:30Z":         "2026-07-01T09:30:00Z",
		"2026-07-01T09:30+02:00":    "2026-07-01T07:30:00Z",
		"2026-07-01T09:30:15":       "2026-07-01T09:30:15Z",
		"2026-07-01T09:30":          "2026-07-01T09:30:00Z",
		"2026-07-01 09:30:15":       "2026-07-01T09:30:15Z",
		"2026-07-01 09:30":          "2026-07-01T09:30:00Z",
		"2026-07-01":                "2026-07-01T00:00:00Z",
		"2199-12-31":                "2199-12-31T00:00:00Z",
		"2200-01-01":                "",
		"1899-12-31":                "",
		"tomorrow":                  "",
		"":                          "",
	} {
		at, err := geo.ParseTime(text)
		var malformed *geo.DateError
		switch {
		case want == "" && !errors.As(err, &malformed):
			t.Errorf("%q: %v, %v", text, at, err)
		case want != "" && (err != nil || at.UTC().Format(time.RFC3339Nano) != want):
			t.Errorf("%q: %v, %v; want %s", text, at.UTC(), err, want)
		}
	}
}

func TestAsOfADayMeansItsEnd(t *testing.T) {
	at, err := geo.ParseAsOf("2026-03-01")
	if want := time.Date(2026, 3, 1, 23, 59, 59, 999e6, time.Local); err != nil || !at.Equal(want) {
		t.Errorf("%v, %v; want %v", at, err, want)
	}
	at, err = geo.ParseAsOf("2026-03-01T12:00:00Z")
	if want := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC); err != nil || !at.Equal(want) {
		t.Errorf("%v, %v; want %v", at, err, want)
	}
	_, err = geo.ParseAsOf("1 March")
	if malformed := (*geo.DateError)(nil); !errors.As(err, &malformed) || !strings.Contains(err.Error(), "expected a day such as") {
		t.Error(err)
	}
}

func TestTheLatestDayIsThatOfTheZoneFarthestAhead(t *testing.T) {
	for now, want := range map[string]geo.Date{"2026-05-01T09:59:59Z": "2026-05-01", "2026-05-01T10:00:00Z": "2026-05-02",
		"2026-05-01T23:00:00-10:00": "2026-05-02"} {
		at, err := time.Parse(time.RFC3339, now)
		if got := geo.LatestDay(at); err != nil || got != want {
			t.Errorf("%s: %s, %v; want %s", now, got, err, want)
		}
	}
}

func TestWorkToComeIsRefusedUnlessItStoodThereBefore(t *testing.T) {
	const latest, future = geo.Date("2026-05-02"), geo.Date("2099-01-01")
	chain := func(installed, inspected geo.Date) geo.Part {
		return geo.Part{Kind: geo.GroundChain, Installed: installed, Inspected: inspected}
	}
	anchor := geo.Part{Kind: geo.Anchor, Installed: "2020-04-01"}
	for name, tc := range map[string]struct {
		before, after geo.Tackle
		isNew         bool
		want          map[string]error // kind of error by field
	}{
		"done today": {after: geo.Tackle{anchor, chain("2020-04-01", latest)}},
		"no dates":   {after: geo.Tackle{chain("", "")}},
		"inspected in future": {after: geo.Tackle{anchor, chain("", future)},
			want: map[string]error{"tackle[2].inspected": geo.ErrFuture}},
		"laid in future":       {after: geo.Tackle{chain("2026-05-03", "")}, want: map[string]error{"tackle[1].installed": geo.ErrFuture}},
		"malformed, not later": {after: geo.Tackle{chain("", "9 May")}, want: map[string]error{"tackle[1].inspected": geo.ErrInvalid}},
		"a new mooring": {after: geo.Tackle{chain(future, "")}, isNew: true,
			want: map[string]error{"tackle[1].installed": geo.ErrFuture}},
		"stood there":        {before: geo.Tackle{chain("", future)}, after: geo.Tackle{chain("", future)}},
		"stood there, moved": {before: geo.Tackle{chain("", future)}, after: geo.Tackle{anchor, chain("", future)}},
		"malformed before":   {before: geo.Tackle{chain("", "9 May")}, after: geo.Tackle{chain("", "9 May")}},
		"another future day": {before: geo.Tackle{chain("", future)}, after: geo.Tackle{chain("", "2098-01-01")},
			want: map[string]error{"tackle[1].inspected": geo.ErrFuture}},
		"stood in the other field": {before: geo.Tackle{chain(future, "")}, after: geo.Tackle{chain(future, future)},
			want: map[string]error{"tackle[1].inspected": geo.ErrFuture}},
		"stood on another kind": {before: geo.Tackle{chain("", future)}, after: geo.Tackle{{Kind: geo.Rope, Inspected: future}},
			want: map[string]error{"tackle[1].inspected": geo.ErrFuture}},
		"stood once, now twice": {before: geo.Tackle{chain("", future)}, after: geo.Tackle{chain("", future), chain("", future)},
			want: map[string]error{"tackle[2].inspected": geo.ErrFuture}},
		"both fields": {after: geo.Tackle{chain(future, "9 May")},
			want: map[string]error{"tackle[1].installed": geo.ErrFuture, "tackle[1].inspected": geo.ErrInvalid}},
	} {
		t.Run(name, func(t *testing.T) {
			before := &geo.Mooring{Number: "7", Tackle: tc.before}
			if tc.isNew {
				before = nil
			}
			err := (&geo.Mooring{Number: "7", Tackle: tc.after}).ValidateWork(before, latest)
			found := geo.FieldErrors(err)
			if len(found) != len(tc.want) || err != nil && !errors.Is(err, geo.ErrInvalid) {
				t.Fatalf("%v, want %v", err, tc.want)
			}
			for _, fe := range found {
				if fe.Kind != tc.want[fe.Field] {
					t.Errorf("%v: %v, want %v", fe, fe.Kind, tc.want[fe.Field])
				}
			}
		})
	}
}

func TestTheRefusalOfADateSaysWhatIsExpected(t *testing.T) {
	m := geo.Mooring{Number: "7", Tackle: geo.Tackle{{Kind: geo.Rope, Installed: "soon", Inspected: "2099-01-01"}}}
	var told []string
	for _, fe := range geo.FieldErrors(m.ValidateWork(nil, "2026-05-02")) {
		told = append(told, fe.Error())
	}
	if want := []string{
		`mooring 7: tackle[1].installed is "soon"; expected a day such as 2026-03-15, from 1900 to 2100`,
		`mooring 7: tackle[1].inspected is 2099-01-01; that day has not come yet; expected a day up to 2026-05-02`,
	}; !slices.Equal(told, want) {
		t.Errorf("%q", told)
	}
}
