// Package tackle tells how strong the parts of a mooring are, as new and as they were left at their last inspection, what an anchor holds,
// and what a harbor's own table asks by the length of the boat.
//
// A part is judged by its working load: the pull that its makers allow again and again, a fraction of that at which it breaks. It holds for
// new, undamaged gear in a straight pull.
package tackle

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"swingroom/geo"
	"swingroom/geo/rode"
)

// Strength is that of a part as new.
type Strength struct {
	Working geo.Newtons `json:"working_n"`
	Break   geo.Newtons `json:"break_n"`
	From    string      `json:"from"` // which table, and what was assumed
}

// rated is a row of a table: a size and its working load.
type rated struct{ sizeM, workingN float64 }

// inches makes rows of sizes in inches and working loads in pounds force.
func inches(sizeLb ...float64) (rows []rated) {
	for i := 0; i+1 < len(sizeLb); i += 2 {
		rows = append(rows, rated{sizeLb[i] * geo.MetresPerFoot / 12, float64(geo.PoundsForce(sizeLb[i+1]))})
	}
	return rows
}

// Working loads of chain by grade, inches and pounds, as printed by the trade (1st Chain Supply, WLL chart, which agrees with the chain
// makers' association); grade 30 and 70 break at four times that, grade 43 at three.
var chains = map[int][]rated{
	30: inches(1.0/4, 1300, 5.0/16, 1900, 3.0/8, 2650, 7.0/16, 3700, 1.0/2, 4500, 5.0/8, 6900, 3.0/4, 10600, 1, 17900),
	43: inches(1.0/4, 2600, 5.0/16, 3900, 3.0/8, 5400, 7.0/16, 7200, 1.0/2, 9200, 5.0/8, 13000, 3.0/4, 20200, 7.0/8, 24500, 1, 30000),
	70: inches(1.0/4, 3150, 5.0/16, 4700, 3.0/8, 6600, 7.0/16, 8750, 1.0/2, 11300, 5.0/8, 15800, 3.0/4, 24700),
}

// breakRatios are breaking over working load, by grade.
var breakRatios = map[int]float64{30: 4, 43: 3, 70: 4}

// Carbon steel bow shackles by the diameter of the bow, inches and pounds, design factor 6 (certifiedslings.com, load limits of shackles).
var shackles = inches(1.0/4, 1000, 5.0/16, 1500, 3.0/8, 2000, 7.0/16, 3000, 1.0/2, 4000, 5.0/8, 6500, 3.0/4, 9500, 7.0/8, 13000, 1, 17000,
	9.0/8, 19000, 5.0/4, 24000)

// Regular galvanised swivels, inches and pounds, design factor 5; from memory.
var swivels = inches(1.0/2, 3600, 5.0/8, 5200, 3.0/4, 7200)

// ropeWorkingRatio is the share of the pull at which a rope breaks that is asked of it again and again: common practice, no source.
const ropeWorkingRatio = 1.0 / 5

// StrengthOf finds the strength of a part as new. Errors: geo.FieldError of geo.ErrUnknown naming what is not on record, by the fields of
// moorings.csv.
func StrengthOf(p geo.Part, own geo.Lines) (Strength, error) {
	size, known := p.Size.Get()
	if !known {
		return Strength{}, partUnknown(&p, "_size", "not on record", "its size is needed for its strength")
	}
	switch p.Kind {
	case geo.GroundChain, geo.TopChain:
		return Chain(size, gradeOf(p.Material))
	case geo.Shackle:
		return fitting("bow shackle", shackles, 6, size, "carbon steel, design factor 6")
	case geo.Swivel:
		return fitting("swivel", swivels, 5, size, "regular galvanised, from memory")
	case geo.Pennant, geo.Rope, geo.Elastic:
		if strings.TrimSpace(p.Material) == "" {
			return Strength{}, partUnknown(&p, "_material", "not on record", "what it is made of is needed for its strength")
		}
		return ropeStrength(&p, own, size)
	}
	return Strength{}, partUnknown(&p, "", "not on record", "its strength is not known")
}

func partUnknown(p *geo.Part, field, got, want string) error {
	return &geo.FieldError{Noun: "part", Name: string(p.Kind), Field: string(p.Kind) + field, Got: got, Want: want, Kind: geo.ErrUnknown}
}

var gradePattern = regexp.MustCompile(`(?i)(?:grade|g)\s*-?\s*(\d{2})\b`)

// gradeOf reads the grade of a chain in what it is said to be made of; 0 where it does not say.
func gradeOf(material string) int {
	if m := gradePattern.FindStringSubmatch(material); m != nil {
		n, _ := strconv.Atoi(m[1])
		return n
	}
	return 0
}

