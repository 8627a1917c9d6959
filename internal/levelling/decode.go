package levelling

import (
	"bareframe/internal/levelling/search"
)

// decoder is the schedule generation scheme of one worker.
type decoder struct {
	s      *shop
	people int32    // stations' lines come after so many
	hours  []*hours // the shop's, then those that this decoder needed together
	pairs  map[uint64]int32
	lines  []line
	match  *matcher
	wait   []int32
	pieces []piece // of the task at hand

	start, finish []int32 // by task, never when it has no place; of work under way where it goes on
	crew          []int32 // by shop.slot
	cut           [][]piece
	turned        []int32    // a block's tasks in another order
	shift         []int64    // by job, of its rank
	raise         [2][]int32 // by task, what a maximum lag asked for its start and finish

	jobFinish []int32
	cost      search.Cost
	queue     ranking
	fault     miss // why the last block could not be placed
}

// miss is why a block could not be placed.
type miss struct {
	task, link int32 // link is -1 where time ran out
	pin        int32 // the pinned task that the link leads to, or -1
}

func (s *shop) newDecoder() *decoder {
	n := len(s.tasks)
	d := &decoder{s: s, people: int32(len(s.person)), pairs: map[uint64]int32{},
		hours: append([]*hours(nil), s.hours...), lines: make([]line, len(s.person)+len(s.station)),
		match: newMatcher(len(s.person)), wait: make([]int32, len(s.person)),
		start: make([]int32, n), finish: make([]int32, n), crew: make([]int32, s.slot[n]), cut: make([][]piece, n),
		raise: [2][]int32{make([]int32, n), make([]int32, n)}, jobFinish: make([]int32, len(s.jobs))}
	for i := range d.lines {
		d.lines[i] = newLine()
	}
	for i := range d.start {
		d.start[i], d.finish[i] = never, never
	}
	return d
}

// mostPairs bounds how many shared calendars a decoder remembers.
const mostPairs = 4096

// joint gives the class of the hours that two classes share.
func (d *decoder) joint(a, b int32) int32 {
	if a == b || b == 0 {
		return a
	}
	if a == 0 {
		return b
	}
	key := uint64(min(a, b))<<32 | uint64(max(a, b))
	c, ok := d.pairs[key]
	if !ok {
		c = int32(len(d.hours))
		d.hours = append(d.hours, joint(d.hours[a], d.hours[b], d.s.horizon))
		d.pairs[key] = c
	}
	return c
}

// reset leaves only what is fixed. It also forgets shared calendars when there
// are very many.
func (d *decoder) reset() {
	if len(d.pairs) > mostPairs {
		clear(d.pairs)
		d.hours = append([]*hours(nil), d.s.hours...)
	}
	for i := range d.lines {
		d.lines[i].copyOf(&d.s.base.lines[i])
	}
	copy(d.start, d.s.base.start)
	copy(d.finish, d.s.base.finish)
	copy(d.crew, d.s.base.crew)
	for _, i := range d.s.fixed {
		d.cut[i] = append(d.cut[i][:0], d.s.base.cut[i]...)
	}
	copy(d.jobFinish, d.s.jobLow)
	d.cost = d.s.costLow
}

// ends gives the start or finish of a task as links see it.
func (d *decoder) end(i int32, finish bool) int32 {
	t := &d.s.tasks[i]
	switch {
	case finish && t.state == finished:
		return t.ended
	case finish:
		return d.finish[i]
	case t.state != open:
		return t.began
	}
	return d.start[i]
}

// window is what links ask of the start and the finish of a task.
type window struct {
	lo, hi [2]int32 // 0 the start, 1 the finish
	by     [2]int32 // the arcs behind hi
}

func which(finish bool) int {
	if finish {
		return 1
	}
	return 0
}

// window reads the links of task i to what is placed.
func (d *decoder) window(i int32) window {
	s := d.s
	t := &s.tasks[i]
	w := window{lo: [2]int32{max(t.floor, d.raise[0][i]), d.raise[1][i]}, hi: [2]int32{never, never}, by: [2]int32{-1, -1}}
	for _, k := range s.into[i] {
		a := &s.arcs[k]
		x := d.end(a.from, a.fromFinish)
		if x >= never || s.moot(a) {
			continue
		}
		e := which(a.finish)
		w.lo[e] = max(w.lo[e], s.after(x, a.lag, a.elapsed))
		if a.most < never {
			w.lower(e, s.within(x, a.most, a.elapsed), k)
		}
	}
	for _, k := range s.outof[i] {
		a := &s.arcs[k]
		y := d.end(a.to, a.finish)
		if y >= never || s.moot(a) || t.state != open && !a.fromFinish {
			continue
		}
		e := which(a.fromFinish)
		w.lower(e, s.before(y, a.lag, a.elapsed), k)
		if a.most < never {
			w.lo[e] = max(w.lo[e], s.noEarlier(y, a.most, a.elapsed))
		}
	}
	return w
}

func (w *window) lower(e int, to, by int32) {
	if to < w.hi[e] {
		w.hi[e], w.by[e] = to, by
	}
}

// before gives the last minute from which n of the given time pass before m;
// noEarlier the first from which no more than n do.
func (s *shop) before(m, n int32, elapsed bool) int32 {
	if elapsed || n == 0 {
		return m - n
	}
	return s.hours[0].latest(s.hours[0].worked(m) - n)
}

func (s *shop) noEarlier(m, n int32, elapsed bool) int32 {
	if elapsed {
		return m - n
	}
	return s.hours[0].earliest(s.hours[0].worked(m) - n)
}

// place fits and books task i inside its window.
func (d *decoder) place(i int32, w *window) (ok bool) {
	start, finish := d.fit(i, w.lo[0], w.lo[1])
	d.start[i], d.finish[i] = start, finish
	if start >= never || start > w.hi[0] || finish > w.hi[1] {
		return false
	}
	copy(d.crew[d.s.slot[i]:d.s.slot[i+1]], d.match.slots)
	if t := &d.s.tasks[i]; t.interruptible && t.held {
		d.cut[i] = append(d.cut[i][:0], d.pieces...)
	}
	d.book(i, 1)
	return true
}

// book takes, or with sign -1 gives back, what task i occupies where it stands.
func (d *decoder) book(i, sign int32) {
	t := &d.s.tasks[i]
	if !t.held {
		return
	}
	if t.interruptible {
		for _, p := range d.cut[i] {
			d.take(i, p.from, p.to, sign)
		}
		return
	}
	d.take(i, d.start[i], d.finish[i], sign)
}

func (d *decoder) take(i, from, to, sign int32) {
	for _, p := range d.crew[d.s.slot[i]:d.s.slot[i+1]] {
		d.lines[p].book(from, to, sign)
	}
	for _, u := range d.s.tasks[i].uses {
		d.lines[d.people+u.station].book(from, to, sign*u.units)
	}
}
