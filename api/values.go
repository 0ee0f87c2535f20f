package api

import (
	"bytes"
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"mime"
	"net/http"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"swingroom/geo"
)

// maxBodyBytes is how long the body of an act may be: a note of some pages.
const maxBodyBytes = 64 << 10

// values are the parameters of a request by name, each as JSON: of a question the query, where every value is a text, of an act the body.
type values struct {
	kind error // of what is wrong with them: errQuery or errBody
	of   map[string]json.RawMessage
}

// queryOf reads the query and refuses any parameter that is not one of the route's, or stands twice.
func queryOf(r *http.Request, params []param) (*values, error) {
	v := &values{kind: errQuery, of: map[string]json.RawMessage{}}
	if r.URL.RawQuery == "" {
		return v, nil
	}
	query, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return nil, fmt.Errorf("%w: %v", errQuery, err)
	}
	for name, texts := range query {
		if find(params, name) == nil {
			return nil, fmt.Errorf("%w: there is no parameter %q; %s", errQuery, name, known(params))
		}
		if len(texts) > 1 {
			return nil, fmt.Errorf("%w: parameter %s stands %d times", errQuery, name, len(texts))
		}
		if !utf8.ValidString(texts[0]) {
			return nil, fmt.Errorf("%w: parameter %s is not in UTF-8", errQuery, name)
		}
		if v.of[name], err = json.Marshal(texts[0]); err != nil {
			return nil, fmt.Errorf("%w: %s: %v", errQuery, name, err)
		}
	}
	return v, nil
}

// find is the parameter of a name that does not stand in the path; nil: there is none.
func find(params []param, name string) *param {
	at := slices.IndexFunc(params, func(p param) bool { return p.name == name && !p.inPath })
	if at < 0 {
		return nil
	}
	return &params[at]
}

// known tells which parameters there are.
func known(params []param) string {
	names := []string{}
	for _, p := range params {
		if !p.inPath {
			names = append(names, p.name)
		}
	}
	if len(names) == 0 {
		return "there are none here"
	}
	return "known here: " + strings.Join(names, ", ")
}

// bodyOf reads the body of an act: one JSON object, in which no name stands twice and none is unknown.
func bodyOf(w http.ResponseWriter, r *http.Request, params []param) (*values, error) {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return nil, errMedia
	}
	v := &values{kind: errBody, of: map[string]json.RawMessage{}}
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, maxBodyBytes))
	if err := v.read(d, params); err != nil {
		if err == io.EOF {
			err = io.ErrUnexpectedEOF // as if it had ended there on purpose
		}
		return nil, fmt.Errorf("%w: %w", errBody, err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("%w: more than one object", errBody)
	}
	return v, nil
}

var errNoObject = errors.New("an object is expected")

// read takes the members of an object one by one: a decoder of whole objects lets a name stand twice, and takes the last.
func (v *values) read(d *json.Decoder, params []param) error {
	start, err := d.Token()
	if err != nil {
		return err
	}
	if start != json.Delim('{') {
		return errNoObject
	}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return err
		}
		name, _ := key.(string) // a key of an object is a text
		if _, twice := v.of[name]; twice {
			return fmt.Errorf("%q stands twice", name)
		}
		if find(params, name) == nil {
			return fmt.Errorf("there is no %q here; %s", name, known(params))
		}
		var value json.RawMessage
		if err := d.Decode(&value); err != nil {
			return err
		}
		if err := onceEach(value); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		v.of[name] = value
	}
	_, err = d.Token()
	return err
}

// onceEach refuses a value in some object of which a name stands twice.
func onceEach(value json.RawMessage) error {
	d := json.NewDecoder(bytes.NewReader(value))
	d.UseNumber()
	return onceIn(d)
}

// onceIn reads one value.
func onceIn(d *json.Decoder) error {
	start, err := d.Token()
	if err != nil || start != json.Delim('{') && start != json.Delim('[') {
		return err
	}
	names := map[string]bool{}
	for d.More() {
		if start == json.Delim('{') {
			key, err := d.Token()
			if err != nil {
				return err
			}
			name, _ := key.(string) // a key of an object is a text
			if names[name] {
				return fmt.Errorf("%q stands twice", name)
			}
			names[name] = true
		}
		if err := onceIn(d); err != nil {
			return err
		}
	}
	_, err = d.Token()
	return err
}

