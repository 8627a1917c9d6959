package levelling

import (
	"slices"

	"bareframe/internal/levelling/search"
)

// tries bounds how often the tasks of a block are moved apart before it is
// given up.
const tries = 400

// placeBlock places the tasks of a block in topological order. Where one cannot
// follow inside a maximum lag, the task that the lag counts from is moved right
// by what is missing and all are placed again (unscheduling: Franck, Neumann and
// Schwindt, "Truncated branch-and-bound, schedule-construction, and
// schedule-improvement procedures for resource-constrained project scheduling",
// OR Spektrum 23, 2001).
//
// Which of two tasks that do not wait for each other goes first matters where both
// need the same person. So when a task does not fit, it goes before all those of
// its block that it does not wait for, and the block is tried again.
func (d *decoder) placeBlock(b int32) bool {
	members := d.s.blocks[b]
	k := d.tryBlock(members)
	if k < 0 {
		return true
	}
	fault := d.fault
	d.turned = append(d.turned[:0], members...)
	for range min(len(members), turns) {
		if !d.bringForward(k) {
			break
		}
		if k = d.tryBlock(d.turned); k < 0 {
			return true
		}
	}
	d.fault = fault
	return false
}

// turns bounds how many orders of a block's tasks are tried.
const turns = 12

// bringForward moves the k-th of d.turned to right behind the last one that it
// waits for. False when it stands there.
func (d *decoder) bringForward(k int) bool {
	i, at := d.turned[k], k
	for ; at > 0; at-- {
		before := d.turned[at-1]
		if slices.ContainsFunc(d.s.into[i], func(l int32) bool { return d.s.arcs[l].from == before && d.s.binds(&d.s.arcs[l]) }) {
			break
		}
	}
	copy(d.turned[at+1:k+1], d.turned[at:k])
	d.turned[at] = i
	return at < k
}

// tryBlock places members, or gives the one that did not fit in the end.
func (d *decoder) tryBlock(members []int32) (misfit int) {
	for _, i := range members {
		d.raise[0][i], d.raise[1][i] = -never, -never
	}
	k, done := 0, false
	for range tries {
		if k, done = d.placeAll(members); done {
			return -1
		}
		w := d.window(members[k])
		blamed := d.blame(members[k], &w)
		for _, i := range members[:k] {
			d.book(i, -1)
		}
		for _, i := range members[:k+1] {
			d.start[i], d.finish[i] = never, never
		}
		if blamed {
			return k
		}
	}
	d.fault = miss{task: members[0], link: d.fault.link, pin: -1}
	return k
}

// placeAll places members until one does not fit; that one keeps the place that
// it would have had, unbooked.
func (d *decoder) placeAll(members []int32) (k int, done bool) {
	for k, i := range members {
		w := d.window(i)
		if !d.place(i, &w) {
			return k, false
		}
	}
	return 0, true
}

// blame finds what keeps task i, which stands outside its window, and raises the
// task that can be moved for it. True when nothing can.
func (d *decoder) blame(i int32, w *window) bool {
	s := d.s
	d.fault = miss{task: i, link: -1, pin: -1}
	if d.start[i] >= never {
		return true
	}
	at := [2]int32{d.start[i], d.finish[i]}
	moved := false
	for _, k := range s.into[i] {
		a := &s.arcs[k]
		x := d.end(a.from, a.fromFinish)
		if a.most >= never || x >= never || s.moot(a) || at[which(a.finish)] <= s.within(x, a.most, a.elapsed) {
			continue
		}
		d.fault.link = k
		if s.blockOf[a.from] != s.blockOf[i] {
			return true
		}
		e := which(a.fromFinish)
		to := s.noEarlier(at[which(a.finish)], a.most, a.elapsed)
		d.raise[e][a.from] = max(d.raise[e][a.from], to, x+1)
		moved = true
	}
	if moved {
		return false
	}
	for e := range w.hi {
		if at[e] > w.hi[e] && w.by[e] >= 0 {
			d.fault.link = w.by[e]
			if a := &s.arcs[w.by[e]]; a.from == i && s.tasks[a.to].pin >= 0 {
				d.fault.pin = a.to
			}
		}
	}
	return true
}

// Size, Ahead, Weight, Mirror, Schemes: the decoder's activities are the blocks.
func (d *decoder) Size() int              { return len(d.s.blocks) }
func (d *decoder) Ahead(b int32) []int32  { return d.s.ahead[b] }
func (d *decoder) Weight(b int32) float64 { return d.s.weight[b] }
func (d *decoder) Mirror() search.Decoder { return nil }
func (d *decoder) Schemes() int           { return 1 }

// Decode places the blocks of order one by one, each as early as what is placed
// allows (serial schedule generation scheme: Kelley 1963; Kolisch, "Serial and
// parallel resource-constrained project scheduling methods revisited", EJOR 90,
// 1996). A block that cannot be placed makes the order cost None.
func (d *decoder) Decode(order []int32, limit search.Cost, into *search.Schedule) (placed int, ok bool) {
	d.reset()
	for k, b := range order {
		if !d.placeBlock(b) {
			into.Cost = search.None
			return k, false
		}
		start, finish := d.reckon(b)
		into.Start[b], into.Finish[b] = start/d.s.grain, finish/d.s.grain
		if d.cost[0] > limit[0] || d.cost[0] == limit[0] && d.cost[1] > limit[1] {
			into.Cost = search.None
			return k + 1, false
		}
	}
	d.cost[2] = d.changes()
	into.Cost = d.cost
	into.Order = append(into.Order[:0], order...)
	return len(order), !limit.Less(d.cost)
}

// reckon adds what a placed block makes certain to the cost, and gives where it
// begins and ends.
func (d *decoder) reckon(b int32) (start, finish int32) {
	start = never
	for _, i := range d.s.blocks[b] {
		t := &d.s.tasks[i]
		start, finish = min(start, d.start[i]), max(finish, d.finish[i])
		d.count(t.job, d.finish[i]+d.s.tail[i])
		if t.finishBy < d.finish[i] {
			d.cost[0] += int64(d.finish[i] - t.finishBy)
		}
	}
	return start, finish
}

// count notes that a job cannot finish before so many minutes.
func (d *decoder) count(job, finish int32) {
	was, j := d.jobFinish[job], &d.s.jobs[job]
	if finish <= was {
		return
	}
	d.jobFinish[job] = finish
	d.cost[0] += j.weight * int64(max(0, finish-j.promise)-max(0, was-j.promise))
	d.cost[1] += j.weight * int64(finish-was)
}

// changes counts the tasks whose people or working day are not those of the
// previous plan. O(tasks).
func (d *decoder) changes() int64 {
	n := int64(0)
	for i := range d.s.tasks {
		t := &d.s.tasks[i]
		if t.dayHi < 0 || t.state != open || d.start[i] >= never {
			continue
		}
		if d.start[i] < t.dayLo || d.start[i] >= t.dayHi || !d.sameCrew(int32(i)) {
			n++
		}
	}
	return n
}

func (d *decoder) sameCrew(i int32) bool {
	crew, previous := d.crew[d.s.slot[i]:d.s.slot[i+1]], d.s.tasks[i].previous
	if len(crew) != len(previous) {
		return false
	}
	for _, p := range crew {
		found := false
		for _, q := range previous {
			found = found || p == q
		}
		if !found {
			return false
		}
	}
	return true
}
