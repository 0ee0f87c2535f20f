package exchange_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"swingroom/geo"
)

func TestOwnersAreLaidOverThoseOnFileByName(t *testing.T) {
	h := good(t, nil, map[string]string{"owners.csv": "name;phone;email;address;resident;note\nBo Quill;'+000 555 0101;;\"2 Rope " +
		"Lane\nTarrowick\";no;\nAda Quill;'+000 555 0100;ada@example.invalid;1 Rope Lane;Yes;call after six\n"})
	want := geo.Owner{Name: "Ada Quill", Phone: "+000 555 0100", Email: "ada@example.invalid", Address: "1 Rope Lane",
		Resident: geo.Known(true), Note: "call after six"}
	if len(h.Owners) != 2 || h.Owners[0] != want || h.Owners[1].Address != "2 Rope Lane\nTarrowick" ||
		h.Owners[1].Resident != geo.Known(false) {
		t.Fatalf("by name: %+v", h.Owners)
	}
	h = good(t, h, map[string]string{"owners.csv": "name,phone,resident\nAda Quill,,\nCy Quill,12,\n"})
	want.Phone, want.Resident = "", geo.Maybe[bool]{}
	if len(h.Owners) != 3 || h.Owners[0] != want || h.Owners[1].Phone != "+000 555 0101" || h.Owners[2].Name != "Cy Quill" {
		t.Errorf("what the file does not say stays, and who it does not name: %+v", h.Owners)
	}
}

func TestNotesAreLaidOverThoseOnFileByID(t *testing.T) {
	files := map[string]string{"moorings.csv": "number,lat,lon\n7,44.2,-41.5\n",
		"notes.csv": "mooring,at,by,text\n7,2025-05-06 10:20,yard,Swivel stiff.\n,2024-05-06,,\"Float out.\nBack in " +
			"June.\"\n9,2026-01-02T03:04:05-02:00,crew,gone\n7,2025-05-06 10:20,yard,Swivel stiff.\n"}
	in := read(t, nil, files)
	h := in.Harbor
	if len(in.Problems) != 0 || len(h.Notes) != 3 || h.Notes[0].Mooring != "" || h.Notes[1].Text != "Swivel stiff." ||
		!h.Notes[2].At.Equal(time.Date(2026, 1, 2, 5, 4, 5, 0, time.UTC)) {
		t.Fatalf("%v %+v", in.Problems, h.Notes)
	}
	var notices []string
	for _, n := range in.Notices {
		notices = append(notices, n.String())
	}
	if want := []string{"notes.csv line 5: there is no mooring 9; the note is kept under that number",
		"notes.csv line 6: it is the note of line 2 once more, and kept once"}; !slices.Equal(notices, want) {
		t.Errorf("%q", notices)
	}
	if again := good(t, h, files); !reflect.DeepEqual(again.Notes, h.Notes) {
		t.Errorf("imported twice: %+v", again.Notes)
	}
	h = good(t, h, map[string]string{"notes.csv": "id,text,photos\n" + h.Notes[1].ID + ",Swivel greased.," + strings.Repeat("a", 64) +
		"; " + strings.Repeat("b", 64) + "\n"})
	if n := h.Notes[1]; n.Text != "Swivel greased." || n.By != "yard" || n.Mooring != "7" || len(n.Photos) != 2 || len(h.Notes) != 3 {
		t.Errorf("%+v", n)
	}
}

func TestTackleTakesThePlaceOfAllThatAMooringHas(t *testing.T) {
	h := good(t, nil, map[string]string{
		"moorings.csv": "number,lat,lon,rode_m\n007,44.2,-41.5,20\n8,44.201,-41.5,21\n",
		"tackle.csv": "number,kind,length_ft,size_in,weight_lb,material,left_pct,installed,inspected\n007,shackle,,0.5,,,90,,\n007," +
			"Top chain,30,0.5,,galvanised,85,2019-04-02,2025-10-20\n007,shackle,,0.75,,,?,,\n007,anchor,,,150,mushroom,,,\n",
	})
	inch := geo.MetresPerFoot / 12
	want := geo.Tackle{{Kind: geo.Shackle, Size: geo.Known(geo.Metres(0.5 * inch)), LeftRatio: geo.Known(90 * 0.01)},
		{Kind: geo.TopChain, Length: geo.Known(geo.Feet(30)), Size: geo.Known(geo.Metres(0.5 * inch)), Material: "galvanised",
			LeftRatio: geo.Known(85 * 0.01), Installed: "2019-04-02", Inspected: "2025-10-20"},
		{Kind: geo.Shackle, Size: geo.Known(geo.Metres(0.75 * inch))},
		{Kind: geo.Anchor, Weight: geo.Known(geo.Pounds(150)), Material: "mushroom"}}
	if !reflect.DeepEqual(h.Moorings[0].Tackle, want) || h.Moorings[1].Tackle[0].Kind != geo.Rode {
		t.Errorf("\n got %+v\nwant %+v", h.Moorings[0].Tackle, want)
	}
	// The rows may have been sorted by something else; their places tell the order.
	h = good(t, h, map[string]string{"tackle.csv": "number,part,kind,length_m\n8,2,pennant,4\n8,1,top_chain,9\n"})
	if m := h.Moorings[1]; len(m.Tackle) != 2 || m.Tackle[0].Kind != geo.TopChain || len(h.Moorings[0].Tackle) != 4 {
		t.Errorf("%+v", m.Tackle)
	}
	// Two shackles are one column of moorings.csv, which is the first; a part of which only the kind is known stays.
	h = good(t, h, map[string]string{"tackle.csv": "number,kind\n007,shackle\n007,swivel\n007,shackle\n"})
	again := good(t, h, map[string]string{"moorings.csv": "number,shackle_size_in,buoy\n007,,\n"})
	if !reflect.DeepEqual(again.Moorings[0].Tackle, h.Moorings[0].Tackle) {
		t.Errorf("%+v", again.Moorings[0].Tackle)
	}
}

