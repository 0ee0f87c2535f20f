package bed

import (
	"cmp"
	"math"
	"slices"

	"swingroom/geo"
)

// polylines joins directed pieces into lines and rings.
type polylines struct {
	next map[node][]node
	into map[node]int // how many pieces end there
	at   func(node) geo.Offset
}

func (m *mesh) newPolylines(l limits) *polylines {
	return &polylines{next: map[node][]node{}, into: map[node]int{}, at: func(n node) geo.Offset { return m.place(n, l) }}
}

// add takes a piece from a to b. With the same piece the other way, as along a ridge that lies right at the limit, both vanish.
func (c *polylines) add(a, b node) {
	if a == b {
		return
	}
	if back := c.next[b]; len(back) > 0 {
		if i := slices.Index(back, a); i >= 0 {
			c.next[b] = slices.Delete(back, i, i+1)
			c.into[a]--
			return
		}
	}
	c.next[a] = append(c.next[a], b)
	c.into[b]++
}

// join gives every line, from its loose end on, and every ring, which ends with its first node again; none touches itself. The order
// depends on nothing but the pieces.
func (c *polylines) join() [][]node {
	starts := c.starts()
	var all [][]node
	for _, loose := range []bool{true, false} {
		for _, n := range starts {
			for len(c.next[n]) > 0 && (!loose || c.into[n] < len(c.next[n])) {
				all = c.follow(n, all)
			}
		}
	}
	return all
}

// starts are the nodes from which pieces lead, in an order that depends on nothing but them.
func (c *polylines) starts() []node {
	starts := make([]node, 0, len(c.next))
	for n, out := range c.next {
		if len(out) > 0 {
			starts = append(starts, n)
		}
	}
	slices.SortFunc(starts, func(a, b node) int {
		return cmp.Or(cmp.Compare(a.edge, b.edge), cmp.Compare(a.which, b.which))
	})
	return starts
}

// follow walks from n to where no piece goes on. Where the walk comes back to a node it has closed a ring, which is cut off.
func (c *polylines) follow(n node, all [][]node) [][]node {
	walk := []node{n}
	index := map[node]int{n: 0}
	for len(c.next[n]) > 0 {
		n = c.takeNext(walk)
		if i, again := index[n]; again {
			all = append(all, append(slices.Clone(walk[i:]), n))
			for _, cut := range walk[i+1:] {
				delete(index, cut)
			}
			walk = walk[:i+1]
			continue
		}
		index[n] = len(walk)
		walk = append(walk, n)
	}
	if len(walk) > 1 {
		all = append(all, walk)
	}
	return all
}

// takeNext takes the piece on which a walk goes on. Where there are several it turns to the left as far as it can, so that what touches in
// one place only comes apart there.
func (c *polylines) takeNext(walk []node) node {
	n := walk[len(walk)-1]
	out := c.next[n]
	pick := 0
	if len(out) > 1 && len(walk) > 1 {
		pick = c.leftmost(walk[len(walk)-2], n)
	}
	to := out[pick]
	c.next[n] = slices.Delete(out, pick, pick+1)
	c.into[to]--
	return to
}

// leftmost is the piece from n that turns farthest to the left for one who comes from another node.
func (c *polylines) leftmost(from, n node) (pick int) {
	here := c.at(n)
	heading := here.Sub(c.at(from))
	maxRad := math.Inf(-1)
	for i, o := range c.next[n] {
		if left := leftTurnRad(heading, c.at(o).Sub(here)); left > maxRad {
			pick, maxRad = i, left
		}
	}
	return pick
}

// leftTurnRad is the angle from one direction to another, positive to the left.
func leftTurnRad(from, to geo.Offset) float64 {
	return math.Atan2(orient(geo.Offset{}, from, to), dot(from, to))
}
