package seeds_test

import (
	"slices"
	"strings"
	"testing"
)

type entry struct {
	Person, Task string
	WorkDay      int `json:"work_day"`
	From, To     string
	HoursToGo    string `json:"hours_to_go"`
	Done         bool
	Note         string
}

type waiting struct {
	Person     string
	WorkDay    int `json:"work_day"`
	From, To   string
	Code, Note string
}

type release struct {
	Task    string
	WorkDay int `json:"work_day"`
	Note    string
}

type job struct {
	Key, Client, Template, Title string
	Vehicle                      struct {
		Make, Model string
		Year        int
		Serial      string
		Options     map[string]string
	}
	CreatedDay   int `json:"created_day"`
	NotBeforeDay int `json:"not_before_day"`
	PromiseDay   int `json:"promise_day"` // 0: the schedule's own finish is promised
	Edits        []struct {
		Task  string
		Hours *hours
	}
	ExtraLines []line `json:"extra_lines"`
	Options    []jobOption
	Quote      *struct {
		IssuedDay int `json:"issued_day"`
		Note      string
	}
	Accept *struct {
		Day             int
		Name, Signature string
	}
	Cash *struct {
		DepositDay int `json:"deposit_day"`
		Supplies   []struct {
			Line          string
			WorkDay       int `json:"work_day"`
			State         string
			Returnable    bool
			RestockingFee string `json:"restocking_fee"`
			Note          string
		}
		LetterWorkDay int `json:"letter_work_day"`
	}
	Releases []release
	Hours    []entry
	Waiting  []waiting
}

// jobOption is one way to do a piece of work, or an extra, with what it brings.
type jobOption struct {
	Key, Group, Name, Note string
	Taken                  bool
	Points                 []struct {
		ItemKey                string `json:"item_key"`
		Originality, Condition string
	}
	Owns  []string // tasks of the template that belong to it
	Tasks []struct {
		task
		After, Before []string
	}
	Lines []line
}

type demo struct {
	Note string
	Jobs []job
}

// story is everything the demo refers to.
type story struct {
	demo      demo
	shop      shop
	book      priceBook
	templates map[string]template
}

func readStory(t *testing.T) story {
	t.Helper()
	s := story{read[demo](t, "demo.json"), read[shop](t, "shop.json"), read[priceBook](t, "price-book.json"), map[string]template{}}
	for _, f := range templateFiles {
		tp := read[template](t, f)
		s.templates[tp.Key] = tp
	}
	return s
}

// calendarDay gives the day, relative to today, of a past working day of a shop that works Monday to
// Friday, when today is the given weekday (0 Monday … 6 Sunday).
func calendarDay(workDay, weekday int) int {
	day := 0
	for workDay < 0 {
		day--
		if ((weekday+day)%7+7)%7 < 5 {
			workDay++
		}
	}
	return day
}

func TestCalendarDay(t *testing.T) {
	// Counted off on a calendar: today Wednesday, the last working day is Tuesday; and so on.
	tests := []struct{ workDay, weekday, want int }{{-1, 2, -1}, {-1, 0, -3}, {-1, 6, -2}, {-1, 5, -1}, {-5, 0, -7}, {-6, 0, -10}, {-5, 6, -6}}
	for _, tt := range tests {
		if got := calendarDay(tt.workDay, tt.weekday); got != tt.want {
			t.Errorf("calendarDay(%d, %d) = %d, want %d", tt.workDay, tt.weekday, got, tt.want)
		}
	}
}

// job checks references, options, days and states of one job.
func (p *problems) job(j job, s story) {
	tp, ok := s.templates[j.Template]
	p.want(ok, "%s: template %q", j.Key, j.Template)
	p.want(slices.ContainsFunc(s.shop.Clients, func(c person) bool { return c.Key == j.Client }), "%s: client %q", j.Key, j.Client)
	p.want(j.Title != "" && j.Vehicle.Make != "" && j.Vehicle.Model != "" && j.Vehicle.Serial != "" && j.Vehicle.Year > 1900, "%s: vehicle", j.Key)
	p.want(len(j.Vehicle.Options) == len(tp.VehicleOptions), "%s: %d options of %d", j.Key, len(j.Vehicle.Options), len(tp.VehicleOptions))
	for k, c := range j.Vehicle.Options {
		p.condition(j.Key, when{k: {c}}, tp.VehicleOptions)
	}
	for _, e := range j.Edits {
		t := tp.task(e.Task)
		p.want(t != nil && t.When.holds(j.Vehicle.Options) && e.Hours != nil, "%s: edit of %s", j.Key, e.Task)
		if e.Hours != nil {
			p.hours(j.Key+" "+e.Task, *e.Hours)
		}
	}
	for _, l := range j.ExtraLines {
		p.line(l, tp, s.book)
		p.want(!slices.ContainsFunc(tp.Lines, func(x line) bool { return x.Key == l.Key }), "%s: line key %s is the template's", j.Key, l.Key)
	}
	p.options(j, tp, s)
	p.days(j, s.shop)
}

