package project

// frame is a project in one direction of time, laid out for the schemes. Arcs
// with a lag that is not negative are ahead; the others are maximum lags.
type frame struct {
	duration []int32
	need     [][]uint64
	weight   []float64
	ahead    [][]int32 // predecessors, each once
	lag      [][]int32 // beside ahead: from start to start
	behind   [][]int32
	order    []int32 // topological
	tail     []int32 // least time from the start of an activity to the end of all
	full     []int32
	horizon  int32
	path     int32 // the longest path
}

// lay lays out the project forward, or with every arc turned.
func lay(p *Project, backward bool) (*frame, bool) {
	n := len(p.Durations)
	f := &frame{duration: p.Durations, ahead: make([][]int32, n), lag: make([][]int32, n), behind: make([][]int32, n),
		need: make([][]uint64, n), weight: make([]float64, n), tail: make([]int32, n), full: p.Capacities, horizon: 1}
	for i := range n {
		f.need[i] = pack(p.Needs[i])
		for k, u := range p.Needs[i] {
			if u > 0 {
				f.weight[i] += float64(u) / float64(p.Capacities[k])
			}
		}
		f.horizon += p.Durations[i]
	}
	for _, a := range p.Arcs {
		if a.Lag < 0 {
			continue
		}
		from, to, lag := a.From, a.To, a.Lag
		if backward { // start to start becomes finish to finish, counted from starts again
			from, to, lag = a.To, a.From, a.Lag+p.Durations[a.To]-p.Durations[a.From]
		}
		f.ahead[to] = append(f.ahead[to], from)
		f.lag[to] = append(f.lag[to], lag)
		f.behind[from] = append(f.behind[from], to)
		f.horizon += max(lag, 0)
	}
	if !f.sortOut() {
		return f, false
	}
	f.tails(p)
	return f, true
}

// sortOut fills the topological order; false when the arcs run in a circle.
func (f *frame) sortOut() bool {
	open := make([]int, len(f.ahead))
	for i := range f.ahead {
		open[i] = len(f.ahead[i])
		if open[i] == 0 {
			f.order = append(f.order, int32(i))
		}
	}
	for h := 0; h < len(f.order); h++ {
		for _, j := range f.behind[f.order[h]] {
			if open[j]--; open[j] == 0 {
				f.order = append(f.order, j)
			}
		}
	}
	return len(f.order) == len(f.ahead)
}

// tails fills the least time from each start to the end: the longest path, or
// where that is more the work of everything behind on one resource. O(n² × resources).
func (f *frame) tails(p *Project) {
	n := len(f.order)
	plain := f.plain()
	after, path := make([][]bool, n), make([]int32, n)
	for h := n - 1; h >= 0; h-- {
		i := f.order[h]
		after[i] = make([]bool, n)
		f.tail[i], path[i] = f.duration[i], f.duration[i]
		for _, j := range f.behind[i] {
			after[i][j] = true
			for x, is := range after[j] {
				after[i][x] = after[i][x] || is
			}
			f.tail[i] = max(f.tail[i], f.lagTo(i, j)+f.tail[j])
			path[i] = max(path[i], f.lagTo(i, j)+path[j])
		}
		f.path = max(f.path, path[i])
		if lag, any := f.leastLag(i); any && plain {
			f.tail[i] = max(f.tail[i], lag+work(p, after[i]))
		}
	}
}

// plain reports whether everything behind an activity starts after it.
func (f *frame) plain() bool {
	for i := range f.lag {
		for _, lag := range f.lag[i] {
			if lag < 0 {
				return false
			}
		}
	}
	return true
}

// leastLag is the least lag to what directly follows i; any is false when nothing does.
func (f *frame) leastLag(i int32) (least int32, any bool) {
	for _, j := range f.behind[i] {
		if lag := f.lagTo(i, j); !any || lag < least {
			least, any = lag, true
		}
	}
	return least, any
}

func (f *frame) lagTo(i, j int32) int32 {
	most := int32(-1 << 30)
	for x, q := range f.ahead[j] {
		if q == i {
			most = max(most, f.lag[j][x])
		}
	}
	return most
}

// work is the least time that the activities marked in which take together, by
// the resource that they need most of.
func work(p *Project, which []bool) int32 {
	var most int32
	for k, c := range p.Capacities {
		var sum int64
		for i, is := range which {
			if is {
				sum += int64(p.Durations[i]) * int64(p.Needs[i][k])
			}
		}
		if c > 0 {
			most = max(most, int32((sum+int64(c)-1)/int64(c)))
		}
	}
	return most
}

// meanDuration is the mean of the durations that are not zero.
func (f *frame) meanDuration() float64 {
	sum, n := 0.0, 0
	for _, d := range f.duration {
		if d > 0 {
			sum, n = sum+float64(d), n+1
		}
	}
	return sum / float64(max(1, n))
}
