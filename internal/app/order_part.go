package app

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// part is one option of an order, ready to be carried out on an estimate and
// priced. Its rows have identifiers that the maker of the part gives out.
type part struct {
	choice      domain.Choice
	tasks       []domain.Task
	links       []domain.Link
	lines       []domain.Line
	hours       []domain.HoursChange
	removeTasks []domain.ID
	removeLines []domain.ID
	priced      []pricing.Line
	shown       []shownLine     // beside priced
	mean        decimal.Decimal // crew-hours added
	takes       domain.Option   // of the job, that it brings in
	why         *domain.Contradiction
}

// shownLine is how a priced line is written: a credit of hours or of a line that
// was sold reads as what it takes away.
type shownLine struct {
	description string
	kind        pricing.Kind
	quantity    string
	unit        string
}

// partOf prepares an option. When something that it changes is not there any
// more, the part says so and holds nothing.
func (b *orderBase) partOf(o domain.ChangeOrder, item domain.OrderItem, option domain.OrderOption, next func() domain.ID) (part, error) {
	p := part{choice: domain.Choice{ItemKey: item.Key, OptionKey: option.Key}}
	if p.why = b.stillThere(option); p.why != nil {
		return p, nil
	}
	p.takes, _ = b.e.Option(option.TakesOption)
	ids := map[string]domain.ID{}
	for _, t := range option.Tasks {
		ids[t.Key] = next()
	}
	for _, t := range option.Tasks {
		p.addTask(b, o, t, ids, next)
	}
	for _, l := range option.Links {
		p.links = append(p.links, domain.Link{ID: next(), JobID: b.job.ID, FromID: refer(ids, l.From), ToID: refer(ids, l.To), Type: l.Type, LagHours: l.LagHours, LagKind: l.LagKind, MaxLagHours: l.MaxLagHours})
	}
	for _, l := range option.Lines {
		line := l.Line()
		line.ID, line.JobID, line.TaskID, line.Scope, line.OrderID = next(), b.job.ID, ids[l.TaskKey], domain.Authorised, o.ID
		p.lines = append(p.lines, line)
		p.price(materialLine(line), shownLine{line.Description, line.Kind, line.Quantity.String(), line.Unit})
	}
	for _, h := range option.HoursChanges {
		p.changeHours(b, h)
	}
	return p, p.removals(b, option)
}

func (p *part) addTask(b *orderBase, o domain.ChangeOrder, t domain.OrderTask, ids map[string]domain.ID, next func() domain.ID) {
	task := t.Task()
	task.ID, task.JobID, task.Scope, task.OrderID, task.Zone = ids[t.Key], b.job.ID, domain.Authorised, o.ID, b.zones[t.ZoneID]
	if task.Cautions == nil {
		task.Cautions = []string{}
	}
	p.tasks = append(p.tasks, task)
	link := func(from, to domain.ID) {
		same := func(l domain.Link) bool { return l.FromID == from && l.ToID == to }
		if !slices.ContainsFunc(p.links, same) {
			p.links = append(p.links, finishStart(next(), b.job.ID, from, to))
		}
	}
	for _, ref := range t.After {
		link(refer(ids, ref), task.ID)
	}
	for _, ref := range t.Before {
		link(task.ID, refer(ids, ref))
	}
	p.mean = p.mean.Add(task.Hours.Mean())
	if line, ok := labourLine(b.book, task); ok {
		p.price(line, shownLine{line.Description, line.Kind, line.Quantity, line.Unit})
	}
}

// refer resolves a task named by key within an option, or by ID.
func refer(ids map[string]domain.ID, ref string) domain.ID {
	if id, sibling := ids[ref]; sibling {
		return id
	}
	return ref
}

func (p *part) price(line pricing.Line, shown shownLine) {
	p.priced, p.shown = append(p.priced, line), append(p.shown, shown)
}

// changeHours prices the difference of the means as labour; fewer hours are a
// credit.
func (p *part) changeHours(b *orderBase, h domain.HoursChange) {
	t, _ := b.e.Task(h.TaskID)
	before, after := t.Hours.Mean(), h.Hours.Mean()
	p.hours = append(p.hours, h)
	p.mean = p.mean.Add(after).Sub(before)
	changed := *t
	more := after.Sub(before)
	changed.Hours = domain.ThreePoint{Low: more.Abs(), Likely: more.Abs(), High: more.Abs()}
	line, ok := labourLine(b.book, changed)
	if !ok {
		return
	}
	if more.IsNegative() {
		line.Kind = pricing.Credit
	}
	p.price(line, shownLine{fmt.Sprintf("%s: %s h instead of %s h", t.Name, after.StringFixed(2), before.StringFixed(2)), pricing.Labour, more.StringFixed(2), line.Unit})
}

