package exchange_test

import (
	"reflect"
	"testing"

	"swingroom/api/exchange"
	"swingroom/geo"
)

// fuzzBase is a harbor that the lists of a fuzz test are laid over.
func fuzzBase() *geo.Harbor {
	return &geo.Harbor{Name: "Base", Units: geo.UnitsFeet, Defaults: geo.NewDefaults(), Moorings: []geo.Mooring{
		{Number: "007", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.2, LonDeg: -41.5}, Boat: &geo.Boat{Name: "Grey Heron"},
			Tackle: geo.Tackle{{Kind: geo.Rode, Length: geo.Known(geo.Metres(20))}}}}}
}

// takenOrTold reads one file: what is taken without a problem is a harbor that the core finds right, and its lists come back as they are.
func takenOrTold(t *testing.T, base *geo.Harbor, name, text string) {
	in, err := exchange.ReadFolder(folder(map[string]string{name: text}), exchange.Options{Base: base})
	if err != nil {
		t.Fatal(err)
	}
	if len(in.Problems) > 0 {
		return
	}
	if err := in.Harbor.Validate(); err != nil {
		t.Fatalf("taken, but: %v", err)
	}
	for _, format := range exchange.Formats() {
		again := read(t, in.Harbor, listFolder(t, in.Harbor, geo.UnitsMetres, format))
		if len(again.Problems) > 0 || !reflect.DeepEqual(again.Harbor, in.Harbor) {
			t.Fatalf("%s: %v %s", format, again.Problems, difference(again.Harbor, in.Harbor))
		}
	}
}

func FuzzTackle(f *testing.F) {
	f.Add("number,part,kind,length_ft,left_pct,installed\n007,1,top_chain,30,85,2019-04-02\n007,2,rope,9,,\n")
	f.Fuzz(func(t *testing.T, text string) { takenOrTold(t, fuzzBase(), "tackle.csv", text) })
}

func FuzzOwners(f *testing.F) {
	f.Add("name,phone,resident\nAda Quill,'+000 555 0100,yes\n\"'=x\",,no\n")
	f.Fuzz(func(t *testing.T, text string) { takenOrTold(t, fuzzBase(), "owners.csv", text) })
}

func FuzzNotes(f *testing.F) {
	f.Add("mooring,at,by,text\n007,2025-05-06 10:20,yard,\"swivel\nstiff\"\n")
	f.Fuzz(func(t *testing.T, text string) { takenOrTold(t, fuzzBase(), "notes.csv", text) })
}

func FuzzWaiting(f *testing.F) {
	f.Add("name;since;boat;loa_ft;note\nAda Quill;2020-01-02;Heron;27'6\";\n")
	f.Fuzz(func(t *testing.T, text string) { takenOrTold(t, fuzzBase(), "waiting.csv", text) })
}

func FuzzTide(f *testing.F) {
	f.Add(`{"station":"T","mean_level_m":2,"constituents":[{"name":"M2","amplitude_ft":4,"phase_deg":100}]}`)
	f.Fuzz(func(t *testing.T, text string) { takenOrTold(t, fuzzBase(), "tide.json", text) })
}

// FuzzWorkbook changes the parts of a workbook, and whole workbooks.
func FuzzWorkbook(f *testing.F) {
	f.Add([]byte(nil), `<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><t>note</t></is></c></row><row r="2"><c `+
		`t="s"><v>1</v></c><c s="1"><v>44488.5</v></c></row>`,
		`<si><t>name</t></si><si><r><t>Ada </t></r><r><t>Quill</t></r></si>`,
		`<numFmts><numFmt numFmtId="164" formatCode="[$-409]d\.mm\.yyyy;@"/></numFmts><cellXfs><xf numFmtId="0"/><xf `+
			`numFmtId="164"/></cellXfs>`)
	f.Add([]byte(workbook(f, nil, []any{"name", "note"}, []any{"Ada Quill", 3})), "", "", "")
	f.Fuzz(func(t *testing.T, whole []byte, rows, strings, styles string) {
		if len(whole) == 0 {
			whole = []byte(parts(t, "<worksheet><sheetData>"+rows+"</sheetData></worksheet>", strings, styles))
		}
		takenOrTold(t, fuzzBase(), "owners.xlsx", string(whole))
	})
}
