package api

import (
	"slices"

	"swingroom/api/account"
	"swingroom/api/office"
)

// nothing is what a question takes that takes no values.
type nothing struct{}

var serviceRoutes = []route{
	{path: "/healthz", name: "health", summary: "Whether the service answers, and for which harbors.", handler: gives[Health](health)},
	{path: "/openapi.json", name: "description", summary: "This description.", handler: gives[map[string]any](openAPI)},
	{path: "/api/harbors", name: "harbors", summary: "The harbors on file.", handler: gives[HarborList](harbors)},
	{path: "/api/searches/{search}/stop", acts: true, role: account.Crew, name: "stop_search",
		summary: "Stops a search, which then answers with the best so far.", handler: gives[nothing](stopSearch)},
}

var accountRoutes = []route{
	{path: "/api/me", name: "me", summary: "Who asks, and what they may do.", handler: gives[Me](me)},
	{path: "/api/sign-in", acts: true, role: account.Public, name: "sign_in",
		summary: "Begins a session, whose cookie comes with the answer.", handler: answers(signIn),
		params: []param{p("name", "Name of the account."), p("password", "Its password.")}},
	{path: "/api/sign-out", acts: true, role: account.Public, name: "sign_out", summary: "Ends the session.",
		handler: gives[nothing](signOut)},
	{path: "/api/password", acts: true, role: account.Crew, name: "set_password",
		summary: "Gives the account that asks another password, and ends its other sessions.", handler: takes(setOwnPassword),
		params: []param{p("old", "The password that holds now."), p("new", "The one that is to hold: 12 to 128 characters of any kind.")}},
	{path: "/api/accounts", role: account.Harbormaster, name: "accounts", summary: "The accounts.", handler: byHand(answers(accounts))},
	{path: "/api/accounts", acts: true, role: account.Harbormaster, name: "set_account",
		summary: "Makes an account, or changes what is given of one and ends its sessions.", handler: byHand(takes(setAccount)),
		params: []param{p("name", "Name of the account; with role and password a new one is made where there is none."),
			p("role", "crew, yard or harbormaster."), p("password", "Another password."),
			p("disabled", "true keeps it from signing in, false lets it again.")}},
	{path: "/api/sign-ins/failed", role: account.Harbormaster, name: "failed_sign_ins", summary: "The sign-ins that failed last.",
		handler: byHand(answers(failedSignIns))},
	{path: "/api/tokens", role: account.Harbormaster, name: "tokens", summary: "The tokens of scripts and maps.",
		handler: byHand(answers(tokens))},
	{path: "/api/tokens", acts: true, role: account.Harbormaster, name: "set_token",
		summary: "Makes a token and tells its secret, this once; or revokes one.", handler: byHand(makes[Secret](takes(setToken))),
		params: []param{p("name", "Name of the token; it stands in the history as who did it."), p("role", "crew, yard or harbormaster."),
			p("expires", "The last day on which it holds, such as 2027-03-31 (UTC)."), p("revoke", "true ends the token of that name.")}},
}

var harborRoutes = []route{
	{path: "", scoped: true, name: "harbor", summary: "One harbor: levels, bounds, areas, counts.", handler: ask(summary)},
	{path: "/check", scoped: true, name: "check", summary: "All troubles, and what could not be checked, worst first.",
		handler: ask((*office.Harbor).Check), params: []param{p("kind",
			"Only troubles of these kinds, with commas: conflict, hazard, tackle, limit, record; unsaid for what cannot be said.")}},
	{path: "/find", scoped: true, name: "find", summary: "Moorings by number, boat or position.", handler: ask((*office.Harbor).Find),
		params: []param{p("q", "A number, a boat's name, or a position in any form that people paste."),
			p("k", "How many moorings near a position; 5 unless given, at most 100.")}},
	{path: "/weather", scoped: true, name: "weather", handler: takes(weather), params: weatherParams,
		summary: "The field as it lies in one weather: hulls, gaps under the margin, boats that cannot be laid."},
	{path: "/swinging", scoped: true, name: "swinging", handler: ask((*office.Harbor).Swinging),
		summary: "The field as it swings while the wind shifts once round the compass, or over half a day of tide.",
		params:  slices.Concat([]param{p("play", "shift or tide; shift unless given."), fromParam}, weatherParams)},
	{path: "/tide", scoped: true, name: "tide", summary: "Predicted levels, high and low waters; weather is not in them.",
		handler: ask((*office.Harbor).Tide), params: []param{fromParam, p("hours", "How many hours; 25 unless given, at most 744.")}},
	{path: "/area_chart.pdf", scoped: true, name: "area_chart_pdf", media: pdfType, handler: takes(areaChartPDF),
		summary: "The chart of an area with its swing circles, true to scale; in tiles where it does not fit on a page.",
		params:  slices.Concat([]param{p("area", "Name of the area; empty for the moorings that are in none.")}, paperParams)},
	{path: "/changes", scoped: true, name: "changes", media: eventStream, handler: plain(streamChanges),
		summary: "Tells of every change as it is made, as a stream of server-sent events."},
}

