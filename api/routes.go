package api

import (
	"reflect"
	"strings"

	"swingroom/api/account"
	"swingroom/geo/clearance"
	"swingroom/geo/room"
	"swingroom/geo/swing"
)

// param is a parameter of a route.
type param struct {
	name   string
	doc    string
	inPath bool
	object bool // of an act: an object of values, and not a plain one
}

// route is one path with what it takes and gives: both the router and the description of the service are made from it.
type route struct {
	path    string // under the harbor when scoped
	scoped  bool   // it is about one harbor: /api/harbors/{harbor}/..., or /api/... for the only one
	name    string
	summary string
	params  []param
	gives   reflect.Type // of a JSON answer; nil for GeoJSON
	media   string       // of an answer that is neither
	acts    bool         // it is posted, with its parameters as a JSON object, and may change what is on file
	takes   string       // media type of what is posted, where that is no JSON
	role    account.Role // who at least may ask; unless given the harbormaster for acts, and the public for what is read
	do      func(*request) error
}

func (r route) serve(q *request) error {
	if r.acts && r.takes == "" {
		if err := q.body(r.params); err != nil {
			return err
		}
		return r.do(q)
	}
	if err := q.allow(r.params); err != nil {
		return err
	}
	return r.do(q)
}

// patterns are the paths of a route for the router.
func (r route) patterns() []string {
	if !r.scoped {
		return []string{r.path}
	}
	short := "/api" + r.path
	if r.path == "" {
		short = "/api/harbor"
	}
	return []string{"/api/harbors/{harbor}" + r.path, short}
}

func (r route) allParams() []param {
	if strings.Contains(r.path, "{number}") {
		return append([]param{{name: "number", doc: "Number painted on the buoy.", inPath: true}}, r.params...)
	}
	if strings.Contains(r.path, "{search}") {
		return append([]param{{name: "search", doc: "Name of the search, from its first event.", inPath: true}}, r.params...)
	}
	if strings.Contains(r.path, "{noun}") {
		return append([]param{{name: "noun", doc: "mooring, owner, waiting, note, area or harbor.", inPath: true},
			{name: "name", doc: "Number or name; that of a note is its id.", inPath: true}}, r.params...)
	}
	return r.params
}

var (
	bboxParam = param{name: "bbox", doc: "Only what touches the box west,south,east,north in degrees; west greater than east crosses " +
		"the antimeridian."}
	boatParams = []param{
		{name: "loa_m", doc: "Length overall of the boat, metres."},
		{name: "length_all_m", doc: "Length with everything fixed to her, metres."},
		{name: "beam_m", doc: "Beam, metres; where the area lies in unison, her hull is tried by it."},
		{name: "boat_kind", doc: "What she is: sloop, work boat, ...; by it she has a rig or none."},
		{name: "draft_m", doc: "Draft, metres."},
		{name: "bow_height_m", doc: "Height from the waterline to where the pennant is made fast, metres."},
	}
)

var changeParams = []param{
	{name: "area", doc: "Name of the area."}, {name: "rule", doc: "Another rule of swing radius."},
	{name: "margin_m", doc: "Another margin, metres."}, {name: "lying", doc: "independent or in_unison."},
	{name: "scope", doc: "Every rode of the area cut to this many times the height from bed to bow at the high level."},
	{name: "elastic", doc: "An elastic line of this material, by lines.ropes of harbor.json, in place of every chain."},
	{name: "elastic_ratio", doc: "Its length over the water at the high level; 1.25 unless given."},
}

