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

// TestWhoMayImportWhom keeps the directions that DEVELOPERS.md states.
func TestWhoMayImportWhom(t *testing.T) {
	may := map[string][]string{
		"geo": {}, "geo/shape": {"geo"}, "geo/tide": {"geo"}, "geo/bed": {"geo", "geo/shape"}, "geo/rode": {"geo"},
		"geo/tackle": {"geo", "geo/rode"}, "geo/swing": {"geo", "geo/bed", "geo/rode"},
		"geo/clearance": {"geo", "geo/shape", "geo/tide", "geo/bed", "geo/rode", "geo/tackle", "geo/swing"},
		"geo/room":      {"geo", "geo/shape", "geo/bed", "geo/rode", "geo/tackle", "geo/swing", "geo/clearance"},
		"api/disk":      {}, "api/patch": {}, "api/photo": {"api/disk"}, "api/store": {"geo", "api/disk", "api/photo"},
		"api/account": {"geo", "api/store"}, "api/exchange": {"geo", "geo/shape"},
		"api/paper": {"geo", "geo/shape", "geo/bed", "geo/swing", "geo/clearance"},
		"api": {"api/patch", "api/account", "api/photo", "api/store", "api/exchange", "api/paper", "geo", "geo/tide", "geo/bed",
			"geo/rode", "geo/tackle", "geo/swing", "geo/clearance", "geo/room", "webmap"},
		"cmd/swingroom": {"api", "api/account", "api/paper", "api/store", "api/exchange", "geo", "geo/tide", "geo/rode", "geo/tackle",
			"geo/swing", "geo/clearance", "geo/room", "fixtures"},
		"webmap": {}, "fixtures": {"geo"}, "fixtures/outside": {}, "fixtures/random": {"geo"},
		"fixtures/generate": {"geo", "geo/shape", "geo/bed", "geo/clearance"},
	}
	for name, file := range sources(t) {
		pkg := path.Dir(name)
		allowed, known := may[pkg]
		if !known {
			t.Errorf("package %s has no place in the layout", pkg)
		}
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			if own, ok := strings.CutPrefix(imported, "swingroom/"); ok && !slices.Contains(allowed, own) {
				t.Errorf("%s may not import %s", name, imported)
			}
			if strings.HasPrefix(pkg, "geo") && slices.Contains([]string{"database/sql", "net/http", "os", "io/fs"}, imported) {
				t.Errorf("%s imports %s: the core does not touch the outside world", name, imported)
			}
		}
		if strings.HasPrefix(pkg, "geo") {
			ast.Inspect(file, func(n ast.Node) bool {
				if call, ok := n.(*ast.SelectorExpr); ok && call.Sel.Name == "Now" {
					t.Errorf("%s asks for the time: the core has no clock", name)
				}
				return true
			})
		}
	}
}

// unitOf is how the name of a bare number says its unit, or that it is a ratio.
var unitOf = regexp.MustCompile(`(M|M2|M3|Deg|Rad|Kg|N|Ft|Lb|Ratio|ratio|Lat|Kn)$|^(deg|rad|_)$`)

// bare are names of numbers that need no unit, with the reason.
var bare = map[string]string{
	"ft": "its name is the unit", "kn": "its name is the unit", "lb": "its name is the unit",
	"Value": "its unit stands in the field beside it",
	"has":   "of a verdict, whose unit is given beside it", "needs": "the same", "spare": "the same",
	"v": "median and below serve any quantity", "sin": "of an angle", "cos": "of an angle",
	"a": "end of a bracket, in the caller's unit", "b": "end of a bracket", "fa": "what the caller wants to be 0", "fb": "the same at b",
	"mid": "of an affine form, in the unit of what it stands for", "by": "the same", "over": "the same",
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