// Chain is the strength of chain by the diameter of its wire and its grade, 30, 43 or 70; 0 is not known and taken as 30, the weakest.
// Between two sizes of the table it goes by the square of the diameter from the smaller one. geo.ErrUnknown for other grades and thinner
// wire.
func Chain(size geo.Metres, grade int) (Strength, error) {
	note := fmt.Sprintf("chain of grade %d, working load as printed by the trade", grade)
	if grade == 0 {
		grade, note = 30, "chain taken as grade 30, the weakest, working load as printed by the trade"
	}
	rows, known := chains[grade]
	if !known {
		return Strength{},
			&geo.FieldError{Noun: "chain", Name: fmt.Sprintf("grade %d", grade), Field: "grade", Got: strconv.Itoa(grade),
				Want: "30, 43 or 70 is known", Kind: geo.ErrUnknown}
	}
	return fitting("chain", rows, breakRatios[grade], size, note)
}

// fitting looks a size up in a table; breakRatio is its breaking over its working load.
func fitting(name string, rows []rated, breakRatio float64, size geo.Metres, note string) (Strength, error) {
	found := rowFor(rows, size)
	if found < 0 {
		return Strength{},
			&geo.FieldError{Noun: name, Field: "size_m", Got: fmt.Sprintf("%.4g mm", float64(size)*1000),
				Want: fmt.Sprintf("the table begins at %.4g mm", rows[0].sizeM*1000), Kind: geo.ErrUnknown}
	}
	workingN := workingLoadN(rows, found, size)
	return Strength{Working: geo.Newtons(workingN), Break: geo.Newtons(workingN * breakRatio), From: note}, nil
}

// rowFor is the row of the largest size in a table that is no larger than a part's; -1 where the table begins with a larger one.
func rowFor(rows []rated, size geo.Metres) int {
	const roundingM = 4e-4 // a metric size stands for the next one in inches: 13 mm for a half
	found := -1
	for i, r := range rows {
		if float64(size) >= r.sizeM-roundingM {
			found = i
		}
	}
	return found
}

// workingLoadN goes by the square of the size from that of a row, up to that of the next.
func workingLoadN(rows []rated, row int, size geo.Metres) float64 {
	workingN := rows[row].workingN
	over := float64(size) / rows[row].sizeM
	if over <= 1 {
		return workingN
	}
	workingN *= over * over
	if row == len(rows)-1 {
		return workingN
	}
	return math.Min(workingN, rows[row+1].workingN)
}

// ropeStrength is that of rope by the harbor's own table, and else by that built in.
func ropeStrength(p *geo.Part, own geo.Lines, size geo.Metres) (Strength, error) {
	for i := range own.Ropes {
		r := &own.Ropes[i]
		if r.BreakN.IsKnown() && strings.Contains(strings.ToLower(p.Material), strings.ToLower(r.Material)) {
			return strengthOfRope(r, size, " by the harbor's own table, a fifth of its break"), nil
		}
	}
	kind, err := rode.RopeOf(nil, p.Material)
	if err != nil {
		return Strength{}, partUnknown(p, "_material", fmt.Sprintf("%q", p.Material),
			"its strength is not known; lines.ropes of harbor.json can say at what it breaks")
	}
	return strengthOfRope(&kind, size, ", a fifth of its break; common figures"), nil
}

// strengthOfRope goes by the square of the diameter from that of its kind.
func strengthOfRope(kind *geo.RopeKind, size geo.Metres, from string) Strength {
	breakN := kind.BreakN.Or(0) * float64(size*size) / float64(kind.Size*kind.Size)
	return Strength{Working: geo.Newtons(breakN * ropeWorkingRatio), Break: geo.Newtons(breakN), From: kind.Material + from}
}

// Wear by the share of a wire's diameter that is left: good, fair, or to be put away (NAVFAC MO-124, August 1987, section 6.2.2).
const (
	GoodRatio = 0.90
	PoorRatio = 0.80
)

// RemainingStrength is the share of its strength that a part has at the share that is left of it: of chain and fittings the square of the
// diameter's, since it goes by the area of the wire; of rope the share itself.
func RemainingStrength(kind geo.PartKind, leftRatio float64) (ratio float64) {
	if IsRope(kind) {
		return leftRatio
	}
	return leftRatio * leftRatio
}

// IsRope reports a part of rope, which is not measured by a wire's diameter.
func IsRope(kind geo.PartKind) bool {
	return kind == geo.Pennant || kind == geo.Rope || kind == geo.Elastic
}
