package bed

import (
	"cmp"
	"math"
	"slices"

	"swingroom/geo"
)

// chain joins directed pieces into lines and rings.
type chain struct {
	next map[node][]node
	into map[node]int // how many pieces end there
	at   func(node) geo.Offset
}

func newChain(at func(node) geo.Offset) *chain {
	return &chain{next: map[node][]node{}, into: map[node]int{}, at: at}
}

// add takes a piece from a to b. With the same piece the other way, as along a ridge that lies right at the limit, both vanish.
func (c *chain) add(a, b node) {
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
func (c *chain) join() [][]node {
	starts := make([]node, 0, len(c.next))
	for n, out := range c.next {
		if len(out) > 0 {
			starts = append(starts, n)
		}
	}
	slices.SortFunc(starts, func(a, b node) int {
		return cmp.Or(cmp.Compare(a.edge, b.edge), cmp.Compare(a.which, b.which))
	})
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

// follow walks from n to where no piece goes on. Where the walk comes back to a node it has closed a ring, which is cut off.
func (c *chain) follow(n node, all [][]node) [][]node {
	walk := []node{n}
	index := map[node]int{n: 0}
	for len(c.next[n]) > 0 {
		n = c.leave(walk)
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

// leave takes the piece on which a walk goes on. Where there are several it turns to the left as far as it can, so that what touches in
// one place only comes apart there.
func (c *chain) leave(walk []node) node {
	n := walk[len(walk)-1]
	out := c.next[n]
	pick := 0
	if len(out) > 1 && len(walk) > 1 {
		here := c.at(n)
		heading := here.Sub(c.at(walk[len(walk)-2]))
		most := math.Inf(-1)
		for i, o := range out {
			if left := leftTurnRad(heading, c.at(o).Sub(here)); left > most {
				pick, most = i, left
			}
		}
	}
	to := out[pick]
	c.next[n] = slices.Delete(out, pick, pick+1)
	c.into[to]--
	return to
}

// leftTurnRad is the angle from one direction to another, positive to the left.
func leftTurnRad(from, to geo.Offset) float64 {
	return math.Atan2(turn(geo.Offset{}, from, to), from.EastM*to.EastM+from.NorthM*to.NorthM)
}
