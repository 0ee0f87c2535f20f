package swing

import (
	"fmt"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// DesignLoad is the horizontal pull at the bow for which a mooring is laid out, and what it is made of, newtons.
//
// H = max(F_w, F_t) + F_s: of the wind the larger of what the drag formula gives in the gusts (F_w) and of the published table of design
// loads at the mean wind (F_t), which counts gusts, yawing and a moderate sea in but no stream; and with it the force of the design stream
// along the wind (F_s). Wind and stream along each other are the worst case of a boat that lies to both. It errs on the large side where
// the stream runs across.
type DesignLoad struct {
	Load    geo.Newtons            `json:"load_n"`
	Wind    geo.Newtons            `json:"wind_n"`
	Stream  geo.Newtons            `json:"stream_n"`
	Table   geo.Maybe[geo.Newtons] `json:"table_n"`
	FrontM2 float64                `json:"front_m2"`
	// Motor says as what the boat is taken; Either that its kind does not tell, and that this makes the larger load.
	Motor  bool   `json:"motor"`
	Either bool   `json:"either"`
	Note   string `json:"note"` // where the table does not reach
}

// DesignLoadOf is the design load of a boat in the design weather of its area. A boat whose kind does not say whether it has a rig is
// taken as what makes the larger load. missing names the fields without which there is no load; then the load is empty.
func DesignLoadOf(b geo.Boat, design geo.Design) (load DesignLoad, missing []string) {
	if rode.KindIsKnown(b.Kind) {
		return designLoadAs(b, design, rode.IsMotor(b.Kind))
	}
	sail, missing := designLoadAs(b, design, false)
	motor, _ := designLoadAs(b, design, true)
	if missing != nil {
		return DesignLoad{}, missing
	}
	if motor.Load > sail.Load {
		sail = motor
	}
	sail.Either = true
	return sail, nil
}

// designLoadAs is the load of a boat that is taken to be a motor boat, or one with a rig.
func designLoadAs(b geo.Boat, design geo.Design, motor bool) (DesignLoad, []string) {
	windage, missing := rode.WindageAs(b, motor)
	stream := design.Stream.Or(0)
	if stream > 0 && !(b.Draft.Or(0) > 0) {
		missing = append(missing, "draft_m")
	}
	if len(missing) > 0 {
		return DesignLoad{}, missing
	}
	weather := geo.Weather{Wind: design.MeanWind(), GustRatio: design.Gust(), Stream: stream, StreamToDeg: 180}
	pull, err := rode.PullOf(windage, weather)
	if err != nil {
		return DesignLoad{}, []string{"draft_m"}
	}
	d := DesignLoad{Wind: pull.Wind, Stream: pull.Stream, FrontM2: windage.FrontM2, Motor: motor}
	d.addTable(lengthForTable(&b).Or(0), b.Beam.Or(0), weather.Wind)
	d.Load = max(d.Wind, d.Table.Or(0)) + d.Stream
	return d, nil
}

// lengthForTable is the length overall, or where that is not on record the one by which the boat swings.
func lengthForTable(b *geo.Boat) geo.Maybe[geo.Metres] {
	if b.LOA.IsKnown() {
		return b.LOA
	}
	length, _ := b.SwingLength()
	return length
}

// beyondTable tells whether a mean wind is more than the table of design loads has.
func beyondTable(wind geo.MetresPerSecond) bool {
	const roundingKn = 1e-9 // 60 kn in metres a second is still 60 kn
	return wind.Knots() > rode.DesignTopKn+roundingKn
}

// addTable looks the boat up. Beyond its last wind or boat the table still tells the least: more wind or a larger boat never pulls less.
func (d *DesignLoad) addTable(loa, beam geo.Metres, wind geo.MetresPerSecond) {
	var notes []string
	if beyondTable(wind) {
		notes = append(notes, fmt.Sprintf("the table of design loads ends at %d kn: the drag formula counts, but never less than the "+
			"table gives there", rode.DesignTopKn))
		wind = geo.Knots(rode.DesignTopKn)
	}
	longest, widest := rode.DesignTopBoat(d.Motor)
	if loa > longest || beam > widest {
		notes = append(notes, "the table of design loads ends with a smaller boat: the drag formula counts, but never less than the "+
			"table gives for its last")
	}
	if table, err := rode.DesignLoad(geo.Known(min(loa, longest)), geo.Known(min(beam, widest)), d.Motor, wind); err == nil {
		d.Table = geo.Known(table)
	} else {
		notes = append(notes, "by the drag formula alone: "+err.Error())
	}
	d.Note = strings.Join(notes, "; ")
}

// Steps is the working of the load in its design weather.
func (d *DesignLoad) Steps(design geo.Design) []Step {
	formula := "F_w"
	steps := d.windSteps(design)
	if d.Table.IsKnown() {
		formula = "max(F_w, F_t)"
		steps = append(steps, d.tableStep(design.MeanWind()))
	}
	if stream := design.Stream.Or(0); stream > 0 {
		formula += " + F_s"
		steps = append(steps, Step{Symbol: "F_s", Name: fmt.Sprintf("force of a stream of %.1f kn on hull and keel", stream.Knots()),
			Formula: "form + friction", Value: float64(d.Stream), Unit: "N", From: Computed})
	}
	return append(steps, Step{Symbol: "H", Name: "design load, horizontal at the bow", Formula: formula, Value: float64(d.Load), Unit: "N",
		From: Computed, Note: d.Note})
}

// windSteps is the working of the drag formula.
func (d *DesignLoad) windSteps(design geo.Design) []Step {
	return []Step{
		{Symbol: "V", Name: "design wind of the area, mean", Value: design.MeanWind().Knots(), Unit: "kn",
			From: setOrAssumed(design.Wind.IsKnown())},
		{Symbol: "G", Name: "gust over mean", Value: design.Gust(), From: setOrAssumed(design.GustRatio.IsKnown())},
		{Symbol: "A", Name: d.frontName(), Value: d.FrontM2, Unit: "m²", From: Computed},
		{Symbol: "F_w", Name: "force of the wind, by the drag formula", Formula: "0.5 · 1.221 · (0.5144 · G · V)² · A",
			Value: float64(d.Wind), Unit: "N", From: Computed},
	}
}

// setOrAssumed is where a figure of a design comes from: set for the area or the harbor, or assumed.
func setOrAssumed(set bool) Source {
	if set {
		return Default
	}
	return Assumed
}

// frontName tells as what kind of boat the front was estimated.
func (d *DesignLoad) frontName() string {
	name := "front above the water, by beam, bow height and length"
	if !d.Either {
		return name
	}
	kind := "sailing"
	if d.Motor {
		kind = "motor"
	}
	return name + ", as a " + kind + " boat: its kind does not say, and this pulls more"
}

// tableStep is the load by the table, at the wind or at the table's last.
func (d *DesignLoad) tableStep(wind geo.MetresPerSecond) Step {
	at := "V"
	if beyondTable(wind) {
		at = fmt.Sprintf("%d kn", rode.DesignTopKn)
	}
	return Step{Symbol: "F_t", Name: "design load by the published table, for the boat's length and beam at " + at,
		Value: float64(d.Table.Or(0)), Unit: "N", From: Computed}
}

// SupposedBoat is the boat for which a vacant place is kept: a boat of the largest length set for it and of ample proportions, a third of
// it wide, a tenth high at the bow and 0.16 of it deep unless a draft is set. Common practice, no source; what follows from it is no more
// than possible. ok is false where no largest length is set.
func SupposedBoat(m *geo.Mooring) (boat geo.Boat, ok bool) {
	length, known := m.LargestLOA.Get()
	draft := geo.Known(m.LargestDraft.Or(length * 0.16))
	return geo.Boat{LOA: m.LargestLOA, Beam: geo.Known(length / 3), BowHeight: geo.Known(length / 10), Draft: draft}, known
}

// designLoad is H, with its working; ok is false where a field is missing for it, which is then told.
func (w *calculation) designLoad(boat geo.Boat) (load geo.Newtons, ok bool) {
	d, missing := DesignLoadOf(boat, w.in.Rules.Design)
	for _, field := range missing {
		if field != "loa_m" /* farthest tells that */ {
			w.missingOnce(field)
		}
	}
	if missing != nil {
		return 0, false
	}
	for _, s := range d.Steps(w.in.Rules.Design) {
		w.add(s)
	}
	return d.Load, true
}
