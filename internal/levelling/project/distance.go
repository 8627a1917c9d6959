package project

// none is a distance that asks for nothing.
const none = -1 << 28

// distances holds for each pair the least time from the start of one activity to
// the start of the other that the arcs ask for: the longest paths between all
// pairs (Floyd 1962, Warshall 1962). Row i, column j: S(j) - S(i) is at least at(i, j).
type distances struct {
	n int
	d []int32
}

func (m *distances) at(i, j int32) int32 { return m.d[int(i)*m.n+int(j)] }

// pathsOf returns the distances of a project with two activities added: number n
// is the start of all, n+1 the end of all. ok is false when the arcs contradict each other.
func pathsOf(p *Project, backward bool) (m *distances, ok bool) {
	n := len(p.Durations) + 2
	m = &distances{n: n, d: make([]int32, n*n)}
	for k := range m.d {
		m.d[k] = none
	}
	for i := range n {
		m.d[i*n+i] = 0
	}
	for _, a := range p.Arcs {
		from, to, lag := a.From, a.To, a.Lag
		if backward {
			from, to, lag = a.To, a.From, a.Lag+p.Durations[a.To]-p.Durations[a.From]
		}
		m.raise(from, to, lag)
	}
	for i, d := range p.Durations {
		m.raise(int32(n-2), int32(i), 0)
		m.raise(int32(i), int32(n-1), d)
	}
	m.raise(int32(n-2), int32(n-1), 0)
	return m, m.close()
}

func (m *distances) raise(i, j, lag int32) {
	k := int(i)*m.n + int(j)
	m.d[k] = max(m.d[k], lag)
}

// close makes every entry the longest path; false when one leads back to its
// start with time to spare. O(n³).
func (m *distances) close() bool {
	n := m.n
	for k := range n {
		via := m.d[k*n : k*n+n]
		for i := range n {
			to := m.d[i*n+k]
			if to == none {
				continue
			}
			row := m.d[i*n : i*n+n]
			for j, lag := range via {
				if lag != none && to+lag > row[j] {
					row[j] = to + lag
				}
			}
		}
		if m.d[k*n+k] > 0 {
			return false
		}
	}
	for i := range n {
		if m.d[i*n+i] > 0 {
			return false
		}
	}
	return true
}

// add asks for lag between the starts of i and j and keeps every entry the longest
// path; false when that contradicts. O(n²).
func (m *distances) add(i, j, lag int32) bool {
	if m.at(i, j) >= lag {
		return true
	}
	if back := m.at(j, i); back != none && back+lag > 0 {
		return false
	}
	n := m.n
	from := m.d[int(j)*n : int(j)*n+n]
	for a := range n {
		to := m.d[a*n+int(i)]
		if to == none {
			continue
		}
		row := m.d[a*n : a*n+n]
		for b, out := range from {
			if out != none && to+lag+out > row[b] {
				row[b] = to + lag + out
			}
		}
	}
	return true
}

func (m *distances) copyFrom(o *distances) { copy(m.d, o.d) }

func (m *distances) clone() *distances {
	return &distances{n: m.n, d: append([]int32(nil), m.d...)}
}

// start and end are the two activities that were added.
func (m *distances) start() int32 { return int32(m.n - 2) }
func (m *distances) end() int32   { return int32(m.n - 1) }

// length is the least makespan that the distances ask for.
func (m *distances) length() int32 { return m.at(m.start(), m.end()) }

// within asks that all be finished by makespan; false when that contradicts.
func (m *distances) within(makespan int32) bool { return m.add(m.end(), m.start(), -makespan) }

// apart lists the pairs that can never run side by side, because together they
// need more of a resource than there is.
func apart(p *Project) [][2]int32 {
	var out [][2]int32
	for i := range p.Durations {
		for j := range i {
			if p.Durations[i] == 0 || p.Durations[j] == 0 {
				continue
			}
			for k, c := range p.Capacities {
				if p.Needs[i][k]+p.Needs[j][k] > c {
					out = append(out, [2]int32{int32(j), int32(i)})
					break
				}
			}
		}
	}
	return out
}

// settle orders every pair of pairs for which only one order is left, until no
// more follows; false when for some pair there is none: then nothing satisfies
// the distances (disjunctive selections, Carlier and Pinson 1989).
func (m *distances) settle(pairs [][2]int32, duration []int32) bool {
	for changed := true; changed; {
		changed = false
		for _, pair := range pairs {
			i, j := pair[0], pair[1]
			first, second := m.mayPrecede(i, j, duration), m.mayPrecede(j, i, duration)
			switch {
			case !first && !second:
				return false
			case first && !second && m.at(i, j) < duration[i]:
				if !m.add(i, j, duration[i]) {
					return false
				}
				changed = true
			case second && !first && m.at(j, i) < duration[j]:
				if !m.add(j, i, duration[j]) {
					return false
				}
				changed = true
			}
		}
	}
	return true
}

// mayPrecede reports whether j can start once i has finished.
func (m *distances) mayPrecede(i, j int32, duration []int32) bool {
	back := m.at(j, i)
	return back == none || back+duration[i] <= 0
}
