package geo_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// Limits on a source file. A line that runs past the screen is read by nobody to its end; what is longer than these hides how much it does.
const (
	maxColumns       = 140
	tabColumns       = 4
	maxFileLines     = 500
	maxFunctionLines = 100
)

// sourceKinds are the endings of files that people write and read. Data, JSON and pictures are not among them; scripts of .ci have no
// ending.
var sourceKinds = []string{".go", ".js", ".mjs", ".css", ".html", ".md", ".sh", ".txtar"}

// isSource reports whether a file, by its path from the module's root, is held against the limits. A txtar is a scene that people read,
// whatever folder it stands in; what else is in testdata is data, and what is in vendor is not ours.
func isSource(name string) bool {
	folders := strings.Split(path.Dir(name), "/")
	switch ext := path.Ext(name); {
	case slices.Contains(folders, "vendor"), slices.Contains(folders, "node_modules"):
		return false
	case ext == ".txtar":
		return true
	case slices.Contains(folders, "testdata"):
		return false
	case folders[0] == ".ci" && ext == "":
		return true
	default:
		return slices.Contains(sourceKinds, ext)
	}
}

// sourceFiles are the paths of all source files from the module's root: those under version control, or in an archive without it all that
// are there.
func sourceFiles(t *testing.T) []string {
	t.Helper()
	list := exec.Command("git", "ls-files", "-z")
	list.Dir = ".."
	out, err := list.Output()
	all := strings.Split(string(out), "\x00")
	if err != nil || !slices.Contains(all, "go.mod") {
		all = walkedFiles(t)
	}
	var files []string
	for _, name := range all {
		if _, err := os.Stat("../" + name); err == nil && isSource(name) { // what was removed may still be listed
			files = append(files, name)
		}
	}
	if len(files) < 200 {
		t.Fatalf("only %d source files were found", len(files))
	}
	return files
}

// walkedFiles are all files of the tree, without what tools have put there.
func walkedFiles(t *testing.T) (files []string) {
	t.Helper()
	err := fs.WalkDir(os.DirFS(".."), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git"):
			return fs.SkipDir
		case !d.IsDir():
			files = append(files, name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// readSource reads a source file in lines.
func readSource(t *testing.T, name string) []string {
	t.Helper()
	text, err := os.ReadFile("../" + name)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
}

func TestLinesEndAt140Columns(t *testing.T) {
	for _, name := range sourceFiles(t) {
		table := false // a row of a CSV in a scene cannot be broken
		for i, line := range readSource(t, name) {
			if path.Ext(name) == ".txtar" && strings.HasPrefix(line, "-- ") {
				table = strings.HasSuffix(line, ".csv --")
			}
			if table {
				continue
			}
			if columns := utf8.RuneCountInString(line) + (tabColumns-1)*strings.Count(line, "\t"); columns > maxColumns {
				t.Errorf("%s:%d: %d columns", name, i+1, columns)
			}
		}
	}
}

func TestFilesEndAt500Lines(t *testing.T) {
	for _, name := range sourceFiles(t) {
		if lines := len(readSource(t, name)); lines > maxFileLines {
			t.Errorf("%s: %d lines", name, lines)
		}
	}
}

func TestFunctionsEndAt100Lines(t *testing.T) {
	for _, name := range sourceFiles(t) {
		if !strings.HasSuffix(name, ".go") {
			continue
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, "../"+name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			if lines := set.Position(f.End()).Line - set.Position(f.Pos()).Line + 1; lines > maxFunctionLines {
				t.Errorf("%s: %s has %d lines", name, f.Name.Name, lines)
			}
		}
	}
}

// TestEveryPackageSaysWhatItIs looks for the comment that go doc shows first.
func TestEveryPackageSaysWhatItIs(t *testing.T) {
	told := map[string]bool{}
	for _, name := range sourceFiles(t) {
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), "../"+name, nil, parser.ParseComments|parser.PackageClauseOnly)
		if err != nil {
			t.Fatal(err)
		}
		told[path.Dir(name)] = told[path.Dir(name)] || file.Doc != nil
	}
	for pkg, is := range told {
		if !is {
			t.Errorf("package %s has no comment that says what it is", pkg)
		}
	}
}
