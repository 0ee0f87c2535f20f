package store_test

import (
	"fmt"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

	"swingroom/api/store"
	"swingroom/geo"
)

// fullHarbor is a valid harbor with something in every field of the first record of each kind.
func fullHarbor() *geo.Harbor {
	m := geo.Known[geo.Metres]
	square := func(lon float64) orb.MultiPolygon {
		return orb.MultiPolygon{{{{lon, 44}, {lon + 0.01, 44}, {lon + 0.01, 44.01}, {lon, 44.01}, {lon, 44}}}}
	}
	rules := geo.Rules{Swing: geo.SwingRule{Kind: geo.Formula, ScopeRatio: 3, LOARatio: 1.5, DepthRatio: 2, Constant: 1}, Margin: 2,
		KeelMargin: 0.5, LargestLOA: m(14), LargestDraft: m(3), Lying: geo.InUnison,
		Design: geo.Design{Wind: geo.Known(geo.Knots(40)), GustRatio: geo.Known(1.2), ScatterDeg: geo.Known(15.0),
			Stream: geo.Known(geo.Knots(2)), StreamDeg: geo.Known(70.0), CalmOff: true}}
	boat := geo.Boat{Name: "Grey Heron", Kind: "sail", LOA: m(8), LengthAll: m(9), Beam: m(2.5), Draft: m(1.5), BowHeight: m(1),
		Owner: "R. Salt"}
	lines := geo.Lines{Chain: []geo.ChainSize{{Size: 0.012, MassKgPerM: 3}},
		Holding: []geo.AnchorHolding{{Anchor: "mushroom", WeightRatio: 2}},
		Ropes: []geo.RopeKind{{Material: "nylon", Size: 0.02, MassKgPerM: 0.3, DensityKgPerM3: 1140, BreakN: geo.Known(80000.0),
			Stretch: []geo.StretchPoint{{PullN: 1000, StrainRatio: 0.05}, {PullN: 9000, StrainRatio: 0.2}}}},
		Tables: []geo.TackleTable{{Name: "town", Source: "ordinance", Areas: []string{"East"}, Rows: []geo.TackleRow{{UpTo: 8,
			AnchorKind: "mushroom", Anchors: 1, Anchor: geo.Known[geo.Kilograms](150), GroundChain: m(0.02), TopChain: m(0.012),
			Pennant: m(0.02)}, {UpTo: 12}}}}, HardwareUnrecorded: true}
	at := time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)
	return &geo.Harbor{Name: "Cove", Units: geo.UnitsFeet,
		Levels:     geo.Known(geo.Levels{Datum: "mean lower low water", Low: 0.5, High: 4}),
		Defaults:   geo.Defaults{Rules: rules, Accuracy: m(4), ShoreSetback: 3, SoundingReach: 60, Lines: lines},
		Background: &geo.Background{URL: "https://charts.example/{z}/{x}/{y}.png", Attribution: "invented"},
		Tide: &geo.Tide{Station: "Cove", Source: "invented", MeanLevel: 2, Constituents: []geo.Constituent{
			{Name: "M2", Amplitude: 1.5, PhaseDeg: 100}, {Name: "K1", Amplitude: 0.1, PhaseDeg: 20}}},
		Waiting: []geo.Waiting{{Name: "A. Gull", Since: "2024-05-01", Areas: []string{"East"}, Boat: boat, Note: "phones back"}},
		Owners: []geo.Owner{{Name: "R. Salt", Phone: "1", Email: "r@example.org", Address: "Quay 1", Resident: geo.Known(true),
			Note: "away in winter"}},
		Notes: []geo.Note{{ID: "n1", Mooring: "1", At: at, By: "yard", Text: "chafed", Photos: []string{strings.Repeat("ab", 32)}},
			{ID: "n2", At: at.Add(time.Hour), Text: "calm"}},
		Public:    []geo.Shown{geo.ShownNote},
		Shoreline: geo.Shoreline{Land: square(-41), Lines: orb.MultiLineString{{{-41, 44}, {-41.1, 44}}}},
		KeepOuts:  []geo.KeepOut{{Name: "Channel", Kind: geo.Fairway, Reason: "ferry", Shape: square(-42), Setback: 5}},
		Areas: []geo.Area{{Name: "Spare", Shape: square(-43), Rules: rules},
			{Name: "East", Shape: square(-44), Rules: geo.DefaultRules()}},
		Moorings: []geo.Mooring{
			{Number: "1", Area: "East", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.001, LonDeg: -44.001}, Accuracy: m(2),
				Depth: m(5), StatedRadius: m(20), Boat: &boat, LargestLOA: m(12), LargestDraft: m(2), SmallestLOA: m(6),
				Note:   "by the rock",
				Permit: geo.Permit{Year: 2026, Expires: "2026-12-31"},
				Tackle: geo.Tackle{{Kind: geo.Anchor, Length: m(0.5), Size: m(0.1), Weight: geo.Known[geo.Kilograms](150),
					Material: "granite block", LeftRatio: geo.Known(0.8), Installed: "2020-04-01", Inspected: "2025-04-01"},
					{Kind: geo.Rode, Length: m(12)}}},
			{Number: "2", Status: geo.Occupied, Position: geo.Position{LatDeg: 44.002, LonDeg: -44.002}}},
		Soundings: geom.NewMultiPointFlat(geom.XYZ, []float64{-44, 44, 5, -44.001, 44.001, 6})}
}