// routes are all paths that answer with data.
func routes() []route {
	list := []route{
		{path: "/healthz", name: "health", summary: "Whether the service answers, and for which harbors.", gives: reflect.TypeFor[Health](),
			do: (*request).health},
		{path: "/openapi.json", name: "description", summary: "This description.", gives: reflect.TypeFor[map[string]any](),
			do: (*request).openAPI},
		{path: "/api/me", name: "me", summary: "Who asks, and what they may do.", gives: reflect.TypeFor[Me](), do: (*request).me},
		{path: "/api/sign-in", acts: true, role: account.Public, name: "sign_in",
			summary: "Begins a session, whose cookie comes with the answer.", gives: reflect.TypeFor[Me](), do: (*request).signIn,
			params: signInParams},
		{path: "/api/sign-out", acts: true, role: account.Public, name: "sign_out", summary: "Ends the session.",
			gives: reflect.TypeFor[struct{}](), do: (*request).signOut},
		{path: "/api/password", acts: true, role: account.Crew, name: "set_password",
			summary: "Gives the account that asks another password, and ends its other sessions.", gives: reflect.TypeFor[struct{}](),
			do: (*request).setOwnPassword, params: passwordParams},
		{path: "/api/accounts", role: account.Harbormaster, name: "accounts", summary: "The accounts.",
			gives: reflect.TypeFor[AccountList](), do: (*request).accounts},
		{path: "/api/accounts", acts: true, role: account.Harbormaster, name: "set_account",
			summary: "Makes an account, or changes what is given of one and ends its sessions.", gives: reflect.TypeFor[struct{}](),
			do: (*request).setAccount, params: accountParams},
		{path: "/api/sign-ins/failed", role: account.Harbormaster, name: "failed_sign_ins", summary: "The sign-ins that failed last.",
			gives: reflect.TypeFor[FailedSignIns](), do: (*request).failedSignIns},
		{path: "/api/tokens", role: account.Harbormaster, name: "tokens", summary: "The tokens of scripts and maps.",
			gives: reflect.TypeFor[TokenList](), do: (*request).tokens},
		{path: "/api/tokens", acts: true, role: account.Harbormaster, name: "set_token",
			summary: "Makes a token and tells its secret, this once; or revokes one.", gives: reflect.TypeFor[Secret](),
			do: (*request).setToken, params: tokenParams},
		{path: "/api/harbors", name: "harbors", summary: "The harbors on file.", gives: reflect.TypeFor[HarborList](),
			do: (*request).harbors},
		{path: "", scoped: true, name: "harbor", summary: "One harbor: levels, bounds, areas, counts.",
			gives: reflect.TypeFor[HarborInfo](), do: (*request).harborInfo},
		{path: "/check", scoped: true, name: "check", summary: "All troubles, and what could not be checked, worst first.",
			gives: reflect.TypeFor[clearance.Report](), do: (*request).check,
			params: []param{{name: "kind", doc: "Only troubles of these kinds, with commas: conflict, hazard, tackle, limit, record; " +
				"unsaid for what cannot be said."}}},
		{path: "/moorings/{number}", scoped: true, name: "mooring",
			summary: "One mooring with the working of its radius, its neighbours, conflicts and hazards.", gives: reflect.TypeFor[Sheet](),
			do: (*request).sheet},
		{path: "/find", scoped: true, name: "find", summary: "Moorings by number, boat or position.", gives: reflect.TypeFor[Found](),
			do: (*request).find,
			params: []param{{name: "q", doc: "A number, a boat's name, or a position in any form that people paste."},
				{name: "k", doc: "How many moorings near a position; 5 unless given, at most 100."}}},
		{path: "/trial", scoped: true, name: "trial", summary: "A boat tried on a mooring or at a position; nothing is saved.",
			gives: reflect.TypeFor[Trial](), do: (*request).trial,
			params: append([]param{{name: "number", doc: "The mooring on which the boat is tried."},
				{name: "position", doc: "The position of a new mooring, in any form."},
				{name: "rode_m", doc: "Length of the rode, metres; needed at a position."},
				{name: "radius_m", doc: "A stated swing radius, metres."},
				{name: "area", doc: "Area of the new mooring; the one in which it lies unless given."}}, boatParams...)},
		{path: "/moorings/{number}/fit", scoped: true, name: "fit",
			summary: "Whether a boat fits on a mooring: one verdict a constraint, and where she does not, ways out that have been " +
				"proved. The boat that lies there is checked unless another's length is given.", gives: reflect.TypeFor[room.Fitting](),
			do: (*request).fit,
			params: append([]param{{name: "rode_m", doc: "Another rode, tried with her, metres; of its parts then nothing is known."},
				{name: "radius_m", doc: "A swing radius stated for her, metres."}}, boatParams...)},
		{path: "/largest", scoped: true, name: "largest", summary: "The longest boat that each mooring can take by its water.",
			gives: reflect.TypeFor[Largest](), do: (*request).largest},
		{path: "/places", scoped: true, name: "places", summary: "The vacant moorings, each tried for a boat; those that fit come first.",
			gives: reflect.TypeFor[Places](), do: (*request).places, params: boatParams},
		{path: "/moorings/{number}/reach", scoped: true, name: "reach",
			summary: "How one boat lies over levels and winds, by the statics of her tackle.", gives: reflect.TypeFor[swing.Reaches](),
			do: (*request).reach,
			params: []param{{name: "levels", doc: "Levels: low, high, now or metres above chart datum, with commas; low, the middle and " +
				"high unless given."}, {name: "winds_kn", doc: "Mean winds in knots, with commas."},
				{name: "gust", doc: "Gust over mean wind; that of her area unless given."},
				{name: "stream_kn", doc: "Stream along the wind, knots; 0 unless given."}}},
		{path: "/moorings/{number}/sheet.pdf", scoped: true, name: "sheet_pdf",
			summary: "The sheet of a mooring to be put in the file and signed: a chart extract true to scale, the working of its " +
				"radius, what is assumed.", media: pdfType, do: (*request).sheetPDF, params: sheetParams},
		{path: "/moorings/{number}/history.pdf", scoped: true, role: account.Crew, name: "history_pdf",
			summary: "The history of a mooring to be printed: who changed what, when and why, the last 500 acts.", media: pdfType,
			do: (*request).historyPDF, params: []param{paperParams[1]}},
		{path: "/area_chart.pdf", scoped: true, name: "area_chart_pdf",
			summary: "The chart of an area with its swing circles, true to scale; in tiles where it does not fit on a page.",
			media:   pdfType, do: (*request).areaChartPDF,
			params: append([]param{{name: "area", doc: "Name of the area; empty for the moorings that are in none."}}, paperParams...)},
		{path: "/spots", scoped: true, name: "spots",
			summary: "The best places for one more boat in an area, each with the proof that none is better; or where she fails by " +
				"least, and what would free a place.", gives: reflect.TypeFor[Spots](), do: (*request).spots,
			params: append([]param{{name: "count", doc: "How many places; 5 unless given, at most 50."},
				{name: "apart_m", doc: "How far apart at least, metres; 20 unless given."}}, roomParams...)},
		{path: "/open_water", scoped: true, name: "open_water",
			summary: "The whole water of an area in which the anchor of one more boat may stand.", do: (*request).roomRegion,
			params: roomParams},
		{path: "/spot", scoped: true, name: "spot", summary: "How one more boat would do at a place: clearances only, at once.",
			gives: reflect.TypeFor[room.Spot](), do: (*request).tryPlace,
			params: append([]param{{name: "position", doc: "Where the anchor would stand, in any form."}}, roomParams...)},
		{path: "/waiting", scoped: true, role: account.Crew, name: "waiting",
			summary: "The waiting list held against the vacant moorings and some openings, and served as a whole.",
			gives:   reflect.TypeFor[room.Assignments](), do: (*request).waiting, params: waitingParams},
		{path: "/capacity", scoped: true, role: account.Crew, name: "capacity",
			summary: "How many more boats of a class an area takes, where, and a number that no layout can beat.",
			gives:   reflect.TypeFor[room.Capacity](), do: (*request).capacity,
			params: append([]param{{name: "layout", doc: "as_is, moved, hexagonal, square or free; as_is unless given."},
				{name: "move", doc: "Numbers of moorings that are laid again, with commas, for layout moved."}}, roomParams...)},
		{path: "/what_if", scoped: true, role: account.Crew, name: "what_if",
			summary: "An area as it is beside the same area under another rule or tackle; nothing is saved.",
			gives:   reflect.TypeFor[room.WhatIf](), do: (*request).whatIf, params: changeParams},
		{path: "/what_if/moorings", scoped: true, role: account.Crew, name: "what_if_moorings",
			summary: "Every mooring as it would be with such a change.", do: (*request).whatIfCircles, params: changeParams},
		{path: "/what_if/gained", scoped: true, role: account.Crew, name: "what_if_gained",
			summary: "How many more boats of a class the area takes with such a change than without it.",
			gives:   reflect.TypeFor[room.CapacityGain](), do: (*request).whatIfGained,
			params: append([]param{{name: "like", doc: "Number of the mooring whose boat and tackle make the class; the area's middle " +
				"boat by length unless given."}}, changeParams...)},
		{path: "/records/{noun}/{name}", scoped: true, role: account.Crew, name: "record",
			summary: "One thing on record, with the fields that the asker may set and the tag by which it is changed.",
			gives:   reflect.TypeFor[Record](), do: (*request).record},
		{path: "/search", scoped: true, role: account.Crew, name: "search_records",
			summary: "Everything on record that has the words in it: moorings, boats, owners, notes, those who wait.",
			gives:   reflect.TypeFor[Records](), do: (*request).searchRecords, params: searchParams},
		{path: "/history", scoped: true, role: account.Crew, name: "history",
			summary: "Who has changed what, when and why, field by field, newest first.", gives: reflect.TypeFor[History](),
			do: (*request).history, params: historyParams},
		{path: "/changes", scoped: true, name: "changes",
			summary: "Tells of every change as it is made, as a stream of server-sent events.", media: eventStream, do: (*request).changes},
		{path: "/acts/edit", scoped: true, acts: true, role: account.Crew, name: "edit",
			summary: "Sets single fields of one thing on record; which ones depends on the role.", gives: reflect.TypeFor[Acted](),
			do: (*request).edit, params: editParams},
		{path: "/photos", scoped: true, acts: true, takes: "image/*", role: account.Crew, name: "add_photo",
			summary: "Keeps a picture (JPEG, PNG or WebP, at most 12 MB and 50 megapixels), upright, at most 2048 pixels long and " +
				"without the camera's records, for a note that will name it.", gives: reflect.TypeFor[Photographed](),
			do: (*request).addPhoto},
		{path: "/photos/{photo}", scoped: true, role: account.Crew, name: "photo", summary: "One picture.", media: photoType,
			do: (*request).showPhoto, params: []param{photoParam}},
		{path: "/acts/note", scoped: true, acts: true, role: account.Crew, name: "write_note",
			summary: "Writes a note down, with pictures that have been sent before.", gives: reflect.TypeFor[Acted](), do: (*request).note,
			params: noteParams},
		{path: "/acts/undo", scoped: true, acts: true, role: account.Crew, name: "undo",
			summary: "Takes back the asker's own last act, as a new act.", gives: reflect.TypeFor[Acted](), do: (*request).undo,
			params: actParams},
		{path: "/acts/propose", scoped: true, acts: true, role: account.Yard, name: "propose",
			summary: "Notes down a swap or ring for the harbormaster to decide, with what the fit check says of it; nobody's place changes.", gives: reflect.TypeFor[Acted](), do: (*request).propose, params: ringParams},
		{path: "/acts/place", scoped: true, acts: true, name: "place",
			summary: "Sets a new mooring at a position, with a boat or vacant, after the full check.", gives: reflect.TypeFor[Acted](),
			do: (*request).place, params: placeParams},
		{path: "/acts/assign", scoped: true, acts: true, name: "assign",
			summary: "Gives a vacant mooring to a boat, typed or of the waiting list, after the fit check.",
			gives:   reflect.TypeFor[Acted](), do: (*request).assign, params: assignParams},
		{path: "/acts/vacate", scoped: true, acts: true, name: "vacate", summary: "Lets a boat leave her mooring.",
			gives: reflect.TypeFor[Acted](), do: (*request).vacate, params: vacateParams},
		{path: "/acts/ring", scoped: true, acts: true, name: "ring",
			summary: "Swaps the boats of two moorings, moves boats round a ring of them, or a boat to a vacant one; all of it or nothing.",
			gives:   reflect.TypeFor[Acted](), do: (*request).ring, params: ringParams},
		{path: "/acts/anchor", scoped: true, role: account.Crew, acts: true, name: "move_anchor",
			summary: "Sets the anchor of a mooring at another place.", gives: reflect.TypeFor[Acted](), do: (*request).moveAnchor,
			params: anchorParams},
		{path: "/acts/remedy", scoped: true, acts: true, name: "take_remedy",
			summary: "Carries out a way out of the fit check, with all that it changes, after the check has been made again.",
			gives:   reflect.TypeFor[Acted](), do: (*request).takeRemedy, params: remedyParams},
		{path: "/acts/retire", scoped: true, acts: true, name: "retire",
			summary: "Gives up a mooring on which no boat lies; its history stays.", gives: reflect.TypeFor[Acted](), do: (*request).retire,
			params: retireParams},
		{path: "/api/searches/{search}/stop", acts: true, role: account.Crew, name: "stop_search",
			summary: "Stops a search, which then answers with the best so far.", gives: reflect.TypeFor[struct{}](),
			do: (*request).stopSearch},
		{path: "/weather", scoped: true, name: "weather",
			summary: "The field as it lies in one weather: hulls, gaps under the margin, boats that cannot be laid.", params: weatherParams,
			do: (*request).inWeather},
		{path: "/swinging", scoped: true, name: "swinging",
			summary: "The field as it swings while the wind shifts once round the compass, or over half a day of tide.",
			gives:   reflect.TypeFor[Swinging](), do: (*request).swinging,
			params: append([]param{{name: "play", doc: "shift or tide; shift unless given."},
				{name: "from", doc: "For a tide, from when: RFC 3339, or a date with hour and minute in UTC; now unless given."}},
				weatherParams...)},
		{path: "/tide", scoped: true, name: "tide", summary: "Predicted levels, high and low waters; weather is not in them.",
			gives: reflect.TypeFor[TideTable](), do: (*request).tide,
			params: []param{{name: "from", doc: "From when: RFC 3339, or a date with hour and minute in UTC; now unless given."},
				{name: "hours", doc: "How many hours; 25 unless given, at most 744."}}},
	}
	list = append(list, listRoutes()...)
	for _, c := range collections() {
		list = append(list, route{path: "/" + c.name, scoped: true, name: c.name, summary: c.summary, params: []param{bboxParam}, do: c.do})
	}
	return list
}

