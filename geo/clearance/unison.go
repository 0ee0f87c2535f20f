package clearance

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/paulmach/orb"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// InUnison is how near two boats come when both lie to the same wind and stream.
type InUnison struct {
	// GapM is the smallest gap between the hulls over all weathers of the design, under 0 where they overlap; unknown: Why says what is
	// missing.
	GapM geo.Maybe[float64] `json:"gap_m"`
	// BoundM is what is proved: in no weather of the design are the hulls nearer. It lies swing.GapToleranceM under GapM at most where
	// Proved is true; else the search came to its end before, or was content with what it had found, and only the bound holds.
	BoundM geo.Maybe[float64] `json:"bound_m"`
	Proved bool               `json:"proved"`
	// Calm is true where it is smallest in a calm at slack water, CalmOff where an area's rule leaves that calm out.
	Calm    bool `json:"calm"`
	CalmOff bool `json:"calm_off"`
	// UnsettledA and UnsettledB say that wind and stream all but cancel each other on that boat, so that it may lie any way there.
	UnsettledA bool         `json:"unsettled_a"`
	UnsettledB bool         `json:"unsettled_b"`
	Weather    *geo.Weather `json:"weather"` // in which it is smallest
	// ADeg and BDeg are by how much each boat lies turned from what that weather says, within the scatter.
	ADeg float64 `json:"a_deg"`
	BDeg float64 `json:"b_deg"`
	// HullA and HullB are the outlines in that case, lon and lat.
	HullA orb.Ring     `json:"hull_a"`
	HullB orb.Ring     `json:"hull_b"`
	At    geo.Position `json:"at"` // the middle of the gap or of the overlap
	Why   geo.Words    `json:"why"`
}

// Words tells the weather in which two hulls come closest, or why it is not known.
func (u *InUnison) Words() geo.Words {
	if u.Weather == nil {
		return geo.Tell("judged by circles: %s", u.Why)
	}
	words := geo.Plain(u.weatherWords())
	if boundM, known := u.BoundM.Get(); known && !u.Proved {
		proved := geo.Tell("that they keep %s", geo.Metres(boundM))
		if boundM < 0 {
			proved = geo.Tell("that they overlap by no more than %s", geo.Metres(-boundM))
		}
		words = geo.Tell("%s; they may come nearer: proved is %s", words, proved)
	}
	if u.CalmOff {
		words = geo.Tell("%s; in a calm at slack water boats point every way: that is not checked here", words)
	}
	return words
}

// weatherWords tell the weather in which the hulls come closest.
func (u *InUnison) weatherWords() string {
	if u.Calm {
		return "hulls, closest in a calm at slack water, where boats point every way"
	}
	w := u.Weather
	text := fmt.Sprintf("hulls, closest in a wind from %03.0f° at %.0f kn", w.WindFromDeg, w.Wind.Knots())
	if w.Stream > 0 {
		text += fmt.Sprintf(" and a stream of %.1f kn to %03.0f°", w.Stream.Knots(), math.Mod(w.StreamToDeg+360, 360))
	}
	switch {
	case u.UnsettledA && u.UnsettledB:
		text += ", which all but cancel each other on both boats: they may lie any way"
	case u.UnsettledA || u.UnsettledB:
		text += ", which all but cancel each other on one of the boats: it may lie any way"
	}
	return text
}

// pairSide is a mooring as a pair is judged by.
type pairSide struct {
	m      *geo.Mooring
	depth  *Depth
	circle *Circle
	index  int // in Harbor.Moorings; -1: it is only tried
	rules  geo.Rules
}

func (f *Field) pairSide(i int) pairSide {
	m := &f.harbor.Moorings[i]
	return pairSide{m, &f.depths[i], &f.index.at[i], i, f.Rules(m)}
}

// judge says what a pair of circles is, by the way in which its two boats lie. is is false for a pair of circles that overlap and whose
// hulls, in unison, keep the margin; k then tells how near they come.
func (f *Field) judge(pair Pair, a, b pairSide) (k Conflict, is bool) {
	if k, is = f.conflict(pair, a, b); is {
		return k, true
	}
	u := f.inUnison(a, b)
	return k.inUnison(&u, a, b)
}

