package clearance

import (
	"cmp"
	"math"
	"slices"

	"swingroom/geo"
	"swingroom/geo/swing"
)

// Reasons of a verdict on a neighbour.
const (
	Overlaps     Reason = "overlaps"      // circles, or hulls in unison, overlap
	InsideMargin Reason = "inside_margin" // they keep apart, but by less than the margin
	KeepsApart   Reason = "keeps_apart"
	MayReach     Reason = "may_reach" // something of the neighbour is not on record, and it could reach so far
)

// neighboursTold is how many neighbours that keep clear are told besides all that do not: one to each side, as a rule.
const neighboursTold = 4

// except is the place of the mooring on file whose number is judged; -1: none has it.
func (j *judgement) except() int {
	if i, ok := j.f.number[j.m.Number]; ok {
		return i
	}
	return -1
}

// isRemoved reports a mooring that is taken away for the question.
func (j *judgement) isRemoved(i int32) bool {
	return len(j.without) > 0 && slices.Contains(j.without, j.f.harbor.Moorings[i].Number)
}

// neighbours holds the circle against every other that can come within the margins, and the hull where both lie in unison; then tells of a
// few more that keep clear.
func (j *judgement) neighbours() {
	except := j.except()
	var told []Verdict
	var near []int32
	for _, pair := range j.f.index.Conflicts(*j.circle, except, nil) {
		if j.isRemoved(pair.B) {
			continue
		}
		near = append(near, pair.B)
		if v, ok := j.pair(pair); ok {
			told = append(told, v)
		}
	}
	slices.SortStableFunc(told, func(a, b Verdict) int { return cmp.Compare(a.Spare.Or(0), b.Spare.Or(0)) })
	for _, v := range told {
		j.add(v)
	}
	if !j.brief {
		j.clearNeighbours(except, near)
	}
}

// pair is the verdict on one pair whose circles come near; told is false where the two keep clear and only what is not kept is noted.
func (j *judgement) pair(pair Pair) (v Verdict, told bool) {
	judge := j.f.judge
	if j.brief {
		judge = j.f.conflict
	}
	k, is := judge(pair, j.pairSide, j.f.pairSide(int(pair.B)))
	if j.brief && !is {
		return v, false
	}
	return j.neighbour(pair, k), true
}

// clearNeighbours tells of a few neighbours that keep clear, besides those that are told already.
func (j *judgement) clearNeighbours(except int, told []int32) {
	for _, n := range j.f.byGap(j.m.Position, j.circle, except, neighboursTold+len(told)+len(j.without)) {
		if slices.Contains(told, n.Index) || j.isRemoved(n.Index) {
			continue
		}
		gapM := n.DistanceM - j.circle.RadiusM - j.f.index.at[n.Index].RadiusM
		pair := Pair{-1, n.Index, n.DistanceM, -gapM}
		k := judge(pair, j.circle, &j.f.index.at[n.Index], j.m.Number, j.f.harbor.Moorings[n.Index].Number)
		k.Lying = geo.Independent // so far apart how they lie does not matter
		j.add(j.neighbour(pair, k))
	}
}

// neighbour is the verdict on one pair that is judged.
func (j *judgement) neighbour(pair Pair, k Conflict) Verdict {
	v := Verdict{Constraint: ByNeighbour, Of: j.f.harbor.Moorings[pair.B].Number, Lying: k.Lying, Unison: k.Unison, At: geo.Known(k.At)}
	gapM := -k.OverlapM
	v.figures(gapM, k.MarginM, "m")
	switch {
	case gapM < 0:
		v.Reason = Overlaps
	case k.State != Clear:
		v.Reason = InsideMargin
	default:
		v.Reason = KeepsApart
	}
	if k.State == Clear {
		v.Fits = geo.Known(true)
	} else if v.Certainty, v.Bound = k.Certainty, k.Bound; !k.Bound {
		v.Fits = geo.Known(false)
	}
	if !j.brief {
		v.Working = append(v.Working, j.pairSteps(pair, k)...)
	}
	return v
}

// pairSteps are the figures of a verdict on a pair.
func (j *judgement) pairSteps(pair Pair, k Conflict) []swing.Step {
	steps := []swing.Step{step("D", "between the anchors", "", pair.DistanceM), step("R1", "swing radius here", "", j.circle.RadiusM),
		step("R2", "swing radius of "+j.f.harbor.Moorings[pair.B].Number, "", j.f.index.at[pair.B].RadiusM),
		step("G", "gap between the circles", "D - R1 - R2", -pair.OverlapM)}
	if k.Lying == geo.InUnison {
		steps = append(steps, step("U", "least gap between the hulls", "over all design weathers", -k.OverlapM))
	}
	return append(steps, step("M", "margin", "", k.MarginM))
}

// outerNeighbours tells of neighbours whose record lacks something: what bounds them is only likely, and as far as they could reach at the
// most nobody can say that they keep clear.
func (j *judgement) outerNeighbours() {
	for _, pair := range j.f.outer.Conflicts(*j.circle, j.except(), nil) {
		if !j.isRemoved(pair.B) && !j.f.meets(*j.circle, pair) { // else it is told as one that comes too near already
			j.add(j.outerNeighbour(pair))
		}
	}
}

// outerNeighbour is the verdict on a neighbour that could reach the circle.
func (j *judgement) outerNeighbour(pair Pair) Verdict {
	outer := &j.f.outer.at[pair.B]
	v := unknown(ByNeighbour, j.f.harbor.Moorings[pair.B].Number, MayReach, j.f.swings[pair.B].Missing...)
	if len(v.Missing) == 0 {
		v.Missing = []string{"area"}
	}
	v.Bound, v.Certainty = true, Possible
	v.figures(-pair.OverlapM, max(j.circle.MarginM, outer.MarginM), "m")
	if !j.brief || j.inReport {
		v.Working = append(v.Working, step("D", "between the anchors", "", pair.DistanceM),
			step("R1", "swing radius here", "", j.circle.RadiusM),
			step("R2", "the farthest that the other could reach", "", outer.RadiusM))
	}
	return v
}

// meets reports whether a circle conflicts with the mooring's own circle, so that the pair is judged as any other.
func (f *Field) meets(c Circle, pair Pair) bool {
	other := &f.index.at[pair.B]
	return other.RadiusM > 0 && pair.DistanceM < c.RadiusM+other.RadiusM+max(c.MarginM, other.MarginM)
}

// byGap gives the k moorings with a circle whose circles come nearest to one, by the gap between them. It looks at more of the nearest
// anchors until no farther one can come nearer, however wide its circle.
func (f *Field) byGap(p geo.Position, c *Circle, except, k int) []Found {
	gapM := func(x Found) float64 { return x.DistanceM - c.RadiusM - f.index.at[x.Index].RadiusM }
	for count := 4*k + 8; ; count *= 3 {
		all := f.index.Nearest(p, count, nil)
		complete := len(all) < count
		farthestM := math.Inf(1)
		if !complete {
			farthestM = all[len(all)-1].DistanceM - c.RadiusM - f.widestM
		}
		all = slices.DeleteFunc(all, func(x Found) bool { return int(x.Index) == except || f.index.at[x.Index].RadiusM <= 0 })
		slices.SortStableFunc(all, func(a, b Found) int { return cmp.Compare(gapM(a), gapM(b)) })
		if complete || len(all) >= k && gapM(all[k-1]) <= farthestM {
			return all[:min(k, len(all))]
		}
	}
}