func TestPermitsAndDatesAreRead(t *testing.T) {
	h := good(t, nil, map[string]string{
		"moorings.csv": "number,lat,lon,permit_year,permit_expires,top_chain_m,top_chain_installed,top_chain_inspected," +
			"anchor_installed\n7,44.2,-41.5,2026,2026-12-31,9,2019-04-02,2025-10-20,2001-01-02\n8,44.201,-41.5,,,,,,\n",
		"harbor.json": `{"name":"T","public":["boat_name","permit"]}`,
	})
	m := h.Moorings[0]
	if m.Permit != (geo.Permit{Year: 2026, Expires: "2026-12-31"}) || len(m.Tackle) != 2 || m.Tackle[0].Installed != "2001-01-02" ||
		m.Tackle[1].Inspected != "2025-10-20" || h.Moorings[1].Tackle != nil {
		t.Errorf("%+v", m)
	}
	if !slices.Equal(h.Public, []geo.Shown{geo.ShownBoatName, geo.ShownPermit}) {
		t.Errorf("public: %v", h.Public)
	}
	if h = good(t, h, map[string]string{"harbor.json": `{"public":[]}`}); h.Public != nil {
		t.Errorf("public: %v", h.Public)
	}
	if h = good(t, h, map[string]string{"moorings.csv": "number,note\n7,seen\n"}); h.Moorings[0].Permit.Year != 2026 {
		t.Error("a file without the columns has taken the permit away")
	}
}

func TestBadPeopleNotesTackleAndPermitsAreRefusedByLineAndColumn(t *testing.T) {
	const moorings = "number,lat,lon\n7,44.2,-41.5\n"
	long := strings.Repeat("雲", 10001)
	for file, rows := range map[string][]struct{ text, want string }{
		"owners.csv": {
			{"phone\n1\n", "line 1, name: a column of that name is expected"},
			{"name\nAda\nAda\n", "line 3, name: \"Ada\": the same name stands in line 2"}, {"name,phone\n,1\n", "line 2, name"},
			{"name,resident\nAda,perhaps\n", `line 2, resident: "perhaps": yes or no is expected`},
			{"name,address\nAda," + long + "\n", "line 2, address"}, {"name,note\nAda," + strings.Repeat(long, 3) + "\n", "line 2, note"},
			{"name\n\"Ada\nQuill\"\n", "line 2, name: \"Ada\\nQuill\": expected one line without control characters"},
		},
		"notes.csv": {
			{"text\nseen\n", "line 2, at: expected a day"}, {"at,text\nsoon,seen\n", `line 2, at: "soon": expected a day`},
			{"at,text\n2525-01-01,seen\n", `line 2, at: "2525-01-01": expected a day such as 2026-03-15, or a time such as`},
			{"at,text\n2025-01-01,\n", "line 2, text: expected a text or a picture"},
			{"id,at,text\nn,2025-01-01,a\nn,2025-01-01,b\n", `line 3, id: "n": the same id stands in line 2`},
			{"at,text,photos\n2025-01-01,a,pic.jpg\n", `line 2, photos: "pic.jpg": a picture is named by its SHA-256`},
			{"at,text\n2025-01-01," + long + "\n", "line 2, text"},
		},
		"tackle.csv": {
			{"number,length_m\n7,3\n", "line 1, kind: a column of that name is expected"},
			{"number,kind,length\n7,rope,3\n", "line 1, length: the column has to say its unit: length_m or length_ft"},
			{"number,kind,left\n7,rope,3\n", "line 1, left: the column has to say its unit: left_pct"},
			{"number,kind\n7,string\n", `line 2, kind: "string": one of [anchor`},
			{"number,kind\n9,rope\n", `line 2, number: "9": there is no mooring of that number`},
			{"number,kind,length_m\n7,rope,long\n", `line 2, length_m: "long": a number is expected`},
			{"number,kind,length_m,length_ft\n7,rope,3,9\n", "line 2, length_ft: \"9\": another column says 3.00 m, this one 2.74 m"},
			{"number,kind,left_pct\n7,rope,120\n", `line 2, left_pct: "120": what is left lies between`},
			{"number,kind,installed\n7,rope,2525-01-01\n", "line 2, installed"},
			{"number,part,kind\n7,first,rope\n", `line 2, part: "first"`},
			{"number,kind,weight_kg\n7,anchor,-1\n", `line 2, weight_kg: "-1"`},
			{"number,kind,material\n7,anchor," + long + "\n", "line 2, material"},
		},
		"moorings.csv": {
			{"number,permit_year\n7,soon\n", `line 2, permit_year: "soon": a year is expected`},
			{"number,permit_year\n7,2525\n", "line 2, permit_year"}, {"number,permit_expires\n7,31.12.2026\n", "line 2, permit_expires"},
			{"number,swivel_installed\n7,2525-01-01\n", "line 2, swivel_installed"},
			{"number,boat\n7," + long + "\n", "line 2, boat"},
		},
		"harbor.json": {{`{"name":"T","public":["everything"]}`, `public: "\"everything\"": each of`},
			{`{"name":"T","public":"owner"}`, "public: \"\\\"owner\\\"\": a list of some of"}},
	} {
		for _, tc := range rows {
			base := good(t, nil, map[string]string{"moorings.csv": moorings})
			if got := told(read(t, base, map[string]string{file: tc.text})); !strings.HasPrefix(got, file) ||
				!strings.Contains(got, tc.want) || strings.Count(got, "\n") != 1 {
				t.Errorf("%s %q: %q, want %q and no more", file, tc.text[:min(60, len(tc.text))], got, tc.want)
			}
		}
	}
}

