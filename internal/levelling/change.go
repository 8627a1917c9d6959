package levelling

import (
	"fmt"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
)

// ChangeKind says what a what-if changes.
type ChangeKind string

// The kinds of change, and the fields that each reads.
const (
	AddPerson     ChangeKind = "add_person"      // Skill, and Person for an ID
	AddCapacity   ChangeKind = "add_capacity"    // Station, By
	CloseStation  ChangeKind = "close_station"   // Station, From, To
	PersonAway    ChangeKind = "person_away"     // Person, From, To
	WeighJob      ChangeKind = "weigh_job"       // Job, By: the new weight
	JobFirst      ChangeKind = "job_first"       // Job: it gets the greatest weight there is
	TaskNotBefore ChangeKind = "task_not_before" // Task, At
	PinTask       ChangeKind = "pin_task"        // Task, At, and People for who shall do it
)

// Change is one thing that is otherwise in a what-if.
type Change struct {
	Kind    ChangeKind `json:"kind"`
	Skill   string     `json:"skill,omitempty"`
	Person  string     `json:"person,omitempty"`
	Station string     `json:"station,omitempty"`
	Job     string     `json:"job,omitempty"`
	Task    string     `json:"task,omitempty"`
	By      int        `json:"by,omitempty"`
	At      *time.Time `json:"at,omitempty"`
	// From and To are days (YYYY-MM-DD), both included.
	From   string   `json:"from,omitempty"`
	To     string   `json:"to,omitempty"`
	People []string `json:"people,omitempty"`
}

// Apply returns the input with the changes made, in order; in itself stays as it
// is. It refuses, as fault.Invalid with code "change-invalid", what names
// something that is not there. Whether the changed input holds together Solve says.
func Apply(in Input, changes []Change) (Input, error) {
	out := in
	out.People, out.Stations = slices.Clone(in.People), slices.Clone(in.Stations)
	out.Jobs, out.Tasks = slices.Clone(in.Jobs), slices.Clone(in.Tasks)
	var faults fault.Collector
	for i := range changes {
		changes[i].apply(&out, func(field, detail string, args ...any) {
			faults.Add(fmt.Sprintf("/changes/%d/%s", i, field), detail, args...)
		})
	}
	return out, faults.Err("change-invalid")
}

func (c *Change) apply(in *Input, wrong func(field, detail string, args ...any)) {
	switch c.Kind {
	case AddPerson:
		c.addPerson(in, wrong)
	case AddCapacity:
		if s := c.station(in, wrong); s != nil {
			s.Capacity += c.By
		}
	case CloseStation:
		if s := c.station(in, wrong); s != nil {
			s.Calendar = closed(s.Calendar, in.Calendar, c.From, c.To, "what-if")
		}
	case PersonAway:
		if i := slices.IndexFunc(in.People, func(p Person) bool { return p.ID == c.Person }); i >= 0 {
			in.People[i].Calendar = closed(in.People[i].Calendar, in.Calendar, c.From, c.To, "what-if")
		} else {
			wrong("person", "there is no person %q", clip(c.Person))
		}
	case WeighJob, JobFirst:
		c.weigh(in, wrong)
	case TaskNotBefore, PinTask:
		c.move(in, wrong)
	default:
		wrong("kind", "there is no kind of change %q", clip(string(c.Kind)))
	}
}

func (c *Change) addPerson(in *Input, wrong func(field, detail string, args ...any)) {
	if c.Skill == "" {
		wrong("skill", "say what the person can do")
		return
	}
	id := c.Person
	for n := 1; id == ""; n++ {
		if try := fmt.Sprintf("new %s %d", c.Skill, n); !slices.ContainsFunc(in.People, func(p Person) bool { return p.ID == try }) {
			id = try
		}
	}
	in.People = append(in.People, Person{ID: id, Name: "one more: " + c.Skill, Skills: []string{c.Skill}})
}

func (c *Change) station(in *Input, wrong func(field, detail string, args ...any)) *Station {
	i := slices.IndexFunc(in.Stations, func(s Station) bool { return s.ID == c.Station })
	if i < 0 {
		wrong("station", "there is no station %q", clip(c.Station))
		return nil
	}
	return &in.Stations[i]
}

func (c *Change) weigh(in *Input, wrong func(field, detail string, args ...any)) {
	i := slices.IndexFunc(in.Jobs, func(j Job) bool { return j.ID == c.Job })
	switch {
	case i < 0:
		wrong("job", "there is no job %q", clip(c.Job))
	case c.Kind == JobFirst:
		in.Jobs[i].Weight = maxWeight
	case c.By < 1 || c.By > maxWeight:
		wrong("by", "a weight lies between 1 and %d, not %d", maxWeight, c.By)
	default:
		in.Jobs[i].Weight = c.By
	}
}

func (c *Change) move(in *Input, wrong func(field, detail string, args ...any)) {
	i := slices.IndexFunc(in.Tasks, func(t Task) bool { return t.ID == c.Task })
	switch {
	case i < 0:
		wrong("task", "there is no task %q", clip(c.Task))
	case c.At == nil && (c.Kind == TaskNotBefore || len(c.People) == 0):
		wrong("at", "say when")
	case c.Kind == TaskNotBefore:
		in.Tasks[i].NotBefore = c.At
	default:
		if c.At != nil {
			in.Tasks[i].Pin = c.At
		}
		if len(c.People) > 0 {
			in.Tasks[i].PinPeople = slices.Clone(c.People)
		}
	}
}

// closed gives a calendar that is shut on some more days. One that had no calendar
// of its own gets the shop's hours, or all hours.
func closed(own, shop *calendar.Spec, from, to, reason string) *calendar.Spec {
	var spec calendar.Spec
	switch {
	case own != nil:
		spec = *own
	case shop != nil:
		spec = *shop
	default:
		spec = calendar.Spec{TimeZone: "UTC", Week: map[string][]calendar.Interval{}}
		for _, d := range []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"} {
			spec.Week[d] = []calendar.Interval{{From: "00:00", To: "24:00"}}
		}
	}
	// An extra opening stands above closures, so those of the days go.
	spec.Openings = slices.DeleteFunc(slices.Clone(spec.Openings), func(o calendar.Opening) bool { return from <= o.Day && o.Day <= to })
	spec.Closures = append(slices.Clone(spec.Closures), calendar.Closure{From: from, To: to, Reason: reason})
	return &spec
}
