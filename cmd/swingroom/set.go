package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"swingroom/api/office"
	"swingroom/api/store"
)

type setCommand struct {
	Noun   string   `arg:"" help:"mooring, owner, waiting, note, area or harbor."`
	Name   string   `arg:"" optional:"" help:"The record's number or name; that of a note is its id, and the harbor has none."`
	Fields []string `arg:"" optional:"" sep:"none" name:"field=value" help:"Fields with their values, such as boat.name=Wren."`
	New    bool     `help:"Make the record; there must be none of that name yet." xor:"record"`
	Remove bool     `help:"Take the record away; its history stays." xor:"record"`
	reasonFlags
	actFlags
}

func (setCommand) Help() string {
	return `Sets fields of one thing on record by their paths, as the history names them; makes it, or takes it away. A mooring
whose water changes goes through the fit check. A value is JSON where it is valid JSON, and a text otherwise; a length may have
its unit. Nothing behind the = makes the field unknown, and takes a part out of a list. The place after the last of a list
makes a new part.

Examples:
  swingroom set mooring 217 boat.name=Wren boat.loa_m=30ft 'tackle[2].inspected=2026-05-01' --why "spring round"
  swingroom set owner "Ada Quill" phone=5550117 --new --why "new member"
  swingroom set waiting "Ada Quill" --remove --why "has a place elsewhere"
  swingroom set harbor 'public=["names"]' --why "asked for at the meeting"` + checkedHelp
}

// Run changes the record.
func (c *setCommand) Run(s *session) error {
	edit, err := c.edit()
	if err != nil {
		return err
	}
	return c.carryOut(s, c.reasons(), actOn(editAsTyped, edit), cautionOf(edit))
}

// edit is what is to be changed. The harbor has no name: what stands in its place is a field.
func (c *setCommand) edit() (office.Edit, error) {
	e := office.Edit{Noun: c.Noun, Name: c.Name, New: c.New, Remove: c.Remove}
	assignments := c.Fields
	switch {
	case c.Noun == store.NounHarbor && c.Name != "":
		e.Name, assignments = "", append([]string{c.Name}, c.Fields...)
	case c.Noun != store.NounHarbor && c.Name == "":
		return e, usageError("the number or name of the " + c.Noun + " is expected")
	}
	if len(assignments) == 0 && !c.Remove {
		return e, usageError("fields with their values are expected after the name, such as boat.name=Wren")
	}
	fields, err := readFields(assignments)
	e.Set = fields
	return e, err
}

// cautionOf is the caution under an edit of what lies under water; empty under any other.
func cautionOf(e office.Edit) string {
	for field := range e.Set {
		if e.Noun == store.NounMooring && (strings.HasPrefix(field, "tackle") || strings.HasPrefix(field, "position")) {
			return workCaution
		}
	}
	return ""
}

// readFields reads assignments: boat.name=Wren.
func readFields(assignments []string) (office.Fields, error) {
	fields := office.Fields{}
	for _, text := range assignments {
		field, value, ok := strings.Cut(text, "=")
		field = strings.TrimSpace(field)
		if !ok || field == "" {
			return nil, usageError(fmt.Sprintf("%q; a field with its value is expected, such as boat.name=Wren", text))
		}
		if _, twice := fields[field]; twice {
			return nil, usageError(field + " stands twice")
		}
		var err error
		if fields[field], err = readValue(field, strings.TrimSpace(value)); err != nil {
			return nil, err
		}
	}
	return fields, nil
}

// readValue reads what a field is set to: nothing is null, JSON stays what it is, a length with its unit becomes metres, and all else is a
// text.
func readValue(field, text string) (json.RawMessage, error) {
	switch {
	case text == "":
		return json.RawMessage("null"), nil
	case json.Valid([]byte(text)):
		return json.RawMessage(text), nil
	case strings.HasSuffix(field, "_m"):
		return lengthValue(field, text)
	}
	return json.Marshal(text)
}

// lengthValue is a length with its unit as the record has it, in metres.
func lengthValue(field, text string) (json.RawMessage, error) {
	m, err := parseLength(text)
	if err != nil {
		return nil, usageError(fmt.Sprintf("%s=%s; a length is expected, such as 9.2m or 30ft; a number alone is metres", field, text))
	}
	return json.Marshal(m)
}

// editAsTyped makes an edit. What is JSON where the record has a text, such as a phone's number, is that text: an edit that is refused for
// it has changed nothing, and is made again.
func editAsTyped(h *office.Harbor, ctx context.Context, by office.Author, e office.Edit) (office.Result, error) {
	for {
		done, err := h.Edit(ctx, by, e)
		var mistyped *json.UnmarshalTypeError
		if !errors.As(err, &mistyped) || mistyped.Type.Kind() != reflect.String || !makeText(e.Set, mistyped.Field) {
			return done, err
		}
	}
}

var placeInList = regexp.MustCompile(`\[\d+\]`)

// makeText makes what a field is set to the text that it was typed as, and reports whether it was anything else. The field is named without
// places in lists.
func makeText(fields office.Fields, name string) (changed bool) {
	for field, raw := range fields {
		if raw[0] == '"' || placeInList.ReplaceAllString(field, "") != name {
			continue
		}
		if text, err := json.Marshal(string(raw)); err == nil {
			fields[field], changed = text, true
		}
	}
	return changed
}
