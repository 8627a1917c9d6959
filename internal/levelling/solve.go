package levelling

import (
	"context"

	"bareframe/internal/levelling/search"
)

// Progress is how far a search has come.
type Progress struct {
	Schedules float64 `json:"schedules"`
	Cost      Cost    `json:"cost"`
	Bound     Cost    `json:"bound"`
}

// Solve plans the shop. It returns fault.Invalid, code "levelling-invalid", with
// every value at fault by JSON pointer; what no plan can hold is no error but in
// Result.Unplaced. The first plan comes from priority rules; then orders are
// searched for as long as effort says. When ctx ends, the best plan so far is
// the answer. progress, which may be nil, is called now and then from one
// goroutine at a time. A schedule costs O(tasks × log tasks) as a rule.
func Solve(ctx context.Context, in Input, effort Effort, progress func(Progress)) (Result, error) {
	if err := checkEffort(effort); err != nil {
		return Result{}, err
	}
	p, err := prepare(&in)
	if err != nil {
		return Result{}, err
	}
	if progress == nil {
		progress = func(Progress) {}
	}
	return p.solve(ctx, effort, progress), nil
}

// plan is a shop with the best order so far.
type plan struct {
	s     *shop
	d     *decoder
	order []int32 // of blocks
	cost  search.Cost
	bound search.Cost
	count float64 // schedules generated
	ended bool    // before its effort was spent
}

const minutesOfYears = maxYears * yearLength

// prepare lays the shop out as far ahead as its work needs, and makes a first
// plan.
func prepare(in *Input) (*plan, error) { return lay(in, false) }

// lay is prepare; with follows, the first plan keeps to the previous one.
func lay(in *Input, follows bool) (*plan, error) {
	places, err := validate(in)
	if err != nil {
		return nil, err
	}
	for reach := firstReach(in); ; reach = min(4*reach, minutesOfYears) {
		s := newShop(in, places, reach, follows)
		s.settle()
		p := &plan{s: s, cost: search.None}
		if fits := p.firstPlan(); fits || reach == minutesOfYears {
			p.bound = s.bound()
			return p, nil
		}
	}
}

// firstReach guesses how many minutes from Now the work will take: ten times what
// keeps the busiest busy, after the last date of the input.
func firstReach(in *Input) int32 {
	var last, total int64
	busy := map[string]int64{}
	for i := range in.Tasks {
		t := &in.Tasks[i]
		total = max(total, int64(t.Duration))
		for _, w := range t.Crew {
			busy[w.Skill] += int64(t.Duration) * int64(w.Count)
		}
		for _, p := range t.Places {
			busy["@"+p.Station] += int64(t.Duration)
		}
		for _, d := range []*int64{minutesFrom(in, t.NotBefore), minutesFrom(in, t.Pin)} {
			last = max(last, *d)
		}
	}
	for _, b := range busy {
		total = max(total, b)
	}
	people := int64(max(1, len(in.People)))
	return int32(min(max(last, 0)+10*total/min(people, 3)+120*24*60, minutesOfYears))
}

// firstPlan takes the best order by the priority rules. Where none of them can
// be placed, what stands in the way is refused, until the rest can. False when a
// longer axis may hold more.
func (p *plan) firstPlan() bool {
	for {
		p.d = p.s.newDecoder()
		p.cost = search.None
		p.tryRules()
		if p.order != nil || !p.refuseMisses() {
			return !p.s.short()
		}
		p.s.settle()
	}
}

func (p *plan) tryRules() {
	p.order = nil
	order, into := make([]int32, len(p.s.blocks)), search.NewSchedule(len(p.s.blocks))
	for _, keys := range p.s.keys {
		if p.s.follows && p.order != nil {
			return
		}
		p.d.queue.listed(p.s, keys, order)
		p.count++
		if _, ok := p.d.Decode(order, search.None, into); ok && (p.order == nil || into.Cost.Less(p.cost)) {
			p.order, p.cost = append([]int32(nil), order...), into.Cost
		}
	}
}

// short says whether something was refused that a longer axis might hold.
func (s *shop) short() bool {
	for _, u := range s.unplaced {
		if u != nil && (u.Code == "calendars-never-meet" || u.Code == "opening-too-short" || u.Code == "beyond-horizon" || u.Code == "max-lag-cannot-hold") {
			return true
		}
	}
	return false
}

