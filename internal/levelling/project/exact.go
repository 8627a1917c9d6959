package project

import (
	"cmp"
	"slices"
)

// tree is a search that leaves nothing out: at each node all activities start as
// early as the distances allow; where that needs more of a resource than there is,
// some activity of the smallest set that does must wait for another of it, and
// each such order is tried (minimal critical sets, Bartusch, Möhring and
// Radermacher 1988; depth first with the least delay first as De Reyck and
// Herroelen 1998). A node counts as one schedule.
type tree struct {
	p     *Project
	pairs [][2]int32
	best  int32 // only schedules below are of interest
	start []int32
	nodes float64
	limit float64
	stack []*distances
	used  []int32
}

// exhaust searches below best, for at most limit nodes; all is true when nothing
// was left out. starts is nil when no schedule below best was found.
func exhaust(p *Project, root *distances, pairs [][2]int32, best int32, limit float64) (starts []int32, nodes float64, all bool) {
	t := &tree{p: p, pairs: pairs, best: best, limit: limit, used: make([]int32, len(p.Capacities))}
	all = t.visit(0, root)
	return t.start, t.nodes, all
}

// visit returns false when the limit cut something off.
func (t *tree) visit(depth int, d *distances) bool {
	if t.nodes >= t.limit {
		return false
	}
	t.nodes++
	if d.length() >= t.best || !d.within(t.best-1) || !d.settle(t.pairs, t.p.Durations) {
		return true
	}
	set := t.conflict(d)
	if set == nil {
		t.best = d.length()
		t.start = make([]int32, len(t.p.Durations))
		for i := range t.start {
			t.start[i] = d.at(d.start(), int32(i))
		}
		return true
	}
	all := true
	if depth == len(t.stack) {
		t.stack = append(t.stack, d.clone())
	}
	child := t.stack[depth]
	for _, o := range t.orders(set, d) {
		child.copyFrom(d)
		if child.add(o[0], o[1], t.p.Durations[o[0]]) && !t.visit(depth+1, child) {
			all = false
			if t.nodes >= t.limit {
				return false
			}
		}
	}
	return all
}

// conflict is a smallest set of activities that run side by side at the first
// time when more of a resource is needed than there is; nil when there is no such time.
func (t *tree) conflict(d *distances) []int32 {
	var found []int32
	at := int32(1 << 30)
	for i := range t.p.Durations {
		from := d.at(d.start(), int32(i))
		if from >= at || t.p.Durations[i] == 0 {
			continue
		}
		if set := t.over(from, d); set != nil {
			found, at = set, from
		}
	}
	return found
}

// over is a smallest set that needs too much at the instant at.
func (t *tree) over(at int32, d *distances) []int32 {
	var running []int32
	for i, length := range t.p.Durations {
		if s := d.at(d.start(), int32(i)); s <= at && at < s+length {
			running = append(running, int32(i))
		}
	}
	var least []int32
	for k, c := range t.p.Capacities {
		if set := t.fewest(running, k, c); set != nil && (least == nil || len(set) < len(least)) {
			least = set
		}
	}
	return least
}

// fewest are the activities with the greatest needs of resource k that together
// pass c, with what is not needed for that left out; nil when all together do not.
func (t *tree) fewest(running []int32, k int, c int32) []int32 {
	set := slices.Clone(running)
	slices.SortFunc(set, func(a, b int32) int {
		return cmp.Or(cmp.Compare(t.p.Needs[b][k], t.p.Needs[a][k]), cmp.Compare(a, b))
	})
	var sum int32
	for h, i := range set {
		if sum += t.p.Needs[i][k]; sum > c {
			return set[:h+1]
		}
	}
	return nil
}

// orders are the pairs of set, first to second, that are still possible: the one
// that delays the end least first.
func (t *tree) orders(set []int32, d *distances) [][2]int32 {
	var out [][2]int32
	for _, i := range set {
		for _, j := range set {
			if i != j && d.mayPrecede(i, j, t.p.Durations) {
				out = append(out, [2]int32{i, j})
			}
		}
	}
	delay := func(o [2]int32) int32 {
		from := d.at(d.start(), o[0]) + t.p.Durations[o[0]]
		return max(from+d.at(o[1], d.end()), d.length())*64 + from - d.at(d.start(), o[1])
	}
	slices.SortStableFunc(out, func(a, b [2]int32) int { return cmp.Compare(delay(a), delay(b)) })
	return out
}
