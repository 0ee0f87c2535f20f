package geo_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// sources parses every Go file of the module that is no test, by its path from the module's root.
func sources(t *testing.T) map[string]*ast.File {
	t.Helper()
	files := map[string]*ast.File{}
	err := fs.WalkDir(os.DirFS(".."), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || strings.HasPrefix(d.Name(), ".") && name != "."):
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		files[name], err = parser.ParseFile(token.NewFileSet(), "../"+name, nil, parser.SkipObjectResolution)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// core are the packages of the trade: whatever stands above them may ask any of them.
var core = []string{"geo", "geo/record", "geo/shape", "geo/tide", "geo/bed", "geo/rode", "geo/tackle", "geo/swing", "geo/clearance",
	"geo/room"}

// mayImport says of every package which others of the module it may import: the house picture of DEVELOPERS.md.
var mayImport = map[string][]string{
	"geo/record": {}, "geo": {"geo/record"}, "geo/shape": {"geo"}, "geo/tide": {"geo"}, "geo/bed": {"geo", "geo/shape"},
	"geo/rode":   {"geo"},
	"geo/tackle": {"geo", "geo/rode"}, "geo/swing": {"geo", "geo/bed", "geo/rode", "geo/tackle"},
	"geo/clearance": {"geo", "geo/record", "geo/shape", "geo/tide", "geo/bed", "geo/rode", "geo/tackle", "geo/swing"},
	"geo/room":      {"geo", "geo/shape", "geo/bed", "geo/rode", "geo/tackle", "geo/swing", "geo/clearance"},

	"api/disk": {}, "api/patch": {}, "api/photo": {"api/disk"}, "api/store": {"geo", "geo/record", "api/disk", "api/photo"},
	"api/account": {"geo", "api/store"}, "api/exchange": {"geo", "geo/shape"},
	"api/paper": {"geo", "geo/shape", "geo/bed", "geo/swing", "geo/clearance"},
	"api/office": append([]string{"geo/record", "api/account", "api/exchange", "api/paper", "api/patch", "api/photo", "api/store"},
		core...),
	"api/geojson": append([]string{"api/office"}, core...),
	"api": append([]string{"api/account", "api/exchange", "api/geojson", "api/office", "api/paper", "api/photo", "api/store", "webmap"},
		core...),

	"cmd/swingroom": append([]string{"api/account", "api/exchange", "api/geojson", "api/office", "api/paper", "api/store", "fixtures"},
		core...),
	"webmap": {}, "fixtures": {"geo"}, "fixtures/outside": {}, "fixtures/random": {"geo"},
	"fixtures/generate": {"geo", "geo/shape", "geo/bed", "geo/clearance"},
}

// servesHTTP are the files of the command that may import the service: those of the commands that serve it.
var servesHTTP = []string{"cmd/swingroom/serve.go", "cmd/swingroom/demo.go"}

// reserved says of what touches the outside world which packages may import it.
var reserved = map[string][]string{
	"net/http":              {"api", "api/account"}, // the latter for the cookie of a session alone
	"github.com/go-chi/chi": {"api"},
	"database/sql":          {"api/store"},
	"modernc.org/sqlite":    {"api/store"},
}

// withoutDisk are the packages that read and write nothing by themselves: they are given a reader, or bytes.
var withoutDisk = []string{"geo", "api/account", "api/geojson", "api/office", "api/paper", "api/patch"}

// TestWhoMayImportWhom keeps the directions that DEVELOPERS.md states.
func TestWhoMayImportWhom(t *testing.T) {
	there := map[string]bool{}
	for name, file := range sources(t) {
		pkg := path.Dir(name)
		there[pkg] = true
		if _, known := mayImport[pkg]; !known {
			t.Errorf("package %s has no place in the layout", pkg)
		}
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			own, isOwn := strings.CutPrefix(imported, "swingroom/")
			serves := own == "api" && slices.Contains(servesHTTP, name)
			if isOwn && !serves && !slices.Contains(mayImport[pkg], own) {
				t.Errorf("%s may not import %s", name, imported)
			}
		}
	}
	for pkg := range mayImport {
		if !there[pkg] {
			t.Errorf("the layout has a place for %s, which there is not", pkg)
		}
	}
}

