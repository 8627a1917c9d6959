package app

import (
	"fmt"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/jobfile"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// figure reads decimal text whose form was checked when the file was read.
func figure(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// estimate makes the rows of the estimate and holds each against the others.
func (b *importing) estimate() {
	in := b.content.Estimate
	for i, p := range in.Phases {
		at := fmt.Sprintf("%s/estimate/phases/%d", inFile, i)
		b.take(at, b.e.ValidatePhaseName(p.Key, p.Name), nil)
		b.e.Phases = append(b.e.Phases, domain.Phase{ID: p.Key, Key: p.Stage, Name: p.Name, Position: i + 1})
	}
	for i, o := range in.Options {
		option := madeOption(o, i+1)
		b.take(fmt.Sprintf("%s/estimate/options/%d", inFile, i), option.Validate(b.e), nil)
		b.e.Options = append(b.e.Options, option)
	}
	b.choice()
	for i, t := range in.Tasks {
		b.e.Tasks = append(b.e.Tasks, b.madeTask(t, i+1))
	}
	for i, l := range in.Lines {
		b.e.Lines = append(b.e.Lines, b.madeLine(l, i+1))
	}
	b.validate()
}

// choice wants exactly one of each group to be taken.
func (b *importing) choice() {
	places := map[string]string{"/option_ids": ""}
	for i, o := range b.e.Options {
		if o.Taken {
			places[fmt.Sprint("/option_ids/", len(places)-1)] = fmt.Sprint("/", i)
		}
	}
	_, err := b.e.Choose(b.e.Taken())
	b.take(inFile+"/estimate/options", err, places)
}

// validate holds tasks, lines and links against the whole.
func (b *importing) validate() {
	for i, t := range b.e.Tasks {
		at := fmt.Sprintf("%s/estimate/tasks/%d", inFile, i)
		b.take(at, t.ValidateGate(b.e), map[string]string{"/option_id": "/option", "/allowance_line_id": "/allowance"})
		b.take(at, t.Validate(b.shop), nil)
	}
	for i, l := range b.e.Lines {
		b.take(fmt.Sprintf("%s/estimate/lines/%d", inFile, i), l.Validate(b.e), map[string]string{"/phase_id": "/phase", "/task_id": "/task", "/option_id": "/option"})
	}
	for i, l := range b.content.Estimate.Links {
		link := domain.Link{ID: fmt.Sprint(i), FromID: l.From, ToID: l.To, Type: network.LinkType(l.Type), LagHours: figure(l.LagHours), LagKind: calendar.Kind(l.LagKind), MaxLagHours: figureOr(l.MaxLagHours)}
		b.take(fmt.Sprintf("%s/estimate/links/%d", inFile, i), link.Validate(b.e), map[string]string{"/from_task_id": "/from", "/to_task_id": "/to"})
		b.e.Links = append(b.e.Links, link)
	}
}

func madeOption(o jobfile.Option, position int) domain.Option {
	out := domain.Option{ID: o.Key, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Position: position, Points: []domain.PointEffect{}}
	for _, p := range o.Points {
		out.Points = append(out.Points, domain.PointEffect{ItemKey: p.ItemKey, Originality: figure(p.Originality), Condition: figure(p.Condition)})
	}
	return out
}

func (b *importing) madeTask(t jobfile.Task, position int) domain.Task {
	floor := domain.Floor{Interruptible: t.Interruptible}
	if t.LongestBreak != "" {
		hours := figure(t.LongestBreak)
		floor.LongestBreakHours = &hours
	}
	for _, h := range t.Helpers {
		floor.Helpers = append(floor.Helpers, domain.Helper{Skill: becomes(b.skills, h.Skill), Count: h.Count})
	}
	return domain.Task{ID: t.Code, PhaseID: t.Phase, Code: t.Code, Name: t.Name, Note: t.Note, Kind: domain.TaskKind(t.Kind),
		Hours:        domain.ThreePoint{Low: figure(t.Hours.Low), Likely: figure(t.Hours.Likely), High: figure(t.Hours.High)},
		ElapsedHours: figure(t.ElapsedHours), LeadDays: t.LeadDays, Skill: becomes(b.skills, t.Skill), Crew: t.Crew, Station: becomes(b.stations, t.Station),
		Zone: t.Zone, Cautions: t.Cautions, HoldPoint: t.HoldPoint, StripGate: t.StripGate, AllowanceLineID: t.Allowance, TaxClass: pricing.TaxClass(t.TaxClass),
		NotBefore: domain.Day(t.NotBefore), FinishBy: domain.Day(t.FinishBy), Position: position, Scope: domain.Estimated, OptionID: t.Option, Floor: floor}
}

// madeLine keeps the row of the price book that a line was made from where this
// shop has one of that key for its kind.
func (b *importing) madeLine(l jobfile.Line, position int) domain.Line {
	out := domain.Line{ID: l.Key, PhaseID: l.Phase, TaskID: l.Task, Kind: pricing.Kind(l.Kind), Description: l.Description, Quantity: figure(l.Quantity), Unit: l.Unit,
		UnitCost: figure(l.UnitCost), MarkupPercent: figure(l.MarkupPercent), WastePercent: figure(l.WastePercent), DiscountPercent: figure(l.DiscountPercent),
		TaxClass: pricing.TaxClass(l.TaxClass), Scope: domain.Estimated, OptionID: l.Option, PriceItem: l.PriceItem, Position: position}
	if l.PriceItem == "" {
		return out
	}
	_, known := b.book.Material(l.PriceItem)
	if out.Kind == pricing.Sublet {
		_, known = b.book.Vendor(l.PriceItem)
	}
	if !known {
		out.PriceItem = ""
		b.unknownPrices++
	}
	return out
}

// frame makes zones and what was seen on them.
func (b *importing) frame() {
	ids := map[string]bool{}
	for i, z := range b.content.Frame.Zones {
		zone := domain.Zone{ID: z.Code, Code: z.Code, Name: z.Name, Kind: domain.ZoneKind(z.Kind), Side: domain.Side(z.Side),
			Section:  domain.Section{Shape: z.Section.Shape, WidthMM: z.Section.WidthMM, HeightMM: z.Section.HeightMM, ThicknessMM: figure(z.Section.ThicknessMM)},
			LengthMM: z.LengthMM, AreaM2: figure(z.AreaM2), VisiblePercent: z.VisiblePercent,
			Plan: domain.ZonePlan{From: domain.PlanPoint(z.Plan.From), To: domain.PlanPoint(z.Plan.To), Width: z.Plan.Width}, Position: i + 1}
		b.take(fmt.Sprintf("%s/frame/zones/%d", inFile, i), zone.Validate(b.zones), nil)
		b.zones, ids[z.Code] = append(b.zones, zone), true
	}
	if len(b.zones) == 0 {
		b.job.FrameName = ""
	} else if b.job.FrameName == "" {
		b.job.FrameName = ownFrame
	}
	for i, o := range b.content.Frame.Observations {
		at := fmt.Sprintf("%s/frame/observations/%d", inFile, i)
		seen, _ := time.Parse(time.RFC3339, o.SeenAt) // its form was checked
		row := domain.Observation{ZoneID: o.Zone, Moment: domain.Moment(o.Moment), Condition: domain.Condition(o.Condition), LengthMM: o.LengthMM, WidthMM: o.WidthMM,
			Note: o.Note, PhotoIDs: []domain.ID{}, At: seen.UTC()}
		b.take(at, row.Validate(b.zones, nil), map[string]string{"/zone_id": "/zone"})
		if row.At.After(b.now.Add(24 * time.Hour)) {
			b.faults.Add(at+"/seen_at", "This was seen in time to come.")
		}
		b.seen = append(b.seen, row)
	}
}

// renewed gives the rows of an estimate fresh IDs in the place of a file's keys.
func renewed(e domain.Estimate, jobID domain.ID, newID func() domain.ID) domain.Estimate {
	fresh := map[string]domain.ID{}
	id := func(space, key string) domain.ID {
		if key == "" {
			return ""
		}
		if fresh[space+key] == "" {
			fresh[space+key] = newID()
		}
		return fresh[space+key]
	}
	for i := range e.Phases {
		p := &e.Phases[i]
		p.ID, p.JobID = id("p ", p.ID), jobID
	}
	for i := range e.Options {
		o := &e.Options[i]
		o.ID, o.JobID = id("o ", o.ID), jobID
	}
	for i := range e.Tasks {
		t := &e.Tasks[i]
		t.ID, t.JobID, t.PhaseID, t.OptionID, t.AllowanceLineID = id("t ", t.ID), jobID, id("p ", t.PhaseID), id("o ", t.OptionID), id("l ", t.AllowanceLineID)
	}
	for i := range e.Links {
		l := &e.Links[i]
		l.ID, l.JobID, l.FromID, l.ToID = newID(), jobID, id("t ", l.FromID), id("t ", l.ToID)
	}
	for i := range e.Lines {
		l := &e.Lines[i]
		l.ID, l.JobID, l.PhaseID, l.TaskID, l.OptionID = id("l ", l.ID), jobID, id("p ", l.PhaseID), id("t ", l.TaskID), id("o ", l.OptionID)
	}
	return e
}
