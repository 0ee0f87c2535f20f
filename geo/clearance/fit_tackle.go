package clearance

import (
	"fmt"

	"swingroom/geo"
	"swingroom/geo/rode"
	"swingroom/geo/swing"
	"swingroom/geo/tackle"
)

// Reasons of a verdict on the tackle.
const (
	Holds       Reason = "holds"
	Weak        Reason = "weak"
	Worn        Reason = "worn"
	MayNotHold  Reason = "may_not_hold" // by one published figure and not by another, or as new and not as worn
	NoLoad      Reason = "no_load"      // the load of such a boat is not known
	BeyondTable Reason = "beyond_table"
)

// tackle judges anchor and parts against the load for which the tackle of such a boat is laid out in the area's design wind, and against the harbor's own table.
func (c *judgement) tackle() {
	if c.m.Boat == nil {
		c.add(unknown(ByStrength, "", NotOnRecord, "loa_m"))
		return
	}
	if len(c.m.Tackle) == 0 {
		c.add(unknown(ByStrength, "", NotOnRecord, "tackle"))
	} else {
		c.loads()
	}
	c.table()
}

func (c *judgement) loads() {
	wind := c.rules.Design.MeanWind()
	load, err := rode.DesignLoad(c.boat.LOA, c.boat.Beam, rode.IsMotor(c.boat.Kind), wind)
	if err != nil {
		for _, k := range []Constraint{ByAnchor, ByStrength} {
			v := unknown(k, "", NoLoad)
			v.Note = err.Error()
			c.add(v)
		}
		return
	}
	needN := float64(load)
	loadStep := swing.Step{Symbol: "F", Name: fmt.Sprintf("design load of such a boat in %.0f kn", wind.Knots()), Formula: "table of design loads by length and beam, by the square of the wind", Value: needN, Unit: "N", From: swing.Computed}
	anchors := 1
	if row, ok := c.row(); ok {
		anchors = max(1, row.Anchors)
	}
	for i := range c.m.Tackle {
		p := &c.m.Tackle[i]
		switch p.Kind {
		case geo.Anchor:
			c.add(anchorVerdict(p, c.f.harbor.Defaults.Lines.Holding, anchors, needN, loadStep))
		case geo.GroundChain, geo.TopChain, geo.Elastic, geo.Rope, geo.Swivel, geo.Shackle, geo.Pennant:
			c.add(strengthVerdict(p, c.f.harbor.Defaults.Lines, needN, loadStep))
		case geo.Rode:
			c.add(unknown(ByStrength, string(p.Kind), NotOnRecord, "tackle"))
		}
	}
}

// anchorVerdict: what an anchor of its kind holds lies between two figures, and between them only a pull on it tells.
func anchorVerdict(p *geo.Part, own []geo.AnchorHolding, anchors int, needN float64, load swing.Step) Verdict {
	v := Verdict{Constraint: ByAnchor, Of: p.Material, Unit: "N", Needs: geo.Known(needN), Working: []swing.Step{load}}
	h, err := tackle.HoldingOf(*p, own, anchors)
	if err != nil {
		v.Note = err.Error()
		return v
	}
	v.Working = append(v.Working, swing.Step{Symbol: "H1", Name: "holds at the least", Formula: h.From, Value: float64(h.Least), Unit: "N", From: swing.Computed}, swing.Step{Symbol: "H2", Name: "holds at the most", Value: float64(h.Most), Unit: "N", From: swing.Computed})
	words := fmt.Sprintf("it holds %.0f to %.0f N, and the design load is %.0f N; %s", float64(h.Least), float64(h.Most), needN, h.From)
	if h.Least == h.Most {
		words = fmt.Sprintf("it holds %.0f N, and the design load is %.0f N; %s", float64(h.Least), needN, h.From)
	}
	have := float64(h.Least)
	switch {
	case have >= needN:
		v.Fits = geo.Known(true)
	case float64(h.Most) < needN:
		have, v.Fits = float64(h.Most), geo.Known(false)
	default:
		words += ": how well it is buried has to be known, by a pull on it or by a diver's look; lines.holding of harbor.json can say what such anchors hold here"
	}
	v.Has, v.Spare, v.Note = geo.Known(have), geo.Known(have-needN), words
	return v
}