// TestOnlyTheServiceSpeaksHTTPAndOnlyTheStoreSQL keeps the outside world where it is dealt with: a use case, a list or a sheet is made for
// whoever asks, over whatever line.
func TestOnlyTheServiceSpeaksHTTPAndOnlyTheStoreSQL(t *testing.T) {
	for name, file := range sources(t) {
		pkg := path.Dir(name)
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			for outside, packages := range reserved {
				if (imported == outside || strings.HasPrefix(imported, outside+"/")) && !slices.Contains(packages, pkg) {
					t.Errorf("%s imports %s, which is for %s", name, imported, strings.Join(packages, " and "))
				}
			}
			if touchesDisk := imported == "os" || imported == "io/fs"; touchesDisk && readsNothing(pkg) {
				t.Errorf("%s imports %s: it is to be given what it reads", name, imported)
			}
		}
	}
}

func readsNothing(pkg string) bool {
	return slices.ContainsFunc(withoutDisk, func(p string) bool { return pkg == p || p == "geo" && strings.HasPrefix(pkg, "geo/") })
}

// TestTheCoreHasNoClock looks for whoever asks for the time: a caller says which day it is.
func TestTheCoreHasNoClock(t *testing.T) {
	for name, file := range sources(t) {
		if !strings.HasPrefix(name, "geo/") {
			continue
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.SelectorExpr); ok && call.Sel.Name == "Now" {
				t.Errorf("%s asks for the time", name)
			}
			return true
		})
	}
}

// unitOf is how the name of a bare number says its unit, or that it is a ratio.
var unitOf = regexp.MustCompile(`(M|M2|M3|Deg|Rad|Kg|N|Ft|Lb|In|Ratio|ratio|Lat|Kn)$|^(deg|rad|_)$`)

// bare are names of numbers that need no unit, with the reason.
var bare = map[string]string{
	"ft": "its name is the unit", "kn": "its name is the unit", "lb": "its name is the unit", "in": "its name is the unit",
	"days": "its name is the unit", "centuries": "its name is the unit", "n": "how many",
	"rootLoads": "the unit is the root of a newton", "flat": "longitude, latitude and depth in turn",
	"sternX": "of a direction, whose length does not count", "sternY": "of a direction, whose length does not count",
	"step": "of an unknown, in its unit", "rc": "of an affine form, the same as mid",
	"coef": "of an affine form, the same", "near": "of an affine form, the same",
	"power": "of a relaxation, whose time and masses are made up", "f2": "of a relaxation, the same", "v2": "the same",
	"f":    "of a function that the caller gives, in its unit",
	"size": "what is rounded, in the caller's unit", "parts": "how many of one unit",
	"ka": "share of one of two", "kb": "share of the other", "to": "share of the way",
	"ab": "side of a triangle, in the caller's unit", "bc": "the same", "ca": "the same", "opposite": "the same",
	"Value": "its unit stands in the field beside it",
	"has":   "of a verdict, whose unit is given beside it", "needs": "the same", "spare": "the same",
	"v": "median and below serve any quantity", "sin": "of an angle", "cos": "of an angle",
	"a": "end of a bracket, in the caller's unit", "b": "end of a bracket", "fa": "what the caller wants to be 0", "fb": "the same at b",
	"mid": "of an affine form, in the unit of what it stands for", "by": "the same", "over": "the same", "residual": "the same",
	"half": "of a box, in the unit of the unknown", "at": "of a point, the same",
	"lo": "share of a side's length", "hi": "share of a side's length",
}

// TestEveryNumberSaysItsUnit looks at every float64 in a struct or a signature of the core.
func TestEveryNumberSaysItsUnit(t *testing.T) {
	looked := 0
	for name, file := range sources(t) {
		if !strings.HasPrefix(name, "geo/") {
			continue
		}
		ast.Inspect(file, func(n ast.Node) bool {
			field, ok := n.(*ast.Field)
			if !ok {
				return true
			}
			kind := field.Type
			if list, ok := kind.(*ast.ArrayType); ok {
				kind = list.Elt
			}
			if star, ok := kind.(*ast.StarExpr); ok {
				kind = star.X
			}
			if id, ok := kind.(*ast.Ident); !ok || id.Name != "float64" {
				return true
			}
			for _, id := range field.Names {
				looked++
				if _, excused := bare[id.Name]; !excused && !unitOf.MatchString(id.Name) {
					t.Errorf("%s: float64 %s does not say its unit", name, id.Name)
				}
			}
			return true
		})
	}
	if looked < 50 {
		t.Errorf("only %d numbers were looked at", looked)
	}
}