// otherText is what a text becomes where one more letter would not be valid, by its type or its path.
var otherText = map[string]string{
	"geo.Units": string(geo.UnitsMetres), "geo.RuleKind": string(geo.Stretched), "geo.Lying": string(geo.Independent),
	"geo.Shown": string(geo.ShownOwner), "geo.PartKind": string(geo.Shackle), "geo.KeepOutKind": string(geo.ClosedWater),
	"geo.Date":         "2025-01-02",
	"Moorings[0].Area": "Spare", "Waiting[0].Areas[0]": "Spare", "Notes[0].Photos[0]": strings.Repeat("cd", 32),
	"Tide.Constituents[0].Name": "S2",
}

// fieldOnFile is one field of a record, which a test changes alone.
type fieldOnFile struct {
	path     string // in Go: Moorings[0].Boat.LOA
	recorded string // how its path begins in the history: boat.loa_m
	of       reflect.Value
	change   func()
}

// fieldsOf lists the fields of a record, of the first member of each list. A field that is empty is a failure: the full harbor lacks it.
func fieldsOf(t *testing.T, path, recorded string, v reflect.Value) (all []fieldOnFile) {
	t.Helper()
	if v.IsZero() {
		t.Fatalf("the full harbor has nothing in %s", path)
	}
	whole := func(change func()) fieldOnFile { return fieldOnFile{path, recorded, v, change} }
	switch of := v.Type().String(); {
	case of == "time.Time":
		return []fieldOnFile{whole(func() { v.Set(reflect.ValueOf(v.Interface().(time.Time).Add(time.Minute))) })}
	case strings.HasPrefix(of, "geo.Maybe["):
		value := v.MethodByName("Get").Call(nil)[0]
		within := reflect.New(value.Type()).Elem()
		within.Set(value)
		for _, f := range fieldsOf(t, path, recorded, within) {
			all = append(all, fieldOnFile{f.path, f.recorded, v, func() { f.change(); setKnown(v, within) }})
		}
		if strings.HasSuffix(path, ".Design.StreamDeg") { // a stream is not valid without it
			return all
		}
		return append(all, whole(v.SetZero))
	case of == "orb.MultiPolygon":
		return []fieldOnFile{whole(func() { v.Set(reflect.ValueOf(moved(v.Interface().(orb.MultiPolygon)))) })}
	case of == "orb.MultiLineString":
		return []fieldOnFile{whole(func() { v.Set(reflect.ValueOf(orb.MultiLineString{{{-41, 44}, {-41.2, 44}}})) })}
	case of == "*geom.MultiPoint":
		return []fieldOnFile{whole(func() { v.Interface().(*geom.MultiPoint).FlatCoords()[2]++ }), whole(v.SetZero)}
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			all = append(all, fieldsOf(t, path+"."+f.Name, join(recorded, jsonName(f)), v.Field(i))...)
		}
		return all
	case reflect.Pointer:
		return append(fieldsOf(t, path, recorded, v.Elem()), whole(v.SetZero))
	case reflect.Slice:
		last := fmt.Sprintf("%s[%d]", recorded, v.Len())
		return append(fieldsOf(t, path+"[0]", recorded+"[1]", v.Index(0)),
			fieldOnFile{path + " length", last, v, func() { v.Set(v.Slice(0, v.Len()-1)) }})
	}
	return []fieldOnFile{whole(func() { change(t, path, v) })}
}