var mooringRoutes = []route{
	{path: "/moorings/{number}", scoped: true, name: "mooring", handler: gives[office.Sheet](sheet),
		summary: "One mooring with the working of its radius, its neighbours, conflicts and hazards."},
	{path: "/moorings/{number}/fit", scoped: true, name: "fit", handler: askMooring((*office.Harbor).Fit),
		summary: "Whether a boat fits on a mooring: one verdict a constraint, and where it does not, remedies that have been proved. " +
			"The boat that lies there is checked unless another's length is given.",
		params: slices.Concat(boatParams, statedParams)},
	{path: "/moorings/{number}/reach", scoped: true, name: "reach", handler: askMooring((*office.Harbor).Reach),
		summary: "How one boat lies over levels and winds, by the statics of its tackle.",
		params: []param{
			p("levels", "Levels: low, high, now or metres above chart datum, with commas; low, the middle and high unless given."),
			p("winds_kn", "Mean winds in knots, with commas."), p("gust", "Gust over mean wind; that of the area unless given."),
			p("stream_kn", "Stream along the wind, knots; 0 unless given.")}},
	{path: "/moorings/{number}/sheet.pdf", scoped: true, name: "sheet_pdf", media: pdfType, handler: takes(sheetPDF),
		summary: "The sheet of a mooring to be put in the file and signed: a chart extract true to scale, the working of its radius, " +
			"what is assumed.",
		params: slices.Concat([]param{p("reason", "Why the mooring is assigned, to be printed."),
			p("fit", "true: with the fit check of the boat that lies there; with another boat's length, of that.")},
			statedParams, paperParams, dimensionParams)},
	{path: "/moorings/{number}/history.pdf", scoped: true, role: account.Crew, name: "history_pdf", media: pdfType,
		handler: takes(historyPDF), params: []param{sizeParam},
		summary: "The history of a mooring to be printed: who changed what, when and why, the last 500 acts."},
	{path: "/trial", scoped: true, name: "trial", handler: ask((*office.Harbor).Try),
		summary: "A boat tried on a mooring or at a position; nothing is saved.",
		params: slices.Concat([]param{p("number", "The mooring on which the boat is tried."),
			p("position", "The position of a new mooring, in any form."),
			p("rode_m", "Length of the rode, metres; needed at a position."), p("radius_m", "A stated swing radius, metres."),
			p("area", "Area of the new mooring; the one in which it lies unless given.")}, dimensionParams)},
	{path: "/largest", scoped: true, name: "largest", handler: askContext(largest),
		summary: "The longest boat that each mooring can take by its water."},
	{path: "/places", scoped: true, name: "places", handler: ask((*office.Harbor).Places), params: dimensionParams,
		summary: "The vacant moorings, each tried for a boat; those that fit come first."},
}

