package api

import "slices"

func p(name, doc string) param { return param{name: name, doc: doc} }

// pathParams are the parameters that stand in a path.
var pathParams = []param{
	{name: "number", doc: "Number painted on the buoy.", inPath: true},
	{name: "search", doc: "Name of the search, from its first event.", inPath: true},
	{name: "noun", doc: "mooring, owner, waiting, note, area or harbor.", inPath: true},
	{name: "name", doc: "Number or name; that of a note is its id.", inPath: true},
	{name: "photo", doc: "Name of the picture, as the service gave it: a SHA-256 in hexadecimal.", inPath: true},
}

var (
	bboxParam = p("bbox", "Only what touches the box west,south,east,north in degrees; west greater than east crosses the antimeridian.")
	areaParam = p("area", "Name of the area.")
	fromParam = p("from", "From when: RFC 3339, or a date with hour and minute in UTC; now unless given.")
)

// Parameters that several routes share.
var (
	// dimensionParams are the lengths of a boat, as office.Dimensions takes them.
	dimensionParams = []param{
		p("loa_m", "Length overall of the boat, metres."),
		p("length_all_m", "Length with everything fixed to the boat, metres."),
		p("beam_m", "Beam, metres; where the area lies in unison, the hull is tried by it."),
		p("boat_kind", "What the boat is: sloop, work boat, ...; by it the boat has a rig or none."),
		p("draft_m", "Draft, metres."),
		p("bow_height_m", "Height from the waterline to where the pennant is made fast, metres."),
	}
	// boatParams are a boat with whose it is, as office.Boat.
	boatParams = slices.Concat([]param{p("boat", "Name of the boat."), p("owner", "Owner of the boat.")}, dimensionParams)
	// statedParams are what is tried with a boat, as office.Stated.
	statedParams = []param{
		p("rode_m", "Another rode, tried with the boat, metres; of its parts then nothing is known."),
		p("radius_m", "A swing radius stated for the boat, metres."),
	}
	// groundParams are the tackle that is laid, as office.Ground.
	groundParams = []param{
		p("rode_m", "Length of the rode that is laid, metres."),
		p("scope", "Or the rode over the height from bed to bow at the high level: it is then cut to the place."),
		p("tackle_of", "Or the number of a mooring whose tackle is laid, with all its parts."),
	}
	// rulesParams are rules that are tried, as office.Rules.
	rulesParams = []param{
		p("rule", "A rule of swing radius tried in place of the area's."),
		p("margin_m", "A margin tried in place of the area's, metres."),
		p("lying", "independent or in_unison, tried in place of the area's."),
	}
	// roomParams are whom room is looked for, and where, as office.RoomQuestion.
	roomParams = slices.Concat([]param{
		p("area", "Name of the area in which a place is looked for."),
		p("radius_m", "A stated swing radius, metres, where the area asks for one."),
		p("without", "Numbers of moorings whose water is taken to be free, with commas."),
		p("mark", "A position from which places are told by distance and bearing."),
	}, groundParams, rulesParams, dimensionParams)
	// changeParams are another rule or tackle for an area, as office.ChangeQuestion.
	changeParams = slices.Concat([]param{
		areaParam,
		p("scope", "Every rode of the area cut to this many times the height from bed to bow at the high level."),
		p("elastic", "An elastic line of this material, by lines.ropes of harbor.json, in place of every chain."),
		p("elastic_ratio", "Its length over the water at the high level; 1.25 unless given."),
	}, rulesParams)
	// weatherParams are one weather, as office.WeatherQuestion.
	weatherParams = []param{
		p("wind_from_deg", "True direction from which the wind blows, degrees; 0 unless given."),
		p("wind_kn", "Mean wind, knots; 0 unless given."),
		p("gust", "Gust over mean wind, from 1 to 3; 1 unless given."),
		p("stream_to_deg", "True direction towards which the stream sets, degrees; 0 unless given."),
		p("stream_kn", "Stream, knots; 0 unless given."),
		p("level", "Water level: low, high, now (by the harbor's tide), or metres above chart datum; low unless given."),
	}
	// paperParams are how a document is printed, as onPaper.
	paperParams = []param{
		p("scale", "Scale of the chart, such as 2500 or 1:2500; chosen so that it fits unless given."),
		sizeParam,
	}
	sizeParam = p("paper", "Size of the paper; by the harbor's units unless given: letter for feet, a4 for metres.")
	// authorParams are those that every act has, as office.Author.
	authorParams = []param{
		p("who", "Who does it, for the record."), p("why", "Why, for the record."),
		p("despite", "Why it is done although the fit check does not say that it fits; without it such an act is refused."),
		p("revision", "The revision of the harbor that was looked at; refused where it has changed since. Without it the check alone "+
			"decides."),
	}
	listParams = []param{p("units", "feet or metres; the harbor's own unless given.")}
)

// of are the parameters of an act, with those that every act has.
func of(params ...[]param) []param { return append(slices.Concat(params...), authorParams...) }
