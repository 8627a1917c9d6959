package levelling

import (
	"cmp"
	"math"
	"slices"

	"bareframe/internal/levelling/search"
)

const urgentFirst = math.MinInt64 / 4

// layKeys ranks the blocks by the priority rules of the first plans: latest
// start against the promise; jobs by weighted slack; jobs by work per weight;
// earliest start; the previous plan.
func (s *shop) layKeys() {
	s.layDue()
	work, slack := make([]int64, len(s.jobs)), make([]int64, len(s.jobs))
	for i := range s.tasks {
		if s.blockOf[i] >= 0 {
			work[s.tasks[i].job] += int64(s.tasks[i].minutes)
		}
	}
	for j := range s.jobs {
		slack[j] = s.due[j] - int64(s.jobLow[j])
		if slack[j] > 0 {
			slack[j] /= s.jobs[j].weight
		}
		work[j] /= s.jobs[j].weight
	}
	slack, work = ranksOf(slack), ranksOf(work)
	latest := func(i int32) int64 {
		return s.due[s.tasks[i].job] - int64(s.tail[i]) - int64(s.tasks[i].minutes)
	}
	within := func(i int32) int64 { return int64(s.alone[i]) - int64(s.tail[i]) }
	const apart = 1 << 32
	s.keys = [][]int64{
		s.ranked(latest),
		s.ranked(func(i int32) int64 { return slack[s.tasks[i].job]*apart + within(i) }),
		s.ranked(func(i int32) int64 { return work[s.tasks[i].job]*apart + within(i) }),
		s.ranked(func(i int32) int64 { return int64(s.alone[i]) }),
	}
	if len(s.in.Previous) > 0 {
		s.keys = append(s.keys, s.ranked(s.asBefore(latest)))
	}
	if s.follows {
		s.keys = slices.Insert(s.keys, 0, s.ranked(s.inserted()))
	}
	s.hurry()
}

// ranksOf gives each its place among the others, least first.
func ranksOf(of []int64) []int64 {
	by := make([]int, len(of))
	for j := range by {
		by[j] = j
	}
	slices.SortStableFunc(by, func(a, b int) int { return cmp.Compare(of[a], of[b]) })
	ranks := make([]int64, len(of))
	for rank, j := range by {
		ranks[j] = int64(rank)
	}
	return ranks
}

// layDue gives jobs without a promise a date after all promises.
func (s *shop) layDue() {
	s.due = make([]int64, len(s.jobs))
	last := int64(s.now)
	for j := range s.jobs {
		if p := s.jobs[j].promise; p < never {
			last = max(last, int64(p))
		}
	}
	for j := range s.jobs {
		s.due[j] = int64(s.jobs[j].promise)
		if s.jobs[j].promise >= never {
			s.due[j] = last + int64(max(0, s.jobLow[j]-s.now))
		}
	}
}

// asBefore ranks by the starts of the previous plan; what was not in it follows
// by another rank.
func (s *shop) asBefore(other func(int32) int64) func(int32) int64 {
	at := map[int32]int64{}
	for _, p := range s.in.Previous {
		if i, ok := s.places.tasks[p.Task]; ok {
			at[i] = int64(s.minuteDown(p.Start))
		}
	}
	return func(i int32) int64 {
		if m, ok := at[i]; ok {
			return m
		}
		return max(other(i), int64(s.alone[i]))
	}
}

// ranked gives each block the least key of its tasks.
func (s *shop) ranked(key func(int32) int64) []int64 {
	keys := make([]int64, len(s.blocks))
	for b, members := range s.blocks {
		keys[b] = math.MaxInt64
		for _, i := range members {
			keys[b] = min(keys[b], key(i))
		}
	}
	return keys
}

// hurry puts first, by every rule, what something fixed waits for or what a
// window that is open already closes on, with all that goes before it.
func (s *shop) hurry() {
	urgent := make([]bool, len(s.blocks))
	var stack []int32
	push := func(b int32) {
		if b >= 0 && !urgent[b] {
			urgent[b] = true
			stack = append(stack, b)
		}
	}
	for k := range s.arcs {
		a := &s.arcs[k]
		if s.moot(a) {
			continue
		}
		if s.blockOf[a.to] < 0 && s.unplaced[a.to] == nil {
			push(s.blockOf[a.from])
		}
		if s.blockOf[a.from] < 0 && a.most < never {
			push(s.blockOf[a.to])
		}
	}
	for len(stack) > 0 {
		b := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, c := range s.ahead[b] {
			push(c)
		}
	}
	for b, first := range urgent {
		for r := range s.keys {
			if first {
				s.keys[r][b] += urgentFirst
			}
		}
	}
}

