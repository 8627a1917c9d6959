package network

import (
	"cmp"
	"slices"
)

// drivers are the links that hold their successor where it is: those into
// task i are links[first[i]:first[i+1]], in input order.
type drivers struct {
	first []int32
	links []blame
}

func (d *drivers) into(i int32) []blame { return d.links[d.first[i]:d.first[i+1]] }

// drivers compares what each link asked with the least that would have put its
// successor where it is. O(tasks + links) but for the ordering of links into
// one task.
func (s *schedule) drivers() *drivers {
	n := len(s.tasks)
	least := make([]pair, n)
	for i := range least {
		least[i] = s.leastToDrive(int32(i))
	}
	d := &drivers{first: make([]int32, n+1)}
	holds := make([]bool, len(s.arcs))
	for i := range n {
		near := s.leaving(int32(i))
		for k := s.first[i]; k < s.first[i+1]; k++ {
			a := s.arcs[k]
			if holds[k] = drives(&near[a.code.from()], a, &least[a.to][a.code.end()]); holds[k] {
				d.first[a.to+1]++
			}
		}
	}
	for i := range n {
		d.first[i+1] += d.first[i]
	}
	d.links = make([]blame, d.first[n])
	at := slices.Clone(d.first)
	for i := range n {
		for k := s.first[i]; k < s.first[i+1]; k++ {
			if a := s.arcs[k]; holds[k] {
				d.links[at[a.to]] = blame{int32(i), a.link, a.code}
				at[a.to]++
			}
		}
	}
	for i := range n {
		slices.SortFunc(d.into(int32(i)), func(a, b blame) int { return cmp.Compare(a.link, b.link) })
	}
	return d
}

// drives says whether an arc from near asks for least or more.
func drives(near *spot, a arc, least *spot) bool {
	if a.code&inWork != 0 {
		return near.worked+int64(a.lag) >= least.worked
	}
	return near.at+int64(a.lag) >= least.at
}

// leastToDrive gives the least, by the clock and in working minutes, that asked
// of the start and of the finish of task i puts it exactly where it is. A start
// asked for while the shop is closed lands on the next opening, so the whole
// closed time before an opening drives a task that starts there.
func (s *schedule) leastToDrive(i int32) pair {
	at := s.early[i]
	switch {
	case s.traits[i]&finished != 0:
		return pair{noLater, noLater}
	case s.traits[i]&onClock != 0:
		at[0].worked = s.firstEnd(at[0].at)
		at[1].worked = s.firstEnd(at[1].at)
	default:
		at[0].at = s.earliest(at[0].worked)
		at[1].at = s.earliest(at[1].worked-1) + 1
	}
	return at
}

// last gives the task that finishes last. Among several, one that drives no
// other of them if there is one, and then the lowest ID. -1 when there is no
// task.
func (s *schedule) last(d *drivers) int32 {
	drivesOne := make([]bool, len(s.tasks))
	for i := range s.tasks {
		if s.early[i][1].at == s.finish {
			for _, b := range d.into(int32(i)) {
				drivesOne[b.from] = true
			}
		}
	}
	last := int32(-1)
	better := func(i int32) bool {
		if last < 0 || drivesOne[i] != drivesOne[last] {
			return last < 0 || drivesOne[last]
		}
		return s.tasks[i].ID < s.tasks[last].ID
	}
	for i := range s.tasks {
		if s.early[i][1].at == s.finish && better(int32(i)) {
			last = int32(i)
		}
	}
	return last
}

// chain walks driving links back from task i and gives the tasks passed, first
// to last, and what holds the first. Where several links drive, the one from
// the lowest task ID is followed, a maximum lag only when nothing else drives.
// It ends at what has already happened. Maximum lags can close rings of driving
// links; from these the walk turns back until it finds a task that something
// else holds too.
func (s *schedule) chain(i int32, d *drivers) ([]string, Reason) {
	seen := make([]bool, len(s.tasks))
	seen[i] = true
	const usual = 32 // tasks in a chain
	path, ring := append(make([]int32, 0, usual), i), []int32(nil)
	untried := append(make([][]blame, 0, usual), s.inOrder(i, d))
	for len(path) > 0 {
		top := len(path) - 1
		if len(untried[top]) > 0 {
			b := untried[top][0]
			untried[top] = untried[top][1:]
			if seen[b.from] {
				continue
			}
			seen[b.from] = true
			path = append(path, b.from)
			if s.traits[b.from]&started != 0 && b.code&fromFinish == 0 {
				break // held by its actual start, not by what is left of it
			}
			untried = append(untried, s.inOrder(b.from, d))
			continue
		}
		if s.traits[path[top]]&started != 0 || s.dateHolding(path[top]) != "" {
			break
		}
		if ring == nil {
			ring = slices.Clone(path)
		}
		path, untried = path[:top], untried[:top]
	}
	if len(path) == 0 { // closed time holds a ring of links later than any date
		path = ring
	}
	ids := make([]string, len(path))
	for k, at := range path {
		ids[len(path)-1-k] = s.tasks[at].ID
	}
	head := path[len(path)-1]
	if s.traits[head]&started != 0 {
		return ids, ByActual
	}
	return ids, cmp.Or(s.dateHolding(head), ByLink)
}

// inOrder gives the driving links into task i in the order chain tries them.
func (s *schedule) inOrder(i int32, d *drivers) []blame {
	in := d.into(i)
	if len(in) < 2 {
		return in
	}
	in = slices.Clone(in)
	slices.SortFunc(in, s.compareBlame)
	return in
}

// reason names what holds task i at its early start.
func (s *schedule) reason(i int32, d *drivers) Reason {
	switch {
	case s.traits[i]&started != 0:
		return ByActual
	case len(d.into(i)) > 0:
		return ByLink
	default:
		return s.dateHolding(i)
	}
}

// dateHolding names the date that holds task i where it is, "" when none does.
func (s *schedule) dateHolding(i int32) Reason {
	least := s.leastToDrive(i)[0].at
	switch nb := s.tasks[i].NotBefore; {
	case nb != nil && s.minuteFrom(*nb) >= least:
		return ByNotBefore
	case s.data >= least:
		return ByDataDate
	case s.start >= least:
		return ByStart
	default:
		return ""
	}
}

// outOfSequence names the links that a successor's actual dates went against,
// in input order.
func (s *schedule) outOfSequence() []string {
	if s.began == nil {
		return nil
	}
	var against []int32
	for i := range s.tasks {
		near := s.leaving(int32(i))
		for _, a := range s.arcs[s.first[i]:s.first[i+1]] {
			x, far := s.traits[a.to], s.early[a.to][1].at
			happened := x&finished != 0
			if a.code&toFinish == 0 {
				happened, far = x&started != 0, s.began[a.to].at
			}
			if a.code&back == 0 && happened && far < s.asks(near[a.code.from()], a) {
				against = append(against, a.link)
			}
		}
	}
	slices.Sort(against)
	var names []string
	for _, k := range against {
		names = append(names, s.linkName(k))
	}
	return names
}
