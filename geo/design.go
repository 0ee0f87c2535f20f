package geo

import (
	"fmt"
	"math"
)

// Design is the weather for which an area is laid out. What it does not say is assumed.
type Design struct {
	Wind      Maybe[MetresPerSecond] `json:"wind_ms"` // mean speed
	GustRatio Maybe[float64]         `json:"gust"`    // gust over mean speed
	// ScatterDeg is by how much the heading of a boat differs from that of others like it at one moment, to either side, degrees.
	ScatterDeg Maybe[float64] `json:"scatter_deg"`
	// Stream at its strongest, and the direction towards which the flood sets, true; the ebb sets the other way. Both or none.
	Stream    Maybe[MetresPerSecond] `json:"stream_ms"`
	StreamDeg Maybe[float64]         `json:"stream_deg"`
	// CalmOff leaves out the calm at slack water, in which boats that lie in unison otherwise point every way. A boat on which wind and
	// stream all but cancel each other is unsettled all the same, and may lie any way.
	CalmOff bool `json:"calm_off,omitzero"`
}

// What a design that does not say is taken to be; common practice, no source. 42 kn is the storm row of published tables of design loads.
const (
	AssumedWindKn     = 42.0
	AssumedGustRatio  = 1.3
	AssumedScatterDeg = 20.0
)

// MeanWind is the design wind, or the one assumed.
func (d Design) MeanWind() MetresPerSecond { return d.Wind.Or(Knots(AssumedWindKn)) }

// Gust is the gust ratio, or the one assumed.
func (d Design) Gust() float64 { return d.GustRatio.Or(AssumedGustRatio) }

// Scatter is the scatter of heading in degrees, or the one assumed.
func (d Design) Scatter() float64 { return d.ScatterDeg.Or(AssumedScatterDeg) }

// problems notes what is wrong, under the names of the fields of wind and stream.
func (d Design) problems(pr *problems, windField, streamField string) {
	pr.speed(windField+"_kn", d.Wind, MaxWindKn)
	pr.figure("gust", "", d.GustRatio, 1, 3)
	pr.figure("scatter_deg", "°", d.ScatterDeg, 0, 90)
	pr.speed("stream_kn", d.Stream, MaxStreamKn)
	pr.figure(streamField, "°", d.StreamDeg, -360, 360)
	if d.Stream.Or(0) > 0 && !d.StreamDeg.IsKnown() {
		pr.add(streamField, "", "a stream needs the direction towards which the flood sets")
	}
}

// speed notes a known speed outside [0, maxKn]. Speeds are kept in metres per second: their way there and back may cost the last digits.
func (p *problems) speed(field string, v Maybe[MetresPerSecond], maxKn float64) {
	const roundingKn = 1e-9
	if x, known := v.Get(); known && !(x >= 0 && x.Knots() <= maxKn+roundingKn) {
		p.add(field, fmt.Sprintf("%.1f kn", x.Knots()), fmt.Sprintf("it has to lie between 0 and %g kn", maxKn))
	}
}

// The strongest wind and stream that are taken for more than a slip of the pen.
const (
	MaxWindKn   = 150.0
	MaxStreamKn = 12.0
)

// Weather is what a field lies to at one moment.
type Weather struct {
	WindFromDeg float64         `json:"wind_from_deg"` // true direction from which it blows
	Wind        MetresPerSecond `json:"wind_ms"`       // mean speed
	GustRatio   float64         `json:"gust"`          // gust over mean speed; 1: none
	StreamToDeg float64         `json:"stream_to_deg"` // true direction towards which it sets
	Stream      MetresPerSecond `json:"stream_ms"`
	Level       Metres          `json:"level_m"` // above chart datum
}

// Validate returns every FieldError of the weather, joined.
func (w Weather) Validate() error {
	pr := problems{noun: "weather"}
	Design{Wind: Known(w.Wind), GustRatio: Known(w.GustRatio), Stream: Known(w.Stream), StreamDeg: Known(w.StreamToDeg)}.problems(&pr,
		"wind", "stream_to_deg")
	if !(math.Abs(w.WindFromDeg) <= 360) {
		pr.add("wind_from_deg", fmt.Sprintf("%g°", w.WindFromDeg), "expected a direction between 0 and 360")
	}
	pr.within("level_m", Known(w.Level), -20, 30)
	return pr.err()
}
