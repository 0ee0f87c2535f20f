package geo_test

import (
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	// codeWords are what stands between backquotes on one line, and targets of links.
	codeWords = regexp.MustCompile("`([^`\n]+)`|\\]\\(([^)\\s]+)\\)")
	// filePath is a path of the tree: folders of the top level, and perhaps a * or one of several in braces.
	filePath = regexp.MustCompile(`^(?:\.ci|api|cmd|fixtures|geo|testdata|webmap)/[\w./*{},-]*$`)
	// testName is the name of a test, of a benchmark or of a fuzz test.
	testName = regexp.MustCompile(`\b(?:Test|Fuzz|Benchmark)[A-Z]\w+`)
	testFunc = regexp.MustCompile(`(?m)^func ((?:Test|Fuzz|Benchmark)\w+)\(`)
)

// TestTheDocumentsNameWhatIsThere follows every path and every name of a test in a Markdown file.
func TestTheDocumentsNameWhatIsThere(t *testing.T) {
	files := sourceFiles(t)
	tests := testFunctions(t, files)
	followed := 0
	for _, document := range files {
		if path.Ext(document) != ".md" {
			continue
		}
		text := strings.Join(readSource(t, document), "\n")
		for _, name := range testName.FindAllString(text, -1) {
			followed++
			if !tests[name] {
				t.Errorf("%s names %s, which there is not", document, name)
			}
		}
		for _, m := range codeWords.FindAllStringSubmatch(text, -1) {
			for _, name := range expandBraces(strings.TrimSuffix(m[1]+m[2], "/")) {
				if !filePath.MatchString(name) {
					continue
				}
				followed++
				if found, err := filepath.Glob("../" + name); err != nil || len(found) == 0 {
					t.Errorf("%s names %s, which there is not", document, name)
				}
			}
		}
	}
	if followed < 100 {
		t.Errorf("only %d names were followed", followed)
	}
}

// testFunctions are the names of all tests of the tree.
func testFunctions(t *testing.T, files []string) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	for _, file := range files {
		if !strings.HasSuffix(file, "_test.go") {
			continue
		}
		text, err := os.ReadFile("../" + file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range testFunc.FindAllSubmatch(text, -1) {
			names[string(m[1])] = true
		}
	}
	return names
}

// expandBraces makes a{b,c}d into abd and acd.
func expandBraces(name string) []string {
	before, rest, opens := strings.Cut(name, "{")
	inside, after, closes := strings.Cut(rest, "}")
	if !opens || !closes {
		return []string{name}
	}
	var all []string
	for each := range strings.SplitSeq(inside, ",") {
		all = append(all, expandBraces(before+each+after)...)
	}
	return all
}
