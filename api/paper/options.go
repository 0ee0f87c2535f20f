package paper

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"swingroom/geo"
)

// Document is a kind of document on paper.
type Document string

const (
	// Sheet is the sheet of one mooring, with a chart extract.
	Sheet Document = "sheet"
	// Chart is the chart of an area.
	Chart Document = "chart"
	// History is the history of one mooring. It has no chart, and so no scale.
	History Document = "history"
)

// Papers are the sizes that a document comes in.
func (d Document) Papers() []Paper {
	if d == Chart {
		return []Paper{A4, Letter, A3, Tabloid}
	}
	return []Paper{A4, Letter}
}

// Scales are the scales 1:N that a document comes in, from the largest to the smallest.
func (d Document) Scales() []int {
	switch d {
	case Sheet:
		return []int{250, 500, 1000, 2500, 5000}
	case Chart:
		return []int{1000, 2500, 5000}
	}
	return nil
}

// Options are what may be chosen for any document. HTTP fills them from a query, the command from its flags; ParseOptions reads what both
// get as text.
type Options struct {
	Paper    Paper     // one of the document's; empty: letter for feet, a4 for metres
	Scale    int       // one of the document's; 0: the largest at which all fits
	Units    geo.Units // empty: the harbor's own
	At       time.Time // when it is printed
	Revision int64     // of the harbor on file; 0: it has none
}

// ParseOptions reads a size of paper and a scale as people write them: "Letter" and "1:2,500". Where a text is empty it is left to the
// document.
func ParseOptions(paper, scale string) (o Options, err error) {
	o.Paper = Paper(strings.ToLower(strings.TrimSpace(paper)))
	o.Scale, err = ParseScale(scale)
	return o, err
}

// Validate refuses what a document does not come in. The error is a geo.FieldError of the kind geo.ErrInvalid, and says what is expected.
func (o Options) Validate(d Document) error {
	switch {
	case o.Paper != "" && !slices.Contains(d.Papers(), o.Paper):
		return invalid(string(d), "paper", strconv.Quote(string(o.Paper)), listed(d.Papers())+" is expected")
	case o.Scale != 0 && !slices.Contains(d.Scales(), o.Scale):
		return invalid(string(d), "scale", scaleText(o.Scale), scalesExpected(d.Scales()))
	case o.Units != "" && o.Units != geo.UnitsFeet && o.Units != geo.UnitsMetres:
		return invalid(string(d), "units", strconv.Quote(string(o.Units)), "feet or metres is expected")
	}
	return nil
}

// of settles the options for a document of a harbor: what is left open is that of the harbor, and the paper that of its country.
func (o Options) of(d Document, h *geo.Harbor) (Options, error) {
	if o.Units == "" {
		o.Units = h.Units
	}
	if o.Paper == "" {
		o.Paper = A4
		if o.Units == geo.UnitsFeet {
			o.Paper = Letter
		}
	}
	return o, o.Validate(d)
}

// invalid is the error of an option, with what is expected.
func invalid(noun, field, got, want string) error {
	return &geo.FieldError{Noun: noun, Field: field, Got: got, Want: want, Kind: geo.ErrInvalid}
}

func listed(papers []Paper) string {
	names := make([]string, len(papers))
	for i, p := range papers {
		names[i] = string(p)
	}
	return strings.Join(names, ", ")
}

func scalesExpected(scales []int) string {
	if len(scales) == 0 {
		return "it has no scale"
	}
	texts := make([]string, len(scales))
	for i, s := range scales {
		texts[i] = scaleText(s)
	}
	return "one of " + strings.Join(texts, ", ") + " is expected, or none and it is chosen"
}

// scaleText writes a scale as people do: 1:2,500.
func scaleText(scale int) string {
	text := strconv.Itoa(scale)
	for at := len(text) - 3; at > 0; at -= 3 {
		text = text[:at] + "," + text[at:]
	}
	return "1:" + text
}

// ParseScale reads a scale as 2500, 2,500 or 1:2,500; an empty text is 0, which lets the scale be chosen.
func ParseScale(text string) (int, error) {
	if strings.TrimSpace(text) == "" {
		return 0, nil
	}
	scale, err := strconv.Atoi(strings.ReplaceAll(strings.TrimPrefix(strings.ReplaceAll(text, " ", ""), "1:"), ",", ""))
	if err != nil || scale < 1 {
		return 0, invalid("paper", "scale", strconv.Quote(text), "a scale is expected, such as 2500 or 1:2,500")
	}
	return scale, nil
}