// ranking lists blocks by key, each after those that are ahead of it. It keeps
// its memory.
type ranking struct {
	keys  []int64
	waits []int32
	heap  []int32
	after [][]int32 // shared
}

// listed fills order by keys. O(blocks × log blocks + links).
func (q *ranking) listed(s *shop, keys []int64, order []int32) {
	if q.after == nil {
		q.after = make([][]int32, len(s.blocks))
		for b, ahead := range s.ahead {
			for _, a := range ahead {
				q.after[a] = append(q.after[a], int32(b))
			}
		}
		q.waits = make([]int32, len(s.blocks))
	}
	q.heap = q.heap[:0]
	for b := range s.ahead {
		q.waits[b] = int32(len(s.ahead[b]))
		if q.waits[b] == 0 {
			q.push(keys, int32(b))
		}
	}
	for k := range order {
		b := q.pop(keys)
		order[k] = b
		for _, c := range q.after[b] {
			if q.waits[c]--; q.waits[c] == 0 {
				q.push(keys, c)
			}
		}
	}
}

func sooner(keys []int64, a, b int32) bool {
	return keys[a] < keys[b] || keys[a] == keys[b] && a < b
}

func (q *ranking) push(keys []int64, b int32) {
	q.heap = append(q.heap, b)
	for k := len(q.heap) - 1; k > 0; {
		up := (k - 1) / 2
		if !sooner(keys, q.heap[k], q.heap[up]) {
			return
		}
		q.heap[k], q.heap[up] = q.heap[up], q.heap[k]
		k = up
	}
}

func (q *ranking) pop(keys []int64) int32 {
	top, n := q.heap[0], len(q.heap)-1
	q.heap[0] = q.heap[n]
	q.heap = q.heap[:n]
	for k := 0; ; {
		least := k
		for c := 2*k + 1; c <= 2*k+2 && c < n; c++ {
			if sooner(keys, q.heap[c], q.heap[least]) {
				least = c
			}
		}
		if least == k {
			return top
		}
		q.heap[k], q.heap[least] = q.heap[least], q.heap[k]
		k = least
	}
}

// Sample takes the rules in turn, plain at first, then with their ranks blurred by
// a random share of their spread.
func (d *decoder) Sample(src *search.Source, k int, into *search.Schedule) (placed int) {
	keys := d.s.keys[k%len(d.s.keys)]
	d.queue.keys = append(d.queue.keys[:0], keys...)
	if k >= len(d.s.keys) {
		d.blur(src)
	}
	into.Order = slices.Grow(into.Order[:0], len(keys))[:len(keys)]
	d.queue.listed(d.s, d.queue.keys, into.Order)
	placed, _ = d.Decode(into.Order, search.None, into)
	return max(placed, 1)
}

func (d *decoder) blur(src *search.Source) {
	lo, hi := int64(math.MaxInt64), int64(math.MinInt64)
	for _, k := range d.queue.keys {
		if k > urgentFirst/2 {
			lo, hi = min(lo, k), max(hi, k)
		}
	}
	if hi <= lo {
		return
	}
	most := float64(hi-lo) * 0.3 * src.Float() * src.Float()
	if src.Int(2) == 0 {
		d.blurJobs(src, most)
		return
	}
	for b := range d.queue.keys {
		d.queue.keys[b] += int64(most * src.Float())
	}
}

// blurJobs shifts all blocks of a job alike, so that jobs change places and the
// order inside each stays.
func (d *decoder) blurJobs(src *search.Source, most float64) {
	d.shift = d.shift[:0]
	for range d.s.jobs {
		d.shift = append(d.shift, int64(most*src.Float()))
	}
	for b, members := range d.s.blocks {
		d.queue.keys[b] += d.shift[d.s.tasks[members[0]].job]
	}
}