// removals takes tasks out, each with its lines, and lines; all are credited at
// what they were sold for.
func (p *part) removals(b *orderBase, option domain.OrderOption) error {
	p.removeTasks, p.removeLines = option.RemovesTasks, slices.Clone(option.RemovesLines)
	for _, id := range option.RemovesTasks {
		t, _ := b.e.Task(id)
		p.mean = p.mean.Sub(t.Hours.Mean())
		if line, ok := labourLine(b.book, *t); ok {
			line.Kind = pricing.Credit
			p.price(line, shownLine{"Not done: " + t.Name, pricing.Labour, "-" + line.Quantity, line.Unit})
		}
		for _, l := range b.e.Lines {
			if l.TaskID == id && !slices.Contains(p.removeLines, l.ID) {
				p.removeLines = append(p.removeLines, l.ID)
			}
		}
	}
	return p.creditLines(b)
}

func (p *part) creditLines(b *orderBase) error {
	for _, id := range p.removeLines {
		i := slices.IndexFunc(b.e.Lines, func(l domain.Line) bool { return l.ID == id })
		l := b.e.Lines[i]
		if l.Scope != domain.Authorised {
			continue // taken out with its task, but never sold
		}
		sold, err := b.priced([]pricing.Line{materialLine(l)})
		if err != nil {
			return err
		}
		was := sold.Lines[0]
		credit := pricing.Line{ID: lineOf + l.ID, PhaseID: l.PhaseID, Kind: pricing.Credit, Description: l.Description, Quantity: "1", Unit: "lot",
			UnitPrice: was.Net.Neg().Decimal().Abs().String(), UnitCost: "0", TaxClass: l.TaxClass}
		if was.Cost != nil {
			credit.UnitCost = was.Cost.Decimal().Abs().String()
		}
		if was.Net.Sign() < 0 { // what was taken off comes back
			credit.Kind = pricing.Fee
		}
		p.price(credit, shownLine{"Not bought: " + l.Description, l.Kind, l.Quantity.Neg().String(), l.Unit})
	}
	return nil
}

// stillThere finds what of an option the estimate does not have any more, or
// what was begun meanwhile and cannot be taken out.
func (b *orderBase) stillThere(option domain.OrderOption) *domain.Contradiction {
	gone := func(what string) *domain.Contradiction {
		return &domain.Contradiction{Detail: what + " is not part of the job's agreed work any more.", Tasks: []string{}}
	}
	if option.TakesOption != "" {
		if why := b.tookBefore(option.TakesOption); why != nil {
			return why
		}
	}
	keys := map[string]bool{}
	for _, t := range option.Tasks {
		keys[t.Key] = true
	}
	for _, t := range option.Tasks {
		if _, ok := b.e.Phase(t.PhaseID); !ok {
			return gone("The phase of " + t.Name)
		}
		for _, ref := range slices.Concat(t.After, t.Before) {
			if _, ok := b.e.Task(ref); !ok && !keys[ref] {
				return gone(fmt.Sprintf("A task that %s follows or comes before", t.Name))
			}
		}
	}
	for _, l := range option.Links {
		for _, ref := range []string{l.From, l.To} {
			if _, ok := b.e.Task(ref); !ok && !keys[ref] {
				return gone("A task that this is linked to")
			}
		}
	}
	for _, l := range option.Lines {
		if _, ok := b.e.Phase(l.PhaseID); !ok {
			return gone("The phase of " + l.Description)
		}
	}
	for _, h := range option.HoursChanges {
		if t, ok := b.e.Task(h.TaskID); !ok || t.Scope != domain.Authorised {
			return gone("A task whose hours change")
		}
	}
	for _, id := range option.RemovesTasks {
		t, ok := b.e.Task(id)
		if !ok || t.Scope != domain.Authorised {
			return gone("A task to be left out")
		}
		if b.begun[id] || t.ReleasedAt != nil {
			return &domain.Contradiction{Detail: t.Describe() + " was begun, so it is not left out any more; change its hours instead.", Tasks: []string{t.Describe()}}
		}
	}
	for _, id := range option.RemovesLines {
		i := slices.IndexFunc(b.e.Lines, func(l domain.Line) bool { return l.ID == id })
		if i < 0 || b.e.Lines[i].Scope != domain.Authorised {
			return gone("A line to be left out")
		}
	}
	return nil
}
