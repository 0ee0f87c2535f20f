package geo

import (
	"errors"
	"fmt"
	"strings"
)

// Kinds of error. A caller asks for one with errors.Is.
var (
	// ErrInvalid: a value on record cannot be true (a negative length, a latitude of 91°).
	ErrInvalid = errors.New("not valid")
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
}

func (e *FieldError) Error() string {
	var b strings.Builder
	b.WriteString(e.Noun)
	if e.Name != "" {
		b.WriteString(" " + e.Name)
	}
	fmt.Fprintf(&b, ": %s", e.Field)
	if e.Got != "" {
		fmt.Fprintf(&b, " is %s", e.Got)
	}
	if e.Want != "" {
		fmt.Fprintf(&b, "; %s", e.Want)
	}
	return b.String()
}

// Unwrap gives the kind.
func (e *FieldError) Unwrap() error { return e.Kind }

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

func (p *problems) add(field, got, want string) {
	p.found = append(p.found, &FieldError{Noun: p.noun, Name: p.name, Field: field, Got: got, Want: want, Kind: ErrInvalid})
}

// within complains about a known length outside [lo, hi].
func (p *problems) within(field string, m Maybe[Metres], lo, hi Metres) {
	v, known := m.Get()
	if !known || (v.Finite() && v >= lo && v <= hi) {
		return
	}
	p.add(field, fmt.Sprintf("%g m", float64(v)), fmt.Sprintf("it has to lie between %g and %g m", float64(lo), float64(hi)))
}

func (p *problems) join(errs ...error) {
	for _, e := range errs {
		if e != nil {
			p.found = append(p.found, e)
		}
	}
}

func (p *problems) err() error { return errors.Join(p.found...) }