var roomRoutes = []route{
	{path: "/spots", scoped: true, name: "spots", handler: askContext((*office.Harbor).Spots),
		summary: "The best places for one more boat in an area, each with the proof that none is better; or where the boat fails by " +
			"least, and what would free a place.",
		params: slices.Concat([]param{p("count", "How many places; 5 unless given, at most 50."),
			p("apart_m", "How far from each other at least, metres; 20 unless given.")}, roomParams)},
	{path: "/open_water", scoped: true, name: "open_water", handler: takes(openWater), params: roomParams,
		summary: "The whole water of an area in which the anchor of one more boat may stand."},
	{path: "/spot", scoped: true, name: "spot", handler: ask((*office.Harbor).Spot),
		summary: "How one more boat would do at a place: clearances only, at once.",
		params:  slices.Concat([]param{p("position", "Where the anchor would stand, in any form.")}, roomParams)},
	{path: "/waiting", scoped: true, role: account.Crew, name: "waiting", handler: search((*office.Harbor).Waiting),
		summary: "The waiting list held against the vacant moorings and some openings, and assigned as a whole.",
		params: slices.Concat([]param{
			p("open", "Positions at which a mooring may be set, with semicolons: each is held against the list like a vacant mooring."),
			p("area", "Area of these openings; that in which each lies unless given.")}, groundParams)},
	{path: "/capacity", scoped: true, role: account.Crew, name: "capacity", handler: search((*office.Harbor).Capacity),
		summary: "How many more boats of a class an area takes, where, and a number that no layout can beat.",
		params: slices.Concat([]param{p("layout", "as_is, moved, hexagonal, square or free; as_is unless given."),
			p("move", "Numbers of moorings that are laid again, with commas, for layout moved.")}, roomParams)},
	{path: "/what_if", scoped: true, role: account.Crew, name: "what_if", handler: ask((*office.Harbor).WhatIf), params: changeParams,
		summary: "An area as it is beside the same area under another rule or tackle; nothing is saved."},
	{path: "/what_if/moorings", scoped: true, role: account.Crew, name: "what_if_moorings", handler: takes(changedMoorings),
		params: changeParams, summary: "Every mooring as it would be with such a change."},
	{path: "/what_if/gained", scoped: true, role: account.Crew, name: "what_if_gained", handler: search((*office.Harbor).CapacityGain),
		summary: "How many more boats of a class the area takes with such a change than without it.",
		params: slices.Concat([]param{
			p("like", "Number of the mooring whose boat and tackle make the class; the area's middle boat by length unless given."),
		}, changeParams)},
}

var recordRoutes = []route{
	{path: "/records/{noun}/{name}", scoped: true, role: account.Crew, name: "record", handler: gives[office.Record](record),
		summary: "One thing on record, with the fields that the asker may set and the tag by which it is changed."},
	{path: "/search", scoped: true, role: account.Crew, name: "search_records", handler: ask((*office.Harbor).Search),
		summary: "Everything on record that has the words in it: moorings, boats, owners, notes, those who wait.",
		params: []param{p("q", "Words, each of which has to stand in it; case and accents do not count."),
			p("limit", "How many results; 20 unless given, at most 50.")}},
	{path: "/history", scoped: true, role: account.Crew, name: "history", handler: askContext((*office.Harbor).History),
		summary: "Who has changed what, when and why, field by field, newest first.",
		params: []param{p("noun", "Only of one noun: mooring, owner, waiting, note, area, keep_out or harbor."),
			p("name", "And of one thing, by number or name."), p("before", "Only changes before the one of this id, for the next page."),
			p("limit", "How many; 50 unless given, at most 500.")}},
	{path: "/photos", scoped: true, acts: true, takes: "image/*", role: account.Crew, name: "add_photo",
		handler: gives[KeptPhoto](addPhoto),
		summary: "Keeps a picture (JPEG, PNG or WebP, at most 12 MB and 50 megapixels), upright, at most 2048 pixels long and without " +
			"the camera's records, for a note that will name it."},
	{path: "/photos/{photo}", scoped: true, role: account.Crew, name: "photo", summary: "One picture.", media: photoType,
		handler: plain(showPhoto)},
}

