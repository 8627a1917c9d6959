package seeds_test

import (
	"math/big"
	"slices"
)

// moment is a minute of a working day.
type moment struct{ day, minute int }

func (m moment) before(o moment) bool {
	return m.day < o.day || m.day == o.day && m.minute < o.minute
}

// elapsed is the least number of minutes from m to o: two working days lie a day apart or more.
func (m moment) elapsed(o moment) int { return (o.day-m.day)*24*60 + o.minute - m.minute }

// working counts the minutes of the shop's shifts from m to o.
func (m moment) working(o moment, shifts [][2]int) int { return since(o, shifts) - since(m, shifts) }

func since(m moment, shifts [][2]int) int {
	whole, part := 0, 0
	for _, s := range shifts {
		whole += s[1] - s[0]
		part += min(max(m.minute-s[0], 0), s[1]-s[0])
	}
	return m.day*whole + part
}

// course is what the entries say about a task.
type course struct {
	start, end moment
	done       bool
	minutes    int
}

func (j job) courses() map[string]*course {
	all := map[string]*course{}
	for _, e := range j.Hours {
		from, to := moment{e.WorkDay, minute(e.From)}, moment{e.WorkDay, minute(e.To)}
		c := all[e.Task]
		if c == nil {
			c = &course{start: from, end: to}
			all[e.Task] = c
		}
		if from.before(c.start) {
			c.start = from
		}
		if c.end.before(to) {
			c.end = to
		}
		c.done = c.done || e.Done
		c.minutes += to.minute - from.minute
	}
	return all
}

// outcome counts tasks done above and below their likely hours, and tasks in progress.
func outcome(j job, tp template) (over, under, open int) {
	for key, c := range j.courses() {
		switch cmp := big.NewRat(int64(c.minutes), 60).Cmp(dec(tp.task(key).Hours.Likely)); {
		case !c.done:
			open++
		case cmp > 0:
			over++
		case cmp < 0:
			under++
		}
	}
	return over, under, open
}

// work checks a job's entries against people, shifts, crew, hold points and links.
func (p *problems) work(j job, s story) {
	n := s.templates[j.Template].live(j.Vehicle.Options)
	for i, e := range j.Hours {
		p.entry(j, i, e, n, s.shop)
	}
	p.releases(j, n)
	courses := j.courses()
	for _, l := range n.links {
		p.precedence(j, l, n, courses, s.shop.shifts())
	}
}

func (n liveNetwork) task(key string) task {
	i := slices.IndexFunc(n.tasks, func(t task) bool { return t.Key == key })
	if i < 0 {
		return task{}
	}
	return n.tasks[i]
}

func (p *problems) entry(j job, i int, e entry, n liveNetwork, s shop) {
	t := n.task(e.Task)
	p.want(t.Kind == "work", "%s: entry on %s, which this vehicle does not have or nobody works on", j.Key, e.Task)
	able := slices.ContainsFunc(s.Technicians, func(x person) bool { return x.Key == e.Person && slices.Contains(x.Skills, t.Skill) })
	p.want(able, "%s %s: %s is no %s", j.Key, e.Task, e.Person, t.Skill)
	p.inShift(j.Key+" "+e.Task, e.WorkDay, e.From, e.To, s)
	p.want(twoPlaces.MatchString(e.HoursToGo), "%s %s: hours to go %q", j.Key, e.Task, e.HoursToGo)
	p.want(e.Done == (dec(e.HoursToGo).Sign() == 0), "%s %s: done %v with %s to go", j.Key, e.Task, e.Done, e.HoursToGo)
	p.want(e.Note != "", "%s %s: no note", j.Key, e.Task)
	at := 0
	for k, o := range j.Hours {
		if o.Task != e.Task {
			continue
		}
		if o.WorkDay == e.WorkDay && minute(o.From) <= minute(e.From) && minute(e.From) < minute(o.To) {
			at++
		}
		p.want(!e.Done || k <= i, "%s %s: an entry follows after it was done", j.Key, e.Task)
	}
	p.want(at <= t.Crew, "%s %s: %d people at once, crew is %d", j.Key, e.Task, at, t.Crew)
	if i > 0 {
		o := j.Hours[i-1]
		inOrder := !(moment{e.WorkDay, minute(e.From)}).before(moment{o.WorkDay, minute(o.From)})
		p.want(inOrder, "%s %s: entries out of order of time", j.Key, e.Task)
	}
}

func (p *problems) inShift(name string, day int, from, to string, s shop) {
	a, b := minute(from), minute(to)
	inside := slices.ContainsFunc(s.shifts(), func(x [2]int) bool { return x[0] <= a && a < b && b <= x[1] })
	p.want(day < 0 && inside, "%s: work day %d %s to %s is not inside a past shift", name, day, from, to)
}

