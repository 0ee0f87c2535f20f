package api

import (
	"context"
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/room"
)

// Spots are the best places for one more boat in an area.
type Spots struct {
	Area  string      `json:"area"`
	Spots []room.Spot `json:"spots"` // the best first
	// Misses are told when she fits nowhere: where she fails by least, and what would free a place.
	Misses []room.NearMiss `json:"misses"`
	Words  geo.Words       `json:"words"`
}

var roomParams = append([]param{
	{name: "area", doc: "Name of the area in which a place is looked for."},
	{name: "rode_m", doc: "Length of the rode that is laid for her, metres."},
	{name: "scope", doc: "Or the rode over the height from bed to bow at the high level: it is then cut to each place."},
	{name: "tackle_of", doc: "Or the number of a mooring whose tackle she gets, with all its parts."},
	{name: "radius_m", doc: "A stated swing radius, metres, where the area asks for one."},
	{name: "rule", doc: "A rule of swing radius tried in place of the area's."},
	{name: "margin_m", doc: "A margin tried in place of the area's, metres."},
	{name: "lying", doc: "independent or in_unison, tried in place of the area's."},
	{name: "without", doc: "Numbers of moorings whose water is taken to be free, with commas."},
	{name: "mark", doc: "A position from which places are told by distance and bearing."},
}, boatParams...)

// ask reads whom room is looked for, and where.
func (q *request) ask(s *snapshot) (a room.Ask, err error) {
	h := s.field.Harbor()
	a.Area = q.query.Get("area")
	area, ok := h.Area(a.Area)
	if !ok {
		return a, fmt.Errorf("%w: area=%q; one of %s is wanted", errQuery, a.Area, areaNames(h))
	}
	if err := q.boat(&a.Boat); err != nil {
		return a, err
	}
	if length, _ := a.Boat.SwingLength(); !length.IsKnown() {
		return a, fmt.Errorf("%w: loa_m or length_all_m is wanted", errQuery)
	}
	if a.Tackle, a.ScopeRatio, err = q.tackle(h); err != nil {
		return a, err
	}
	if a.Radius, err = q.metres("radius_m"); err != nil {
		return a, err
	}
	if text := q.query.Get("without"); text != "" {
		for _, number := range strings.Split(text, ",") {
			number = strings.TrimSpace(number)
			if _, ok := s.field.Index(number); !ok {
				return a, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
			}
			a.Without = append(a.Without, number)
		}
	}
	if text := q.query.Get("mark"); text != "" {
		p, err := geo.ParsePosition(text, Vicinity(s.field))
		if err != nil {
			return a, err
		}
		a.Mark = geo.Known(p)
	}
	rules, changed, err := q.triedRules(area.Rules)
	if changed {
		a.Rules = geo.Known(rules)
	}
	return a, err
}

func areaNames(h *geo.Harbor) string {
	names := make([]string, len(h.Areas))
	for i := range h.Areas {
		names[i] = h.Areas[i].Name
	}
	if len(names) == 0 {
		return "the harbor's areas (there are none yet)"
	}
	return strings.Join(names, ", ")
}

// tackle reads what is laid for her: a rode, a scope, or the tackle of another mooring.
func (q *request) tackle(h *geo.Harbor) (geo.Tackle, float64, error) {
	rode, err := q.metres("rode_m")
	if err != nil {
		return nil, 0, err
	}
	scope, err := q.ratio("scope", 0)
	if err != nil {
		return nil, 0, err
	}
	if scope != 0 && !(scope >= 1 && scope <= 20) {
		return nil, 0, fmt.Errorf("%w: scope=%g; from 1 to 20 is wanted", errQuery, scope)
	}
	number := q.query.Get("tackle_of")
	given := 0
	for _, is := range []bool{rode.IsKnown(), scope != 0, number != ""} {
		if is {
			given++
		}
	}
	if given > 1 {
		return nil, 0, fmt.Errorf("%w: one of rode_m, scope and tackle_of is wanted", errQuery)
	}
	if rode.IsKnown() {
		return geo.Tackle{{Kind: geo.Rode, Length: rode}}, 0, nil
	}
	if number != "" {
		for i := range h.Moorings {
			if h.Moorings[i].Number == number {
				return h.Moorings[i].Tackle, 0, nil
			}
		}
		return nil, 0, fmt.Errorf("mooring %s: %w", number, geo.ErrNotFound)
	}
	return nil, scope, nil
}