// change gives a plain value another one that is valid.
func change(t *testing.T, path string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.String:
		for _, by := range []string{path, v.Type().String()} {
			if other, ok := otherText[by]; ok {
				v.SetString(other)
				return
			}
		}
		v.SetString(v.String() + "x")
	case reflect.Float64:
		v.SetFloat(v.Float() * 1.01)
	case reflect.Int:
		v.SetInt(v.Int() + 1)
	case reflect.Bool:
		v.SetBool(!v.Bool())
	default:
		t.Fatalf("%s: a %v has no other value here", path, v.Type())
	}
}

// setKnown puts a value into a Maybe of its type.
func setKnown(maybe, value reflect.Value) {
	inside := reflect.NewAt(value.Type(), maybe.Field(0).Addr().UnsafePointer()).Elem()
	inside.Set(value)
}

func moved(shape orb.MultiPolygon) orb.MultiPolygon {
	c := shape.Clone()
	c[0][0][1][0] += 0.001
	return c
}

func join(path, name string) string { return strings.TrimPrefix(path+"."+name, ".") }

// jsonName is the name of a field in the history; shapes are kept beside the fields that JSON has.
func jsonName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if name == "-" {
		return "shape.coordinates"
	}
	return name
}

// recordOnFile is where a field of a harbor is in the history: a noun, and how its path begins.
type recordOnFile struct{ noun, path string }

// records tells it for every field of a harbor. The day is not kept on file.
var records = map[string]recordOnFile{
	"Name": {store.NounHarbor, "name"}, "Units": {store.NounHarbor, "units"}, "Levels": {store.NounHarbor, "levels"},
	"Defaults": {store.NounHarbor, "defaults"}, "Background": {store.NounHarbor, "background"}, "Tide": {store.NounHarbor, "tide"},
	"Public": {store.NounHarbor, "public"}, "Soundings": {store.NounHarbor, "soundings_sha256"},
	"Shoreline": {store.NounHarbor, "shoreline_sha256"},
	"Areas":     {store.NounArea, ""}, "KeepOuts": {store.NounKeepOut, ""}, "Moorings": {store.NounMooring, ""},
	"Owners": {store.NounOwner, ""}, "Notes": {store.NounNote, ""}, "Waiting": {store.NounWaiting, ""}, "Day": {},
}

