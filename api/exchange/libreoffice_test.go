package exchange_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"swingroom/api/exchange"
	"swingroom/fixtures"
	"swingroom/fixtures/outside"
	"swingroom/geo"
)

// How LibreOffice reads and writes CSV: comma, double quotes, UTF-8, from the first line, no formats of columns, no language, quoted fields
// as text; and for writing, values and not what is shown of them. Source: LibreOffice help, "Filter Options for CSV Files".
const (
	asText  = "CSV:44,34,76,1,,0,true"
	asTaken = "CSV:44,34,76,1" // what it takes for formulas and numbers becomes such
	toCSV   = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false"
)

// convert lets LibreOffice turn files into another format, and gives the folder of what it made.
func convert(t *testing.T, dir, filter, to string, names ...string) string {
	t.Helper()
	soffice := outside.Program(t, "soffice", "libreoffice-calc-nogui")
	out := t.TempDir()
	args := []string{"-env:UserInstallation=file://" + t.TempDir(), "--headless", "--norestore"}
	if filter != "" {
		args = append(args, "--infilter="+filter)
	}
	args = append(args, "--convert-to", to, "--outdir", out)
	for _, name := range names {
		args = append(args, filepath.Join(dir, name))
	}
	if said, err := exec.CommandContext(t.Context(), soffice, args...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	return out
}

// lists writes files into a new folder.
func lists(t *testing.T, files map[string]string) (dir string, names []string) {
	t.Helper()
	dir = t.TempDir()
	for name, text := range files {
		names = append(names, name)
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir, names
}

func table(t *testing.T, text string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func fileTable(t *testing.T, path string) [][]string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return table(t, string(text))
}

// dangerous are texts that a spreadsheet runs, or could take for something else.
var dangerous = []string{"=1+1", "+1+1", "-1+1", "@SUM(1,1)", "=HYPERLINK(\"http://example.invalid\",\"look\")", "=cmd|'/c calc'!A1",
	"'=1+1", `"=1+1"`, " =1+1", "\t=1+1", "＝1+1", "007", "1e5", "2024-03-15", "1/2", "TRUE", "27'6\"",
	"<b>bold</b>", "a, b; c", "two\nlines", "Łódź", "雲丹", "קשת", "'t Anker", "", "_x0041_"}

// awkwardHarbor has these texts in every place that takes any, and figures that are round in neither unit.
func awkwardHarbor() *geo.Harbor {
	h := &geo.Harbor{Name: "Awkward", Units: geo.UnitsFeet, Defaults: geo.NewDefaults()}
	for i, text := range dangerous {
		figure := geo.Known(geo.Metres(float64(i+3) / 7))
		h.Moorings = append(h.Moorings, geo.Mooring{Number: "00" + strconv.Itoa(i), Status: geo.Occupied,
			Position: geo.Position{LatDeg: 44.2 + float64(i)/3000, LonDeg: -41.5 - float64(i)/7000}, Depth: figure, Note: text,
			Permit: geo.Permit{Year: 2026, Expires: "2026-12-31"},
			Boat:   &geo.Boat{Name: text, Kind: text, Owner: text, LOA: geo.Known(geo.Feet(float64(20 + i)))},
			Tackle: geo.Tackle{{Kind: geo.TopChain, Length: figure, Size: geo.Known(geo.Metres(0.013)), LeftRatio: geo.Known(0.87),
				Material: text, Installed: "2019-04-02"}}})
		h.Owners = append(h.Owners, geo.Owner{Name: "Owner " + string(rune('A'+i)), Phone: text, Email: text, Address: text, Note: text})
		h.Waiting = append(h.Waiting, geo.Waiting{Name: "Waiting " + string(rune('A'+i)), Since: "2020-05-06", Areas: []string{},
			Note: text, Boat: geo.Boat{Name: text, Draft: figure}})
		h.Notes = append(h.Notes, geo.Note{ID: "n" + string(rune('A'+i)), Mooring: "000", At: time.Date(2025, 5, 6, 7, 8, i, 0, time.UTC),
			By: text, Text: text + ".", Photos: []string{}})
	}
	return h
}

// sameCells compares tables cell by cell; numbers by what they are and not how they are written.
func sameCells(t *testing.T, what string, got, want [][]string) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d rows, want %d", what, len(got), len(want))
		return
	}
	for i := range want {
		for j := range want[i] {
			a, errA := strconv.ParseFloat(got[i][j], 64)
			b, errB := strconv.ParseFloat(want[i][j], 64)
			const rounding = 1e-14 // a spreadsheet writes 15 to 17 digits
			same := got[i][j] == want[i][j] || errA == nil && errB == nil && (a-b) <= rounding*max(a, -a) && (b-a) <= rounding*max(a, -a)
			if !same {
				t.Errorf("%s, row %d, %s: %q, want %q", what, i+1, want[0][j], got[i][j], want[i][j])
			}
		}
	}
}

