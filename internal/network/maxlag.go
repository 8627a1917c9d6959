package network

import (
	"fmt"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
)

// Contradiction is the evidence of "max-lag-cannot-hold": lags that ask for
// more time than a maximum among them leaves. Going round once, from the first
// task back to itself, each of Lags leads from one task to the next. Where
// several such rings can each hold at some time, but never at the same time,
// the lags of all are listed one ring after the other and OverMinutes is zero.
type Contradiction struct {
	Tasks []string   `json:"tasks"`
	Lags  []LagClaim `json:"lags"`
	// OverMinutes is by how many elapsed minutes one turn is too long.
	OverMinutes calendar.Minutes `json:"over_minutes"`
}

// LagClaim is one lag of a contradiction.
type LagClaim struct {
	LinkRef
	// AtMost: the maximum lag counts here, else the least.
	AtMost  bool             `json:"at_most"`
	Minutes calendar.Minutes `json:"minutes"`
	Kind    calendar.Kind    `json:"kind"`
}

// What a turn round the same lags is tried with before they are called
// contradictory: on a calendar, lags that clash today may agree after the
// weekend. Round the clock the first turn decides.
const (
	maxTurns  = 100_000
	maxAhead  = 2 * 366 * 24 * 60 // minutes
	passesMax = 50                // over everything, on average
	workMin   = 20_000_000
)

// patience is how many tasks and links a search for agreement may look at.
func (s *schedule) patience() int { return max(workMin, passesMax*(len(s.tasks)+len(s.arcs))) }

func errUnsettled() error {
	return fault.New(fault.Invalid, "network-unsettled",
		"the maximum lags pull on each other in too many ways to settle: use fewer of them")
}

// settle places tasks so that every maximum lag holds too, or names the lags
// that cannot. It corrects labels as Bellman (1958) and Ford do, in passes over
// the topological order; with B maximum lags, B+1 passes are enough round the
// clock. A ring of tasks that have moved each other is tried by itself.
func (s *schedule) settle() error {
	c := &correction{schedule: s, by: make([]blame, len(s.tasks)), dirty: make([]bool, len(s.tasks))}
	for i := range s.tasks {
		if s.traits[i]&finished == 0 {
			s.early[i] = s.earliestPlace(int32(i), s.lowest(int32(i)))
		}
		c.by[i].from, c.dirty[i] = -1, true
	}
	for work := s.patience(); c.pass(&work); {
		if ring := c.ring(); ring != nil {
			if err := c.turn(ring); err != nil {
				return err
			}
		}
		if s.above {
			return c.neverTogether()
		}
		if work < 0 {
			return errUnsettled()
		}
	}
	return nil
}

// correction is the state of settle.
type correction struct {
	*schedule
	by    []blame   // the arc that moved each task last; from is -1 for a date
	dirty []bool    // whether a task has moved since its arcs were asked
	tried [][]blame // the last rings that agreed by themselves
}

const ringsKept = 16

// pass asks the arcs of the dirty tasks in topological order and says whether
// any task is dirty afterwards.
func (c *correction) pass(work *int) bool {
	again := false
	*work -= len(c.tasks) / 16
	for _, i := range c.order {
		if !c.dirty[i] {
			continue
		}
		c.dirty[i] = false
		*work -= 1 + int(c.first[i+1]-c.first[i])
		near := c.leaving(i)
		for _, a := range c.arcs[c.first[i]:c.first[i+1]] {
			if c.move(a, c.asks(near[a.code.from()], a)) {
				c.by[a.to], c.dirty[a.to] = blame{i, a.link, a.code}, true
				again = again || a.code&back != 0
			}
		}
	}
	return again
}

// move takes the far task of an arc to where the arc asks it to be, and says
// whether it was not there yet.
func (c *correction) move(a arc, x int64) bool {
	i, end := a.to, a.code.end()
	if a.code&moot != 0 || x <= c.early[i][end].at {
		return false
	}
	low := pair{{c.early[i][0].at, never}, noEarlier}
	low[end].at = x
	c.early[i] = c.earliestPlace(i, low)
	return true
}

// ring finds tasks that have moved each other in a circle, as the arcs that did
// it in order, or nil. O(tasks).
func (c *correction) ring() []blame {
	const fresh, open, closed = 0, 1, 2
	state := make([]uint8, len(c.tasks))
	for _, start := range c.order {
		var walk []int32
		i := start
		for i >= 0 && state[i] == fresh {
			state[i] = open
			walk = append(walk, i)
			i = c.by[i].from
		}
		if i >= 0 && state[i] == open {
			var ring []blame
			for at := i; ; {
				ring = append(ring, c.by[at])
				if at = c.by[at].from; at == i {
					break
				}
			}
			slices.Reverse(ring)
			return c.turned(ring)
		}
		for _, k := range walk {
			state[k] = closed
		}
	}
	return nil
}

