package paper_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"swingroom/api/paper"
	"swingroom/fixtures/outside"
	"swingroom/geo"
)

func TestAHistoryIsPrintedInWords(t *testing.T) {
	pdftotext := outside.Program(t, "pdftotext", "poppler-utils")
	h := &geo.Harbor{Name: "Test Cove", Units: geo.UnitsFeet}
	at := time.Date(2026, 5, 1, 14, 30, 0, 0, time.FixedZone("here", -4*3600))
	acts := []paper.HistoryAct{{At: at, Who: "Ann of the yard", Why: "spring inspection", Revision: 12, Fields: []paper.HistoryField{
		{Name: "boat.loa_m", Before: "8.5344", After: "9.144"}, {Name: "tackle[2].size_m", Before: "", After: "0.0127"},
		{Name: "tackle[1].weight_kg", Before: "136.077711", After: ""},
		{Name: "note", Before: `""`, After: `"=1+1 <b> Ärger"`}, {Name: "permit.year", Before: "", After: "2026"}}}}
	for range 80 { // over several pages
		acts = append(acts, paper.HistoryAct{At: at, Who: "crew", Why: strings.Repeat("a long reason ", 20),
			Fields: []paper.HistoryField{{Name: "note", Before: `"x"`, After: `"y"`}}})
	}
	var out bytes.Buffer
	if err := paper.MooringHistory(&out, h, "217", acts, paper.Options{At: at, Revision: 12}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "h.pdf")
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command(pdftotext, "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Mooring 217", "2026-05-01 14:30", "UTC-04:00", "Ann of the yard", "spring inspection (revision 12)",
		"boat, loa (ft)", "28.00", "30.00", "(in)", "0.50", "weight (lb)", "300.00", "=1+1 <b> Ärger", "permit, year", "2026"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%q is not there", want)
		}
	}
	if pages := strings.Count(string(text), "\f"); pages < 3 {
		t.Errorf("%d pages", pages)
	}
	if t.Failed() {
		t.Logf("%.3000s", text)
	}
}