// TestASpreadsheetShowsWhatIsWritten opens both forms in LibreOffice: every cell is what was written, and no text is run.
func TestASpreadsheetShowsWhatIsWritten(t *testing.T) {
	if testing.Short() {
		t.Skip("starts an office program; run without -short")
	}
	h := awkwardHarbor()
	if err := h.Validate(); err != nil {
		t.Fatal(err)
	}
	inCSV, inXLSX := listFolder(t, h, geo.UnitsFeet, exchange.CSV), listFolder(t, h, geo.UnitsFeet, exchange.XLSX)
	inCSV["control.csv"] = "a\n=1+1\n"
	dir, names := lists(t, inCSV)
	shown := convert(t, dir, asText, toCSV, names...)
	taken := convert(t, dir, asTaken, toCSV, names...)
	dir, names = lists(t, inXLSX)
	sheets := convert(t, dir, "", toCSV, names...)
	if got := fileTable(t, filepath.Join(taken, "control.csv")); got[1][0] != "2" {
		t.Fatalf("LibreOffice does not run the formula of the control: %v; then this test shows nothing", got)
	}
	delete(inCSV, "control.csv")
	for name, text := range inCSV {
		want := table(t, text)
		sameCells(t, "CSV "+name, fileTable(t, filepath.Join(shown, name)), want)
		for i, row := range fileTable(t, filepath.Join(taken, name)) {
			for j, cell := range row {
				if strings.Contains(want[i][j], "1+1") && !strings.Contains(cell, "1+1") {
					t.Errorf("%s: %q is run, and gives %q", name, want[i][j], cell)
				}
			}
		}
		// The cells of XLSX do without most of the apostrophes that mark texts in CSV.
		got := fileTable(t, filepath.Join(sheets, name))
		for _, rows := range [][][]string{got, want} {
			for _, row := range rows {
				for j := range row {
					row[j] = strings.TrimLeft(row[j], "'")
				}
			}
		}
		sameCells(t, "XLSX "+name, got, want)
	}
}

// TestAWorkbookThatASpreadsheetMadeOfOurListsChangesNothing takes in what LibreOffice saves, of awkward texts and of the demo harbor.
func TestAWorkbookThatASpreadsheetMadeOfOurListsChangesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("starts an office program; run without -short")
	}
	in, err := exchange.ReadFolder(fixtures.Tarrowick(), exchange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for units, h := range map[geo.Units]*geo.Harbor{geo.UnitsFeet: awkwardHarbor(), geo.UnitsMetres: in.Harbor} {
		dir, names := lists(t, listFolder(t, h, units, exchange.CSV))
		saved := convert(t, dir, asText, "xlsx", names...)
		again, err := exchange.ReadFolder(os.DirFS(saved), exchange.Options{Base: h})
		if err != nil {
			t.Fatal(err)
		}
		if len(again.Problems) > 0 || len(again.Read) != len(names) {
			t.Fatalf("%s in %s: %v, read %v", h.Name, units, again.Problems, again.Read)
		}
		if !reflect.DeepEqual(again.Harbor, h) {
			t.Errorf("%s in %s: %s", h.Name, units, difference(again.Harbor, h))
		}
	}
}

func TestTheSameListIsTheSameFile(t *testing.T) {
	h := awkwardHarbor()
	for _, format := range exchange.Formats() {
		var first, second bytes.Buffer
		for _, b := range []*bytes.Buffer{&first, &second} {
			if err := exchange.Write(b, "moorings", h, "", format); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Errorf("%s: twice written, two files; whoever has the list would be sent it again", format)
		}
	}
}
