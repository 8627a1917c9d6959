package project

import "bareframe/internal/levelling/search"

// schemes are the schedule generation schemes of a generator: number s below
// delays lets an activity be chosen that starts up to s tenths of twice the mean
// duration later than another could, the others let any; see generator.
const schemes, delays = 16, 11

// generator generates schedules in one direction of time, a search.Decoder for
// projects without maximum lags. Its cost is the makespan.
//
// Of the activities whose predecessors are placed it takes those that could start
// no more than a delay after the one that could start first, places the one of
// these that an order names first, as early as it fits, and looks again. Without
// any delay that is the parallel scheme, with any delay the serial one; what lies
// between are the parameterized active schedules of Gonçalves, Mendes and Resende
// ("A hybrid genetic algorithm for the job shop scheduling problem", European
// Journal of Operational Research 167, 2005). A small delay packs closely and
// still lets what matters more go first.
type generator struct {
	*frame
	board  *board
	mirror *generator
	delay  [delays]int32

	open   []int32 // predecessors that are not placed
	ready  []int32
	from   []int32 // the earliest that an activity that is ready may start, as far as known
	place  []int32 // of each activity in an order
	near   []int32 // what may be chosen
	chance []float64
	drawn  []int32
}

// newGenerator returns the decoder of a project, forward.
func newGenerator(forward, backward *frame) *generator {
	one, two := generatorOf(forward), generatorOf(backward)
	one.mirror, two.mirror = two, one
	return one
}

func generatorOf(f *frame) *generator {
	n := len(f.duration)
	g := &generator{frame: f, board: newBoard(f.full, f.horizon), open: make([]int32, n), from: make([]int32, n), place: make([]int32, n)}
	mean := f.meanDuration()
	for s := range g.delay {
		g.delay[s] = int32(2*mean*float64(s)/(delays-1) + 0.5)
	}
	return g
}

func (g *generator) Size() int              { return len(g.duration) }
func (g *generator) Ahead(i int32) []int32  { return g.ahead[i] }
func (g *generator) Weight(i int32) float64 { return g.weight[i] }
func (g *generator) Mirror() search.Decoder { return g.mirror }
func (g *generator) Schemes() int           { return schemes }

// Decode places the activities in order by into's scheme. It gives up as soon as
// an activity can only start too late for the work behind it.
func (g *generator) Decode(order []int32, limit search.Cost, into *search.Schedule) (int, bool) {
	most := int32(min(limit[0], 1<<30))
	if into.Scheme >= delays {
		return g.serial(order, most, into)
	}
	for h, i := range order {
		g.place[i] = int32(h)
	}
	return g.delayed(func(near []int32) int32 { return first(g.place, near) }, g.delay[into.Scheme], most, into)
}

// serial places the activities one by one.
func (g *generator) serial(order []int32, most int32, into *search.Schedule) (placed int, all bool) {
	g.board.clear()
	into.Cost = search.Cost{}
	for h, i := range order {
		t := g.board.earliest(g.after(i, into.Start), g.duration[i], g.need[i])
		if t+g.tail[i] > most {
			return h + 1, false
		}
		g.put(i, t, into)
	}
	return len(order), true
}

// delayed places what choose picks of what may start soonest, or up to delay after it.
func (g *generator) delayed(choose func(near []int32) int32, delay, most int32, into *search.Schedule) (placed int, all bool) {
	g.begin()
	g.board.clear()
	into.Cost = search.Cost{}
	for n := len(g.duration); placed < n; placed++ {
		if !g.soonest(delay, most) {
			return placed + 1, false
		}
		i := choose(g.near)
		g.put(i, g.from[i], into)
		g.free(i, into.Start)
	}
	return placed, true
}

// soonest fills near with what may start soonest, or up to delay after it; false when
// something that is ready can only start too late.
func (g *generator) soonest(delay, most int32) bool {
	least := int32(1 << 30)
	for _, i := range g.ready {
		t := g.board.earliest(g.from[i], g.duration[i], g.need[i])
		if t+g.tail[i] > most {
			return false
		}
		g.from[i], least = t, min(least, t)
	}
	g.near = g.near[:0]
	for _, i := range g.ready {
		if g.from[i] <= least+delay {
			g.near = append(g.near, i)
		}
	}
	return true
}

// put lets i start at t.
func (g *generator) put(i, t int32, into *search.Schedule) {
	end := t + g.duration[i]
	into.Start[i], into.Finish[i] = t, end
	g.board.take(t, g.duration[i], g.need[i])
	into.Cost[0] = max(into.Cost[0], int64(end))
}

// begin makes ready what has no predecessors.
func (g *generator) begin() {
	g.ready = g.ready[:0]
	for i := range g.ahead {
		g.from[i] = 0
		if g.open[i] = int32(len(g.ahead[i])); g.open[i] == 0 {
			g.ready = append(g.ready, int32(i))
		}
	}
}

// free takes i from what is ready, and makes ready what waited for it alone.
func (g *generator) free(i int32, start []int32) {
	for x, j := range g.ready {
		if j == i {
			g.ready[x] = g.ready[len(g.ready)-1]
			g.ready = g.ready[:len(g.ready)-1]
			break
		}
	}
	for _, j := range g.behind[i] {
		if g.open[j]--; g.open[j] == 0 {
			g.ready = append(g.ready, j)
			if start != nil {
				g.from[j] = g.after(j, start)
			}
		}
	}
}

// after is when the arcs allow i to start.
func (g *generator) after(i int32, start []int32) int32 {
	var t int32
	lag := g.lag[i]
	for x, q := range g.ahead[i] {
		t = max(t, start[q]+lag[x])
	}
	return t
}

// first picks what stands first in the order whose places are given.
func first(place, from []int32) int32 {
	best := from[0]
	for _, i := range from[1:] {
		if place[i] < place[best] {
			best = i
		}
	}
	return best
}