// conflict is judge where nobody asks how near two boats come that keep the margin: most pairs are proved to long before the smallest gap
// is known.
func (f *Field) conflict(pair Pair, a, b pairSide) (k Conflict, is bool) {
	k = judge(pair, a.circle, b.circle, a.m.Number, b.m.Number)
	k.Lying = geo.Independent
	if a.rules.Lying != geo.InUnison || b.rules.Lying != geo.InUnison {
		return k, true
	}
	u := f.searchWeathers(a, b, func(s *swing.Sweep, pa, pb *swing.Excursions) (swing.Closest, bool, error) {
		c, keeps, err := s.KeepsGap(pa, pb, k.MarginM)
		if keeps {
			c = swing.Closest{GapM: math.Inf(1), BoundM: math.Inf(1), Proved: true}
		}
		return c, err == nil, err
	})
	if gap, known := u.GapM.Get(); known && math.IsInf(gap, 1) {
		return k, false
	}
	return k.inUnison(&u, a, b)
}

// inUnison makes it a conflict of hulls.
func (k Conflict) inUnison(u *InUnison, a, b pairSide) (by Conflict, is bool) {
	k.Unison = u
	gap, known := u.GapM.Get()
	if !known {
		k.Bound, k.Certainty = true, Possible
		return k, true
	}
	k.Lying, k.At, k.Bound, k.Certainty = geo.InUnison, u.At, a.m.Boat == nil || b.m.Boat == nil, Possible
	// Only what is proved is clear; a gap that was found tells that they are not.
	k.OverlapM = -gap
	if gap >= k.MarginM {
		k.OverlapM = -u.BoundM.Or(math.Inf(-1))
	}
	if k.State = stateOf(k.OverlapM, k.MarginM, k.AccuracyM); gap >= k.MarginM && k.State == Touching {
		k.State = MayTouch // no weather was found in which they do
	}
	if k.MarginM-gap > k.AccuracyM && !k.Bound {
		k.Certainty = Certain
	}
	return k, k.State != Clear
}

// designsOf are the weathers that a pair is swept over: those of both areas.
func designsOf(a, b pairSide) []geo.Design {
	if a.rules.Design == b.rules.Design {
		return []geo.Design{a.rules.Design}
	}
	return []geo.Design{a.rules.Design, b.rules.Design}
}

// bothExcursions are those of both boats of a pair. Errors: joined, of the one that lies far from the field, or as [swing.NewVessel].
func (f *Field) bothExcursions(a, b pairSide, d geo.Design, sweep *swing.Sweep) (pa, pb *swing.Excursions, err error) {
	for _, x := range []pairSide{a, b} {
		if _, far := f.far(x.m.Position); far {
			return nil, nil, errors.New("mooring " + x.m.Number + " lies far from the field")
		}
	}
	pa, errA := f.excursions(a, d, sweep)
	pb, errB := f.excursions(b, d, sweep)
	return pa, pb, errors.Join(errA, errB)
}

// kindOf is an error where the kind of a mooring's boat is not on record: whether it has a rig decides what the wind makes of it.
func kindOf(m *geo.Mooring) error {
	if m.Boat == nil || m.Boat.Kind != "" {
		return nil
	}
	return &geo.FieldError{Noun: "mooring", Name: m.Number, Field: "boat_kind", Got: "not on record",
		Want: "without it there is no telling how the boat lies", Kind: geo.ErrUnknown}
}

// judgeAll judges pairs on all cores and keeps those that are conflicts, in order.
func (f *Field) judgeAll(pairs []Pair) []Conflict {
	judged := make([]Conflict, len(pairs))
	is := make([]bool, len(pairs))
	var next atomic.Int64
	var wait sync.WaitGroup
	// A core for each eight pairs: a pair of circles is judged faster than a goroutine starts.
	for range min(runtime.GOMAXPROCS(0), 1+len(pairs)/8) {
		wait.Go(func() {
			for n := int(next.Add(1)) - 1; n < len(pairs); n = int(next.Add(1)) - 1 {
				judged[n], is[n] = f.conflict(pairs[n], f.pairSide(int(pairs[n].A)), f.pairSide(int(pairs[n].B)))
			}
		})
	}
	wait.Wait()
	kept := judged[:0]
	for n := range judged {
		if is[n] {
			kept = append(kept, judged[n])
		}
	}
	return kept
}

// inUnison is how near two boats come over the design weathers of both areas.
func (f *Field) inUnison(a, b pairSide) InUnison {
	return f.searchWeathers(a, b, func(s *swing.Sweep, pa, pb *swing.Excursions) (swing.Closest, bool, error) {
		return s.Closest(pa, pb, swing.Limits{})
	})
}

// hullSearch holds two boats against each other; ok is false where there is no level for both.
type hullSearch func(s *swing.Sweep, a, b *swing.Excursions) (c swing.Closest, ok bool, err error)

