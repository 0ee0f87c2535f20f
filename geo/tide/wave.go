package tide

import "math"

// wave is a constituent of the tide as the sky makes it: how often each longitude goes into its argument V, and what
// moves its amplitude and phase with the moon's node.
type wave struct {
	sunHour, moon, sun, perigee, sunPerigee int // times T, s, h, p, p1
	constantDeg                             float64
	nodes                                   []nodePower
}

// nodePower is a node factor to a power: f^|times|, times u.
type nodePower struct {
	of    node
	times int
}

func basic(sunHour, moon, sun, perigee, sunPerigee int, constantDeg float64, of node) wave {
	return wave{sunHour, moon, sun, perigee, sunPerigee, constantDeg, []nodePower{{of, 1}}}
}

// argument is V in degrees.
func (w wave) argument(sky longitudes) float64 {
	return float64(w.sunHour)*sky.sunHourDeg + float64(w.moon)*sky.moonDeg + float64(w.sun)*sky.sunDeg +
		float64(w.perigee)*sky.perigeeDeg + float64(w.sunPerigee)*sky.sunPerigeeDeg + w.constantDeg
}

// dailyDeg is the mean advance of V in a day.
func (w wave) dailyDeg() float64 {
	return float64(w.sunHour)*sunHourDaily + float64(w.moon)*moonDaily + float64(w.sun)*sunDaily +
		float64(w.perigee)*perigeeDaily + float64(w.sunPerigee)*sunPerigeeDaily
}

func (w wave) node(o orbit) (fRatio, uRad float64) {
	fRatio = 1
	for _, s := range w.nodes {
		f, u := s.of(o)
		uRad += float64(s.times) * u
		for range max(s.times, -s.times) {
			fRatio *= f
		}
	}
	return fRatio, uRad
}

// times and plus make the compound tides of shallow water, SP98 table 2a: arguments are added, factors
// multiplied.
func (w wave) times(n int) wave {
	many := wave{n * w.sunHour, n * w.moon, n * w.sun, n * w.perigee, n * w.sunPerigee, float64(n) * w.constantDeg, nil}
	for _, s := range w.nodes {
		many.nodes = append(many.nodes, nodePower{s.of, n * s.times})
	}
	return many
}

func (w wave) plus(v wave) wave {
	return wave{
		w.sunHour + v.sunHour, w.moon + v.moon, w.sun + v.sun, w.perigee + v.perigee, w.sunPerigee + v.sunPerigee,
		math.Mod(w.constantDeg+v.constantDeg, 360), append(append([]nodePower(nil), w.nodes...), v.nodes...),
	}
}

// The waves of which compound tides are made.
var (
	waveM2 = basic(2, -2, 2, 0, 0, 0, nodeM2)
	waveS2 = basic(2, 0, 0, 0, 0, 0, nodeNone)
	waveN2 = basic(2, -3, 2, 1, 0, 0, nodeM2)
	waveK1 = basic(1, 0, 1, 0, 0, -90, nodeK1)
)

// waves are NOAA's 37 by name: V and u of SP98 table 2, with T, s, h, p, p1 and a constant in degrees.
var waves = map[string]wave{
	// Long.
	"SA":  basic(0, 0, 1, 0, 0, 0, nodeNone),
	"SSA": basic(0, 0, 2, 0, 0, 0, nodeNone),
	"MM":  basic(0, 1, 0, -1, 0, 0, nodeMm),
	"MF":  basic(0, 2, 0, 0, 0, 0, nodeMf),
	"MSF": waveS2.plus(waveM2.times(-1)), // as NOAA has it: the compound of shallow water, not the small astronomical one
	// Once a day.
	"2Q1": basic(1, -4, 1, 2, 0, 90, nodeO1),
	"Q1":  basic(1, -3, 1, 1, 0, 90, nodeO1),
	"RHO": basic(1, -3, 3, -1, 0, 90, nodeO1),
	"O1":  basic(1, -2, 1, 0, 0, 90, nodeO1),
	"M1":  basic(1, -1, 1, 0, 0, -90, nodeM1), // with Q in u: 201
	"P1":  basic(1, 0, -1, 0, 0, 90, nodeNone),
	"S1":  basic(1, 0, 0, 0, 0, 0, nodeNone),
	"K1":  waveK1,
	"J1":  basic(1, 1, 1, -1, 0, -90, nodeJ1),
	"OO1": basic(1, 2, 1, 0, 0, -90, nodeOO1),
	// Twice a day.
	"2N2":  basic(2, -4, 2, 2, 0, 0, nodeM2),
	"MU2":  basic(2, -4, 4, 0, 0, 0, nodeM2),
	"N2":   waveN2,
	"NU2":  basic(2, -3, 4, -1, 0, 0, nodeM2),
	"M2":   waveM2,
	"LAM2": basic(2, -1, 0, 1, 0, 180, nodeM2),
	"L2":   basic(2, -1, 2, -1, 0, 180, nodeL2),
	"T2":   basic(2, 0, -1, 0, 1, 0, nodeNone),
	"S2":   waveS2,
	"R2":   basic(2, 0, 1, 0, -1, 180, nodeNone),
	"K2":   basic(2, 0, 2, 0, 0, 0, nodeK2),
	"2SM2": waveS2.times(2).plus(waveM2.times(-1)),
	// More often.
	"2MK3": waveM2.times(2).plus(waveK1.times(-1)),
	"M3":   basic(3, -3, 3, 0, 0, 0, nodeM3),
	"MK3":  waveM2.plus(waveK1),
	"MN4":  waveM2.plus(waveN2),
	"M4":   waveM2.times(2),
	"MS4":  waveM2.plus(waveS2),
	"S4":   waveS2.times(2),
	"M6":   waveM2.times(3),
	"S6":   waveS2.times(3),
	"M8":   waveM2.times(4),
}
