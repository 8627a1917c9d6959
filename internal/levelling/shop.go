package levelling

import (
	"encoding/json"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/levelling/search"
	"bareframe/internal/network"
)

const (
	maxYears   = 12 // how far a plan may reach
	yearLength = 366 * 24 * 60
)

// shop is an Input in arrays on an axis of whole minutes. It is shared by all
// decoders and not written to once it is made.
type shop struct {
	in      *Input
	places  *checker
	follows bool // the previous plan is kept to, see Follow
	loc     *time.Location
	origin  time.Time
	now     int32
	horizon int32

	hours    []*hours // by class; class 0 is the shop
	person   []int32  // class of each person
	station  []int32  // class of each station
	capacity []int32
	skills   map[string]int32
	able     [][]int32 // people by skill
	breadth  []int32   // number of skills by person
	load     []int64   // work that wants each person, in minutes

	tasks []task
	arcs  []arc // one a link
	into  [][]int32
	outof [][]int32
	jobs  []jobOf

	unplaced []*Unplaced // by task; nil where a plan can hold it
	order    []int32     // tasks in topological order, those unplaced by a cycle last
	blockOf  []int32     // by task; -1 for what does not move or is unplaced
	blocks   [][]int32   // tasks of each block in topological order
	ahead    [][]int32   // blocks before each block
	weight   []float64   // of each block
	grain    int32       // minutes of one step of the search's line of time

	fixed []int32  // tasks placed before all others, in that order
	base  *decoder // with what is fixed, and nothing else, in its place
	slot  []int32  // by task, where its people begin in a flat array; one more for the length

	alone, aloneEnd []int32 // by task, the least start and finish that links, dates and calendars allow
	tail            []int32 // by task, least minutes from its finish to its job's
	jobLow          []int32 // by job, the least finish by the same
	costLow         search.Cost
	due             []int64   // by job, the promise, or where there is none a date after all promises
	keys            [][]int64 // by rule, the rank of each block; urgent ones are first by all
}

// jobOf is a job on the axis.
type jobOf struct {
	promise int32 // never when there is none
	weight  int64
	tasks   []int32
	done    int32 // latest finish of what is finished
}

type need struct {
	skill int32
	count int32
	who   []int32 // who may do it, best first
}

type use struct{ station, units int32 }

// state of a task.
type state uint8

const (
	open state = iota
	underWay
	finished
)

type task struct {
	job, minutes  int32
	class         int32 // hours of the shop and its stations together
	longest       int32 // longest break, or never
	floor         int32 // dates alone
	pin           int32 // or -1
	finishBy      int32 // or never
	began, ended  int32 // what has happened
	dayLo, dayHi  int32 // the working day of the previous plan; dayHi < 0 without one
	needs         []need
	uses          []use
	previous      []int32 // people of the previous plan, by place
	state         state
	elapsed       bool
	interruptible bool
	held          bool // occupies somebody or something
}

// arc is a link between two tasks.
type arc struct {
	from, to           int32
	lag, most          int32 // most is never when there is no maximum
	fromFinish, finish bool  // leaves a finish; arrives at a finish
	elapsed            bool
}

// minuteUp gives the minute at or after t, minuteDown the one at or before.
func (s *shop) minuteUp(t time.Time) int32 {
	m := s.minuteDown(t)
	if t.Sub(s.origin)%time.Minute > 0 {
		m++
	}
	return m
}

func (s *shop) minuteDown(t time.Time) int32 {
	seconds := t.Unix() - s.origin.Unix()
	if seconds < 0 {
		seconds -= 59
	}
	return int32(max(min(seconds/60, never-1), 1-never))
}

func (s *shop) time(m int32) time.Time {
	return time.Unix(s.origin.Unix()+int64(m)*60, 0).In(s.loc)
}

// newShop lays the input out as far as so many minutes after Now.
func newShop(in *Input, places *checker, reach int32, follows bool) *shop {
	s := &shop{in: in, places: places, follows: follows, loc: time.UTC, unplaced: make([]*Unplaced, len(in.Tasks))}
	s.layAxis(reach)
	s.layCalendars()
	s.laySkills()
	s.layJobs()
	s.layTasks()
	s.layLinks()
	if follows {
		s.hold()
	}
	return s
}

