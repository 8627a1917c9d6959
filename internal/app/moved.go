package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/measure"
	"bareframe/internal/method"
)

// standsAt is what a job costs before and with tax, and when it finishes.
func standsAt(p JobPage) (net, total decimal.Decimal, finish time.Time) {
	return p.Price.Totals.TaxBasisTotal.Decimal(), p.Price.Totals.GrandTotal.Decimal(), p.Plan.Finish
}

// movedHours lists the tasks of the estimate that the rules ask other hours for
// than they did, and those that take hours over, in the order of the estimate.
func (a asking) movedHours(was *measured, diff method.Comparison, f followed) []domain.MovedHours {
	out := []domain.MovedHours{}
	for _, t := range a.e.Tasks {
		i := slices.IndexFunc(diff.Tasks, func(m method.TaskMoved) bool { return m.Task == t.Code })
		j := slices.IndexFunc(f.tasks, func(x domain.Task) bool { return x.ID == t.ID })
		if i < 0 && j < 0 || t.Kind != domain.Work {
			continue
		}
		m := domain.MovedHours{TaskID: t.ID, Code: t.Code, Name: t.Name, Follows: t.Follows, Before: t.Hours, After: t.Hours, By: []domain.MovedBy{}}
		if j >= 0 {
			m.After = f.tasks[j].Hours
		}
		if i >= 0 {
			m.By = movedBy(diff.Tasks[i].By, "h")
		}
		before, _ := was.hoursOf(t.Code)
		after, _ := a.m.hoursOf(t.Code)
		m.AskedBefore, m.AskedAfter = before.Likely, after.Likely
		out = append(out, m)
	}
	return out
}

// mostReasons bounds the zones that a moved figure lists by themselves; a whole
// survey moves forty zones of forty figures.
const mostReasons = 20

// movedBy lists what moved a figure; what lies past the bound stands as one sum, so
// that the amounts still add up to the move.
func movedBy(all []method.Moved, unit string) []domain.MovedBy {
	out := make([]domain.MovedBy, 0, min(len(all), mostReasons+1))
	rest := decimal.Zero
	for i, b := range all {
		if i >= mostReasons {
			rest = rest.Add(b.Amount)
			continue
		}
		out = append(out, domain.MovedBy{ZoneID: b.Zone, Zone: b.Name, Rule: b.Rule, Amount: b.Amount, Why: b.Why, Words: b.Words})
	}
	if more := len(all) - mostReasons; more > 0 {
		out = append(out, domain.MovedBy{Amount: rest, Why: "as the others", Words: fmt.Sprintf("%d more together: %s %s.", more, rest, unit)})
	}
	return out
}

// movedMaterials lists the materials of the estimate's tasks, as movedHours; then
// lines that moved for another reason, such as packs from another job.
func (a asking) movedMaterials(was *measured, diff method.Comparison, f followed) []domain.MovedMaterial {
	out := []domain.MovedMaterial{}
	shown := map[domain.ID]bool{}
	for _, d := range diff.Materials {
		task, has := taskCoded(a.e, d.Task)
		if !has {
			continue
		}
		m := domain.MovedMaterial{Key: d.Material, Name: a.name(d.Material), TaskCode: d.Task, Unit: d.Unit, AskedBefore: d.Before, AskedAfter: d.After, By: movedBy(d.By, d.Unit)}
		if line, has := f.buying(a.e, *task, d.Material); has {
			lined(&m, a.e, line)
			m.AskedBefore, m.AskedAfter = inUnit(d.Before, d.Unit, line.Unit), inUnit(d.After, d.Unit, line.Unit)
			shown[line.ID] = true
		}
		out = append(out, m)
	}
	for _, l := range f.lines {
		if !shown[l.ID] {
			m := domain.MovedMaterial{Key: l.PriceItem, Name: a.name(l.PriceItem), By: []domain.MovedBy{}}
			m.AskedAfter, _ = a.quantityOf(l)
			m.AskedBefore = m.AskedAfter
			lined(&m, a.e, l)
			out = append(out, m)
		}
	}
	return out
}

// lined puts what a line was and became into a move; a new one was nothing.
func lined(m *domain.MovedMaterial, e domain.Estimate, l domain.Line) {
	m.LineID, m.Unit, m.Follows, m.After = l.ID, l.Unit, l.Follows, l.Quantity
	if i := slices.IndexFunc(e.Lines, func(x domain.Line) bool { return x.ID == l.ID }); i >= 0 {
		m.Before = e.Lines[i].Quantity
	}
}

