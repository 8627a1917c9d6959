package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// driving is what sets the finish of a job: the tasks of the chain, and the
// links that hold a task at its dates.
type driving struct{ tasks, links map[domain.ID]bool }

func drivingOf(p app.JobPage) driving {
	d := driving{map[domain.ID]bool{}, map[domain.ID]bool{}}
	for _, id := range p.Plan.DrivingChain {
		d.tasks[id] = true
	}
	for _, t := range p.Plan.Tasks {
		for _, id := range t.Driving {
			d.links[id] = true
		}
	}
	return d
}

func taskView(p app.JobPage, t domain.Task, d driving) TaskView {
	stand := p.Tasks[t.ID]
	net, cost := p.TaskPrice(t.ID)
	started, finished := p.Plan.Actual(t.ID)
	view := TaskView{
		ID: t.ID, PhaseID: t.PhaseID, Code: t.Code, Name: t.Name, Note: t.Note, Kind: TaskKind(t.Kind),
		Hours: threePointView(t.Hours), MeanHours: hoursText(t.Hours.Mean()), ElapsedHours: hoursText(t.ElapsedHours), LeadDays: t.LeadDays,
		Skill: t.Skill, Crew: t.Crew, Station: t.Station, Zone: t.Zone, Cautions: texts(t.Cautions),
		HoldPoint: t.HoldPoint, Released: releasedView(t), TaxClass: TaxClass(t.TaxClass),
		NotBefore: dayOrNil(t.NotBefore), FinishBy: dayOrNil(t.FinishBy), Scope: Scope(t.Scope), Opened: openedView(t),
		State: TaskState(stand.State), WorkedHours: hoursText(stand.Worked), ToGoHours: hoursText(stand.ToGo), Progress: progressView(stand),
		ActualStart: instantOrNil(started), ActualFinish: instantOrNil(finished),
		Times: taskTimes(p, t.ID, d), Net: net.String(), Cost: cost.String(), AllowanceLineID: textOrNil(t.AllowanceLineID), OptionID: textOrNil(t.OptionID),
	}
	view.Follows, view.Floor = trueOrNil(t.Follows), floorView(t.Floor)
	if t.StripGate {
		view.StripGate = &t.StripGate
	}
	if n, ok := p.OrderNumbers[t.OrderID]; ok {
		view.OrderNumber = &n
	}
	return view
}

func releasedView(t domain.Task) *Released {
	if t.ReleasedAt == nil {
		return nil
	}
	return &Released{By: t.ReleasedBy, At: t.ReleasedAt.UTC(), Note: t.ReleaseNote}
}

func openedView(t domain.Task) *Opened {
	if t.OpenedAt == nil {
		return nil
	}
	return &Opened{By: t.OpenedBy, At: t.OpenedAt.UTC(), Reason: t.OpenedAs}
}

func taskTimes(p app.JobPage, id domain.ID, d driving) TaskTimes {
	n := p.Plan.Of(id)
	times := TaskTimes{
		Start: n.EarlyStart.UTC(), Finish: n.EarlyFinish.UTC(), LateStart: n.LateStart.UTC(), LateFinish: n.LateFinish.UTC(),
		TotalFloatMinutes: int(n.TotalFloat), FreeFloatMinutes: int(n.FreeFloat),
		Driving: d.tasks[id], Reason: StartReason(n.Reason), DrivenBy: texts(n.Driving),
	}
	if b, sold := p.Baseline[id]; sold {
		times.BaselineStart, times.BaselineFinish = instantOrNil(&b.Start), instantOrNil(&b.Finish)
	}
	return times
}

func linkView(l domain.Link, d driving) LinkView {
	view := LinkView{ID: l.ID, FromTaskID: l.FromID, ToTaskID: l.ToID, Type: LinkType(l.Type), LagHours: hoursText(l.LagHours),
		LagKind: LagKind(l.LagKind), MaxLagHours: hoursOrNil(l.MaxLagHours), Driving: d.links[l.ID]}
	if l.Bridge {
		view.Bridge = &l.Bridge
	}
	return view
}

func lineView(p app.JobPage, l domain.Line) LineView {
	net, cost := p.LinePrice(l.ID)
	return LineView{
		ID: l.ID, PhaseID: l.PhaseID, TaskID: textOrNil(l.TaskID), Kind: LineKind(l.Kind), Description: l.Description,
		Quantity: plainText(l.Quantity), Unit: l.Unit, UnitCost: unitMoneyText(l.UnitCost), MarkupPercent: plainText(l.MarkupPercent),
		WastePercent: plainText(l.WastePercent), DiscountPercent: plainText(l.DiscountPercent), TaxClass: TaxClass(l.TaxClass),
		Net: net.String(), Cost: cost.String(), OptionID: textOrNil(l.OptionID), PriceItem: textOrNil(l.PriceItem), Follows: trueOrNil(l.Follows),
	}
}
