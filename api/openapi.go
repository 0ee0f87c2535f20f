package api

import (
	"encoding/json"
	"reflect"
	"strings"
	"time"

	"swingroom/geo"
	"swingroom/geo/clearance"
)

// describe makes the OpenAPI 3.1 description of the service from its routes and the types of their answers.
func describe() (*answer, error) {
	schemas := schemas{}
	paths := map[string]any{}
	for _, r := range routes() {
		content := map[string]any{geoJSONType: map[string]any{"schema": map[string]any{"$ref": "#/components/schemas/FeatureCollection"}}}
		if r.gives != nil {
			content = map[string]any{"application/json": map[string]any{"schema": schemas.of(r.gives)}}
		}
		if r.media != "" { // bytes of that type: a schema describes JSON only
			content = map[string]any{r.media: map[string]any{}}
		}
		problem := map[string]any{"description": "What is wrong, by RFC 9457.",
			"content": map[string]any{"application/problem+json": map[string]any{"schema": schemas.of(reflect.TypeFor[Problem]())}}}
		for i, pattern := range r.patterns() {
			id := r.name
			params := []any{}
			if r.scoped && i == 0 {
				params = append(params, parameter(param{name: "harbor",
					doc:    "Short name of the harbor; with @ and a day or a time it is read as it stood then: tarrowick@2026-03-01.",
					inPath: true}))
			} else if r.scoped {
				id += "_of_the_only_harbor"
			}
			body := map[string]any{}
			for _, p := range r.allParams() {
				if p.object {
					body[p.name] = map[string]any{"description": p.doc, "type": "object"}
					continue
				}
				if r.acts && !p.inPath {
					body[p.name] = map[string]any{"description": p.doc}
					continue
				}
				params = append(params, parameter(p))
			}
			if r.acts && r.scoped && r.takes == "" {
				params = append(params, map[string]any{"name": "If-Match", "in": "header", "required": true,
					"schema": map[string]any{"type": "string"},
					"description": "The ETag of what was looked at, as \"r57\": refused with what has changed where the act touches " +
						"something that was changed since. * leaves it to the act's own check."})
			}
			operation := map[string]any{
				"operationId": id, "summary": r.summary, "parameters": params,
				"responses": map[string]any{"200": map[string]any{"description": r.summary, "content": content}, "default": problem},
			}
			method := "get"
			if r.acts {
				method = "post"
				operation["requestBody"] = map[string]any{"required": true,
					"content": map[string]any{"application/json": map[string]any{"schema": map[string]any{"type": "object",
						"properties": body, "additionalProperties": false}}}}
				if r.takes != "" {
					operation["requestBody"] = map[string]any{"required": true, "content": map[string]any{r.takes: map[string]any{}}}
				}
			}
			operations, _ := paths[pattern].(map[string]any)
			if operations == nil {
				operations = map[string]any{}
			}
			operations[method] = operation
			paths[pattern] = operations
		}
	}
	schemas["FeatureCollection"] = map[string]any{
		"type": "object", "required": []string{"type", "features"},
		"description": "GeoJSON by RFC 7946: longitude, latitude on WGS 84, seven decimals.",
		"properties": map[string]any{"type": map[string]any{"const": "FeatureCollection"},
			"features": map[string]any{"type": "array", "items": map[string]any{"type": "object"}}},
	}
	body, err := json.MarshalIndent(map[string]any{
		"openapi": "3.1.0",
		"info": map[string]any{"title": "swingroom", "version": "1",
			"description": Caution + " Lengths in metres, depths below chart datum, bearings true."},
		"paths": paths, "components": map[string]any{"schemas": schemas},
	}, "", " ")
	return newAnswer("application/json", body), err
}

func parameter(p param) map[string]any {
	in := "query"
	if p.inPath {
		in = "path"
	}
	kind := map[string]any{"type": "string"}
	if strings.HasSuffix(p.name, "_m") {
		kind = map[string]any{"type": "number"}
	}
	return map[string]any{"name": p.name, "in": in, "required": p.inPath, "description": p.doc, "schema": kind}
}

func (q *request) openAPI() error {
	q.write(q.service.description)
	return nil
}

// schemas are JSON schemas by the name of the Go type that they are made from.
type schemas map[string]any

// of makes the schema of a type. A geo.Maybe is its value or null.
func (s schemas) of(t reflect.Type) map[string]any {
	if t == reflect.TypeFor[time.Time]() {
		return map[string]any{"type": "string", "format": "date-time"}
	}
	switch t.Kind() {
	case reflect.Array:
		return map[string]any{"type": "array", "items": s.of(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Pointer:
		return orNull(s.of(t.Elem()))
	case reflect.Slice:
		return map[string]any{"type": []string{"array", "null"}, "items": s.of(t.Elem())}
	case reflect.Map, reflect.Interface:
		return map[string]any{"type": "object"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Int, reflect.Int64:
		return map[string]any{"type": "integer"}
	case reflect.Struct:
		if get, ok := t.MethodByName("Get"); ok && strings.HasPrefix(t.Name(), "Maybe[") {
			return orNull(s.of(get.Type.Out(0)))
		}
		return s.object(t)
	}
	return map[string]any{}
}

// spoken are the types that add their sentence when they are written.
var spoken = map[reflect.Type]bool{reflect.TypeFor[clearance.Verdict](): true, reflect.TypeFor[clearance.Conflict](): true,
	reflect.TypeFor[clearance.Hazard](): true}

func orNull(schema map[string]any) map[string]any {
	return map[string]any{"anyOf": []any{schema, map[string]any{"type": "null"}}}
}

func (s schemas) object(t reflect.Type) map[string]any {
	ref := map[string]any{"$ref": "#/components/schemas/" + t.Name()}
	if _, made := s[t.Name()]; made {
		return ref
	}
	properties, required := map[string]any{}, []string{}
	s[t.Name()] = map[string]any{} // so that a type that holds itself ends
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
		properties["kind"], required = map[string]any{"type": "string", "enum": clearance.Kinds()}, append(required, "kind")
	}
	s[t.Name()] = map[string]any{"type": "object", "properties": properties, "required": required}
	return ref
}
