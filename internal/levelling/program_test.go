package levelling

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bareframe/internal/network"
	"bareframe/internal/testkit/glpk"
)

// program is a small shop that is open round the clock as a time-indexed integer
// program (Pritsker, Watters and Wolfe, "Multiproject scheduling with limited
// resources: a zero-one programming approach", Management Science 16, 1969), in the
// CPLEX LP format. Everything is in whole hours from Now.
//
//	x_i_m_t  binary, task i begins at hour t with the people of choice m
//	z_j_t    job j is finished at hour t
//
//	sum of x_i = 1, sum of z_j = 1
//	a link that asks for start_b >= start_a + off:
//	    b begun by t  <=  a begun by t - off                for every t
//	start_b <= start_a + off:  a begun by t  <=  b begun by t + off
//	job j finished by t  <=  task i begun by t - its hours   for each of its tasks
//	what is running at t with person p  <=  1, on station s  <=  its capacity
//
// The objective is lateness × factor + finish, both weighted, with a factor above
// every possible finish. No plan that cannot be shifted earlier as a whole has an
// hour in which neither work nor a lag runs after the last not-before date, so the
// horizon is that date and the sum of all hours and lags.
type program struct {
	in      *Input
	horizon int
	factor  int
	choices [][][]int
	goal    strings.Builder
	rows    strings.Builder
	whole   strings.Builder
}

func hoursAfter(now time.Time, t *time.Time) int {
	if t == nil {
		return 0
	}
	return int(t.Sub(now) / time.Hour)
}

func newProgram(in *Input) *program {
	p := &program{in: in}
	last := 0
	for i := range in.Tasks {
		last = max(last, hoursAfter(in.Now, in.Tasks[i].NotBefore))
		p.horizon += hoursOfTask(&in.Tasks[i])
		p.choices = append(p.choices, choices(in, &in.Tasks[i]))
	}
	for _, l := range in.Links {
		p.horizon += int(l.Lag / 60)
	}
	p.horizon += last
	p.factor = 1
	for _, j := range in.Jobs {
		p.factor += j.Weight * p.horizon
	}
	return p
}

func hoursOfTask(t *Task) int { return int(t.Duration / 60) }

// choices lists the sets of people who can do a task together.
func choices(in *Input, t *Task) [][]int {
	var slots []string
	for _, c := range t.Crew {
		slots = append(slots, slices.Repeat([]string{c.Skill}, c.Count)...)
	}
	var out [][]int
	var fill func(k int, with []int)
	fill = func(k int, with []int) {
		if k == len(slots) {
			set := slices.Sorted(slices.Values(with))
			if !slices.ContainsFunc(out, func(o []int) bool { return slices.Equal(o, set) }) {
				out = append(out, set)
			}
			return
		}
		for p := range in.People {
			if slices.Contains(in.People[p].Skills, slots[k]) && !slices.Contains(with, p) {
				fill(k+1, append(slices.Clone(with), p))
			}
		}
	}
	fill(0, nil)
	return out
}

// begun is the sum over the starts of task i from hour lo to hour hi, with the
// people of the choices that are wanted.
func (p *program) begun(sign string, i, lo, hi int, want func(choice []int) bool) string {
	var b strings.Builder
	first, last := hoursAfter(p.in.Now, p.in.Tasks[i].NotBefore), p.horizon-hoursOfTask(&p.in.Tasks[i])
	for t := max(lo, first); t <= min(hi, last); t++ {
		for m, choice := range p.choices[i] {
			if want == nil || want(choice) {
				fmt.Fprintf(&b, " %s x%d_%d_%d", sign, i, m, t)
			}
		}
	}
	return b.String()
}

func (p *program) row(left, rest string) {
	if left != "" {
		fmt.Fprintf(&p.rows, "%s %s\n", left, rest)
	}
}