// searchWeathers searches the design weathers of both areas and takes the smaller gap. Whichever of the two is named first, the answer is
// the same.
func (f *Field) searchWeathers(a, b pairSide, search hullSearch) InUnison {
	if a.m.Number > b.m.Number {
		u := f.searchWeathers(b, a, search)
		u.swap()
		return u
	}
	levels, known := f.harbor.Levels.Get()
	if !known {
		return InUnison{Why: geo.Plain("the tide levels are not set")}
	}
	worst := swing.Closest{GapM: math.Inf(1), BoundM: math.Inf(1), Proved: true}
	calmOff := false
	for _, d := range designsOf(a, b) {
		c, why := f.searchDesign(a, b, d, levels, search)
		if why != (geo.Words{}) {
			return InUnison{Why: why}
		}
		worst = closer(worst, c)
		calmOff = calmOff || d.CalmOff
	}
	return f.closest(worst, calmOff)
}

// swap tells of the same two boats in the other order.
func (u *InUnison) swap() {
	u.ADeg, u.BDeg, u.HullA, u.HullB = u.BDeg, u.ADeg, u.HullB, u.HullA
	u.UnsettledA, u.UnsettledB = u.UnsettledB, u.UnsettledA
}

// searchDesign searches the weathers of one area; why is empty, or says why there is no answer.
func (f *Field) searchDesign(a, b pairSide, d geo.Design, levels geo.Levels, search hullSearch) (c swing.Closest, why geo.Words) {
	sweep := swing.NewSweep(d, levels)
	pa, pb, err := f.bothExcursions(a, b, d, sweep)
	if err != nil {
		return c, missingWords(err)
	}
	c, ok, err := search(sweep, pa, pb)
	switch {
	case errors.Is(err, geo.ErrShortRode) || err == nil && !ok:
		return c, geo.Plain("the two lines do not both reach at any one level")
	case err != nil:
		return c, missingWords(err)
	}
	return c, geo.Words{}
}

// closer is the case of two in which hulls come closer; what is proved of both is proved of it.
func closer(a, b swing.Closest) swing.Closest {
	boundM, proved := min(a.BoundM, b.BoundM), a.Proved && b.Proved
	if b.GapM < a.GapM {
		a = b
	}
	a.BoundM, a.Proved = boundM, proved
	return a
}

// closest tells how near two hulls come at the worst; an infinite gap has no weather and no place.
func (f *Field) closest(worst swing.Closest, calmOff bool) InUnison {
	u := InUnison{GapM: geo.Known(worst.GapM), BoundM: geo.Known(worst.BoundM), Proved: worst.Proved, Calm: worst.Calm, CalmOff: calmOff}
	if math.IsInf(worst.GapM, 1) {
		return u
	}
	w := worst.Weather // its own, so that the search's case is not kept with it
	u.Weather, u.ADeg, u.BDeg, u.UnsettledA, u.UnsettledB = &w, worst.ADeg, worst.BDeg, worst.UnsettledA, worst.UnsettledB
	u.HullA, u.HullB, u.At = f.ring(worst.A), f.ring(worst.B), f.frame.Position(swing.GapMiddle(worst.A, worst.B))
	return u
}

// KeepInUnison is how far a mooring that is only tried has to keep its anchor from that of Harbor().Moorings[i] so that their hulls touch
// in no weather of the designs, without a margin; the depths are those between which it may be laid. ok is false where one of the two does
// not lie in unison or a record is missing: then the circles decide.
func (f *Field) KeepInUnison(i int, m geo.Mooring, rules geo.Rules, depths []geo.Metres) (keep geo.Metres, ok bool) {
	levels, known := f.harbor.Levels.Get()
	other := f.pairSide(i)
	if !known || rules.Lying != geo.InUnison || other.rules.Lying != geo.InUnison {
		return 0, false
	}
	if _, far := f.far(other.m.Position); far || kindOf(&m) != nil {
		return 0, false
	}
	for _, d := range designsOf(pairSide{rules: rules}, other) {
		sweep := swing.NewSweep(d, levels)
		theirs, err := f.excursions(other, d, sweep)
		if err != nil {
			return 0, false
		}
		k, reaches, err := f.keepInDesign(sweep, m, rules, depths, theirs)
		if err != nil {
			return 0, false
		}
		keep, ok = max(keep, k), ok || reaches
	}
	return keep, ok
}

