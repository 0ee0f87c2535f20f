package exchange_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"swingroom/geo"
)

// workbook makes an XLSX of rows; a value may be anything that the library takes.
func workbook(t testing.TB, edit func(f *excelize.File), rows ...[]any) string {
	t.Helper()
	f := excelize.NewFile()
	for i, row := range rows {
		if err := f.SetSheetRow("Sheet1", fmt.Sprint("A", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	if edit != nil {
		edit(f)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// parts zips a workbook of raw XML, for what no library would write.
func parts(t testing.TB, sheet, strings, styles string) string {
	t.Helper()
	const rels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">%s</Relationships>`
	const kind = `http://schemas.openxmlformats.org/officeDocument/2006/relationships/`
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, text := range map[string]string{
		"_rels/.rels": fmt.Sprintf(rels, `<Relationship Id="a" Type="`+kind+`officeDocument" Target="xl/workbook.xml"/>`),
		"xl/workbook.xml": `<workbook xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><workbookPr ` +
			`date1904="1"/><sheets><sheet name="One" sheetId="1" r:id="s"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": fmt.Sprintf(rels,
			`<Relationship Id="s" Type="`+kind+`worksheet" Target="/xl/one.xml"/><Relationship Id="t" Type="`+kind+
				`sharedStrings" Target="strings.xml"/><Relationship Id="y" Type="`+kind+`styles" Target="styles.xml"/>`),
		"xl/one.xml": sheet, "xl/strings.xml": "<sst>" + strings + "</sst>",
		"xl/styles.xml": "<styleSheet>" + styles + "</styleSheet>",
	} {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestAWorkbookIsReadLikeATable(t *testing.T) {
	day := time.Date(2025, 10, 20, 0, 0, 0, 0, time.UTC)
	in := read(t, nil, map[string]string{
		"moorings.xlsx": workbook(t, nil, []any{"Number", "lat", "lon", "LOA_ft", "boat", "status", "permit_year", "permit_expires",
			"pennant_m", "pennant_installed", "note"},
			[]any{"007", 44.2, -41.5, 27.5, "Grey Heron ", "occupied", 2026, day, 3, "2025-04-01", "=1+1"}, []any{},
			[]any{8, "44.201", "-41.5", "27'6\"", "", "", "", "", "?", "", ""}),
		"owners.xlsx": workbook(t, nil, []any{"name", "phone", "resident"}, []any{"Ada Quill", "+000 555 0100", true}),
		"notes.xlsx": workbook(t, nil, []any{"mooring", "at", "text"},
			[]any{"007", day.Add(10*time.Hour + 30*time.Minute), "swivel stiff"}, []any{8, day, "seen"}),
	})
	if len(in.Problems) != 0 || len(in.Read) != 3 {
		t.Fatalf("%v, read %v", in.Problems, in.Read)
	}
	m := in.Harbor.Moorings[0]
	if m.Number != "007" || m.Boat.Name != "Grey Heron" || m.Boat.LOA.Or(0) != geo.Feet(27.5) ||
		m.Permit != (geo.Permit{Year: 2026, Expires: "2025-10-20"}) || m.Tackle[0].Installed != "2025-04-01" || m.Note != "=1+1" {
		t.Errorf("%+v %+v", m, m.Boat)
	}
	if second := in.Harbor.Moorings[1]; second.Number != "8" || second.Boat.LOA.Or(0) != geo.Feet(27.5) ||
		!reflect.DeepEqual(second.Tackle, geo.Tackle{{Kind: geo.Pennant}}) {
		t.Errorf("%+v", second)
	}
	if o := in.Harbor.Owners[0]; o.Phone != "+000 555 0100" || o.Resident != geo.Known(true) {
		t.Errorf("%+v", o)
	}
	if n := in.Harbor.Notes; !n[0].At.Equal(day) || !n[1].At.Equal(day.Add(10*time.Hour+30*time.Minute)) {
		t.Errorf("%+v", n)
	}
}

func TestPartsOfAWorkbookThatOtherProgramsWrite(t *testing.T) {
	// Shared texts in runs with a reading beside, dates from 1904, a style by its own code, a cell without a name, a text that a formula
	// gave.
	in := read(t, nil, map[string]string{"owners.xlsx": parts(t, `<worksheet><sheetData>
		<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><t>note</t></is></c>
		<c t="str"><f>"pho"&amp;"ne"</f><v>phone</v></c></row>
		<row r="3"><c r="A3" t="s"><v>1</v></c><c r="B3" s="1"><v>44488</v></c><c r="C3" s="2"><v>44488.5</v></c></row>
		</sheetData></worksheet>`, `<si><t>name</t></si><si><r><t>Ada </t></r><r><t>Quill_x000D_</t></r><rPh><t>reading</t></rPh></si>`,
		`<numFmts><numFmt numFmtId="164" formatCode="[$-409]d\.mm\.yyyy;@"/><numFmt numFmtId="165" formatCode="0.00&quot; `+
			`days&quot;"/></numFmts><cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="164"/><xf `+
			`numFmtId="165"/></cellXfs>`)})
	if len(in.Problems) != 0 {
		t.Fatal(in.Problems)
	}
	// 44488 days from 1 January 1904 are 20 October 2025: 44488 + 1462 days from 30 December 1899.
	if o := in.Harbor.Owners[0]; o.Name != "Ada Quill" || o.Note != "2025-10-20" || o.Phone != "44488.5" {
		t.Errorf("%+v", o)
	}
}

func TestAWorkbookThatCannotBeTakenSaysWhy(t *testing.T) {
	whole := workbook(t, nil, []any{"name", "note"}, []any{"Ada Quill", "kept"})
	sheet := func(rows string) string {
		return parts(t, `<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>name</t></is></c></row>`+rows+
			`</sheetData></worksheet>`, "", "")
	}
	for _, tc := range []struct{ name, text, want string }{
		{"no workbook", "name\nAda\n", "owners.xlsx: it is no XLSX workbook"},
		{"a cut file", whole[:900], "it is no XLSX workbook"},
		{"no parts", func() string {
			var b bytes.Buffer
			_ = zip.NewWriter(&b).Close()
			return b.String()
		}(), `the workbook cannot be read: it has no part "_rels/.rels"`},
		{"a formula without a value", sheet(`<row r="2"><c r="A2"><f>1+1</f></c></row>`),
			"owners.xlsx line 2, name: a formula without a value stands here"},
		{"a failed formula", sheet(`<row r="2"><c r="A2" t="e"><f>1/0</f><v>#DIV/0!</v></c></row>`),
			`owners.xlsx line 2, name: "#DIV/0!": the formula of this cell has failed`},
		{"a far column", sheet(`<row r="2"><c r="XFD2"><v>1</v></c></row>`), "owners.xlsx line 2: cell XFD2: at most 512 columns are read"},
		{"a far row", sheet(`<row r="2000000"><c r="A2"><v>1</v></c></row>`), "a sheet has at most 1048576 rows"},
		{"a text that is not there", sheet(`<row r="2"><c r="A2" t="s"><v>7</v></c></row>`), "cell A2 names a text that is not there"},
		{"broken XML", sheet(`<row r="2"><c r="A2"><v>1</c></row>`), "the sheet cannot be read on from here"},
		{"too long a text", workbook(t, nil, []any{"name", "note"}, []any{"Ada Quill", strings.Repeat("long ", 2100)}),
			"owners.xlsx line 2, note"},
		{"too many bytes", parts(t, `<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>`+strings.Repeat(" ", 129<<20)+
			`</t></is></c></row></sheetData></worksheet>`, "", ""), "it unpacks to more than 128 MB"},
		{"a date from the far future", workbook(t, nil, []any{"name", "since"}, []any{"Ada", time.Date(2525, 1, 1, 0, 0, 0, 0, time.UTC)}),
			""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if testing.Short() && len(tc.text) > 1<<16 {
				t.Skip("it unpacks to a hundred megabytes")
			}
			in := read(t, nil, map[string]string{"owners.xlsx": tc.text})
			if got := told(in); !strings.Contains(got, tc.want) || (tc.want == "") != (got == "") {
				t.Errorf("%q, want %q", got, tc.want)
			}
		})
	}
	in := read(t, nil, map[string]string{"waiting.xlsx": workbook(t, nil, []any{"name", "since"},
		[]any{"Ada", time.Date(2525, 1, 1, 0, 0, 0, 0, time.UTC)})})
	if got := told(in); !strings.Contains(got, `waiting.xlsx line 2, since: "\"2525-01-01\"": expected a day such as 2026-03-15, `+
		`from 1900 to 2100`) {
		t.Error(got)
	}
}

func TestAFormulaIsReadByTheValueThatWasKeptWithIt(t *testing.T) {
	sheet := `<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>name</t></is></c>
		<c r="B1" t="inlineStr"><is><t>note</t></is></c></row>
		<row r="2"><c r="A2" t="str"><f>"Ada "&amp;"Quill"</f><v>Ada Quill</v></c>
		<c r="B2"><f>1+1</f><v>3</v></c></row></sheetData></worksheet>`
	h := good(t, nil, map[string]string{"owners.xlsx": parts(t, sheet, "", "")})
	if o := h.Owners[0]; o.Name != "Ada Quill" || o.Note != "3" { // 1+1 was not worked out
		t.Errorf("%+v", o)
	}
}

func TestTwoFormsOfOneListAndFurtherSheetsAreTold(t *testing.T) {
	text := workbook(t, func(f *excelize.File) { _, _ = f.NewSheet("Old") }, []any{"name"}, []any{"Ada Quill"})
	in := read(t, nil, map[string]string{"owners.xlsx": text})
	if len(in.Problems) != 0 || len(in.Harbor.Owners) != 1 || len(in.Notices) == 0 ||
		!strings.Contains(fmt.Sprint(in.Notices), `the workbook has 2 sheets; the first, "Sheet1", is read`) {
		t.Errorf("%v %v", in.Problems, in.Notices)
	}
	in = read(t, nil, map[string]string{"owners.xlsx": text, "owners.csv": "name\nBo Quill\n"})
	if got := told(in); !strings.Contains(got, "owners.xlsx: owners.csv is there as well") || len(in.Problems) != 1 {
		t.Error(got)
	}
}

func TestBadRowsOfAWorkbookAreSetAsideAsCSVThatNothingRuns(t *testing.T) {
	text := workbook(t, nil, []any{"number", "lat", "lon", "loa_ft", "note"}, []any{"1", 44.2, -41.5, 27, "fine"},
		[]any{"2", 44.3, -41.5, -1, "=1+1"})
	in := read(t, nil, map[string]string{"moorings.xlsx": text})
	if !in.OnlyMooringRows() || len(in.Harbor.Moorings) != 1 || !strings.HasPrefix(told(in), "moorings.xlsx line 3, loa_ft") {
		t.Fatal(told(in))
	}
	var b bytes.Buffer
	if err := in.WriteRejected(&b); err != nil {
		t.Fatal(err)
	}
	if want := "number,lat,lon,loa_ft,note\n2,44.3,-41.5,-1,'=1+1\n"; b.String() != want {
		t.Errorf("%q", b.String())
	}
	mended := good(t, in.Harbor, map[string]string{"moorings.csv": strings.Replace(b.String(), "-1,'", "20,'", 1)})
	if len(mended.Moorings) != 2 || mended.Moorings[1].Note != "=1+1" {
		t.Errorf("%+v", mended.Moorings)
	}
}
