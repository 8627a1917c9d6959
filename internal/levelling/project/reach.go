package project

import "math/bits"

// reach is a state one activity on.
type reach struct {
	set      uint64
	from     int32 // place of the state it extends
	activity int32
	start    int32
	score    float64 // less is more promising; the weights were found by trying
	chain    int32   // the reach before in its chain
	dead     bool
}

// extend tries each activity that can be next after state x. What would start when
// another could have finished is left out: that one could as well be done before
// (active schedules only, Giffler and Thompson, Operations Research 8, 1960).
func (b *beam) extend(x int32) {
	n := len(b.duration)
	s := b.now[x]
	start := b.nowStart[int(x)*n : (int(x)+1)*n]
	b.running = b.running[:0]
	for set := s.set; set != 0; set &= set - 1 {
		if i := int32(bits.TrailingZeros64(set)); start[i]+b.duration[i] > s.last {
			b.running = append(b.running, i)
		}
	}
	first, at := int32(1<<30), int32(-1)
	var late int32
	for i := range n {
		if b.earliest[i] = -1; s.set>>i&1 != 0 || b.preds[i]&^s.set != 0 {
			continue
		}
		e := b.fit(int32(i), s.last, start)
		b.earliest[i] = e
		if e+b.duration[i] < first {
			first, at = e+b.duration[i], int32(i)
		}
		late = max(late, e+b.tail[i])
	}
	if late > b.most {
		return
	}
	for i := range n {
		if e := b.earliest[i]; e >= 0 && (e < first || int32(i) == at) {
			b.try(x, int32(i), e, start)
		}
	}
}

// fit is the first time from last on at which i may start beside what runs. As nothing
// starts before last any more, less and less is occupied.
func (b *beam) fit(i, last int32, start []int32) int32 {
	t := last
	for _, q := range b.ahead[i] {
		t = max(t, start[q]+b.duration[q])
	}
	if b.duration[i] == 0 {
		return t
	}
	for k := range b.resources {
		free := b.units[k] - b.need[int(i)*b.resources+k]
		for {
			var used int32
			next := int32(1 << 30)
			for _, j := range b.running {
				if f := start[j] + b.duration[j]; f > t {
					if u := b.need[int(j)*b.resources+k]; u > 0 {
						used += u
						next = min(next, f)
					}
				}
			}
			if used <= free {
				break
			}
			t = next
		}
	}
	return t
}

// try adds the state in which i starts at e, unless it cannot finish in time or
// another makes it needless.
func (b *beam) try(x, i, e int32, start []int32) {
	b.placed++
	set := b.now[x].set | 1<<i
	path := e + b.tail[i]
	for k, other := range b.earliest {
		if other >= 0 && int32(k) != i {
			path = max(path, max(e, other)+b.tail[k])
		}
	}
	if path > b.most {
		return
	}
	energy, ok := b.energy(set, i, e, start)
	if !ok {
		return
	}
	b.add(reach{set: set, from: x, activity: i, start: e, score: energy + 0.3*float64(path)})
}

// add puts r beside the others unless one of them makes it needless, and marks those
// that it makes needless.
func (b *beam) add(r reach) {
	head := &b.heads[r.set*0x9e3779b97f4a7c15>>(64-bits.Len(uint(len(b.heads)-1)))]
	for c := *head; c >= 0; c = b.reach[c].chain {
		o := &b.reach[c]
		if o.set != r.set || o.dead {
			continue
		}
		if b.needless(&r, o) {
			return
		}
		if b.needless(o, &r) {
			o.dead = true
		}
	}
	r.chain = *head
	*head = int32(len(b.reach))
	b.reach = append(b.reach, r)
}

// energy is when the work that is left would end if from e on no unit idled: the
// mean over the resources and half of the latest; ok is false when that is too late on one.
func (b *beam) energy(set uint64, i, e int32, start []int32) (sum float64, ok bool) {
	var mean, most float64
	for k, c := range b.units {
		if c == 0 {
			continue
		}
		var left int64
		for j, d := range b.duration {
			u := b.need[j*b.resources+k]
			switch {
			case u == 0:
			case set>>j&1 == 0 || int32(j) == i:
				left += int64(u) * int64(d)
			case start[j]+d > e:
				left += int64(u) * int64(start[j]+d-e)
			}
		}
		if left > int64(c)*int64(b.most-e) {
			return 0, false
		}
		end := float64(e) + float64(left)/float64(c)
		mean += end
		most = max(most, end)
	}
	return mean/float64(max(1, b.resources)) + most/2, true
}

// needless reports whether r can be left out because of o, which placed the same
// activities: o starts its last no later, and what still runs when r's last starts
// finishes no later than in r.
func (b *beam) needless(r, o *reach) bool {
	if o.start > r.start {
		return false
	}
	n := len(b.duration)
	mine, others := b.nowStart[int(r.from)*n:], b.nowStart[int(o.from)*n:]
	for set := r.set; set != 0; set &= set - 1 {
		i := int32(bits.TrailingZeros64(set))
		a, c := others[i], mine[i]
		if i == o.activity {
			a = o.start
		}
		if i == r.activity {
			c = r.start
		}
		if a > c && a+b.duration[i] > r.start {
			return false
		}
	}
	return true
}