// options wants one taken of each group, keys of their own, and what they own and
// follow to be there.
func (p *problems) options(j job, tp template, s story) {
	taken := map[string]int{}
	own := map[string]bool{}
	for _, o := range j.Options {
		for _, t := range o.Tasks {
			p.want(tp.task(t.Key) == nil && !own[t.Key], "%s: task %s of option %s stands already", j.Key, t.Key, o.Key)
			own[t.Key] = true
		}
	}
	for _, o := range j.Options {
		p.want(keyShape.MatchString(o.Key) && o.Name != "" && o.Note != "" && len(o.Points) > 0, "%s: option %q", j.Key, o.Key)
		if o.Group != "" && o.Taken {
			taken[o.Group]++
		} else if o.Group != "" {
			taken[o.Group] += 0
		}
		known := func(key string) bool { return tp.task(key) != nil || own[key] }
		for _, key := range o.Owns {
			p.want(tp.task(key) != nil, "%s: option %s owns %s", j.Key, o.Key, key)
		}
		for _, t := range o.Tasks {
			if t.Hours != nil {
				p.hours(j.Key+" "+t.Key, *t.Hours)
			}
			for _, key := range append(slices.Clone(t.After), t.Before...) {
				p.want(known(key), "%s: %s follows or precedes %s", j.Key, t.Key, key)
			}
		}
		for _, l := range o.Lines {
			if l.Task != "" {
				p.want(known(l.Task), "%s: line %s of task %s", j.Key, l.Key, l.Task)
				l.Task = ""
			}
			p.line(l, tp, s.book)
		}
	}
	for group, n := range taken {
		p.want(n == 1, "%s: %d taken of %q", j.Key, n, group)
	}
}

// days wants enquiry, quote, acceptance and work in this order whatever weekday today is.
func (p *problems) days(j job, s shop) {
	p.want(j.CreatedDay < 0 && j.CreatedDay <= j.NotBeforeDay, "%s: created %d, not before %d", j.Key, j.CreatedDay, j.NotBeforeDay)
	if j.Quote != nil {
		p.want(j.CreatedDay < j.Quote.IssuedDay && j.Quote.IssuedDay < 0, "%s: issued %d", j.Key, j.Quote.IssuedDay)
	}
	if j.Cash != nil {
		p.want(j.Accept != nil && j.Cash.DepositDay >= j.Accept.Day, "%s: money before acceptance", j.Key)
		for _, note := range j.Cash.Supplies {
			p.want(note.WorkDay < 0 && slices.Contains([]string{"ordered", "fitted", "returned"}, note.State), "%s: supply %+v", j.Key, note)
		}
	}
	if j.Accept == nil {
		p.want(len(j.Hours)+len(j.Waiting)+len(j.Releases) == 0, "%s: worked on without acceptance", j.Key)
		return
	}
	a := j.Accept
	p.want(j.Quote != nil && a.Day > j.Quote.IssuedDay && a.Day <= j.Quote.IssuedDay+s.QuoteValidDays && a.Day < 0, "%s: accepted %d", j.Key, a.Day)
	p.want(a.Name != "" && a.Signature != "", "%s: accepted by nobody", j.Key)
	for weekday := range 7 {
		for _, e := range j.Hours {
			day := calendarDay(e.WorkDay, weekday)
			p.want(day > a.Day && day >= j.NotBeforeDay, "%s %s: work day %d is day %d when today is %s", j.Key, e.Task, e.WorkDay, day, dayNames[weekday])
		}
	}
}

func checkStory(s story) problems {
	var p problems
	keys := map[string]bool{}
	for _, j := range s.demo.Jobs {
		p.want(keyShape.MatchString(j.Key) && !keys[j.Key], "job key %q", j.Key)
		keys[j.Key] = true
		p.job(j, s)
		if _, ok := s.templates[j.Template]; ok {
			p.work(j, s)
		}
	}
	p.onePlaceAtATime(s)
	return p
}

func TestDemoStory(t *testing.T) {
	s := readStory(t)
	report(t, checkStory(s))
	if !strings.Contains(s.demo.Note, "nvented") {
		t.Errorf("note %q does not say that the story is invented", s.demo.Note)
	}
}

