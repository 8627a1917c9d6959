package network

// Past gives the tasks that may not start before hold has finished: those whose
// start is reached from the finish of hold in the graph that has a start and a
// finish for every task, an edge from start to finish inside each, and an edge
// for every link between its proper ends. Lags do not count, and links to tasks
// that are not among tasks lead nowhere. A task that only has to finish after
// hold is not past it: it may start. O(tasks + links).
func Past(tasks []string, links []Link, hold string) map[string]bool {
	place := make(map[string]int, len(tasks))
	for i, id := range tasks {
		place[id] = i
	}
	past := map[string]bool{}
	from, known := place[hold]
	if !known {
		return past
	}
	// Node 2i is the start of task i, 2i+1 its finish.
	edges := make([][]int, 2*len(tasks))
	for i := range tasks {
		edges[2*i] = append(edges[2*i], 2*i+1)
	}
	for k := range links {
		a, okA := place[links[k].From]
		b, okB := place[links[k].To]
		if !okA || !okB {
			continue
		}
		code := codeOf(&links[k])
		out, in := 2*a+int(code&fromFinish), 2*b+int(code&toFinish>>1)
		edges[out] = append(edges[out], in)
	}
	seen := make([]bool, len(edges))
	queue := []int{2*from + 1}
	seen[queue[0]] = true
	for len(queue) > 0 {
		node := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if node%2 == 0 {
			past[tasks[node/2]] = true
		}
		for _, next := range edges[node] {
			if !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return past
}
