// Package geo is what a harbor is made of: moorings with their boats and tackle, areas, fairways, soundings, owners, notes and those who
// wait, as records that validate themselves; positions, distances and the plane; units; and the sentences that are told in feet and in
// metres.
//
// A value that may not be on record is a [Maybe]: unknown is never zero. Lengths are [Metres], angles degrees true, days a [Date]. A
// [Harbor] is immutable once others may read it; [Harbor.Clone] makes a copy to change. Nothing here or in the packages below reads a file,
// asks for the time or speaks to a network: a caller says what day it is.
//
// Errors are of the kinds [ErrInvalid], [ErrUnknown], [ErrNotFound] and [ErrAmbiguous], and a [FieldError] names the record, the field,
// what stood there and what is expected.
package geo
