package levelling

import (
	"cmp"
	"slices"
)

// supply is what one skill, everybody together, or one station offers over time,
// against the work that the jobs want of it.
type supply struct {
	at      []int32 // minutes at which the rate changes, in order
	rate    []int32 // units offered from at[k] to at[k+1]
	most    int32   // all units at once
	demands []demand
}

// demand is the work of one job on a supply, in minutes of one unit.
type demand struct {
	job        int32
	work       float64
	from, tail int32 // the least start of any of it, and the least minutes that follow its end
}

// supplies lists what may be short: each skill, everybody, and each station once in
// its open hours and once by the clock, where work over closed hours counts too.
func (s *shop) supplies() []supply {
	var all []supply
	units := make([]int32, len(s.person))
	for k, who := range s.able {
		clear(units)
		for _, p := range who {
			units[p] = 1
		}
		all = s.offer(all, s.byClass(units), func(t *task) int32 { return t.asks(int32(k)) })
	}
	for p := range units {
		units[p] = 1
	}
	all = s.offer(all, s.byClass(units), func(t *task) int32 { return t.asks(-1) })
	clock := newHours([]int32{0}, []int32{s.horizon}, s.horizon)
	for k, capacity := range s.capacity {
		at := int32(k)
		all = s.offer(all, []offered{{s.hours[s.station[k]], capacity}}, func(t *task) int32 {
			if t.elapsed {
				return 0
			}
			return t.units(at)
		})
		all = s.offer(all, []offered{{clock, capacity}}, func(t *task) int32 { return t.units(at) })
	}
	return all
}

// asks gives how many people of a skill a task takes; of any, for -1.
func (t *task) asks(skill int32) (n int32) {
	for _, need := range t.needs {
		if skill < 0 || need.skill == skill {
			n += need.count
		}
	}
	return n
}

func (t *task) units(station int32) int32 {
	for _, u := range t.uses {
		if u.station == station {
			return u.units
		}
	}
	return 0
}

// offered is a number of units in the same hours.
type offered struct {
	hours *hours
	units int32
}

func (s *shop) byClass(units []int32) []offered {
	var out []offered
	for p, n := range units {
		h := s.hours[s.person[p]]
		k := slices.IndexFunc(out, func(o offered) bool { return o.hours == h })
		switch {
		case n == 0:
		case k >= 0:
			out[k].units += n
		default:
			out = append(out, offered{h, n})
		}
	}
	return out
}

// offer adds a supply, with the work that moves, where any is asked of it.
func (s *shop) offer(all []supply, from []offered, units func(*task) int32) []supply {
	var v supply
	for j := range s.jobs {
		d := demand{job: int32(j), from: never, tail: never}
		for _, i := range s.jobs[j].tasks {
			t := &s.tasks[i]
			n := units(t)
			if n == 0 || t.minutes == 0 || s.blockOf[i] < 0 || s.alone[i] >= never {
				continue
			}
			d.work += float64(n) * float64(t.minutes)
			d.from, d.tail = min(d.from, s.alone[i]), min(d.tail, s.tail[i])
		}
		if d.work > 0 {
			v.demands = append(v.demands, d)
		}
	}
	if len(v.demands) == 0 {
		return all
	}
	slices.SortStableFunc(v.demands, func(a, b demand) int { return cmp.Compare(a.from, b.from) })
	v.lay(from, s.horizon)
	return append(all, v)
}

// lay adds up what is offered from the first start until all work can be done.
func (v *supply) lay(from []offered, horizon int32) {
	first, last, work := v.demands[0].from, v.demands[len(v.demands)-1].from, 0.0
	for _, d := range v.demands {
		work += d.work
	}
	open := func(t int32) (n float64) {
		for _, o := range from {
			n += float64(o.units) * float64(o.hours.worked(t)-o.hours.worked(last))
		}
		return n
	}
	lo, hi := last, max(last, horizon)
	for lo < hi {
		if mid := lo + (hi-lo)/2; open(mid) >= work {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	type change struct{ at, by int32 }
	var changes []change
	for _, o := range from {
		v.most += o.units
		for i := o.hours.at(first); i < len(o.hours.start) && o.hours.start[i] <= hi; i++ {
			changes = append(changes, change{max(first, o.hours.start[i]), o.units}, change{o.hours.end[i], -o.units})
		}
	}
	slices.SortFunc(changes, func(a, b change) int { return cmp.Compare(a.at, b.at) })
	rate := int32(0)
	for _, c := range changes {
		if n := len(v.at); n == 0 || v.at[n-1] < c.at {
			v.at, v.rate = append(v.at, c.at), append(v.rate, 0)
		}
		rate += c.by
		v.rate[len(v.rate)-1] = rate
	}
}

// sweeper divides a supply among its demands. It keeps its memory.
type sweeper struct {
	v     *supply
	value []float64 // by demand, of a minute of its work; the caller's
	mid   []float64 // by demand, the mean minute at which it is worked on
	left  []float64
	queue []int32 // demands that have begun, greatest value last
	next  int     // the first that has not
}

// sweep gives everything that is offered to the demand of greatest value that may
// have begun, and finds mid. No division of the supply has a smaller sum of value ×
// work × mid, as to swap a minute for a later one of smaller value never pays (for
// one machine: Goemans, "Improved approximation algorithms for scheduling with
// release dates", SODA 1997; the argument holds for every supply over time). Only
// values above zero count. O((demands + stretches) × log demands) as a rule.
func (w *sweeper) sweep() {
	w.left, w.queue, w.next = w.left[:0], w.queue[:0], 0
	for k := range w.v.demands {
		w.left, w.mid[k] = append(w.left, w.v.demands[k].work), 0
	}
	last := 0.0
	for c, at := range w.v.at {
		end := float64(never)
		if c+1 < len(w.v.at) {
			end = float64(w.v.at[c+1])
		}
		last = float64(at)
		w.stretch(last, end, float64(w.v.rate[c]))
	}
	for k, left := range w.left {
		if left > 0 && w.value[k] > 0 { // more than there is before the axis ends
			w.mid[k] += left * last / w.v.demands[k].work
		}
	}
}

// stretch divides what is offered at one rate.
func (w *sweeper) stretch(t, end, rate float64) {
	for t < end {
		w.begin(t)
		until := end
		if w.next < len(w.v.demands) {
			until = min(end, float64(w.v.demands[w.next].from))
		}
		if rate == 0 || len(w.queue) == 0 {
			if t = until; w.next == len(w.v.demands) {
				return
			}
			continue
		}
		k := w.queue[len(w.queue)-1]
		x := min(w.left[k], rate*(until-t))
		w.mid[k] += x * (t + x/rate/2) / w.v.demands[k].work
		if w.left[k] -= x; w.left[k] > 0 {
			t = until
			continue
		}
		w.queue = w.queue[:len(w.queue)-1]
		t += x / rate
	}
}

// begin queues the demands that have begun by a minute.
func (w *sweeper) begin(t float64) {
	for ; w.next < len(w.v.demands) && float64(w.v.demands[w.next].from) <= t; w.next++ {
		if v := w.value[w.next]; v > 0 {
			at, _ := slices.BinarySearchFunc(w.queue, v, func(k int32, v float64) int { return cmp.Compare(w.value[k], v) })
			w.queue = slices.Insert(w.queue, at, int32(w.next))
		}
	}
}
