package geo

import (
	"bytes"
	"encoding/json"
	"math"
)

// Metres is a length, height or depth in metres.
type Metres float64

// Kilograms is a mass in kilograms.
type Kilograms float64

// Newtons is a force in newtons.
type Newtons float64

// MetresPerSecond is a speed of wind or stream in metres per second.
type MetresPerSecond float64

const (
	// MetresPerFoot is the international foot, exact.
	// Source: US Federal Register 24 FR 5348 (1 July 1959).
	MetresPerFoot = 0.3048
	// KilogramsPerPound is the international avoirdupois pound, exact. Same source.
	KilogramsPerPound = 0.45359237
)

const (
	// knotMS is the international knot in metres per second, exact: 1852 m an hour.
	knotMS = 1852.0 / 3600
	// newtonsPerPoundForce is exact: the pound times the standard gravity of 9.80665 m/s².
	newtonsPerPoundForce = KilogramsPerPound * 9.80665
)

// Knots gives a speed in knots as metres per second.
func Knots(kn float64) MetresPerSecond { return MetresPerSecond(kn * knotMS) }

// Knots gives the speed in international knots.
func (v MetresPerSecond) Knots() float64 { return float64(v) / knotMS }

// PoundsForce gives a force in pounds as newtons.
func PoundsForce(lb float64) Newtons { return Newtons(lb * newtonsPerPoundForce) }

// Feet gives a length in feet as metres.
func Feet(ft float64) Metres { return Metres(ft * MetresPerFoot) }

// Feet gives the length in international feet.
func (m Metres) Feet() float64 { return float64(m) / MetresPerFoot }

// Finite reports whether m is a number that can be measured: neither NaN nor infinite.
func (m Metres) Finite() bool { return !math.IsNaN(float64(m)) && !math.IsInf(float64(m), 0) }

// Pounds gives a mass in pounds as kilograms.
func Pounds(lb float64) Kilograms { return Kilograms(lb * KilogramsPerPound) }

// Pounds gives the mass in avoirdupois pounds.
func (k Kilograms) Pounds() float64 { return float64(k) / KilogramsPerPound }

// Maybe is a value that may not be on record. The zero Maybe is 'unknown', which is never the same
// as a zero on record. In JSON an unknown value is null.
type Maybe[T any] struct {
	value T
	known bool
}

// Known makes a Maybe with a value on record.
func Known[T any](v T) Maybe[T] { return Maybe[T]{value: v, known: true} }

// Get returns the value and whether it is known.
func (m Maybe[T]) Get() (T, bool) { return m.value, m.known }

// IsKnown reports whether there is a value on record.
func (m Maybe[T]) IsKnown() bool { return m.known }

// IsZero reports whether the value is unknown, so that `omitzero` leaves it out.
func (m Maybe[T]) IsZero() bool { return !m.known }

// Or returns the value if it is known and alt otherwise.
func (m Maybe[T]) Or(alt T) T {
	if m.known {
		return m.value
	}
	return alt
}

// MarshalJSON writes the value, or null where it is unknown.
func (m Maybe[T]) MarshalJSON() ([]byte, error) {
	if !m.known {
		return []byte("null"), nil
	}
	return json.Marshal(m.value)
}

// UnmarshalJSON reads a value; null is unknown.
func (m *Maybe[T]) UnmarshalJSON(b []byte) error {
	if bytes.Equal(b, []byte("null")) {
		*m = Maybe[T]{}
		return nil
	}
	m.known = true
	return json.Unmarshal(b, &m.value)
}