// collection is a GeoJSON answer: a list of features, whole or within a box.
type collection struct {
	name     string
	summary  string
	features func(s *snapshot, f *features, b *bbox)
}

func collections() []collection {
	return []collection{
		{"moorings", "Every mooring: anchor, boat, radius, state.", addMoorings},
		{"circles", "Swing circles as polygons, for show: the corners lie on the circle, so a polygon is a little smaller than its circle.",
			addCircles},
		{"areas", "Areas with their rules.", addAreas},
		{"fairways", "Fairways and closed water.", addKeepOuts},
		{"shoreline", "Land, and shore known as a line.", addShoreline},
		{"depth_lines", "Depth lines, metres below chart datum.", addDepthLines},
		{"depth_areas", "Areas between depth lines, metres below chart datum.", addDepthAreas},
		{"soundings", "Soundings, metres below chart datum.", addSoundings},
		{"conflicts", "Conflicts, worst first, as lines from anchor to anchor.", addConflicts},
		{"hazards", "Hazards, worst first, each where it is worst.", addHazards},
	}
}

const geoJSONType = "application/geo+json"

// do answers the whole collection from what is ready, and a part of it as it is asked for.
func (c collection) do(q *request) error {
	s, err := q.harbor()
	if err != nil {
		return err
	}
	b, err := q.bbox()
	if err != nil {
		return err
	}
	if b == nil {
		q.write(s.whole(c.name, func() *answer { return newAnswer(geoJSONType, c.body(s, nil)) }))
		return nil
	}
	q.write(newAnswer(geoJSONType, c.body(s, b)))
	return nil
}

func (c collection) body(s *snapshot, b *bbox) []byte {
	f := newFeatures(b)
	c.features(s, f, b)
	return f.end()
}
