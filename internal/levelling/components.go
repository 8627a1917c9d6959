package levelling

// components gives the strongly connected components of the arcs that forward
// picks, with those that back picks leading the other way too (Tarjan, "Depth-
// First Search and Linear Graph Algorithms", 1972). Each has at least one task;
// the order depends on the input alone. O(tasks + links).
func (s *shop) components(forward, back func(*arc) bool) [][]int32 {
	n := len(s.tasks)
	w := &walker{s: s, forward: forward, back: back, index: make([]int32, n), low: make([]int32, n), on: make([]bool, n)}
	for i := range s.tasks {
		if w.index[i] == 0 {
			w.visit(int32(i))
		}
	}
	return w.found
}

type walker struct {
	s             *shop
	forward, back func(*arc) bool
	count         int32
	index, low    []int32
	on            []bool
	stack         []int32
	found         [][]int32
}

func (w *walker) visit(i int32) {
	w.count++
	w.index[i], w.low[i] = w.count, w.count
	w.stack, w.on[i] = append(w.stack, i), true
	for _, k := range w.s.outof[i] {
		if w.forward(&w.s.arcs[k]) {
			w.follow(i, w.s.arcs[k].to)
		}
	}
	if w.back != nil {
		for _, k := range w.s.into[i] {
			if w.back(&w.s.arcs[k]) {
				w.follow(i, w.s.arcs[k].from)
			}
		}
	}
	if w.low[i] != w.index[i] {
		return
	}
	k := len(w.stack) - 1
	for w.stack[k] != i {
		k--
	}
	c := append([]int32(nil), w.stack[k:]...)
	for _, j := range c {
		w.on[j] = false
	}
	w.stack = w.stack[:k]
	w.found = append(w.found, c)
}

func (w *walker) follow(i, j int32) {
	if w.index[j] == 0 {
		w.visit(j)
		w.low[i] = min(w.low[i], w.low[j])
	} else if w.on[j] {
		w.low[i] = min(w.low[i], w.index[j])
	}
}
