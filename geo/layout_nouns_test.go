package geo_test

import (
	"maps"
	"path"
	"slices"
	"strings"
	"testing"
)

// layers are where a noun of the trade may have code of its own, each with its folders; * is any folder below.
var layers = map[string][]string{
	"core": {"geo", "geo/*"}, "store": {"api/store"}, "exchange": {"api/exchange"}, "office": {"api/office"}, "service": {"api"},
	"geojson": {"api/geojson"}, "paper": {"api/paper"}, "command": {"cmd/swingroom"}, "page": {"webmap/js/*"},
}

// nounLayers are the nouns that a reader follows from layer to layer, with the layers that have code for one, under whatever name; a layer
// in which a file's name begins with the noun has some too. Where a store or a service treats several nouns alike, in entry.go or in
// routes.go, that is no code for one.
var nounLayers = map[string]string{
	"account":  "store service command page",
	"area":     "core store exchange geojson paper",
	"backup":   "store service command",
	"capacity": "core office geojson command page",
	"fit":      "core office command page",
	"harbor":   "core store exchange office service command page",
	"history":  "store office paper command page",
	"mooring":  "core store exchange office service geojson page",
	"note":     "core exchange office page",
	"reach":    "core office command page",
	"spot":     "core office command page",
	"tackle":   "core store exchange page",
	"tide":     "core exchange office command page",
	"waiting":  "core exchange office command page",
	"weather":  "core office geojson command page",
	"whatif":   "core office command page",
}

// minNounsInPlace is how many of them have the same file name in every layer. A few are called otherwise by those who see that layer: the
// command is `spots`, and on the page a spot is a place.
const minNounsInPlace = 12

// TestANounHasTheSameFileNameInEveryLayer lets a reader who knows one file of a noun find the others.
func TestANounHasTheSameFileNameInEveryLayer(t *testing.T) {
	names := layerFiles(t)
	inPlace := 0
	for _, noun := range slices.Sorted(maps.Keys(nounLayers)) {
		missing := []string{}
		for layer, files := range names {
			begins := slices.ContainsFunc(files, func(name string) bool { return strings.HasPrefix(name, noun) })
			has := begins || slices.Contains(strings.Fields(nounLayers[noun]), layer)
			if has && !slices.Contains(files, noun) {
				missing = append(missing, layer)
			}
		}
		if len(missing) == 0 {
			inPlace++
			continue
		}
		slices.Sort(missing)
		t.Logf("%s has another file name in: %s", noun, strings.Join(missing, ", "))
	}
	if inPlace < minNounsInPlace {
		t.Errorf("%d of %d nouns have the same file name in every layer; %d are expected", inPlace, len(nounLayers), minNounsInPlace)
	}
	t.Logf("%d of %d nouns have the same file name in every layer", inPlace, len(nounLayers))
}

// layerFiles are the names of each layer's files without their endings; tests and declarations of types are not among them.
func layerFiles(t *testing.T) map[string][]string {
	t.Helper()
	names := map[string][]string{}
	for _, file := range sourceFiles(t) {
		name, isGo := strings.CutSuffix(path.Base(file), ".go")
		name, isJS := strings.CutSuffix(name, ".js")
		if !isGo && !isJS || strings.HasSuffix(name, "_test") {
			continue
		}
		for layer, folders := range layers {
			if slices.ContainsFunc(folders, func(pattern string) bool { return folderIs(path.Dir(file), pattern) }) {
				names[layer] = append(names[layer], name)
			}
		}
	}
	for layer, folders := range layers {
		if len(names[layer]) == 0 {
			t.Fatalf("the %s has no file in %s", layer, strings.Join(folders, ", "))
		}
	}
	return names
}

func folderIs(folder, pattern string) bool {
	matched, err := path.Match(pattern, folder)
	return err == nil && matched
}