// releases wants every hold released after what it inspects and on a day before what it guards.
func (p *problems) releases(j job, n liveNetwork) {
	day := map[string]int{}
	for _, r := range j.Releases {
		p.want(n.task(r.Task).Kind == "hold" && r.WorkDay < 0 && r.Note != "", "%s: release of %s", j.Key, r.Task)
		day[r.Task] = r.WorkDay
	}
	courses := j.courses()
	for _, hold := range n.tasks {
		if hold.Kind != "hold" {
			continue
		}
		released, ok := day[hold.Key]
		after := n.behind(hold.Key)
		for _, e := range j.Hours {
			p.want(!after[e.Task] || ok && released < e.WorkDay, "%s %s: worked past hold %s", j.Key, e.Task, hold.Key)
		}
		for _, l := range n.links {
			if !ok || l.To != hold.Key {
				continue
			}
			c, earlier := courses[l.From], n.task(l.From)
			switch earlier.Kind {
			case "work":
				p.want(c != nil && c.done && c.end.day <= released, "%s: hold %s released before %s was done", j.Key, hold.Key, l.From)
			case "hold":
				before, known := day[l.From]
				p.want(known && before <= released, "%s: hold %s released before hold %s", j.Key, hold.Key, l.From)
			default:
				p.want(false, "%s: hold %s needs %s, of which the story knows nothing", j.Key, hold.Key, l.From)
			}
		}
	}
}

// precedence checks one link, lag included, as far as the entries tell. Holds are checked above.
func (p *problems) precedence(j job, l link, n liveNetwork, courses map[string]*course, shifts [][2]int) {
	to := courses[l.To]
	if to == nil || n.task(l.From).Kind == "hold" {
		return
	}
	from := courses[l.From]
	finishes := l.Type == "FF" || l.Type == "SF"
	if finishes && !to.done {
		return
	}
	if from == nil || (l.Type == "FS" || l.Type == "FF") && !from.done {
		p.want(false, "%s: %s went on without %s (%s)", j.Key, l.To, l.From, l.Type)
		return
	}
	a, b := from.end, to.start
	if l.Type == "SS" || l.Type == "SF" {
		a = from.start
	}
	if finishes {
		b = to.end
	}
	gap := a.elapsed(b)
	if l.LagKind == "working" && !b.before(a) {
		gap = a.working(b, shifts)
	}
	want := new(big.Rat).Mul(dec(l.LagHours), big.NewRat(60, 1))
	p.want(big.NewRat(int64(gap), 1).Cmp(want) >= 0, "%s: %s>%s %s leaves %d minutes, want %s", j.Key, l.From, l.To, l.Type, gap, want.FloatString(0))
}

// onePlaceAtATime looks across all jobs: a person is in one place, a station holds no more cars than it can.
func (p *problems) onePlaceAtATime(s story) {
	type span struct {
		job, who, station string
		day, from, to     int
	}
	var all []span
	for _, j := range s.demo.Jobs {
		tp := s.templates[j.Template]
		for _, e := range j.Hours {
			where := ""
			if t := tp.task(e.Task); t != nil {
				where = t.Station
			}
			all = append(all, span{j.Key, e.Person, where, e.WorkDay, minute(e.From), minute(e.To)})
		}
		for _, w := range j.Waiting {
			p.inShift(j.Key+" waiting", w.WorkDay, w.From, w.To, s.shop)
			p.want(slices.Contains([]string{"parts", "client_decision", "station", "weather"}, w.Code), "%s: waiting code %q", j.Key, w.Code)
			known := slices.ContainsFunc(s.shop.Technicians, func(x person) bool { return x.Key == w.Person })
			p.want(known, "%s: %q waits", j.Key, w.Person)
			all = append(all, span{j.Key, w.Person, "", w.WorkDay, minute(w.From), minute(w.To)})
		}
	}
	for i, a := range all {
		cars := map[string]bool{a.job: true}
		for k, b := range all {
			if a.day != b.day || a.from >= b.to || b.from >= a.to {
				continue
			}
			p.want(i == k || a.who != b.who, "%s is in two places on work day %d at minute %d", a.who, a.day, max(a.from, b.from))
			if a.station != "" && a.station == b.station && b.from <= a.from {
				cars[b.job] = true
			}
		}
		for _, st := range s.shop.Stations {
			p.want(st.Key != a.station || len(cars) <= st.Capacity, "%d cars at %s on work day %d", len(cars), st.Key, a.day)
		}
	}
}
