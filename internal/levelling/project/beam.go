package project

import (
	"cmp"
	"context"
	"math/bits"
	"slices"
)

// beam goes through sets of placed activities level by level: all states with h
// activities placed, then all with one more, none of which starts before the last
// one. Of two states that placed the same activities, one no later in anything that
// still matters makes the other needless (the cutsets of Demeulemeester and
// Herroelen, "A branch-and-bound procedure for the multiple resource-constrained
// project scheduling problem", Management Science 38, 1992). When more states are
// left than its width, the least promising are cut off; when none ever were, the
// answer is a proof.
type beam struct {
	*frame
	units, need []int32 // of resources; need[i*resources+k]
	resources   int
	preds       []uint64
	most        int32 // only schedules that finish by then are looked for

	now, next         []state
	nowStart, nextOf  []int32 // starts of state x at x*n
	reach             []reach
	heads             []int32 // of chains of reaches whose sets fall together
	rank              []int32 // what is left of reach, the most promising first
	earliest, running []int32
	placed            float64 // an activity added to a state is a placement
}

// state is a set of activities and when the last of them starts; nothing that is
// not in the set starts before.
type state struct {
	set  uint64
	last int32
}

// fitsBeam reports whether a project has a form that the beam knows: as many activities
// as a word has bits, and each arc says "starts once the other has finished".
func fitsBeam(p *Project) bool {
	if len(p.Durations) > 64 {
		return false
	}
	for _, a := range p.Arcs {
		if a.Lag != p.Durations[a.From] {
			return false
		}
	}
	return true
}

func newBeam(p *Project, f *frame) *beam {
	n := len(p.Durations)
	b := &beam{frame: f, units: p.Capacities, resources: len(p.Capacities), preds: make([]uint64, n), earliest: make([]int32, n)}
	for i := range n {
		b.need = append(b.need, p.Needs[i]...)
		for _, q := range f.ahead[i] {
			b.preds[i] |= 1 << q
		}
	}
	return b
}

// pass looks for a schedule that finishes by most, with at most width states on a
// level and placing at most limit activities. all is true when nothing was cut off.
func (b *beam) pass(ctx context.Context, most int32, width int, limit float64) (starts []int32, placed float64, all bool) {
	n := len(b.duration)
	b.most, b.placed, all = most, 0, true
	b.room(width)
	b.now = append(b.now[:0], state{})
	for range n {
		b.clearChains()
		for x := range b.now {
			if b.placed >= limit {
				return nil, b.placed, false
			}
			b.extend(int32(x))
		}
		if ctx.Err() != nil {
			return nil, b.placed, false
		}
		all = b.keep(width) && all
		if len(b.now) == 0 {
			return nil, b.placed, all
		}
	}
	return b.finished(), b.placed, all
}

func (b *beam) room(width int) {
	n := len(b.duration)
	if len(b.nowStart) < width*n {
		b.nowStart, b.nextOf = make([]int32, width*n), make([]int32, width*n)
		b.heads = make([]int32, 1<<bits.Len(uint(4*width)))
	}
}

func (b *beam) clearChains() {
	b.reach = b.reach[:0]
	for x := range b.heads {
		b.heads[x] = -1
	}
}

// keep makes the states of the next level of the most promising that are left;
// all is false when some were cut off.
func (b *beam) keep(width int) (all bool) {
	b.rank = b.rank[:0]
	for x := range b.reach {
		if !b.reach[x].dead {
			b.rank = append(b.rank, int32(x))
		}
	}
	all = len(b.rank) <= width
	if !all {
		slices.SortFunc(b.rank, func(x, y int32) int {
			return cmp.Or(cmp.Compare(b.reach[x].score, b.reach[y].score), cmp.Compare(x, y))
		})
		b.rank = b.rank[:width]
	}
	n := len(b.duration)
	b.next = b.next[:0]
	for h, x := range b.rank {
		r := b.reach[x]
		to := b.nextOf[h*n : (h+1)*n]
		copy(to, b.nowStart[int(r.from)*n:(int(r.from)+1)*n])
		to[r.activity] = r.start
		b.next = append(b.next, state{set: r.set, last: r.start})
	}
	b.now, b.next = b.next, b.now
	b.nowStart, b.nextOf = b.nextOf, b.nowStart
	return all
}

// finished are the starts of the state that finishes first.
func (b *beam) finished() []int32 {
	n := len(b.duration)
	best, end := 0, int32(1<<30)
	for x := range b.now {
		var last int32
		for i, t := range b.nowStart[x*n : (x+1)*n] {
			last = max(last, t+b.duration[i])
		}
		if last < end {
			best, end = x, last
		}
	}
	return slices.Clone(b.nowStart[best*n : (best+1)*n])
}