// buying is the line of a material of a task as it became.
func (f followed) buying(e domain.Estimate, t domain.Task, material string) (domain.Line, bool) {
	if i := slices.IndexFunc(f.added, func(l domain.Line) bool { return l.TaskID == t.ID && l.PriceItem == material }); i >= 0 {
		return f.added[i], true
	}
	line, has := lineFor(e, t, material)
	if i := slices.IndexFunc(f.lines, func(l domain.Line) bool { return l.ID == line.ID }); has && i >= 0 {
		return f.lines[i], true
	}
	return line, has
}

// inUnit is a quantity in another unit of its dimension.
func inUnit(q decimal.Decimal, from, to string) decimal.Decimal {
	if out, err := (measure.Quantity{Value: q, Unit: measure.Unit(from)}).Convert(measure.Unit(to), quantityPlaces); err == nil {
		return out.Value
	}
	return q
}

// name is what the price book calls a material.
func (a asking) name(material string) string {
	if m, known := a.book.Material(material); known {
		return m.Name
	}
	return material
}

// mostCauses bounds the zones that a cause names.
const mostCauses = 3

// since says what about the steel, the finish and the methods is not what it was:
// "Left rail ahead of rear wheel: grade B to perforated".
func (m *measured) since(was *measured) string {
	causes := m.sinceJob(was)
	gone := 0
	for _, old := range was.zones {
		if !slices.ContainsFunc(m.zones, func(z zoneMeasured) bool { return z.ID == old.ID }) {
			causes = append(causes, old.Name+": taken out of the frame")
			gone++
		}
	}
	if gone > 0 && gone == len(was.zones) {
		return "The frame was laid anew: " + m.job.FrameName
	}
	for _, z := range m.zones {
		i := slices.IndexFunc(was.zones, func(old zoneMeasured) bool { return old.ID == z.ID })
		if i < 0 {
			causes = append(causes, z.Name+": added to the frame")
		} else if what := m.sinceZone(was, was.zones[i], z); what != "" {
			causes = append(causes, z.Name+": "+what)
		}
	}
	if more := len(causes) - mostCauses; more > 0 {
		causes = append(causes[:mostCauses], fmt.Sprintf("and %d more", more))
	}
	return strings.Join(causes, "; ")
}

func (m *measured) sinceJob(was *measured) []string {
	var causes []string
	if was.job.Finish != m.job.Finish {
		causes = append(causes, "Finish: "+said(was.job.Finish)+" to "+said(m.job.Finish))
	}
	for _, stage := range method.Stages() {
		if was.ways[stage] != m.ways[stage] {
			causes = append(causes, capital(string(stage))+": "+was.wayNamed(stage, was.ways)+" to "+m.wayNamed(stage, m.ways))
		}
	}
	return causes
}

func (m *measured) sinceZone(was *measured, old, z zoneMeasured) string {
	switch {
	case old.condition != z.condition:
		return old.condition.Said() + " to " + z.condition.Said()
	case z.seen.Holed() && (old.seen.LengthMM != z.seen.LengthMM || old.seen.WidthMM != z.seen.WidthMM):
		return fmt.Sprintf("%d x %d mm measured", z.seen.LengthMM, z.seen.WidthMM)
	case old.seen.Holed() && !z.seen.Holed():
		return "no hole measured any more"
	case !old.Section.ThicknessMM.Equal(z.Section.ThicknessMM), old.LengthMM != z.LengthMM, !old.AreaM2.Equal(z.AreaM2),
		old.Section.Shape != z.Section.Shape, old.Section.WidthMM != z.Section.WidthMM, old.Section.HeightMM != z.Section.HeightMM:
		return "measured again"
	case old.Finish != z.Finish:
		return "finish " + said(old.finish) + " to " + said(z.finish)
	case old.Kind != z.Kind || old.Side != z.Side || old.Code != z.Code:
		return "called something else"
	}
	for _, stage := range method.Stages() {
		if old.Ways[stage] != z.Ways[stage] {
			return string(stage) + " " + was.wayNamed(stage, old.ways) + " to " + m.wayNamed(stage, z.ways)
		}
	}
	return ""
}

func (m *measured) wayNamed(stage method.Stage, ways domain.Ways) string {
	for _, w := range m.rules.List().Methods {
		if w.Stage == stage && w.Key == ways[stage] {
			return w.Name
		}
	}
	return "nothing chosen"
}

func said(f domain.Finish) string { return strings.ReplaceAll(string(f), "_", " ") }
