package paper

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/wording"
)

// JobCardData is what the card of a phase is written from. Nothing of it is
// money.
type JobCardData struct {
	Shop  domain.Shop
	Job   domain.Job
	Phase domain.Phase
	Tasks []domain.Task // of the phase, in their order
	Lines []domain.Line // of the phase; prices are not read
	AsOf  time.Time
}

// JobCard describes the card that goes to the bench with a phase: tasks to tick,
// hold points to sign, cautions, and what is needed.
func JobCard(d JobCardData) Sheet {
	s := sheetOf(d.Shop, fmt.Sprintf("job-card-%d-%d", d.Job.Number, d.Phase.Position), "Job card: "+d.Phase.Name, d.AsOf)
	p := s.part("")
	p.lines(d.Job.Title + ", " + d.Job.Vehicle.Label() + ".")
	if fitted := options(d.Job); len(fitted) > 0 {
		p.lines(strings.Join(fitted, "; ") + ".")
	}
	d.cautions(s.part("Cautions"))
	d.tasks(s.part("Tasks"))
	d.holds(&s)
	d.needs(&s)
	end := s.part("Signed")
	end.lines("What is outside this card is not begun without the owner.")
	end.Blocks = append(end.Blocks, Block{Sign: []string{"Phase done: name and date", "Looked over: name and date"}})
	printed := longDay(d.AsOf.In(d.Shop.Zone()))
	s.Block = [][]Field{
		{{Label: "Job", Value: fmt.Sprint(d.Job.Number)}, {Label: "Version", Value: fmt.Sprint(d.Job.Version)}, {Label: "Printed", Value: printed}},
		{{Label: "Vehicle", Value: d.Job.Vehicle.Label(), Wide: true}, {Label: "Serial", Value: d.Job.Vehicle.Serial}},
		{{Label: "Phase", Value: d.Phase.Name, Wide: true}, {Label: "Promised by", Value: day(d.Job.Promise)}},
	}
	return s
}

// cautions writes each caution of the tasks once, with the tasks that bear it.
func (d JobCardData) cautions(p *Part) {
	var texts []string
	tasks := map[string][]string{}
	for i, t := range d.Tasks {
		for _, key := range t.Cautions {
			text := words(key)
			if known, ok := d.Job.Cautions[key]; ok {
				text = known
			}
			if !slices.Contains(texts, text) {
				texts = append(texts, text)
			}
			tasks[text] = append(tasks[text], fmt.Sprint(i+1))
		}
	}
	if len(texts) > 0 {
		t := p.table("Cautions", "Read before the work", "Tasks")
		for _, text := range texts {
			t.row(text, strings.Join(tasks[text], ", "))
		}
	}
	if own := strings.TrimSpace(wording.Fill(d.Shop.Settings.Text(domain.JobCardCaution), JobCardValues(d))); own != "" {
		for line := range strings.SplitSeq(own, "\n") {
			p.say(Caution, plain(line))
		}
	}
	p.say(Caution, plain("Local codes, product data sheets and qualified persons come first. Whoever is not sure stops and asks."))
}

// tasks are listed to tick and to sign.
func (d JobCardData) tasks(p *Part) {
	if len(d.Tasks) == 0 {
		p.lines("This phase has no tasks.")
		return
	}
	t := p.table("Tasks", "#No.", "Task", "Who and where", "Takes", "Done by, date")
	t.Columns[4].Room = signRoom
	for i, task := range d.Tasks {
		row := t.row(fmt.Sprint(i+1), task.Name, d.place(task), takes(task), "")
		row.Cells[1].Box, row.Cells[1].Small = Open, note(task)
		if task.ReleasedAt != nil {
			row.Cells[1].Box = Ticked
		}
	}
}

// signRoom is the width of a column to sign in, in millimetres.
const signRoom = 34

func note(t domain.Task) string {
	var out []string
	if t.Note != "" {
		out = append(out, t.Note)
	}
	if t.Zone != "" {
		out = append(out, "Zone: "+t.Zone+".")
	}
	if t.Scope == domain.Outside {
		out = append(out, "Not agreed: no hours go on it.")
	}
	return strings.Join(out, " ")
}

// place says who does a task and at which station.
func (d JobCardData) place(t domain.Task) string {
	var out []string
	if t.Skill != "" {
		out = append(out, words(t.Skill))
	}
	if t.Crew > 1 {
		out = append(out, fmt.Sprintf("%d people", t.Crew))
	}
	for _, h := range t.Floor.Helpers {
		out = append(out, fmt.Sprintf("with %d more, %s", h.Count, words(h.Skill)))
	}
	for _, s := range d.Shop.Settings.Stations {
		if s.Key == t.Station {
			out = append(out, s.Name)
		}
	}
	return strings.Join(out, ", ")
}

// takes says how long a task lasts: crew-hours that were estimated, elapsed
// hours, or days away.
func takes(t domain.Task) string {
	switch t.Kind {
	case domain.Cure:
		return together("%s h", t.ElapsedHours) + " elapsed"
	case domain.Sublet:
		return counted(t.LeadDays, "working day") + " away"
	}
	if mean := t.Hours.Mean(); mean.IsPositive() {
		return together("%s h", mean.StringFixed(2))
	}
	return ""
}

// holds are the points at which nothing goes on until somebody signs.
func (d JobCardData) holds(s *Sheet) {
	var t *Table
	for i, task := range d.Tasks {
		if !task.Holds() {
			continue
		}
		if t == nil {
			t = s.part("Hold points: nothing goes on before they are signed").table("Hold points", "#Task", "Inspect or decide", "Released by, date")
			t.Columns[2].Room = signRoom
		}
		what := task.HoldPoint
		if what == "" {
			what = task.Name
		}
		row := t.row(fmt.Sprint(i+1), what, "")
		row.Cells[1].Box, row.Cells[1].Small = Open, task.ReleaseNote
		if task.ReleasedAt != nil {
			row.Cells[1].Box = Ticked
			row.Cells[2].Words = task.ReleasedBy + ", " + longDay(task.ReleasedAt.In(d.Shop.Zone()))
		}
	}
}

// needs are the materials and parts of the phase, with the task that they are
// for, and without a price.
func (d JobCardData) needs(s *Sheet) {
	if len(d.Lines) == 0 {
		return
	}
	t := s.part("Needed").table("Needed", "What", "For task", "#Quantity")
	for _, l := range d.Lines {
		task := ""
		if i := slices.IndexFunc(d.Tasks, func(t domain.Task) bool { return t.ID == l.TaskID }); i >= 0 {
			task = fmt.Sprint(i + 1)
		}
		row := t.row(l.Description, task, measured(l.Quantity.String(), l.Unit))
		row.Cells[0].Box = Open
		if l.Scope == domain.Outside {
			row.Cells[0].Small = "Not agreed: it is not fitted."
		}
	}
}
