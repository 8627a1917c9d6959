package search

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// state is a search under way.
type state struct {
	ctx     context.Context
	effort  Effort
	enough  Cost
	workers []*worker
	size    int
	spent   float64
	schemes int
	best    *Schedule

	seed  uint64 // of the round
	first int    // lineages at the beginning of the round
	// near and far are the two populations: near holds the parents, far is where
	// their children go. Without a mirror both are one.
	near, far []*Schedule
	mirrored  bool // near lies on the mirror's line of time
	born      []*birth
	held      [2]map[uint64]int
}

// birth is a child and what became of its decoding.
type birth struct {
	child  *Schedule
	placed int
	ok     bool
}

// worker decodes for one processor.
type worker struct {
	forward, mirror Decoder
	breeder         *breeder
}

func newState(ctx context.Context, new func() Decoder, effort Effort, enough Cost) *state {
	s := &state{ctx: ctx, effort: effort, enough: enough}
	for range max(1, effort.Workers) {
		d := new()
		s.size, s.schemes = d.Size(), d.Schemes()
		s.workers = append(s.workers, &worker{forward: d, mirror: d.Mirror(), breeder: newBreeder(d)})
	}
	s.best = NewSchedule(s.size)
	return s
}

// over reports whether the search has to end.
func (s *state) over() bool {
	return s.spent >= s.effort.Schedules || !s.enough.Less(s.best.Cost) || s.ctx.Err() != nil && s.spent > 0
}

// begin fills both populations: samples, and the samples justified.
func (s *state) begin(round, lineages int) {
	s.seed = NewSource(s.effort.Seed + uint64(round)*0x632be59bd9b4e019).Uint64()
	s.first, s.mirrored = lineages, false
	s.held = [2]map[uint64]int{{}, {}}
	s.near, s.far, s.born = population(s.size, lineages), nil, births(s.size, lineages)
	s.each(0, func(w *worker, src *Source, i int) {
		b := s.born[i]
		b.placed, b.ok = w.forward.Sample(src, i, b.child), true
		b.child.Scheme = int32(src.Int(s.schemes))
	})
	s.settle(s.near, false)
	if s.workers[0].mirror == nil {
		s.far = s.near
		return
	}
	s.far = population(s.size, len(s.near))
}

// generation breeds a child for each lineage and puts it where it belongs.
func (s *state) generation(gen int) {
	limit := worse(s.best.Cost, s.far[worst(s.far, 0)].Cost)
	s.each(gen, func(w *worker, src *Source, i int) {
		b := s.born[i]
		mother, father := s.parents(src, i)
		into := w.into(s.mirrored)
		order := w.breeder.cross(into, src, mother, father)
		b.child.Scheme = s.inherited(src, mother, father)
		b.placed, b.ok = into.Decode(order, limit, b.child)
	})
	s.settle(s.far, s.workers[0].mirror != nil && !s.mirrored)
}

// parents draws a mother and a father, one of them of lineage i. While the other
// population is empty each lineage is only justified.
func (s *state) parents(src *Source, i int) (mother, father *Schedule) {
	mother = s.near[i]
	if s.far[i].Cost == None {
		return mother, mother
	}
	father = s.near[src.Int(len(s.near))]
	if other := s.near[src.Int(len(s.near))]; other.Cost.Less(father.Cost) {
		father = other
	}
	if src.Int(2) == 0 {
		return father, mother
	}
	return mother, father
}

// inherited is a child's scheme: three times of five its mother's, else its father's or any.
func (s *state) inherited(src *Source, mother, father *Schedule) int32 {
	if s.schemes == 1 {
		return 0
	}
	switch src.Int(5) {
	case 0:
		return father.Scheme
	case 1:
		return int32(src.Int(s.schemes))
	}
	return mother.Scheme
}

