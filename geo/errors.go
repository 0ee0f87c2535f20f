package geo

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Kinds of error. A caller asks for one with errors.Is.
var (
	// ErrInvalid: a value on record cannot be true (a negative length, a latitude of 91°).
	ErrInvalid = errors.New("not valid")
	// ErrFuture: the date of something that has been done lies in the future. It is an ErrInvalid too.
	ErrFuture = fmt.Errorf("%w: it has not come yet", ErrInvalid)
	// ErrAmbiguous: a text can be read in more than one way.
	ErrAmbiguous = errors.New("ambiguous")
	// ErrShortRode: the rode is shorter than the water is deep, bow height included.
	ErrShortRode = errors.New("rode too short")
	// ErrUnknown: something that the answer needs is not on record.
	ErrUnknown = errors.New("unknown")
	// ErrNotFound: there is no such harbor, area or mooring.
	ErrNotFound = errors.New("not found")
)

// FieldError says what is wrong with one field of one thing, and what would be right.
type FieldError struct {
	Noun  string // "mooring", "area", ...
	Name  string // its number or name; may be empty
	Field string // the field as it is spelled in JSON and in files: "loa_m"
	Got   string // what stands there
	Want  string // what would be right
	Kind  error  // one of the kinds above
	// Span is set where a length is out of its range: Got and Want tell it in metres.
	Span *Span
}

// Span is a length with the range in which it has to lie.
type Span struct{ Got, Min, Max Metres }

func (s *Span) got(u Units) string { return Figure(float64(s.Got), "m", u) }

func (s *Span) want(u Units) string {
	low, _, _ := strings.Cut(Figure(float64(s.Min), "m", u), " ")
	return fmt.Sprintf("it has to lie between %s and %s", low, Figure(float64(s.Max), "m", u))
}

func (e *FieldError) Error() string { return e.text(e.Got, e.Want) }

// In tells it in the reader's units.
func (e *FieldError) In(u Units) string {
	if e.Span == nil {
		return e.Error()
	}
	return e.text(e.Span.got(u), e.Span.want(u))
}

func (e *FieldError) text(got, want string) string {
	var b strings.Builder
	b.WriteString(e.Noun)
	if e.Name != "" {
		b.WriteString(" " + e.Name)
	}
	fmt.Fprintf(&b, ": %s", e.Field)
	if got != "" {
		fmt.Fprintf(&b, " is %s", got)
	}
	if want != "" {
		fmt.Fprintf(&b, "; %s", want)
	}
	return b.String()
}

// Unwrap gives the kind.
func (e *FieldError) Unwrap() error { return e.Kind }

// Told is an error whose figures are told in the reader's units; as text it is in metres.
type Told struct {
	Kind  error
	Words Words
}

func (e *Told) Error() string { return e.Words.Metres }

// In tells it in the reader's units.
func (e *Told) In(u Units) string { return e.Words.In(u) }

// Unwrap gives the kind.
func (e *Told) Unwrap() error { return e.Kind }

// teller is an error that holds figures.
type teller interface {
	error
	In(Units) string
}

// ErrorIn tells an error in the reader's units: within its text each error that holds figures tells them itself.
func ErrorIn(err error, u Units) string {
	if t, ok := err.(teller); ok {
		return t.In(u)
	}
	text := err.Error()
	var within []error
	switch w := err.(type) {
	case interface{ Unwrap() []error }:
		within = w.Unwrap()
	case interface{ Unwrap() error }:
		within = []error{w.Unwrap()}
	}
	for _, each := range within {
		if each != nil {
			text = strings.Replace(text, each.Error(), ErrorIn(each, u), 1)
		}
	}
	return text
}

// ErrorWords tells an error in both units.
func ErrorWords(err error) Words {
	return WordsOf(func(u Units) string { return ErrorIn(err, u) })
}

// FieldErrors collects every FieldError in a tree of joined errors, in order.
func FieldErrors(err error) []*FieldError {
	if err == nil {
		return nil
	}
	if fe, ok := err.(*FieldError); ok {
		return []*FieldError{fe}
	}
	switch u := err.(type) {
	case interface{ Unwrap() []error }:
		var all []*FieldError
		for _, e := range u.Unwrap() {
			all = append(all, FieldErrors(e)...)
		}
		return all
	case interface{ Unwrap() error }:
		return FieldErrors(u.Unwrap())
	}
	return nil
}

// problems gathers the field errors of one thing.
type problems struct {
	noun, name string
	found      []error
}

// add notes a field whose value cannot be true.
func (p *problems) add(field, got, want string) { p.addKind(ErrInvalid, field, got, want) }

func (p *problems) addKind(kind error, field, got, want string) {
	p.found = append(p.found, &FieldError{Noun: p.noun, Name: p.name, Field: field, Got: got, Want: want, Kind: kind})
}

// within notes a known length outside [lo, hi].
func (p *problems) within(field string, m Maybe[Metres], lo, hi Metres) {
	v, known := m.Get()
	if !known || (v.Finite() && v >= lo && v <= hi) {
		return
	}
	span := &Span{v, lo, hi}
	p.found = append(p.found, &FieldError{Noun: p.noun, Name: p.name, Field: field, Got: fmt.Sprintf("%g m", float64(v)),
		Want: span.want(UnitsMetres), Kind: ErrInvalid, Span: span})
}

// figure notes a known figure outside [lo, hi]; unit stands behind the figure.
func (p *problems) figure(field, unit string, v Maybe[float64], lo, hi float64) {
	if x, known := v.Get(); known && !(x >= lo && x <= hi) { // so that NaN is noted too
		p.add(field, fmt.Sprintf("%g%s", x, unit), fmt.Sprintf("it has to lie between %g and %g", lo, hi))
	}
}

// maxMass is beyond what any part of the tackle weighs: blocks of 20 t are laid for ships. Beyond it a figure is a slip of the pen.
const maxMass Kilograms = 50000

// mass notes a known mass outside [lo, maxMass].
func (p *problems) mass(field string, m Maybe[Kilograms], lo Kilograms) {
	if kg, known := m.Get(); known && !(kg >= lo && kg <= maxMass) {
		p.add(field, fmt.Sprintf("%g kg", float64(kg)), fmt.Sprintf("it has to lie between 0 and %g kg", float64(maxMass)))
	}
}

// oneOf notes a word that is none of those that are expected.
func oneOf[T ~string](p *problems, field string, v T, expected ...T) {
	if slices.Contains(expected, v) {
		return
	}
	words := make([]string, len(expected))
	for i, w := range expected {
		words[i] = string(w)
	}
	p.add(field, fmt.Sprintf("%q", string(v)), "expected "+listed(words))
}

// listed writes words with an 'or' before the last.
func listed(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// required notes a text that is not there.
func (p *problems) required(field, text, want string) {
	if strings.TrimSpace(text) == "" {
		p.add(field, "", want)
	}
}

func (p *problems) join(errs ...error) {
	for _, e := range errs {
		if e != nil {
			p.found = append(p.found, e)
		}
	}
}

func (p *problems) err() error { return errors.Join(p.found...) }