// TestDemoIsAtDifferentPoints holds the demo to what the first screen should show.
func TestDemoIsAtDifferentPoints(t *testing.T) {
	s := readStory(t)
	var worked, waitingForClient, begun, enquiries int
	for _, j := range s.demo.Jobs {
		switch {
		case j.Quote == nil:
			enquiries++
		case j.Accept == nil && j.Quote.IssuedDay == -6:
			waitingForClient++
		case len(j.Hours) >= 60 && len(j.Hours) <= 90:
			worked++
			over, under, open := outcome(j, s.templates[j.Template])
			if over < 3 || under < 3 || open != 1 {
				t.Errorf("%s: %d tasks over, %d under, %d in progress; want both kinds and one in progress", j.Key, over, under, open)
			}
		case j.Accept != nil && j.Accept.Day >= -7 && len(j.Hours) > 0 && len(j.Hours) <= 6:
			begun++
		}
	}
	if worked != 1 || waitingForClient != 1 || begun != 1 || enquiries != 1 {
		t.Errorf("in work %d, waiting for the client %d, begun %d, enquiries %d; want one of each", worked, waitingForClient, begun, enquiries)
	}
}

func TestDemoChecksCanFail(t *testing.T) {
	tests := []struct {
		name, want string
		spoil      func(*job)
	}{
		{"unknown template", `template "bicycle"`, func(j *job) { j.Template = "bicycle" }},
		{"unknown client", `client "nobody"`, func(j *job) { j.Client = "nobody" }},
		{"option left out", `4 options of 5`, func(j *job) { delete(j.Vehicle.Options, "body") }},
		{"accepted after expiry", `accepted -45`, func(j *job) { j.Quote.IssuedDay, j.CreatedDay = -90, -99 }},
		{"worked before acceptance", `work day -26 is day`, func(j *job) { j.Accept.Day = -30 }},
		{"one place in hours to go", `hours to go "1.5"`, func(j *job) { j.Hours[3].HoursToGo = "1.5" }},
		{"outside the shift", `06:00 to`, func(j *job) { j.Hours[0].From = "06:00" }},
		{"in the future", `work day 1 `, func(j *job) { j.Hours[0].WorkDay = 1 }},
		{"wrong skill", `varr is no welder`, func(j *job) { find(j, "C20").Person = "varr" }},
		{"unknown person", `ghost is no fitter`, func(j *job) { j.Hours[0].Person = "ghost" }},
		{"task of another vehicle", `entry on C50`, func(j *job) { find(j, "C45").Task = "C50" }},
		{"two tasks at once", `haskel is in two places`, func(j *job) { find(j, "A25").Person = "haskel" }},
		{"waiting while working", `varr is in two places`, func(j *job) { j.Waiting[0].WorkDay, j.Waiting[0].Person = -26, "varr" }},
		{"hold not released", `worked past hold A30`, func(j *job) { j.Releases = j.Releases[1:] }},
		{"hold released too late", `worked past hold A30`, func(j *job) { j.Releases[0].WorkDay = -20 }},
		{"hold released too early", `released before B50`, func(j *job) { j.Releases[3].WorkDay = -12 }},
		{"release of no hold", `release of A35`, func(j *job) { j.Releases[0].Task = "A35" }},
		{"predecessor not done", `went on without A45`, func(j *job) { find(j, "A45").Done = false }},
		{"before its predecessor", `C10>C45`, func(j *job) { find(j, "C45").WorkDay = -8 }},
		{"bolts not soaked overnight", `A65>A80`, func(j *job) { e := find(j, "A80"); e.WorkDay, e.From, e.To = -23, "15:30", "16:15" }},
		{"entry after done", `follows after it was done`, func(j *job) { find(j, "A10").WorkDay, j.Hours[1].Task = -26, "A10" }},
		{"crew too big", `2 people at once, crew is 1`, func(j *job) {
			e := *find(j, "A35")
			e.Person, e.Done, e.HoursToGo = "oldane", false, "0.50"
			j.Hours = append(j.Hours, e)
		}},
	}
	for _, tt := range tests {
		s := readStory(t)
		tt.spoil(&s.demo.Jobs[0])
		if got := checkStory(s); !got.mention(tt.want) {
			t.Errorf("%s: want a problem that says %q, got %v", tt.name, tt.want, got)
		}
	}
}

// find gives the first entry on a task.
func find(j *job, task string) *entry {
	return &j.Hours[slices.IndexFunc(j.Hours, func(e entry) bool { return e.Task == task })]
}