// strengthVerdict: the working load of what was left at the last inspection. Where that is not on record a part passes only if it would at the diameter at which it has to be put away.
func strengthVerdict(p *geo.Part, own geo.Lines, needN float64, load swing.Step) Verdict {
	v := Verdict{Constraint: ByStrength, Of: string(p.Kind), Unit: "N", Needs: geo.Known(needN), Working: []swing.Step{load}}
	s, err := tackle.Of(*p, own)
	if err != nil {
		v.Note = err.Error()
		return v
	}
	left, known := p.LeftRatio.Get()
	share := tackle.Left(p.Kind, left)
	if !known {
		share = 1
	}
	haveN := float64(s.Working) * share
	v.Has, v.Spare = geo.Known(haveN), geo.Known(haveN-needN)
	v.Working = append(v.Working, swing.Step{Symbol: "W", Name: "working load as new", Formula: s.From, Value: float64(s.Working), Unit: "N", From: swing.Computed}, swing.Step{Symbol: "s", Name: "share of it that is left", Value: share, From: swing.OnRecord})
	v.Note = fmt.Sprintf("it works at %.0f N (%s), and the design load is %.0f N", haveN, s.From, needN)
	switch {
	case known && left < tackle.PoorRatio && !tackle.IsRope(p.Kind):
		v.Fits = geo.Known(false)
		v.Note = fmt.Sprintf("%.0f %% of its diameter is left: at %.0f %% it is to be put away", left*100, tackle.PoorRatio*100)
	case haveN < needN:
		v.Fits = geo.Known(false)
	case known || float64(s.Working)*tackle.Left(p.Kind, tackle.PoorRatio) >= needN:
		v.Fits = geo.Known(true)
	default:
		v.Working[len(v.Working)-1].From, v.Working[len(v.Working)-1].Note = swing.Assumed, "no inspection is on record: as new"
		v.Note += "; it would do as new, but not when worn, and what was left at its last inspection is not on record"
	}
	return v
}

// row is what the harbor's own table asks for her.
func (c *judgement) row() (geo.TackleRow, bool) {
	t, ok := c.f.harbor.Defaults.Lines.TableFor(c.m.Area)
	loa, known := c.boat.LOA.Get()
	if !ok || !known {
		return geo.TackleRow{}, false
	}
	return t.For(loa)
}

// table holds the tackle against the harbor's own table.
func (c *judgement) table() {
	t, ok := c.f.harbor.Defaults.Lines.TableFor(c.m.Area)
	if !ok {
		return
	}
	loa, known := c.boat.LOA.Get()
	row, found := t.For(loa)
	switch {
	case !known:
		c.add(unknown(ByTable, t.Name, NotOnRecord, "loa_m"))
		return
	case !found:
		v := unknown(ByTable, t.Name, BeyondTable)
		v.Note = "the table ends below this length: ask the harbormaster"
		c.add(v)
		return
	}
	kg := func(p *geo.Part) geo.Maybe[float64] {
		w, known := p.Weight.Get()
		if !known {
			return geo.Maybe[float64]{}
		}
		return geo.Known(float64(w))
	}
	mm := func(m geo.Maybe[geo.Metres]) geo.Maybe[float64] {
		v, known := m.Get()
		if !known {
			return geo.Maybe[float64]{}
		}
		return geo.Known(float64(v) * 1000)
	}
	anchorKg := geo.Maybe[float64]{}
	if w, known := row.Anchor.Get(); known {
		anchorKg = geo.Known(float64(w) * float64(max(1, row.Anchors)))
	}
	size := func(p *geo.Part) geo.Maybe[float64] { return mm(p.Size) }
	for _, x := range []struct {
		kind geo.PartKind
		need geo.Maybe[float64]
		unit string
		have func(p *geo.Part) geo.Maybe[float64]
	}{{geo.Anchor, anchorKg, "kg", kg}, {geo.GroundChain, mm(row.GroundChain), "mm", size}, {geo.TopChain, mm(row.TopChain), "mm", size}, {geo.Pennant, mm(row.Pennant), "mm", size}} {
		if need, asked := x.need.Get(); asked {
			c.add(c.byTable(t, x.kind, need, x.unit, x.have))
		}
	}
}

// asked is the verdict on one part by the table. A hair is allowed for sizes in inches told in millimetres.
func (c *judgement) byTable(t geo.TackleTable, kind geo.PartKind, needRatio float64, unit string, of func(p *geo.Part) geo.Maybe[float64]) Verdict {
	v := Verdict{Constraint: ByTable, Of: string(kind), Needs: geo.Known(needRatio), Unit: unit}
	for i := range c.m.Tackle {
		p := &c.m.Tackle[i]
		have, known := of(p).Get()
		if p.Kind != kind || !known {
			continue
		}
		const hairRatio = 0.97
		v.Fits, v.Has, v.Spare = geo.Known(have >= hairRatio*needRatio), geo.Known(have), geo.Known(have-needRatio)
		v.Note = fmt.Sprintf("%s asks %.4g %s for her length, and %.4g %s is laid", t.Name, needRatio, unit, have, unit)
		return v
	}
	v.Missing, v.Reason, v.Note = []string{string(kind) + "_size"}, NotOnRecord, t.Name
	return v
}