// triedRules are the area's with what is tried in their place.
func (q *request) triedRules(rules geo.Rules) (geo.Rules, bool, error) {
	changed := false
	if kind := q.query.Get("rule"); kind != "" {
		rules.Swing, changed = geo.SwingRule{Kind: geo.RuleKind(lower(kind))}, true
		if scope, err := q.ratio("scope", 0); err != nil {
			return rules, false, err
		} else if rules.Swing.Kind == geo.ScopeRule {
			rules.Swing.ScopeRatio = scope
		}
	}
	margin, err := q.metres("margin_m")
	if err != nil {
		return rules, false, err
	}
	if m, known := margin.Get(); known {
		rules.Margin, changed = m, true
	}
	if lying := q.query.Get("lying"); lying != "" {
		rules.Lying, changed = geo.Lying(strings.ReplaceAll(lower(lying), " ", "_")), true
	}
	return rules, changed, nil
}

// question makes the ask of a request ready.
func (q *request) question() (*snapshot, *room.Question, error) {
	s, err := q.harbor()
	if err != nil {
		return nil, nil, err
	}
	a, err := q.ask(s)
	if err != nil {
		return nil, nil, err
	}
	question, err := s.water().Ask(a)
	return s, question, err
}

const (
	mostSpots    = 50
	standardGap  = 20 // metres between places unless asked otherwise
	missesToTell = 5
)

// spots answers with the best places, or where she fails by least.
func (q *request) spots() error {
	_, question, err := q.question()
	if err != nil {
		return err
	}
	count, err := q.count("count", 5, mostSpots)
	if err != nil {
		return err
	}
	apart, err := q.ratio("apart_m", standardGap)
	if err != nil {
		return err
	}
	if !(apart >= 0 && apart <= 1000) {
		return fmt.Errorf("%w: apart_m=%g; from 0 to 1000 m is wanted", errQuery, apart)
	}
	found, err := FindSpots(q.r.Context(), question, q.query.Get("area"), count, geo.Metres(apart))
	if err != nil {
		return err
	}
	return q.writeJSON(found)
}

// FindSpots finds the best places, or, when there is none, the near misses. Stopped, it gives the places that it has; without any it tells
// ctx.Err(), for then it is not known that there are none.
func FindSpots(ctx context.Context, question *room.Question, area string, count int, apart geo.Metres) (Spots, error) {
	spots, err := question.Best(ctx, count, apart)
	answer := Spots{Area: area, Spots: spots, Misses: []room.NearMiss{}}
	switch n := len(answer.Spots); n {
	case 0:
		if err != nil {
			return answer, err
		}
		fit, is, err := question.WhyNot(ctx)
		if is || err != nil {
			answer.Words = fit.Words
			return answer, err
		}
		if answer.Misses, err = question.NearMisses(ctx, missesToTell, apart); err != nil {
			return answer, err
		}
		text := "This boat fits nowhere in " + area + "."
		if len(answer.Misses) == 0 {
			text += " No place is deep enough, or there is none at which the rode does, or the area is narrower than the boat swings."
		}
		answer.Words = geo.Plain(text)
	case 1:
		answer.Words = geo.Plain("One place.")
	default:
		answer.Words = geo.Plain(fmt.Sprintf("%d places, the roomiest first.", n))
	}
	return answer, nil
}

// roomRegion answers with the whole water in which the anchor may stand.
func (q *request) roomRegion() error {
	s, question, err := q.question()
	if err != nil {
		return err
	}
	region, err := question.Region(q.r.Context())
	if err != nil {
		return err
	}
	f := newFeatures(nil)
	for i, polygon := range region.Polygons {
		shape := make(orb.Polygon, len(polygon))
		for k, ring := range polygon {
			for _, at := range ring {
				shape[k] = append(shape[k], s.field.Frame().Position(at).Point())
			}
		}
		f.begin(fmt.Sprint("water ", i+1))
		f.multiPolygon(orb.MultiPolygon{shape})
		f.properties()
		f.number("area_m2", region.AreaM2, 2)
		f.number("polygons_m2", region.PolygonsM2, 2)
		f.number("inside_m", region.InsideM, 4)
		f.close()
	}
	q.write(newAnswer(geoJSONType, f.end()))
	return nil
}

// tryPlace answers how a place of one's own would do.
func (q *request) tryPlace() error {
	s, question, err := q.question()
	if err != nil {
		return err
	}
	p, err := geo.ParsePosition(q.query.Get("position"), Vicinity(s.field))
	if err != nil {
		return err
	}
	return q.writeJSON(question.Try(p))
}
