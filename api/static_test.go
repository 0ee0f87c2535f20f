package api_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"swingroom/api"
)

// The index is asked for anew each time; what it names holds a hash of its content, so a browser may keep it, signed in or not.
func TestTheIndexIsLookedAtAgainAndWhatItNamesIsKept(t *testing.T) {
	s, _ := peopled(t, api.Options{})
	index := get(t, s, "/")
	if got := index.Header.Get("Cache-Control"); got != "no-cache" {
		t.Errorf("the index may be kept: %q", got)
	}
	named := regexp.MustCompile(`(?:src|href)="(app/[^"]+)"`).FindAllStringSubmatch(string(body(t, index)), -1)
	if len(named) < 5 {
		t.Fatalf("the index names only %q", named)
	}
	for _, each := range named {
		file := get(t, s, "/"+each[1], "Accept-Encoding", "br")
		tag := file.Header.Get("Etag")
		if file.StatusCode != http.StatusOK || !strings.HasPrefix(tag, `"`) {
			t.Errorf("%s: status %d, tag %s", each[1], file.StatusCode, tag)
		}
		if got := file.Header.Get("Cache-Control"); !strings.Contains(got, "immutable") {
			t.Errorf("%s: %q", each[1], got)
		}
		again := get(t, s, "/"+each[1], "Accept-Encoding", "br", "If-None-Match", tag)
		if again.StatusCode != http.StatusNotModified {
			t.Errorf("%s, asked for again: status %d", each[1], again.StatusCode)
		}
	}
}