// keepInDesign is [Field.KeepInUnison] in the weathers of one design; reaches is false where the rode is too short at every depth.
func (f *Field) keepInDesign(sweep *swing.Sweep, m geo.Mooring, rules geo.Rules, depths []geo.Metres, theirs *swing.Excursions) (
	keep geo.Metres, reaches bool, err error) {
	for _, depth := range depths {
		vessel, err := swing.NewVessel(f.input(&m, &Depth{DepthM: geo.Known(depth), From: swing.Computed}, rules))
		if err != nil {
			return 0, false, err
		}
		own, err := sweep.Excursions(vessel, geo.Offset{})
		if err != nil {
			continue // too short a rode there: no place for the boat anyway
		}
		k, err := sweep.MinAnchorDistance(own, theirs, nil)
		if err != nil {
			return 0, false, err
		}
		keep, reaches = max(keep, k), true
	}
	return keep, reaches, nil
}

// missingWords tells field errors in one line: "the beam of 12 is not on record".
func missingWords(err error) geo.Words {
	var all []string
	for _, fe := range geo.FieldErrors(err) {
		if !errors.Is(fe, geo.ErrUnknown) {
			return geo.ErrorWords(err)
		}
		all = append(all, fmt.Sprintf("the %s of %s is not on record", FieldWords(fe.Field), fe.Name))
	}
	if len(all) == 0 {
		return geo.ErrorWords(err)
	}
	return geo.Plain(strings.Join(all, "; "))
}

// ring is an outline as a closed ring in lon, lat.
func (f *Field) ring(outline []geo.Offset) orb.Ring {
	ring := make(orb.Ring, 0, len(outline)+1)
	for _, at := range outline {
		pt := f.frame.Position(at).Point()
		ring = append(ring, orb.Point{math.Round(pt[0]*1e8) / 1e8, math.Round(pt[1]*1e8) / 1e8}) // to the millimetre
	}
	return append(ring, ring[0])
}

// vesselCache keeps what has been worked out of a field's boats, by the moorings' places in Harbor.Moorings.
type vesselCache struct {
	mu         sync.Mutex
	vessels    map[int]vesselResult
	excursions map[excursionsKey]excursionsResult
}

type vesselResult struct {
	vessel *swing.Vessel
	err    error
}

type excursionsKey struct {
	index  int
	design geo.Design
}

type excursionsResult struct {
	excursions *swing.Excursions
	err        error
}

// maxExcursions is how many boats' excursions are kept at once: some 80 kB each, and so 80 MB.
const maxExcursions = 1024

func newVesselCache() *vesselCache {
	return &vesselCache{vessels: map[int]vesselResult{}, excursions: map[excursionsKey]excursionsResult{}}
}

func (c *vesselCache) vessel(index int) (v vesselResult, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	v, ok = c.vessels[index]
	return v, ok
}

func (c *vesselCache) keepVessel(index int, v vesselResult) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.vessels[index] = v
}

func (c *vesselCache) excursionsOf(key excursionsKey) (x excursionsResult, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	x, ok = c.excursions[key]
	return x, ok
}

func (c *vesselCache) keepExcursions(key excursionsKey, x excursionsResult) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.excursions) >= maxExcursions {
		clear(c.excursions)
	}
	c.excursions[key] = x
}

// vessel is the boat on a mooring made ready.
func (f *Field) vessel(b pairSide) (*swing.Vessel, error) {
	v, ok := f.vessels.vessel(b.index)
	if ok && b.index >= 0 {
		return v.vessel, v.err
	}
	v.vessel, v.err = swing.NewVessel(f.input(supposed(b.m), b.depth, b.rules))
	if b.index >= 0 {
		f.vessels.keepVessel(b.index, v)
	}
	return v.vessel, v.err
}

// supposed puts the boat on a vacant mooring for which it keeps its water; what follows from that boat is no more than possible.
func supposed(m *geo.Mooring) *geo.Mooring {
	boat, known := swing.SupposedBoat(m)
	if m.Boat != nil || !known {
		return m
	}
	with := *m
	with.Boat = &boat
	return &with
}

// excursions are where the boat on a mooring can lie in the weathers of a design.
func (f *Field) excursions(b pairSide, design geo.Design, sweep *swing.Sweep) (*swing.Excursions, error) {
	key := excursionsKey{b.index, design}
	x, ok := f.vessels.excursionsOf(key)
	if ok && b.index >= 0 {
		return x.excursions, x.err
	}
	v, err := f.vessel(b)
	if err = errors.Join(err, kindOf(b.m)); err != nil {
		return nil, err
	}
	x.excursions, x.err = sweep.Excursions(v, f.frame.Project(b.m.Position))
	if b.index >= 0 {
		f.vessels.keepExcursions(key, x)
	}
	return x.excursions, x.err
}