// layAxis begins the axis at the first thing that happened, at most ten years ago.
func (s *shop) layAxis(reach int32) {
	now := s.in.Now.Add(time.Minute - 1).Truncate(time.Minute)
	s.origin = now
	for i := range s.in.Tasks {
		if a := s.in.Tasks[i].ActualStart; a != nil && a.Before(s.origin) {
			s.origin = a.Truncate(time.Minute)
		}
	}
	if first := now.AddDate(-10, 0, 0); s.origin.Before(first) {
		s.origin = first
	}
	s.now = int32(now.Sub(s.origin) / time.Minute)
	s.horizon = s.now + reach
}

// layCalendars gives every calendar a class, one for those that say the same.
func (s *shop) layCalendars() {
	var base *calendar.Calendar
	if s.in.Calendar != nil {
		base, _ = calendar.New(*s.in.Calendar)
		s.loc = base.Location()
	}
	s.hours = []*hours{hoursOf(base, s.origin, s.horizon)}
	known := map[string]int32{}
	class := func(spec *calendar.Spec) int32 {
		if spec == nil {
			return 0
		}
		text, _ := json.Marshal(spec)
		if k, ok := known[string(text)]; ok {
			return k
		}
		own, _ := calendar.New(*spec)
		s.hours = append(s.hours, joint(s.hours[0], hoursOf(own, s.origin, s.horizon), s.horizon))
		known[string(text)] = int32(len(s.hours) - 1)
		return int32(len(s.hours) - 1)
	}
	for i := range s.in.People {
		s.person = append(s.person, class(s.in.People[i].Calendar))
	}
	for i := range s.in.Stations {
		s.station = append(s.station, class(s.in.Stations[i].Calendar))
		s.capacity = append(s.capacity, int32(s.in.Stations[i].Capacity))
	}
}

func (s *shop) laySkills() {
	s.skills = map[string]int32{}
	s.breadth = make([]int32, len(s.in.People))
	for i := range s.in.People {
		seen := map[string]bool{}
		for _, name := range s.in.People[i].Skills {
			if seen[name] {
				continue
			}
			seen[name] = true
			s.breadth[i]++
			k := s.skill(name)
			s.able[k] = append(s.able[k], int32(i))
		}
	}
	s.layLoad()
}

// skill gives the number of a skill, and one to those that nobody has.
func (s *shop) skill(name string) int32 {
	k, ok := s.skills[name]
	if !ok {
		k = int32(len(s.able))
		s.skills[name] = k
		s.able = append(s.able, nil)
	}
	return k
}

func (s *shop) layJobs() {
	s.jobs = make([]jobOf, len(s.in.Jobs))
	for i, j := range s.in.Jobs {
		s.jobs[i] = jobOf{promise: never, weight: int64(max(1, j.Weight)), done: -1}
		if j.Promise != nil {
			s.jobs[i].promise = s.minuteDown(*j.Promise)
		}
	}
}

func (s *shop) layLinks() {
	n := len(s.in.Tasks)
	s.into, s.outof = make([][]int32, n), make([][]int32, n)
	s.arcs = make([]arc, len(s.in.Links))
	for k, l := range s.in.Links {
		a := arc{from: s.places.tasks[l.From], to: s.places.tasks[l.To], lag: int32(l.Lag), most: never,
			fromFinish: l.Type != network.SS && l.Type != network.SF, finish: l.Type == network.FF || l.Type == network.SF,
			elapsed: l.LagKind == calendar.Elapsed}
		if l.MaxLag != nil && s.tasks[a.to].state == open { // of what has begun it could only be reported
			a.most = int32(*l.MaxLag)
		}
		s.arcs[k] = a
		s.outof[a.from] = append(s.outof[a.from], int32(k))
		s.into[a.to] = append(s.into[a.to], int32(k))
	}
}

// moot says whether an arc asks for nothing, because the end it leads to has happened.
func (s *shop) moot(a *arc) bool {
	to := &s.tasks[a.to]
	return to.state == finished || to.state == underWay && !a.finish
}

// after gives the earliest minute that lies n of the given time after m.
func (s *shop) after(m, n int32, elapsed bool) int32 {
	if elapsed || n == 0 {
		return m + n
	}
	return s.hours[0].earliest(s.hours[0].worked(m) + n)
}

// within gives the last minute that lies no more than n of the given time after m.
func (s *shop) within(m, n int32, elapsed bool) int32 {
	if elapsed {
		return m + n
	}
	return s.hours[0].latest(s.hours[0].worked(m) + n)
}