// turn goes round a ring by itself until it agrees, and keeps where that is, or
// gives the contradiction. Every stop is a valid lower bound, because what each
// arc asks never falls when its task moves later.
func (c *correction) turn(ring []blame) error {
	i := ring[0].from
	stands := c.early[i]
	from := stands[0].at
	for turns := 0; ; turns++ {
		next := c.round(ring, stands)
		if next[0].at <= stands[0].at {
			break
		}
		if c.axis == nil || turns >= maxTurns || next[0].at-from > maxAhead || c.above {
			return c.contradiction(ring, next[0].at-stands[0].at)
		}
		stands = next
	}
	c.tried = append(c.tried[max(0, len(c.tried)-ringsKept+1):], ring)
	c.early[i] = stands
	c.by[i].from, c.dirty[i] = -1, true
	return nil
}

// round carries the first task of a ring once round and says where it must then
// stand.
func (c *correction) round(ring []blame, stands pair) pair {
	for k, b := range ring {
		to := ring[(k+1)%len(ring)].from
		if c.traits[b.from]&started != 0 {
			stands[0] = c.began[b.from]
		}
		a := c.arcOf(b, to)
		low := pair{noEarlier, noEarlier}
		low[a.code.end()].at = c.asks(stands[a.code.from()], a)
		stands = c.earliestPlace(to, low)
	}
	return stands
}

func (c *correction) arcOf(b blame, to int32) arc {
	l := &c.links[b.link]
	a := arc{to: to, lag: int32(l.Lag), link: b.link, code: b.code}
	if b.code&back != 0 {
		a.lag = int32(-*l.MaxLag)
	}
	return a
}

func (c *correction) contradiction(ring []blame, over int64) error {
	e := Contradiction{OverMinutes: calendar.Minutes(over)}
	var faults fault.Collector
	for k, b := range ring {
		l := &c.links[b.link]
		if id := c.tasks[b.from].ID; !slices.Contains(e.Tasks, id) {
			e.Tasks = append(e.Tasks, id)
		}
		claim := LagClaim{LinkRef: c.linkRef(b.link), Minutes: l.Lag, Kind: calendar.Working}
		if l.LagKind == calendar.Elapsed {
			claim.Kind = calendar.Elapsed
		}
		if b.code&back != 0 {
			claim.AtMost, claim.Minutes = true, *l.MaxLag
			if k < maxFaults {
				faults.Add(fmt.Sprintf("/links/%d/max_lag_minutes", b.link),
					"at most %v from %s to %s cannot hold", duration(*l.MaxLag), l.From, l.To)
			}
		}
		e.Lags = append(e.Lags, claim)
	}
	err := fault.As(faults.Err("max-lag-cannot-hold"))
	err.Detail += ": the tasks and lags round " + arrows(e.Tasks) + " need more time than it leaves"
	return err.With(e)
}

// neverTogether is for rings each of which agrees at some time, but never at
// the time of the others before the years run out: it names them all. Without
// such rings the work is simply too long, which the caller says.
func (c *correction) neverTogether() error {
	var all []blame
	for _, ring := range c.tried {
		for _, b := range ring {
			if !slices.Contains(all, b) {
				all = append(all, b)
			}
		}
	}
	if len(all) == 0 {
		return nil
	}
	return c.contradiction(all, 0)
}

// duration writes minutes for a person.
func duration(m calendar.Minutes) time.Duration { return time.Duration(m) * time.Minute }

// lagOverruns lists the maximum lags that cannot hold because their first end
// has already happened.
func (s *schedule) lagOverruns() []LagOverrun {
	if s.began == nil {
		return nil
	}
	var over []LagOverrun
	for i := range s.tasks {
		leaving := s.leaving(int32(i))
		for _, a := range s.arcs[s.first[i]:s.first[i+1]] {
			if a.code&back != 0 || a.code&capped == 0 {
				continue
			}
			l := &s.links[a.link]
			near, far := leaving[a.code.from()], s.leaving(a.to)[a.code.end()]
			most, own := int64(*l.MaxLag), a.code&lagElapsed != 0
			if s.after(far, -most, own) > near.at {
				over = append(over, LagOverrun{Link: s.linkName(a.link), From: l.From, To: l.To,
					Minutes: between(near, far, own) - *l.MaxLag})
			}
		}
	}
	return over
}
