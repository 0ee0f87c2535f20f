package rode

// Forces are those on a boat from abeam and along her: of a wind of 1 m/s, which grow with the square of its
// speed, and of the stream that [DragsOf] was given.
type Forces struct {
	WindAbeamN, WindAlongN     float64
	StreamAbeamN, StreamAlongN float64
}

// Forces are what her poses follow from.
func (d Drags) Forces() Forces {
	return Forces{d.sideAtOneN, d.frontAtOneN, d.sideStreamN, d.alongStreamN}
}
