package main

import (
	"encoding/json"
	"io"
	"strconv"

	"swingroom/geo"
)

// output is an answer in the forms in which it can be printed; a form that a command does not offer is nil.
type output struct {
	json    any
	geojson func() []byte
	csv     func(io.Writer) error
	table   func(io.Writer)
}

// print writes an answer in the form that is asked for.
func (s *session) print(format string, o output) error {
	switch format {
	case "json":
		return writeJSON(s.out, o.json)
	case "geojson":
		_, err := s.out.Write(append(o.geojson(), '\n'))
		return err
	case "csv":
		return o.csv(s.out)
	}
	o.table(s.out)
	return nil
}

func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// fixed is a figure of a CSV with so many decimals.
func fixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// fixedOrEmpty is a figure of a CSV, empty where it is not known.
func fixedOrEmpty(v geo.Maybe[float64], decimals int) string {
	if x, known := v.Get(); known {
		return fixed(x, decimals)
	}
	return ""
}

// degrees is a coordinate of a CSV, to the centimetre.
func degrees(v float64) string { return fixed(v, 7) }

// checkedWriter remembers the first error of writing: a table that did not reach its file must not end well.
type checkedWriter struct {
	io.Writer
	err error
}

// Write passes on what is written.
func (w *checkedWriter) Write(b []byte) (int, error) {
	n, err := w.Writer.Write(b)
	if w.err == nil {
		w.err = err
	}
	return n, err
}
