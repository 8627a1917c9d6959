package method

import (
	"fmt"
	"slices"
	"strings"
)

// needs returns the positions of the rules that a rule reads, each once.
func (n names) needs(i int) []int {
	var out []int
	for _, p := range n.rule[i].Parts {
		for _, f := range p.Factors {
			if k, known := n.rules[f.OfRule]; known && f.OfRule != "" && !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	return out
}

// order returns the positions of the rules, each after what it reads, and the
// circles in which there is no such order, each once. O(rules and references).
func (n names) order() (order []int, circles [][]int) {
	const fresh, open, closed = 0, 1, 2
	state := make([]int, len(n.rule))
	var path []int
	var visit func(i int)
	visit = func(i int) {
		state[i] = open
		path = append(path, i)
		for _, k := range n.needs(i) {
			switch state[k] {
			case fresh:
				visit(k)
			case open:
				circles = append(circles, slices.Clone(path[slices.Index(path, k):]))
			}
		}
		path = path[:len(path)-1]
		state[i] = closed
		order = append(order, i)
	}
	for i := range n.rule {
		if state[i] == fresh {
			visit(i)
		}
	}
	return order, circles
}

// noCircles names the rules of each circle.
func (n names) noCircles(r *reader, at string) {
	_, circles := n.order()
	for _, circle := range circles {
		keys := make([]string, 0, len(circle)+1)
		for _, i := range append(circle, circle[0]) {
			keys = append(keys, n.rule[i].Key)
		}
		r.f.Add(fmt.Sprintf("%s/rules/%d", at, circle[0]), "these rules run in a circle: %s", strings.Join(keys, " needs "))
	}
}
