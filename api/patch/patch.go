// Package patch sets single fields of a record by their paths, as histories name them: "boat.loa_m", "tackle[2].inspected".
//
// It is written here because the standard patches do something else: a merge patch (RFC 7396) replaces lists whole, and a JSON patch
// (RFC 6902) counts places from 0 and takes them anew after each step, so that what a history says could not be sent as it stands.
package patch

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// ErrPath: a path that names no field of the record.
var ErrPath = errors.New("no field of the record")

// step is one part of a path: a key of an object, or a place in a list, counted from 1.
type step struct {
	key   string
	place int
}

// maxSteps is how deep a path may go; the fields of a mooring are three steps deep at most.
const maxSteps = 8

// maxPlaces is how long a list may get, far beyond any tackle: a path must not make a list that fills the memory.
const maxPlaces = 200

// read splits a path into its steps.
func read(path string) (steps []step, err error) {
	for _, part := range strings.Split(path, ".") {
		key, places, _ := strings.Cut(part, "[")
		if key == "" {
			return nil, fmt.Errorf("%q: %w", path, ErrPath)
		}
		steps = append(steps, step{key: key})
		if key == part {
			continue
		}
		for _, text := range strings.Split(places, "[") {
			place, ok := readPlace(text)
			if !ok {
				return nil, fmt.Errorf("%q: %w", path, ErrPath)
			}
			steps = append(steps, step{place: place})
		}
	}
	if len(steps) > maxSteps {
		return nil, fmt.Errorf("%q: %w", path, ErrPath)
	}
	return steps, nil
}

// readPlace reads "2]", as it is written and no other way: every path has one spelling.
func readPlace(text string) (place int, ok bool) {
	digits, closed := strings.CutSuffix(text, "]")
	place, err := strconv.Atoi(digits)
	return place, closed && err == nil && place >= 1 && place <= maxPlaces && strconv.Itoa(place) == digits
}

// Set gives a record with some of its fields set. A value is JSON; null makes a field unknown, and takes a member out of a list. The place
// after the last of a list makes a new member. A field that the record's type does not have is ErrPath.
func Set[T any](record T, set map[string]json.RawMessage) (changed T, err error) {
	body, err := json.Marshal(record)
	if err != nil {
		return changed, err
	}
	var tree any
	if err := decode(body, &tree); err != nil {
		return changed, err
	}
	for _, path := range inOrder(set) {
		if tree, err = setOne(tree, path, set[path]); err != nil {
			return changed, err
		}
	}
	if body, err = json.Marshal(tree); err != nil {
		return changed, err
	}
	strict := json.NewDecoder(bytes.NewReader(body))
	strict.DisallowUnknownFields()
	if err := strict.Decode(&changed); err != nil {
		return changed, fmt.Errorf("%w: %w", ErrPath, err)
	}
	return changed, nil
}

// setOne sets what lies at the end of a path and gives the changed tree back.
func setOne(tree any, path string, raw json.RawMessage) (any, error) {
	steps, err := read(path)
	if err != nil {
		return nil, err
	}
	var value any
	if err := decode(raw, &value); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if tree, err = put(tree, steps, value); err != nil {
		return nil, fmt.Errorf("%q: %w", path, err)
	}
	return tree, nil
}

// inOrder lists paths so that the members of a list that are taken out go last, the last of them first: the places of the others then stay
// what they were.
func inOrder(set map[string]json.RawMessage) []string {
	var removing, others []string
	for path, value := range set {
		if strings.HasSuffix(path, "]") && string(bytes.TrimSpace(value)) == "null" {
			removing = append(removing, path)
		} else {
			others = append(others, path)
		}
	}
	slices.SortFunc(others, byPlaces)
	slices.SortFunc(removing, func(a, b string) int { return byPlaces(b, a) })
	return append(others, removing...)
}

// byPlaces sorts paths with their places as numbers.
func byPlaces(a, b string) int {
	x, _ := read(a)
	y, _ := read(b)
	return slices.CompareFunc(x, y, func(p, q step) int {
		return cmp.Or(cmp.Compare(p.place, q.place), strings.Compare(p.key, q.key))
	})
}

func decode(body []byte, to any) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber() // a figure must come through letter for letter
	return d.Decode(to)
}

// put sets what lies at the end of some steps and gives the changed tree back.
func put(tree any, steps []step, value any) (any, error) {
	switch {
	case len(steps) == 0:
		return value, nil
	case steps[0].place > 0:
		return putPlace(tree, steps[0].place, steps[1:], value)
	}
	object, ok := tree.(map[string]any)
	if tree == nil {
		object, ok = map[string]any{}, true
	}
	if !ok {
		return nil, ErrPath
	}
	key := steps[0].key
	member, err := put(object[key], steps[1:], value)
	object[key] = member
	return object, err
}

// putPlace is put where the first step is a place in a list.
func putPlace(tree any, place int, rest []step, value any) (any, error) {
	list, ok := tree.([]any)
	removing := len(rest) == 0 && value == nil
	last := len(list) + 1 // one beyond the end makes a new member
	if removing {
		last--
	}
	if !ok && tree != nil || place > last {
		return nil, ErrPath
	}
	if removing {
		return slices.Delete(list, place-1, place), nil
	}
	if place > len(list) {
		list = append(list, nil)
	}
	member, err := put(list[place-1], rest, value)
	list[place-1] = member
	return list, err
}
