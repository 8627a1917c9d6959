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
	least := make([][2]int64, n)
	for i := range least {
		least[i] = s.leastToDrive(int32(i))
	}
	drives := func(a arc) bool { return s.bound[a.link] >= least[a.to][a.code>>1&1] }
	d := &drivers{first: make([]int32, n+1)}
	for _, a := range s.arcs {
		if drives(a) {
			d.first[a.to+1]++
		}
	}
	for i := range n {
		d.first[i+1] += d.first[i]
	}
	d.links = make([]blame, d.first[n])
	at := slices.Clone(d.first)
	for i := range n {
		for _, a := range s.arcs[s.first[i]:s.first[i+1]] {
			if drives(a) {
				d.links[at[a.to]] = blame{int32(i), a.link}
				at[a.to]++
			}
		}
	}
	for i := range n {
		slices.SortFunc(d.into(int32(i)), func(a, b blame) int { return cmp.Compare(a.link, b.link) })
	}
	return d
}

// leastToDrive gives the earliest instants that, asked of the start and of the
// finish of task i, put it exactly where it is. A start asked for while the
// shop is closed lands on the next opening, so the whole closed time before an
// opening drives a task that starts there.
func (s *schedule) leastToDrive(i int32) [2]int64 {
	switch {
	case s.traits[i]&finished != 0:
		return [2]int64{forever, forever}
	case s.traits[i]&onClock != 0:
		return [2]int64{s.early[i].at, s.end[i].at}
	default:
		w := s.early[i].worked
		return [2]int64{s.earliest(w), s.earliest(w+s.length[i]-1) + 1}
	}
}

// last gives the task that finishes last. Among several, one that drives no
// other of them, and then the lowest ID. -1 when there is no task.
func (s *schedule) last(d *drivers) int32 {
	drivesOne := make([]bool, len(s.tasks))
	for i := range s.tasks {
		if s.end[i].at == s.finish {
			for _, b := range d.into(int32(i)) {
				drivesOne[b.from] = true
			}
		}
	}
	last := int32(-1)
	for i := range s.tasks {
		if s.end[i].at == s.finish && !drivesOne[i] && (last < 0 || s.tasks[i].ID < s.tasks[last].ID) {
			last = int32(i)
		}
	}
	return last
}

// chain walks driving links back from task i and gives the tasks passed, first
// to last, and what holds the first. Where several links drive, the one from
// the lowest task ID is followed. It ends at what has already happened.
func (s *schedule) chain(i int32, d *drivers) ([]string, Reason) {
	ids := []string{s.tasks[i].ID}
	for {
		in := d.into(i)
		if len(in) == 0 {
			break
		}
		b := slices.MinFunc(in, s.compareBlame)
		i = b.from
		ids = append(ids, s.tasks[i].ID)
		if s.traits[i]&started != 0 && codeOf(&s.links[b.link])&fromFinish == 0 {
			break // held by its actual start, not by what is left of it
		}
	}
	slices.Reverse(ids)
	return ids, s.reason(i, d)
}

// reason names what holds task i at its early start.
func (s *schedule) reason(i int32, d *drivers) Reason {
	if s.traits[i]&started != 0 {
		return ByActual
	}
	if len(d.into(i)) > 0 {
		return ByLink
	}
	holds := func(m int64) bool { return m >= s.leastToDrive(i)[0] }
	switch nb := s.tasks[i].NotBefore; {
	case nb != nil && holds(s.minuteFrom(*nb)):
		return ByNotBefore
	case holds(s.data):
		return ByDataDate
	default:
		return ByStart
	}
}

// outOfSequence names the links that a successor's actual dates went against,
// in input order.
func (s *schedule) outOfSequence() []string {
	if s.began == nil {
		return nil
	}
	var against []int32
	for _, a := range s.arcs {
		x := s.traits[a.to]
		early := x&started != 0 && a.code&toFinish == 0 && s.began[a.to] < s.bound[a.link]
		late := x&finished != 0 && a.code&toFinish != 0 && s.end[a.to].at < s.bound[a.link]
		if early || late {
			against = append(against, a.link)
		}
	}
	slices.Sort(against)
	var names []string
	for _, k := range against {
		names = append(names, s.linkName(k))
	}
	return names
}
