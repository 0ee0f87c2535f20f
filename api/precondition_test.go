package api_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"swingroom/api/office"
)

// Whoever has looked at the sheet of a mooring can tie an act to it, in whatever form it was sent; what the act answers is tied to in turn.
func TestTheTagOfASheetServesAsIfMatch(t *testing.T) {
	s, _ := writing(t, demo(t))
	noting := func(note string) string {
		return fmt.Sprintf(`{"noun":"mooring","name":"101","set":{"note":%q},"who":"crew","why":"seen from the launch"}`, note)
	}
	sheet := get(t, s, "/api/moorings/101")
	packed := get(t, s, "/api/moorings/101", "Accept-Encoding", "gzip")
	if sheet.StatusCode != 200 || packed.Header.Get("Content-Encoding") != "gzip" {
		t.Fatalf("%d, and packed as %q", sheet.StatusCode, packed.Header.Get("Content-Encoding"))
	}
	looked := sheet.Header.Get("ETag")
	first := post(s, "/api/acts/edit", noting("buoy repainted"), "If-Match", looked)
	var done office.Result
	if err := json.Unmarshal(first.Body.Bytes(), &done); err != nil || first.Code != 200 {
		t.Fatalf("%v: %d %s", err, first.Code, first.Body)
	}
	if want := fmt.Sprintf(`"r%d"`, done.Revision); first.Header().Get("ETag") != want {
		t.Errorf("the act of revision %d has the tag %s", done.Revision, first.Header().Get("ETag"))
	}
	for _, old := range []string{looked, packed.Header.Get("ETag")} {
		if w := post(s, "/api/acts/edit", noting("pennant chafed"), "If-Match", old); w.Code != 412 {
			t.Errorf("what was looked at as %s has changed since, and the answer is %d %s", old, w.Code, w.Body)
		}
	}
	if w := post(s, "/api/acts/edit", noting("pennant chafed"), "If-Match", first.Header().Get("ETag")); w.Code != 200 {
		t.Errorf("with the tag of the act: %d %s", w.Code, w.Body)
	}
}