// refuseMisses places what can be placed by the first rule and refuses what
// cannot. False when nothing was refused.
func (p *plan) refuseMisses() bool {
	s, d := p.s, p.d
	order := make([]int32, len(s.blocks))
	d.queue.listed(s, s.keys[0], order)
	d.reset()
	missed := make([]bool, len(s.blocks))
	found := false
	for _, b := range order {
		for _, a := range s.ahead[b] {
			missed[b] = missed[b] || missed[a]
		}
		if missed[b] || d.placeBlock(b) {
			continue
		}
		missed[b], found = true, true
		s.refuseBlock(b, d.fault)
	}
	return found
}

func (s *shop) refuseBlock(b int32, why miss) {
	if why.pin >= 0 {
		s.refuse(why.pin, "pin-contradicts", "%s was pinned to %s, before what it waits for can be done", s.title(why.pin), s.clock(s.tasks[why.pin].pin)).by(s, why.link)
		return
	}
	for _, i := range s.blocks[b] {
		switch {
		case why.link >= 0:
			s.refuse(i, "max-lag-cannot-hold", "%s cannot follow %s within the time that their link allows",
				s.title(s.arcs[why.link].to), s.title(s.arcs[why.link].from)).by(s, why.link)
		case len(s.blocks[b]) > 1:
			u := s.refuse(i, "max-lag-cannot-hold", "%s stands in an unbroken chain for which the people and places are never there", s.title(i))
			for _, j := range s.blocks[b] {
				for _, k := range s.into[j] {
					if s.arcs[k].most < never {
						u.by(s, k)
					}
				}
			}
		default:
			s.refuse(i, "beyond-horizon", "%s cannot be done within the %d years that a plan reaches", s.title(i), maxYears)
		}
	}
}

// solve searches and writes the answer.
func (p *plan) solve(ctx context.Context, effort Effort, progress func(Progress)) Result {
	p.report(progress)
	p.search(ctx, effort, progress)
	p.place()
	return p.result()
}

func (p *plan) report(progress func(Progress)) {
	progress(Progress{Schedules: p.count, Cost: costOf(p.cost), Bound: costOf(p.bound)})
}

// settled says whether no plan can be better.
func (p *plan) settled() bool {
	return p.cost[0] <= p.bound[0] && p.cost[1] <= p.bound[1] && p.cost[2] == 0
}

// aim is how many schedules the first round of a search is laid out for: two for
// each block of a large shop. It is the same for every effort, so that more effort
// begins with what less finds.
func (s *shop) aim() float64 { return float64(max(1000, 2*len(s.blocks))) }

// search breeds orders, and takes the best where it beats the first plan.
func (p *plan) search(ctx context.Context, effort Effort, progress func(Progress)) {
	left := float64(effort.Schedules) - p.count
	if left < 1 || len(p.s.blocks) == 0 || p.settled() {
		return
	}
	if p.ended = ctx.Err() != nil; p.ended {
		return
	}
	first, from := p.cost, p.count
	hear := func(schedules float64, best search.Cost) {
		if best.Less(p.cost) {
			p.cost = best
		}
		p.count = from + schedules
		p.report(progress)
	}
	out := search.Run(ctx, func() search.Decoder { return p.s.newDecoder() },
		search.Effort{Schedules: left, Aim: p.s.aim(), Seed: effort.Seed, Workers: effort.Workers}, search.Cost{p.bound[0], p.bound[1], 0}, hear)
	if p.cost, p.count, p.ended = first, from+out.Schedules, !out.Done; out.Best.Cost.Less(first) {
		p.order, p.cost = append([]int32(nil), out.Best.Order...), out.Best.Cost
	}
}

// place decodes the best order once more, so that d holds all of it.
func (p *plan) place() {
	into := search.NewSchedule(len(p.s.blocks))
	p.d.Decode(p.order, search.None, into)
	p.cost = into.Cost
}

func costOf(c search.Cost) Cost { return Cost{Late: c[0], Finish: c[1], Changes: c[2]} }

// Compute answers a Question by itself. Schedules are held to what a stateless
// calculation should take: so many placements of tasks in all.
func Compute(q Question) (Result, error) {
	effort := Effort{Schedules: 200, Seed: 1}
	if q.Effort != nil {
		effort = *q.Effort
	}
	if err := checkEffort(effort); err != nil {
		return Result{}, err
	}
	const mostPlacements = 2_000_000
	effort.Schedules = min(effort.Schedules, max(1, mostPlacements/max(1, len(q.Tasks))))
	return Solve(context.Background(), q.Input, effort, nil)
}