func (p *program) text() string {
	for i := range p.in.Tasks {
		p.task(i)
	}
	for k := range p.in.Links {
		p.link(&p.in.Links[k])
	}
	for j := range p.in.Jobs {
		p.job(j)
	}
	for t := range p.horizon {
		p.busy(t)
	}
	return fmt.Sprintf("Minimize\n obj:%s\nSubject To\n%sBinary\n%sEnd\n", p.goal.String(), p.rows.String(), p.whole.String())
}

func (p *program) task(i int) {
	t := &p.in.Tasks[i]
	all := p.begun("+", i, 0, p.horizon, nil)
	p.row(all, "= 1")
	for _, name := range strings.Fields(strings.ReplaceAll(all, "+", "")) {
		fmt.Fprintf(&p.whole, " %s\n", name)
		at, _ := strconv.Atoi(name[strings.LastIndex(name, "_")+1:])
		if late := at + hoursOfTask(t) - hoursAfter(p.in.Now, t.FinishBy); t.FinishBy != nil && late > 0 {
			fmt.Fprintf(&p.goal, " + %d %s", late*p.factor, name)
		}
	}
}

func (p *program) link(l *network.Link) {
	find := func(id string) int { return slices.IndexFunc(p.in.Tasks, func(t Task) bool { return t.ID == id }) }
	a, b := find(l.From), find(l.To)
	off := 0
	if l.Type == network.FS || l.Type == network.FF {
		off += hoursOfTask(&p.in.Tasks[a])
	}
	if l.Type == network.FF || l.Type == network.SF {
		off -= hoursOfTask(&p.in.Tasks[b])
	}
	for t := range p.horizon + 1 {
		p.row(p.begun("+", b, 0, t, nil)+p.begun("-", a, 0, t-off-int(l.Lag/60), nil), "<= 0")
		if l.MaxLag != nil {
			p.row(p.begun("+", a, 0, t, nil)+p.begun("-", b, 0, t+off+int(*l.MaxLag/60), nil), "<= 0")
		}
	}
}

func (p *program) job(j int) {
	job := &p.in.Jobs[j]
	by := ""
	for t := range p.horizon + 1 {
		by += fmt.Sprintf(" + z%d_%d", j, t)
		late := 0
		if job.Promise != nil {
			late = max(0, t-hoursAfter(p.in.Now, job.Promise))
		}
		fmt.Fprintf(&p.goal, " + %d z%d_%d", job.Weight*(late*p.factor+t), j, t)
		for i := range p.in.Tasks {
			if p.in.Tasks[i].Job == job.ID {
				p.row(by+p.begun("-", i, 0, t-hoursOfTask(&p.in.Tasks[i]), nil), "<= 0")
			}
		}
	}
	p.row(by, "= 1")
}

// busy holds people and stations to what they are in the hour from t on.
func (p *program) busy(t int) {
	for q := range p.in.People {
		on := ""
		for i := range p.in.Tasks {
			on += p.begun("+", i, t-hoursOfTask(&p.in.Tasks[i])+1, t, func(choice []int) bool { return slices.Contains(choice, q) })
		}
		p.row(on, "<= 1")
	}
	for _, s := range p.in.Stations {
		on := ""
		for i := range p.in.Tasks {
			for _, place := range p.in.Tasks[i].Places {
				if place.Station == s.ID {
					on += p.begun(fmt.Sprintf("+ %d", max(1, place.Units)), i, t-hoursOfTask(&p.in.Tasks[i])+1, t, nil)
				}
			}
		}
		p.row(on, fmt.Sprintf("<= %d", s.Capacity))
	}
}

// least asks for the optimum of a shop. ok is false when no plan exists.
func least(t *testing.T, solver glpk.Solver, in *Input) (late, finish int64, ok bool) {
	t.Helper()
	p := newProgram(in)
	cost, ok := solver.Least(t, p.text(), "--clique", "--tmlim", "60")
	return 60 * (cost / int64(p.factor)), 60 * (cost % int64(p.factor)), ok
}