// each runs work for every lineage, side by side; when the context ends it leaves
// out what has not begun. What panics in a worker does so again for the caller, who
// alone can recover from it.
func (s *state) each(gen int, work func(w *worker, src *Source, i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	run := func(w *worker) {
		for {
			i := int(next.Add(1)) - 1
			if i >= len(s.near) {
				return
			}
			s.born[i].ok, s.born[i].placed = false, 0
			if s.ctx.Err() == nil || gen == 0 && i == 0 {
				work(w, NewSource(s.seed^uint64(gen)<<32^uint64(i)*0x9e3779b97f4a7c15), i)
			}
		}
	}
	var broken atomic.Pointer[string]
	for _, w := range s.workers[1:] {
		wait.Go(func() {
			defer func() {
				if r := recover(); r != nil {
					what := fmt.Sprintf("%v\n%s", r, debug.Stack())
					broken.Store(&what)
				}
			}()
			run(w)
		})
	}
	run(s.workers[0])
	wait.Wait()
	if what := broken.Load(); what != nil {
		panic(*what)
	}
}

// settle counts what was spent, in the order of the lineages, and lets each child take the
// place of the worst schedule in where when it costs no more and where does not hold
// the same already. What lies beyond the effort never happened. Backward says that
// the children lie on the mirror's line of time.
func (s *state) settle(where []*Schedule, backward bool) {
	held := s.held[side(backward)]
	for i := range where {
		b := s.born[i]
		if s.spent >= s.effort.Schedules {
			return
		}
		s.spent += float64(b.placed) / float64(max(1, s.size))
		if !b.ok {
			continue
		}
		if b.child.Cost.Less(s.best.Cost) {
			s.remember(b.child, backward)
		}
		out := worst(where, i)
		if where[out].Cost.Less(b.child.Cost) {
			continue
		}
		if b.child.mark = mark(b.child.Start); held[b.child.mark] == 0 {
			held[b.child.mark]++
			held[where[out].mark]--
			where[out], b.child = b.child, where[out]
		}
	}
}

// worst is the place of the schedule that costs most, among equals that of lineage i, so
// that not one place is taken again and again.
func worst(of []*Schedule, i int) int {
	out := i
	for j := range of {
		if of[out].Cost.Less(of[j].Cost) {
			out = j
		}
	}
	return out
}

// mark is a number that two different schedules hardly share (FNV-1a, a start at a time).
func mark(start []int32) uint64 {
	h := uint64(14695981039346656037)
	for _, t := range start {
		h = (h ^ uint64(uint32(t))) * 1099511628211
	}
	return h
}

// remember keeps a copy of the best schedule, on the decoder's own line of time.
func (s *state) remember(child *Schedule, backward bool) {
	s.best.Cost = child.Cost
	s.best.Order = append(s.best.Order[:0], child.Order...)
	if !backward {
		copy(s.best.Start, child.Start)
		copy(s.best.Finish, child.Finish)
		return
	}
	end := last(child.Finish)
	for i := range child.Start {
		s.best.Start[i], s.best.Finish[i] = end-child.Finish[i], end-child.Start[i]
	}
}

// turn lets the children become the parents.
func (s *state) turn() {
	if s.workers[0].mirror == nil {
		return
	}
	s.near, s.far, s.mirrored = s.far, s.near, !s.mirrored
}

// shrink drops the worst lineages until no more than keep are left: those whose two
// schedules together are worst, the later one among equals.
func (s *state) shrink(keep int) {
	both := s.workers[0].mirror != nil
	for len(s.near) > keep {
		out := 0
		for i := 1; i < len(s.near); i++ {
			if !s.standing(i).Less(s.standing(out)) {
				out = i
			}
		}
		s.near = without(s.near, out)
		if both {
			s.far = without(s.far, out)
		} else {
			s.far = s.near
		}
	}
}

// standing is what a lineage is judged by when the population shrinks.
func (s *state) standing(i int) Cost {
	a, b := s.near[i].Cost, s.far[i].Cost
	if b == None {
		return a
	}
	return Cost{a[0] + b[0], a[1] + b[1], a[2] + b[2]}
}

// into is the decoder of the next children: the one whose time runs against that
// of their parents, where there are two.
func (w *worker) into(mirrored bool) Decoder {
	if w.mirror == nil || mirrored {
		return w.forward
	}
	return w.mirror
}

// without moves element out behind the end, where its room can be used again.
func without(from []*Schedule, out int) []*Schedule {
	end := len(from) - 1
	from[out], from[end] = from[end], from[out]
	return from[:end]
}

func side(backward bool) int {
	if backward {
		return 1
	}
	return 0
}

func population(size, lineages int) []*Schedule {
	out := make([]*Schedule, lineages)
	for i := range out {
		out[i] = NewSchedule(size)
	}
	return out
}

func births(size, lineages int) []*birth {
	out := make([]*birth, lineages)
	for i := range out {
		out[i] = &birth{child: NewSchedule(size)}
	}
	return out
}

func worse(a, b Cost) Cost {
	if a.Less(b) {
		return b
	}
	return a
}

func last(finish []int32) int32 {
	var end int32
	for _, f := range finish {
		end = max(end, f)
	}
	return end
}
