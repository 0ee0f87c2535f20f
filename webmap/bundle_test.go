package webmap

import (
	"regexp"
	"strings"
	"testing"
)

func TestPageHasEveryFileThatItNames(t *testing.T) {
	for _, debug := range []bool{false, true} {
		files, err := Page(debug)
		if err != nil {
			t.Fatal(err)
		}
		index := string(files["index.html"].Body)
		named := regexp.MustCompile(`(?:src|href)="([^"#]+)"`).FindAllStringSubmatch(index, -1)
		if len(named) < len(entries) {
			t.Fatalf("index.html names only %q", named)
		}
		for _, each := range named {
			if _, ok := files[each[1]]; !ok && !strings.HasPrefix(each[1], "api/") {
				t.Errorf("index.html names %s, which is not there", each[1])
			}
		}
		imported := regexp.MustCompile(`(?:from|import)\s*\(?"\./([^"]+)"`)
		for name, file := range files {
			for _, each := range imported.FindAllSubmatch(file.Body, -1) {
				if _, ok := files["app/"+string(each[1])]; !ok && strings.HasSuffix(name, ".js") {
					t.Errorf("%s imports %s, which is not there", name, each[1])
				}
			}
		}
	}
}

func TestOnlyNamesWithAHashAreKeptForLong(t *testing.T) {
	files, err := Page(false)
	if err != nil {
		t.Fatal(err)
	}
	hashed := regexp.MustCompile(`^app/\w+-[0-9A-Z]{8}\.(js|css|svg)$`)
	for name, file := range files {
		if file.Lasting != hashed.MatchString(name) {
			t.Errorf("%s: lasting is %v", name, file.Lasting)
		}
	}
}

func TestSourceMapsAreThereForDebuggingOnly(t *testing.T) {
	for _, debug := range []bool{false, true} {
		files, err := Page(debug)
		if err != nil {
			t.Fatal(err)
		}
		maps := 0
		for name, file := range files {
			if strings.HasSuffix(name, ".map") {
				maps++
			}
			if !debug && strings.Contains(string(file.Body), "sourceMappingURL") && !strings.Contains(name, "leaflet") {
				t.Errorf("%s names a source map", name)
			}
		}
		if (maps > 0) != debug {
			t.Errorf("debug %v: %d source maps", debug, maps)
		}
	}
}

// A reader whose copy is of the same program needs nothing anew after a restart.
func TestTheSameSourcesGiveTheSamePage(t *testing.T) {
	first, err := makePage(false)
	if err != nil {
		t.Fatal(err)
	}
	second, err := makePage(false)
	if err != nil {
		t.Fatal(err)
	}
	if len(first) != len(second) {
		t.Errorf("%d files, and then %d", len(first), len(second))
	}
	for name, file := range first {
		if string(second[name].Body) != string(file.Body) {
			t.Errorf("%s differs", name)
		}
	}
}

// The page is built once at the start of the service: well under 200 ms.
func BenchmarkPage(b *testing.B) {
	for b.Loop() {
		if _, err := makePage(false); err != nil {
			b.Fatal(err)
		}
	}
}
