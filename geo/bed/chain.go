package bed

import (
	"cmp"
	"slices"

	"swingroom/geo"
)

// chain joins directed pieces into lines and rings.
type chain struct {
	next map[node][]node
	into map[node]int // how many pieces end there
}

func newChain() *chain { return &chain{next: map[node][]node{}, into: map[node]int{}} }

func (c *chain) add(a, b node) {
	c.next[a] = append(c.next[a], b)
	c.into[b]++
}

// addOrCancel adds a piece of a border; where the neighbour has added the same one the other way, both vanish.
func (c *chain) addOrCancel(a, b node) {
	if back := c.next[b]; len(back) > 0 {
		if i := slices.Index(back, a); i >= 0 {
			c.next[b] = slices.Delete(back, i, i+1)
			c.into[a]--
			return
		}
	}
	c.add(a, b)
}

// join gives every line, from its loose end on, and then every ring, which ends with its first node again. The order
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
				all = append(all, c.follow(n))
			}
		}
	}
	return all
}

func (c *chain) follow(n node) []node {
	line := []node{n}
	for first := n; ; {
		out := c.next[n]
		if len(out) == 0 {
			return line
		}
		following := out[len(out)-1]
		c.next[n] = out[:len(out)-1]
		c.into[following]--
		n = following
		line = append(line, n)
		if n == first {
			return line
		}
	}
}

// nest sorts rings into polygons: counterclockwise ones are outer rings, the others holes in the smallest outer ring round them.
func nest(rings [][]geo.Offset) [][][]geo.Offset {
	type outer struct {
		polygon [][]geo.Offset
		areaM2  float64
	}
	var outers []outer
	var holes [][]geo.Offset
	for _, r := range rings {
		if len(r) < 4 {
			continue
		}
		const noneM2 = 1e-6 // what rounding leaves of a ring whose places all lie on one line
		switch area := ringAreaM2(r); {
		case area > noneM2:
			outers = append(outers, outer{[][]geo.Offset{r}, area})
		case area < -noneM2:
			holes = append(holes, r)
		}
	}
	slices.SortStableFunc(outers, func(a, b outer) int { return cmp.Compare(a.areaM2, b.areaM2) })
	for _, h := range holes {
		for i := range outers {
			if ringInRing(h, outers[i].polygon[0]) {
				outers[i].polygon = append(outers[i].polygon, h)
				break
			}
		}
	}
	polygons := make([][][]geo.Offset, len(outers))
	for i := range outers {
		polygons[i] = outers[i].polygon
	}
	return polygons
}

func ringAreaM2(ring []geo.Offset) float64 {
	var twice float64
	for i := 1; i < len(ring); i++ {
		twice += turn(ring[0], ring[i-1], ring[i])
	}
	return twice / 2
}

// ringInRing asks the middles of the hole's sides: its corners can lie on the outer ring.
func ringInRing(hole, ring []geo.Offset) bool {
	in := 0
	for i := 1; i < len(hole); i++ {
		if pointInRing(hole[i-1].Plus(hole[i]).Times(0.5), ring) {
			in++
		}
	}
	return 2*in > len(hole)-1
}

func pointInRing(p geo.Offset, ring []geo.Offset) bool {
	inside := false
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if (a.NorthM > p.NorthM) != (b.NorthM > p.NorthM) && (turn(a, b, p) > 0) == (b.NorthM > a.NorthM) {
			inside = !inside
		}
	}
	return inside
}