func TestANumberThatASpreadsheetHasSpoiltIsNotAnotherMooring(t *testing.T) {
	h := good(t, nil, map[string]string{"moorings.csv": "number,lat,lon\n007,44.2,-41.5\n08,44.3,-41.5\n"})
	in := read(t, h, map[string]string{"moorings.csv": "number,lat,lon\n7,44.2,-41.5\n"})
	if got := told(in); !strings.Contains(got, `number: "7": on file it is 007 that stands here`) {
		t.Errorf("%q", got)
	}
	if in = read(t, h, map[string]string{"moorings.csv": "number,lat,lon\n7,44.21,-41.5\n"}); len(in.Problems) != 0 ||
		len(in.Harbor.Moorings) != 3 {
		t.Errorf("another place is another mooring: %v", in.Problems)
	}
}

func TestTackleTooShortForTheWaterIsToldWhereItStands(t *testing.T) {
	base := good(t, nil, map[string]string{"moorings.csv": "number,lat,lon,depth_m\n7,44.2,-41.5,10\n",
		"harbor.json": `{"name":"T","levels":{"low_m":0,"high_m":3}}`})
	tackle := map[string]string{"tackle.csv": "number,kind,length_m\n7,rope,12\n"}
	if got := told(read(t, base, tackle)); !strings.Contains(got,
		`tackle.csv line 2, length: "12.0 m": the rode of mooring 7 is shorter than the water is deep`) {
		t.Errorf("%q", got)
	}
	// A fault that is on file already does not keep a list from being taken in.
	short := *base
	short.Moorings = slices.Clone(base.Moorings)
	short.Moorings[0].Tackle = geo.Tackle{{Kind: geo.Rope, Length: geo.Known(geo.Metres(12))}}
	if in := read(t, &short, tackle); len(in.Problems) != 0 || len(in.Notices) != 1 ||
		!strings.Contains(in.Notices[0].Text, "it is so on file already") {
		t.Errorf("%v %v", in.Problems, in.Notices)
	}
	if in := read(t, &short, map[string]string{"moorings.csv": "number,depth_m\n7,10\n"}); len(in.Problems) != 0 ||
		!strings.Contains(in.Notices[0].Text, "it is so on file already") {
		t.Errorf("%v %v", in.Problems, in.Notices)
	}
}

func TestTiesOfTheWaitingListAreByName(t *testing.T) {
	h := good(t, nil, map[string]string{"waiting.csv": "name,since\nBo,2020-01-02\nCy,2019-01-02\nAda,2020-01-02\n"})
	var names []string
	for _, w := range h.Waiting {
		names = append(names, w.Name)
	}
	if !slices.Equal(names, []string{"Cy", "Ada", "Bo"}) {
		t.Error(names)
	}
}
