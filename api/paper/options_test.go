package paper_test

import (
	"errors"
	"strings"
	"testing"

	"swingroom/api/paper"
	"swingroom/geo"
)

func TestOptionsAreHeldAgainstTheDocument(t *testing.T) {
	for _, tc := range []struct {
		document paper.Document
		options  paper.Options
		want     string // "" wants no error
	}{
		{paper.Sheet, paper.Options{}, ""},
		{paper.Sheet, paper.Options{Paper: paper.Letter, Scale: 250, Units: geo.UnitsFeet}, ""},
		{paper.Chart, paper.Options{Paper: paper.Tabloid, Scale: 5000, Units: geo.UnitsMetres}, ""},
		{paper.History, paper.Options{Paper: paper.A4}, ""},
		{paper.Sheet, paper.Options{Paper: paper.A3}, `sheet: paper is "a3"; a4, letter is expected`},
		{paper.Chart, paper.Options{Paper: "vellum"}, `chart: paper is "vellum"; a4, letter, a3, tabloid is expected`},
		{paper.Chart, paper.Options{Scale: 250}, "chart: scale is 1:250; one of 1:1,000, 1:2,500, 1:5,000 is expected"},
		{paper.History, paper.Options{Scale: 1000}, "history: scale is 1:1,000; it has no scale"},
		{paper.Sheet, paper.Options{Units: "fathoms"}, `sheet: units is "fathoms"; feet or metres is expected`},
	} {
		err := tc.options.Validate(tc.document)
		if (err == nil) != (tc.want == "") || err != nil && (!errors.Is(err, geo.ErrInvalid) || !strings.HasPrefix(err.Error(), tc.want)) {
			t.Errorf("%s %+v: %v, want %q", tc.document, tc.options, err, tc.want)
		}
	}
}

func TestOptionsAreReadAsPeopleWriteThem(t *testing.T) {
	for _, tc := range []struct {
		paper, scale string
		want         paper.Options
		fails        bool
	}{
		{"", "", paper.Options{}, false},
		{" Letter ", "1:2,500", paper.Options{Paper: paper.Letter, Scale: 2500}, false},
		{"A4", "500", paper.Options{Paper: paper.A4, Scale: 500}, false},
		{"a4", "large", paper.Options{}, true},
	} {
		got, err := paper.ParseOptions(tc.paper, tc.scale)
		if tc.fails != (err != nil) || !tc.fails && got != tc.want {
			t.Errorf("%q %q: %+v, %v", tc.paper, tc.scale, got, err)
		}
	}
}
