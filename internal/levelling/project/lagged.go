package project

import (
	"slices"

	"bareframe/internal/levelling/search"
)

// lagged is the serial scheme for projects with maximum lags, a search.Decoder.
// An activity that cannot start in time for what is placed has what is placed too
// early taken off again and asked to start later (unscheduling: Franck, Neumann
// and Schwindt, OR Spektrum 23, 2001). A pass that is given up costs the number of
// activities that it could not place; else the cost is the makespan, behind a zero.
type lagged struct {
	d        *distances
	duration []int32
	need     [][]uint64
	weight   []float64
	ahead    [][]int32
	behind   [][]int32
	tail     []int32
	board    *board
	mirror   *lagged

	placed  []bool
	release []int32
	ready   []int32
	open    []int32
	chance  []float64
	order   []int32
}

func newLagged(p *Project, forward, backward *distances) *lagged {
	horizon := horizonOf(p)
	one := layLagged(p, forward, horizon)
	two := layLagged(p, backward, horizon)
	one.mirror, two.mirror = two, one
	return one
}

// horizonOf is a time that no schedule of the scheme passes.
func horizonOf(p *Project) int32 {
	out := int32(1)
	for i, d := range p.Durations {
		most := d
		for _, a := range p.Arcs {
			if int(a.From) == i {
				most = max(most, a.Lag)
			}
		}
		out += most
	}
	return 2 * out
}

func layLagged(p *Project, d *distances, horizon int32) *lagged {
	n := len(p.Durations)
	l := &lagged{d: d, duration: p.Durations, board: newBoard(p.Capacities, horizon), placed: make([]bool, n), release: make([]int32, n),
		need: make([][]uint64, n), weight: make([]float64, n), ahead: make([][]int32, n), behind: make([][]int32, n),
		tail: make([]int32, n), open: make([]int32, n), order: make([]int32, n)}
	for i := range int32(n) {
		l.need[i] = pack(p.Needs[i])
		for k, u := range p.Needs[i] {
			if u > 0 {
				l.weight[i] += float64(u) / float64(p.Capacities[k])
			}
		}
		l.tail[i] = d.at(i, d.end())
		for j := range int32(n) {
			if l.precedes(j, i) && !l.between(j, i, int32(n)) {
				l.ahead[i] = append(l.ahead[i], j)
				l.behind[j] = append(l.behind[j], i)
			}
		}
	}
	return l
}

// precedes is the strict order in which activities are placed: j waits for i, or
// starts with it and has no hold over it.
func (l *lagged) precedes(i, j int32) bool {
	lag := l.d.at(i, j)
	return i != j && (lag > 0 || lag == 0 && l.d.at(j, i) < 0)
}

func (l *lagged) between(i, j, n int32) bool {
	for k := range n {
		if l.precedes(i, k) && l.precedes(k, j) {
			return true
		}
	}
	return false
}

func (l *lagged) Size() int              { return len(l.duration) }
func (l *lagged) Ahead(i int32) []int32  { return l.ahead[i] }
func (l *lagged) Weight(i int32) float64 { return l.weight[i] }
func (l *lagged) Mirror() search.Decoder { return l.mirror }
func (l *lagged) Schemes() int           { return 1 }

// Decode places the activities in order, and again those that were taken off. It
// gives up when as many had to be taken off as patience times all activities.
func (l *lagged) Decode(order []int32, limit search.Cost, into *search.Schedule) (int, bool) {
	const patience = 4
	n := len(order)
	l.board.clear()
	clear(l.placed)
	for i := range l.release {
		l.release[i] = max(0, l.d.at(l.d.start(), int32(i)))
	}
	start := into.Start
	count, off := 0, 0
	for h := 0; h < n; h++ {
		i := order[h]
		if l.placed[i] {
			continue
		}
		t := l.board.earliest(l.from(i, start), l.duration[i], l.need[i])
		count++
		if limit[0] == 0 && int64(t)+int64(l.tail[i]) > limit[1] {
			return count, false
		}
		late := l.tooEarly(i, t, start)
		if late == none {
			start[i], into.Finish[i] = t, t+l.duration[i]
			l.board.take(t, l.duration[i], l.need[i])
			l.placed[i] = true
			continue
		}
		taken := 0
		if off < patience*n && late >= 0 {
			taken = l.takeOff(late, start)
			off += taken
		}
		if taken == 0 {
			return count, l.giveUp(into, limit)
		}
		h = -1
	}
	into.Cost = search.Cost{0, int64(slices.Max(into.Finish))}
	return count, true
}

// from is the earliest start of i after what is placed.
func (l *lagged) from(i int32, start []int32) int32 {
	t := l.release[i]
	for j, is := range l.placed {
		if is {
			t = max(t, start[j]+l.d.at(int32(j), i))
		}
	}
	return t
}

// tooEarly asks what is placed too early for i at t to start later, and returns
// the first start among it: none when nothing is, -1 when the start of all is.
func (l *lagged) tooEarly(i, t int32, start []int32) int32 {
	if to := l.d.at(i, l.d.start()); to != none && t+to > 0 {
		return -1
	}
	first := int32(none)
	for j, is := range l.placed {
		if !is {
			continue
		}
		lag := l.d.at(i, int32(j))
		if lag == none || start[j] >= t+lag {
			continue
		}
		l.release[j] = max(l.release[j], t+lag)
		if first == none || start[j] < first {
			first = start[j]
		}
	}
	return first
}

// takeOff takes off everything that starts at from or later.
func (l *lagged) takeOff(from int32, start []int32) int {
	taken := 0
	for j, is := range l.placed {
		if is && start[j] >= from {
			l.board.give(start[j], l.duration[j], l.need[j])
			l.placed[j] = false
			taken++
		}
	}
	return taken
}

// giveUp leaves what is not placed at its earliest start and says how much that is.
func (l *lagged) giveUp(into *search.Schedule, limit search.Cost) bool {
	missing := int64(0)
	for i, is := range l.placed {
		if !is {
			missing++
			into.Start[i] = l.release[i]
			into.Finish[i] = l.release[i] + l.duration[i]
		}
	}
	into.Cost = search.Cost{missing, int64(slices.Max(into.Finish))}
	return !limit.Less(into.Cost)
}

// Sample decodes an order drawn among what may come next, by the square of how
// little time is left behind it.
func (l *lagged) Sample(src *search.Source, _ int, into *search.Schedule) int {
	l.ready = l.ready[:0]
	for i := range l.ahead {
		if l.open[i] = int32(len(l.ahead[i])); l.open[i] == 0 {
			l.ready = append(l.ready, int32(i))
		}
	}
	for h := range l.order {
		x := l.draw(src)
		i := l.ready[x]
		l.ready[x] = l.ready[len(l.ready)-1]
		l.ready = l.ready[:len(l.ready)-1]
		l.order[h] = i
		for _, j := range l.behind[i] {
			if l.open[j]--; l.open[j] == 0 {
				l.ready = append(l.ready, j)
			}
		}
	}
	placed, _ := l.Decode(l.order, search.None, into)
	return placed
}

func (l *lagged) draw(src *search.Source) int {
	least := int32(1 << 30)
	for _, i := range l.ready {
		least = min(least, l.tail[i]-l.duration[i])
	}
	total := 0.0
	l.chance = l.chance[:0]
	for _, i := range l.ready {
		c := float64(l.tail[i]-l.duration[i]-least) + 1
		total += c * c
		l.chance = append(l.chance, total)
	}
	at := src.Float() * total
	for x, c := range l.chance {
		if at < c {
			return x
		}
	}
	return len(l.ready) - 1
}