// has reports whether something is said under a name.
func (v *values) has(name string) bool {
	raw, there := v.of[name]
	return there && string(raw) != "null" && string(raw) != `""`
}

// take gives the text of a name, and takes it out of the values. An empty text is nothing.
func (v *values) take(name string) (text string, err error) {
	err = v.set(reflect.ValueOf(&text).Elem(), name)
	delete(v.of, name)
	return strings.TrimSpace(text), err
}

// revision is that of the member of this name.
func (v *values) revision() (n int64, err error) {
	n = -1
	if err = v.set(reflect.ValueOf(&n).Elem(), "revision"); err == nil && n < 0 {
		err = fmt.Errorf("%w: revision=%d; a number is expected", v.kind, n)
	}
	return n, err
}

// into sets the fields of a struct, by their names in JSON. Whatever is not said keeps its zero value.
func (v *values) into(to any) error {
	return eachField(reflect.ValueOf(to).Elem(), func(name string, field reflect.Value) error { return v.set(field, name) })
}

// eachField calls for every field of a struct that has a name in JSON, those of embedded structs too.
func eachField(s reflect.Value, call func(name string, field reflect.Value) error) error {
	for i := range s.NumField() {
		field := s.Type().Field(i)
		if field.Anonymous {
			if err := eachField(s.Field(i), call); err != nil {
				return err
			}
			continue
		}
		if name := field.Tag.Get("json"); name != "" {
			if err := call(name, s.Field(i)); err != nil {
				return err
			}
		}
	}
	return nil
}

// set puts the value of a name into a field: text into text; true or false, also as text, into a flag; a number, also as text, into
// numbers; an object into a map. Forms and queries know nothing but text.
func (v *values) set(field reflect.Value, name string) error {
	if !v.has(name) {
		return nil
	}
	raw := v.of[name]
	var text string
	isText := json.Unmarshal(raw, &text) == nil
	if reader, ok := field.Addr().Interface().(encoding.TextUnmarshaler); ok {
		if !isText {
			return v.wrong(name, raw, "a text is expected")
		}
		return reader.UnmarshalText([]byte(text))
	}
	switch field.Kind() {
	case reflect.String:
		if !isText {
			return v.wrong(name, raw, "a text is expected")
		}
		field.SetString(text)
		return nil
	case reflect.Map:
		if json.Unmarshal(raw, field.Addr().Interface()) != nil {
			return v.wrong(name, raw, "an object is expected")
		}
		return nil
	}
	if isText {
		raw = json.RawMessage(strings.ToLower(strings.TrimSpace(text)))
	}
	if len(raw) == 0 {
		return nil
	}
	return v.setPlain(field, name, raw)
}

// setPlain sets a flag or a number.
func (v *values) setPlain(field reflect.Value, name string, raw json.RawMessage) error {
	if isFlag(field.Type()) {
		if json.Unmarshal(raw, field.Addr().Interface()) != nil {
			return v.wrong(name, v.of[name], "true or false is expected")
		}
		return nil
	}
	n, err := strconv.ParseFloat(string(raw), 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return v.wrong(name, v.of[name], numberLike(name))
	}
	if !json.Valid(raw) { // numbers as people write them, such as +3 and .5, are no JSON
		raw = strconv.AppendFloat(nil, n, 'f', -1, 64)
	}
	if json.Unmarshal(raw, field.Addr().Interface()) != nil {
		return v.wrong(name, v.of[name], "a whole number is expected")
	}
	return nil
}

// isFlag reports whether a type is true or false, or perhaps unknown.
func isFlag(t reflect.Type) bool {
	return t.Kind() == reflect.Bool || t == reflect.TypeFor[geo.Maybe[bool]]()
}

// numberLike says what a number is expected to look like.
func numberLike(name string) string {
	if strings.HasSuffix(name, "_m") {
		return "metres are expected, such as 8.5"
	}
	return "a number is expected"
}

func (v *values) wrong(name string, raw json.RawMessage, expected string) error {
	return fmt.Errorf("%w: %s=%.80s; %s", v.kind, name, raw, expected)
}
