package api

import (
	"encoding/json"
	"reflect"
	"strings"
	"time"

	"swingroom/api/geojson"
	"swingroom/api/office"
	"swingroom/geo"
	"swingroom/geo/clearance"
)

// object is one of JSON.
type object = map[string]any

// describe makes the OpenAPI 3.1 description of the service from its routes and the types of their answers. It is hand-written: generators
// of it want their own routers or comments, and the table of routes has all that it needs. The error is of a route whose parameters are not
// described.
func describe() (*answer, error) {
	schemas, paths := schemas{}, object{}
	for _, r := range routes() {
		if err := r.check(); err != nil {
			return nil, err
		}
		content := schemas.content(&r)
		for i, pattern := range r.patterns() {
			operations, _ := paths[pattern].(object)
			if operations == nil {
				operations = object{}
				paths[pattern] = operations
			}
			operations[r.method()] = schemas.operation(&r, i == 0, content)
		}
	}
	schemas["FeatureCollection"] = object{
		"type": "object", "required": []string{"type", "features"},
		"description": "GeoJSON by RFC 7946: longitude, latitude on WGS 84, seven decimals.",
		"properties": object{"type": object{"const": "FeatureCollection"},
			"features": object{"type": "array", "items": object{"type": "object"}}},
	}
	body, err := json.MarshalIndent(object{
		"openapi": "3.1.0",
		"info": object{"title": "swingroom", "version": "1",
			"description": office.Caution + " Lengths in metres, depths below chart datum, bearings true."},
		"paths": paths, "components": object{"schemas": schemas},
	}, "", " ")
	return newAnswer("application/json", body), err
}

func (r *route) method() string {
	if r.acts {
		return "post"
	}
	return "get"
}

// content describes what a route answers; nil: that it has been done, and nothing more.
func (s schemas) content(r *route) object {
	switch {
	case r.media != "": // bytes of that type: a schema describes JSON only
		return object{r.media: object{}}
	case r.out == nil && r.acts, r.out == reflect.TypeFor[nothing]():
		return nil
	case r.out != nil:
		return object{"application/json": object{"schema": s.of(r.out)}}
	}
	return object{geojson.MediaType: object{"schema": object{"$ref": "#/components/schemas/FeatureCollection"}}}
}

// operation describes a route under one of its paths; the long one names the harbor.
func (s schemas) operation(r *route, long bool, content object) object {
	id, params := r.name, []any{}
	switch {
	case r.scoped && long:
		params = append(params, parameter(param{name: "harbor", inPath: true,
			doc: "Short name of the harbor; with @ and a day or a time it is read as it stood then: tarrowick@2026-03-01."}))
	case r.scoped:
		id += "_of_the_only_harbor"
	}
	body := object{}
	for _, p := range r.allParams() {
		switch {
		case p.object:
			body[p.name] = object{"description": p.doc, "type": "object"}
		case r.acts && !p.inPath:
			body[p.name] = object{"description": p.doc}
		default:
			params = append(params, parameter(p))
		}
	}
	if r.acts && r.scoped && r.takes == "" {
		params = append(params, ifMatch)
	}
	problem := object{"description": "What is wrong, by RFC 9457.",
		"content": object{"application/problem+json": object{"schema": s.of(reflect.TypeFor[Problem]())}}}
	responses := object{"default": problem}
	if content == nil {
		responses["204"] = object{"description": r.summary}
	} else {
		responses["200"] = object{"description": r.summary, "content": content}
	}
	operation := object{"operationId": id, "summary": r.summary, "parameters": params, "responses": responses}
	if r.acts {
		operation["requestBody"] = r.requestBody(body)
	}
	return operation
}

// ifMatch describes the header that ties an act to what was looked at.
var ifMatch = object{"name": "If-Match", "in": "header", "required": true, "schema": object{"type": "string"},
	"description": `The ETag of what was looked at, such as "r57": refused with what has changed where the act touches something that ` +
		"was changed since. * leaves it to the act's own check."}

// requestBody describes what is posted.
func (r *route) requestBody(properties object) object {
	if r.takes != "" {
		return object{"required": true, "content": object{r.takes: object{}}}
	}
	schema := object{"type": "object", "properties": properties, "additionalProperties": false}
	return object{"required": true, "content": object{"application/json": object{"schema": schema}}}
}

func parameter(p param) object {
	in := "query"
	if p.inPath {
		in = "path"
	}
	kind := "string"
	if strings.HasSuffix(p.name, "_m") {
		kind = "number"
	}
	return object{"name": p.name, "in": in, "required": p.inPath, "description": p.doc, "schema": object{"type": kind}}
}

func openAPI(q *request) error {
	q.write(q.service.description)
	return nil
}

// schemas are JSON schemas by the name of the Go type that they are made from.
type schemas map[string]any

// of makes the schema of a type. A geo.Maybe is its value or null.
func (s schemas) of(t reflect.Type) object {
	if t == reflect.TypeFor[time.Time]() {
		return object{"type": "string", "format": "date-time"}
	}
	switch t.Kind() {
	case reflect.Array:
		return object{"type": "array", "items": s.of(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Pointer:
		return orNull(s.of(t.Elem()))
	case reflect.Slice:
		return object{"type": []string{"array", "null"}, "items": s.of(t.Elem())}
	case reflect.Map, reflect.Interface:
		return object{"type": "object"}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Float64:
		return object{"type": "number"}
	case reflect.Int, reflect.Int64:
		return object{"type": "integer"}
	case reflect.Struct:
		if get, ok := t.MethodByName("Get"); ok && strings.HasPrefix(t.Name(), "Maybe[") {
			return orNull(s.of(get.Type.Out(0)))
		}
		return s.object(t)
	}
	return object{}
}

// spoken are the types that add their sentence when they are written.
var spoken = map[reflect.Type]bool{reflect.TypeFor[clearance.Verdict](): true, reflect.TypeFor[clearance.Conflict](): true,
	reflect.TypeFor[clearance.Hazard](): true}

func orNull(schema object) object {
	return object{"anyOf": []any{schema, object{"type": "null"}}}
}

func (s schemas) object(t reflect.Type) object {
	ref := object{"$ref": "#/components/schemas/" + t.Name()}
	if _, made := s[t.Name()]; made {
		return ref
	}
	properties, required := object{}, []string{}
	s[t.Name()] = object{} // so that a type that holds itself ends
	for _, f := range reflect.VisibleFields(t) {
		name, rest, _ := strings.Cut(f.Tag.Get("json"), ",")
		if !f.IsExported() || f.Anonymous || name == "-" || name == "" {
			continue
		}
		properties[name] = s.of(f.Type)
		if !strings.Contains(rest, "omit") {
			required = append(required, name)
		}
	}
	if spoken[t] {
		properties["words"], required = s.of(reflect.TypeFor[geo.Words]()), append(required, "words")
	}
	if t == reflect.TypeFor[clearance.Verdict]() {
		properties["kind"], required = object{"type": "string", "enum": clearance.Kinds()}, append(required, "kind")
	}
	s[t.Name()] = object{"type": "object", "properties": properties, "required": required}
	return ref
}