var actRoutes = []route{
	{path: "/acts/edit", scoped: true, acts: true, role: account.Crew, name: "edit", handler: act((*office.Harbor).Edit),
		summary: "Sets single fields of one thing on record; which ones depends on the role.",
		params: of([]param{p("noun", "mooring, owner, waiting, note, area or harbor."),
			p("name", "Number or name; that of a note is its id, and a harbor's is empty."),
			{name: "set", object: true, doc: "Fields by their paths, each with its new value: " +
				`{"boat.name": "Wren", "tackle[2].inspected": "2026-05-01"}. ` +
				"null makes a field unknown, and takes a member out of a list."},
			p("new", "true: it is made, and must not be there yet."), p("remove", "true: it is taken away; its history stays.")})},
	{path: "/acts/note", scoped: true, acts: true, role: account.Crew, name: "write_note", handler: act((*office.Harbor).Note),
		summary: "Writes a note down, with pictures that have been sent before.",
		params: of([]param{p("mooring", "Number of the mooring; without it the note is about the harbor at large."),
			p("text", "What is noted."), p("photos", "Pictures that have been sent before, by their SHA-256, with commas.")})},
	{path: "/acts/undo", scoped: true, acts: true, role: account.Crew, name: "undo", handler: undo, params: of(),
		summary: "Takes back the asker's own last act, as a new act."},
	{path: "/acts/propose", scoped: true, acts: true, role: account.Yard, name: "propose", handler: act((*office.Harbor).Propose),
		summary: "Notes down a swap or ring for the harbormaster to decide, with what the fit check says of it; nobody's place changes.",
		params:  ringParams},
	{path: "/acts/place", scoped: true, acts: true, name: "place", handler: act((*office.Harbor).Place),
		summary: "Sets a new mooring at a position, with a boat or vacant, after the full check.",
		params: of([]param{p("position", "Where the anchor is set, in any form."),
			p("area", "Name of the area; the one in which it lies unless given."),
			p("number", "Number of the new mooring; the next free one by the area's own numbering unless given."),
			p("radius_m", "A stated swing radius, metres, where the area asks for one."),
			p("waiting", "Name on the waiting list: its boat is placed and leaves the list."),
			p("vacant", "true: the mooring is set vacant and keeps the water of a boat of that length and draft.")},
			groundParams, boatParams)},
	{path: "/acts/assign", scoped: true, acts: true, name: "assign", handler: act((*office.Harbor).Assign),
		summary: "Assigns a vacant mooring to a boat, typed or of the waiting list, after the fit check.",
		params: of([]param{p("number", "The mooring."),
			p("waiting", "Name on the waiting list: its boat gets the mooring and leaves the list."),
			p("replace", "true: the boat that lies there leaves. Without it an occupied mooring is refused.")}, boatParams)},
	{path: "/acts/vacate", scoped: true, acts: true, name: "vacate", handler: act((*office.Harbor).Vacate),
		summary: "Lets a boat leave its mooring.",
		params: of([]param{p("number",
			"The mooring that its boat leaves. It keeps the water of the largest boat that is set for it, or else of this one.")})},
	{path: "/acts/ring", scoped: true, acts: true, name: "ring", handler: act((*office.Harbor).Ring), params: ringParams,
		summary: "Swaps the boats of two moorings, moves boats round a ring of them, or a boat to a vacant one; all of it or nothing."},
	{path: "/acts/anchor", scoped: true, role: account.Crew, acts: true, name: "move_anchor", handler: act((*office.Harbor).Move),
		summary: "Sets the anchor of a mooring at another place.",
		params: of([]param{p("number", "The mooring whose anchor is moved."), p("position", "Where to, in any form."),
			p("accuracy_m", "Accuracy of the position, metres; as survey of the new place, 0 unless given.")})},
	{path: "/acts/remedy", scoped: true, acts: true, name: "take_remedy", handler: act((*office.Harbor).TakeRemedy),
		summary: "Carries out a remedy of the fit check, with all that it changes, after the check has been made again.",
		params: of([]param{p("number", "The mooring on which the boat was tried."), p("remedy",
			"The id of the remedy that is taken, as the fit check told it; refused where the check does not tell it any more.")},
			boatParams, statedParams)},
	{path: "/acts/retire", scoped: true, acts: true, name: "retire", handler: act((*office.Harbor).Retire),
		summary: "Gives up a mooring on which no boat lies; its history stays.",
		params:  of([]param{p("number", "The mooring that is given up. Its history stays.")})},
}

var ringParams = of([]param{p("ring", "Numbers of moorings with commas: the boat of each goes to the next, that of the last to the first. "+
	"The last may be vacant: then the boats only move up, and the first is vacant.")})