// fieldsOfHarbor lists every field of a harbor that is kept on file.
func fieldsOfHarbor(t *testing.T, h *geo.Harbor) (all []fieldOnFile) {
	t.Helper()
	v := reflect.ValueOf(h).Elem()
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		in, known := records[name]
		switch {
		case !known:
			t.Fatalf("where is %s on file?", name)
		case in.noun == "":
			continue
		case in.noun != store.NounHarbor:
			all = append(all, fieldsOf(t, name+"[0]", "", v.Field(i).Index(0))...)
		case name == "Shoreline": // kept as one document
			all = append(all, fieldsOf(t, name+".Land", in.path, v.Field(i).Field(0))...)
			all = append(all, fieldsOf(t, name+".Lines", in.path, v.Field(i).Field(1))...)
		default:
			all = append(all, fieldsOf(t, name, in.path, v.Field(i))...)
		}
	}
	for i := range all {
		if all[i].path == "Moorings[0].Status" { // a boat lies there: of the other mooring, which has none
			all[i].change = func() { h.Moorings[1].Status = geo.Vacant }
		}
	}
	return all
}

// names are the fields by which a record is told from others: of another name it is another record.
var names = map[string]bool{"Areas[0].Name": true, "KeepOuts[0].Name": true, "KeepOuts[0].Kind": true, "Moorings[0].Number": true,
	"Owners[0].Name": true, "Notes[0].ID": true, "Waiting[0].Name": true}

// told checks that a change tells of one field, or that a record has another name now.
func toldOf(f fieldOnFile, c store.Changes) error {
	of, _, _ := strings.Cut(strings.NewReplacer("[", ".", " ", ".").Replace(f.path), ".")
	if names[f.path] {
		if len(c.Added) != 1 || len(c.Removed) != 1 || len(c.Changed) != 0 || c.Added[0].Noun != records[of].noun {
			return fmt.Errorf("%+v", c)
		}
		return nil
	}
	if c.Count() != 1 || len(c.Changed) != 1 || c.Changed[0].Noun != records[of].noun || len(c.Changed[0].Fields()) == 0 {
		return fmt.Errorf("%+v", c)
	}
	for _, told := range c.Changed[0].Fields() {
		if !strings.HasPrefix(told.Field, f.recorded) {
			return fmt.Errorf("%s instead of %s", told.Field, f.recorded)
		}
	}
	return nil
}

// Every field of every record, changed alone: it is on disk, in the history under its path, and read back, both where only what differs is
// written and where the whole is saved.
func TestAChangeOfAnyFieldIsOnDiskAndInTheHistory(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "h.db"))
	base := fullHarbor()
	save(t, s, 0, base)
	revision := int64(1)
	for i, count := 0, len(fieldsOfHarbor(t, fullHarbor())); i < count; i++ {
		h := fullHarbor()
		f := fieldsOfHarbor(t, h)[i]
		f.change()
		if i == 0 && count < 150 {
			t.Fatalf("only %d fields", count)
		}
		way := fmt.Sprintf("%s as an act", f.path)
		for _, step := range []struct {
			way      string
			from, to *geo.Harbor
			run      func(from, to *geo.Harbor) (store.Changes, error)
		}{
			{way, base, h, func(from, to *geo.Harbor) (store.Changes, error) {
				p, err := s.Prepare("cove", revision, from, to, act)
				if err != nil {
					return store.Changes{}, err
				}
				p.Submit(ctx)
				return p.Wait()
			}},
			{f.path + " back, as a whole", h, base, func(_, to *geo.Harbor) (store.Changes, error) {
				return s.Save(ctx, "cove", revision, to, act)
			}},
		} {
			c, err := step.run(step.from, step.to)
			if err == nil {
				err = toldOf(f, c)
			}
			if err != nil {
				t.Fatalf("%s: %v", step.way, err)
			}
			revision++
			got, info, err := s.Harbor(ctx, "cove")
			if err != nil || info.Revision != revision || !got.Equal(step.to) {
				t.Fatalf("%s: on disk at revision %d (%v):\n got %+v\nwant %+v", step.way, info.Revision, err, got, step.to)
			}
			past, err := s.HarborAt(ctx, "cove", revision)
			if err != nil || !past.Equal(step.to) {
				t.Fatalf("%s: from the history (%v):\n got %+v\nwant %+v", step.way, err, past, step.to)
			}
		}
	}
}
