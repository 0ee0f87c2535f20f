package exchange

import (
	"encoding/json"
	"fmt"
	"strings"

	"swingroom/geo"
)

// harborJSON reads harbor.json over what is on file.
func (r *reader) harborJSON(text []byte) {
	o, ok := r.wholeObject(text)
	if !ok {
		return
	}
	if name, ok := o.text("name"); ok {
		r.h.Name = name
	}
	if units, ok := o.text("units"); ok {
		r.h.Units = geo.Units(strings.ToLower(units))
	}
	for _, part := range harborParts {
		if inner, ok := o.inner(part.key); ok {
			part.read(inner, r.h)
		}
	}
	o.public(&r.h.Public)
	o.reportUnknown()
}

// harborParts are the objects within harbor.json.
var harborParts = []struct {
	key  string
	read func(*object, *geo.Harbor)
}{
	{"levels", (*object).levels},
	{"defaults", (*object).defaults},
	{"lines", func(o *object, h *geo.Harbor) { o.lines(&h.Defaults.Lines) }},
	{"background", (*object).background},
}

// levels takes the levels of the water.
func (o *object) levels(h *geo.Harbor) {
	low, high := figureAt(o, "low", lengths), figureAt(o, "high", lengths)
	datum, _ := o.text("datum")
	if !low.IsKnown() || !high.IsKnown() {
		o.refuse("", "", "both low_m and high_m (or _ft) above chart datum are expected")
	}
	h.Levels = geo.Known(geo.Levels{Datum: datum, Low: low.Or(0), High: high.Or(0)})
	o.reportUnknown()
}

// defaults takes what holds wherever nothing else is set.
func (o *object) defaults(h *geo.Harbor) {
	d := &h.Defaults
	o.rules(&d.Rules)
	replace(&d.Accuracy, figureAt(o, "accuracy", lengths))
	d.ShoreSetback = figureAt(o, "shore_setback", lengths).Or(d.ShoreSetback)
	d.SoundingReach = figureAt(o, "sounding_reach", lengths).Or(d.SoundingReach)
	o.reportUnknown()
}

// background takes the chart that the page shows under the moorings.
func (o *object) background(h *geo.Harbor) {
	url, _ := o.text("url")
	attribution, _ := o.text("attribution")
	good := strings.HasPrefix(url, "http://") || strings.HasPrefix(url, "https://")
	for _, place := range []string{"{z}", "{x}", "{y}"} {
		good = good && strings.Contains(url, place)
	}
	if !good {
		o.refuse("url", url, "an http or https address with {z}, {x} and {y} is expected")
	}
	h.Background = &geo.Background{URL: url, Attribution: attribution}
	o.reportUnknown()
}

// public takes the list of what the public may see beyond the map, in place of that on file.
func (o *object) public(to *[]geo.Shown) {
	raw, ok := o.take("public")
	if !ok {
		return
	}
	var kinds []geo.Shown
	if json.Unmarshal(raw, &kinds) != nil {
		o.refuse("public", shorten(string(raw)), fmt.Sprintf("a list of some of %v is expected", geo.AllShown()))
		return
	}
	if len(kinds) == 0 {
		kinds = nil // the public sees the map, and no more
	}
	*to = kinds
}

// The plain figures among the rules of an area, by their keys.
var (
	ruleRatios = map[string]func(*geo.Rules) *float64{
		"scope":         func(r *geo.Rules) *float64 { return &r.Swing.ScopeRatio },
		"formula_loa":   func(r *geo.Rules) *float64 { return &r.Swing.LOARatio },
		"formula_depth": func(r *geo.Rules) *float64 { return &r.Swing.DepthRatio },
	}
	ruleLengths = map[string]func(*geo.Rules) *geo.Metres{
		"formula_constant": func(r *geo.Rules) *geo.Metres { return &r.Swing.Constant },
		"margin":           func(r *geo.Rules) *geo.Metres { return &r.Margin },
		"keel_margin":      func(r *geo.Rules) *geo.Metres { return &r.KeelMargin },
	}
	designRatios = map[string]func(*geo.Design) *ratio{
		"gust":        func(d *geo.Design) *ratio { return &d.GustRatio },
		"scatter_deg": func(d *geo.Design) *ratio { return &d.ScatterDeg },
		"stream_deg":  func(d *geo.Design) *ratio { return &d.StreamDeg },
	}
)

// rules takes the rules of an area, or of the harbor's defaults, over those given.
func (o *object) rules(rules *geo.Rules) {
	if kind, ok := o.text("rule"); ok {
		rules.Swing = geo.SwingRule{Kind: geo.RuleKind(strings.ToLower(kind))}
	}
	for key, field := range ruleRatios {
		if v, ok := o.number(key, ""); ok {
			*field(rules) = v
		}
	}
	for name, field := range ruleLengths {
		*field(rules) = figureAt(o, name, lengths).Or(*field(rules))
	}
	replace(&rules.LargestLOA, figureAt(o, "largest_loa", lengths))
	replace(&rules.LargestDraft, figureAt(o, "largest_draft", lengths))
	if lying, ok := o.word("lying"); ok {
		rules.Lying = geo.Lying(lying)
	}
	o.design(&rules.Design)
}

// design takes the design weather among the rules.
func (o *object) design(d *geo.Design) {
	replace(&d.Wind, figureAt(o, "design_wind", speeds))
	replace(&d.Stream, figureAt(o, "stream", speeds))
	for key, field := range designRatios {
		if v, ok := o.number(key, ""); ok {
			*field(d) = geo.Known(v)
		}
	}
	o.truth("calm_off", &d.CalmOff)
}
