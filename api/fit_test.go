package api_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"swingroom/api/office"
	"swingroom/fixtures/outside"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
)

func TestFitIsAnsweredWithVerdictsAndWaysOut(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	s := service(t, demo(t))
	ask := func(query string) (fit room.Fitting) {
		t.Helper()
		r := get(t, s, "/api/moorings/301/fit"+query)
		if err := json.Unmarshal(body(t, r), &fit); err != nil || r.StatusCode != 200 {
			t.Fatal(err, r.Status)
		}
		return fit
	}
	const larger = "?loa_m=9.4&beam_m=3&draft_m=1.5&bow_height_m=1.2&boat_kind=sloop"
	fit := ask(larger)
	if fit.Outcome != clearance.FitsIf || len(fit.Remedies) == 0 || fit.Mooring != "301" || fit.LargestM <= 0 || fit.Boat.LOA.Or(0) != 9.4 {
		t.Errorf("%s %s %d ways", fit.Outcome, fit.Words, len(fit.Remedies))
	}
	// What is proposed is taken up by the same question: the vacant mooring that it names takes her.
	for _, w := range fit.Remedies {
		if w.Kind != room.OtherPlace || strings.Contains(w.Words.Metres, " with ") {
			continue
		}
		var there room.Fitting
		if err := json.Unmarshal(body(t, get(t, s, "/api/moorings/"+w.Mooring+"/fit"+larger)), &there); err != nil ||
			there.Outcome != clearance.Fits {
			t.Errorf("%s: %v %s", w.Words, err, there.Words)
		}
	}
	if own := ask(""); own.Boat.LOA.Or(0) == 9.4 || len(own.Verdicts) == 0 {
		t.Errorf("her own boat: %+v", own.Boat)
	}
	for path, want := range map[string]int{"/api/moorings/9999/fit": 404, "/api/moorings/332/fit": 422,
		"/api/moorings/301/fit?beam_m=3": 422, "/api/moorings/301/fit?loa_m=-1": 400, "/api/moorings/301/fit?colour=red": 400} {
		if r := get(t, s, path); r.StatusCode != want {
			t.Errorf("%s: %s, want %d", path, r.Status, want)
		}
	}
}

func TestTheLargestBoatStandsBesideEachMooring(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	s := service(t, demo(t))
	var all office.Largest
	if err := json.Unmarshal(body(t, get(t, s, "/api/largest")), &all); err != nil || len(all.LargestM) != len(demo(t).Moorings) {
		t.Fatal(err, len(all.LargestM))
	}
	var sheet office.Sheet
	if r := get(t, s, "/api/moorings/332"); r.StatusCode != http.StatusOK || json.Unmarshal(body(t, r), &sheet) != nil ||
		sheet.LargestM != all.LargestM["332"] || sheet.LargestM < 5 {
		t.Errorf("the sheet says %.2f m, the list %.2f m", sheet.LargestM, all.LargestM["332"])
	}
}

func TestTheSheetCarriesTheFitCheck(t *testing.T) {
	if testing.Short() {
		t.Skip("one request after another, which the race detector only makes long; run without -short")
	}
	s := service(t, demo(t))
	const larger = "loa_m=9.4&beam_m=3&draft_m=1.5&bow_height_m=1.2&boat_kind=sloop"
	plain, with := body(t, get(t, s, "/api/moorings/301/sheet.pdf")),
		body(t, get(t, s, "/api/moorings/301/sheet.pdf?reason=asked+for&"+larger))
	if !bytes.HasPrefix(with, []byte("%PDF-")) || len(with) <= len(plain) {
		t.Errorf("%d bytes with the fit check, %d without", len(with), len(plain))
	}
	text := func(pdf []byte) string {
		path := filepath.Join(t.TempDir(), "sheet.pdf")
		if err := os.WriteFile(path, pdf, 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(outside.Program(t, "pdftotext", "poppler-utils"), "-layout", path, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	if got := text(with); !strings.Contains(got, "It would fit with") || !strings.Contains(got, "asked for") ||
		!strings.Contains(got, "the vacant mooring 332") {
		t.Errorf("the sheet does not tell of the fit check:\n%s", got)
	}
	if got := text(plain); strings.Contains(got, "It would fit with") {
		t.Error("a sheet that was not asked for it tells of a fit check")
	}
	if r := get(t, s, "/api/moorings/332/sheet.pdf?fit=true"); r.StatusCode != 422 {
		t.Errorf("a fit check of no boat: %s", r.Status)
	}
}
