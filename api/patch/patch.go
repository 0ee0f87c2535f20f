// Package patch sets single fields of a record by their paths, as histories name them: "boat.loa_m", "tackle[2].inspected".
package patch

import (
	"bytes"
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

// mostSteps is how deep a path may go.
const mostSteps = 8

// mostPlaces is how long a list may get.
const mostPlaces = 200

// read takes a path apart.
func read(path string) ([]step, error) {
	var steps []step
	for _, part := range strings.Split(path, ".") {
		key, places, _ := strings.Cut(part, "[")
		if key == "" {
			return nil, fmt.Errorf("%q: %w", path, ErrPath)
		}
		steps = append(steps, step{key: key})
		for places != "" {
			digits, rest, closed := strings.Cut(places, "]")
			n, err := strconv.Atoi(digits)
			if err != nil || !closed || n < 1 || n > mostPlaces || strconv.Itoa(n) != digits || rest != "" && rest[0] != '[' {
				return nil, fmt.Errorf("%q: %w", path, ErrPath)
			}
			steps = append(steps, step{place: n})
			places = strings.TrimPrefix(rest, "[")
			if rest == "[" {
				return nil, fmt.Errorf("%q: %w", path, ErrPath)
			}
		}
	}
	if len(steps) > mostSteps {
		return nil, fmt.Errorf("%q: %w", path, ErrPath)
	}
	return steps, nil
}

// Set gives a record with some of its fields set. A value is JSON; null makes a field unknown, and takes a member out of a list. The place
// after the last of a list makes a new member. A field that the record's type does not have is ErrPath.
func Set[T any](record T, set map[string]json.RawMessage) (T, error) {
	var changed T
	body, err := json.Marshal(record)
	if err != nil {
		return changed, err
	}
	var tree any
	if err := decode(body, &tree); err != nil {
		return changed, err
	}
	for _, path := range inOrder(set) {
		steps, err := read(path)
		if err != nil {
			return changed, err
		}
		var value any
		if err := decode(set[path], &value); err != nil {
			return changed, fmt.Errorf("%s: %w", path, err)
		}
		if tree, err = put(tree, steps, value); err != nil {
			return changed, fmt.Errorf("%q: %w", path, err)
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

// inOrder lists paths so that the members of a list that are taken out go last, the last of them first: the places of the others then stay
// what they were.
func inOrder(set map[string]json.RawMessage) []string {
	paths := make([]string, 0, len(set))
	for path := range set {
		paths = append(paths, path)
	}
	out := func(path string) bool {
		return strings.HasSuffix(path, "]") && string(bytes.TrimSpace(set[path])) == "null"
	}
	slices.SortFunc(paths, func(a, b string) int {
		switch {
		case out(a) != out(b):
			if out(a) {
				return 1
			}
			return -1
		case out(a):
			return -byPlaces(a, b)
		}
		return byPlaces(a, b)
	})
	return paths
}

// byPlaces sorts paths with their places as numbers.
func byPlaces(a, b string) int {
	x, _ := read(a)
	y, _ := read(b)
	return slices.CompareFunc(x, y, func(p, q step) int {
		if p.place != q.place {
			return p.place - q.place
		}
		return strings.Compare(p.key, q.key)
	})
}

func decode(body []byte, to any) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber() // a figure must come through letter for letter
	return d.Decode(to)
}

// put sets what lies at the end of some steps and gives the changed tree back.
func put(tree any, steps []step, value any) (any, error) {
	if len(steps) == 0 {
		return value, nil
	}
	at, last := steps[0], len(steps) == 1
	if at.place == 0 {
		object, ok := tree.(map[string]any)
		if tree == nil {
			object, ok = map[string]any{}, true
		}
		if !ok {
			return nil, ErrPath
		}
		member, err := put(object[at.key], steps[1:], value)
		object[at.key] = member
		return object, err
	}
	list, ok := tree.([]any)
	if !ok && tree != nil || at.place > len(list)+1 {
		return nil, ErrPath
	}
	if last && value == nil {
		if at.place > len(list) {
			return nil, ErrPath
		}
		return slices.Delete(list, at.place-1, at.place), nil
	}
	if at.place > len(list) {
		list = append(list, nil)
	}
	member, err := put(list[at.place-1], steps[1:], value)
	list[at.place-1] = member
	return list, err
}
