package paper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/wording"
)

// InspectionData is what the report of an inspection is written from.
type InspectionData struct {
	Shop         domain.Shop
	Job          domain.Job
	Client       domain.Person
	Zones        []domain.Zone        // by position
	Observations []domain.Observation // voided ones are not shown
	Findings     []domain.Finding     // dismissed ones are not shown
	Thumbs       map[domain.ID][]byte // JPEGs by photo; what is not here is counted
	Orders       []domain.ChangeOrder // those whose options are shown, with their effects
	Names        bool                 // say who reported; a client's copy does not
	AsOf         time.Time
}

// Inspection describes the report: the frame in plan, every zone with its grade,
// the findings by zone with their photos, and what could be done about them.
func Inspection(d InspectionData) (Sheet, error) {
	currency, err := money.ParseCurrency(d.Job.Currency)
	if err != nil {
		return Sheet{}, fmt.Errorf("writing the inspection of job %d: %w", d.Job.Number, err)
	}
	d = d.standing()
	s := sheetOf(d.Shop, fmt.Sprintf("inspection-%d", d.Job.Number), "Inspection report", d.AsOf)
	d.lead(s.part(""))
	if len(d.Zones) > 0 {
		d.frame(s.part("The frame"))
	}
	for _, z := range d.Zones {
		if found := d.on(z.ID); len(found) > 0 {
			d.zone(s.part(z.Name), found)
		}
	}
	for _, o := range d.Orders {
		d.order(s.part(fmt.Sprintf("What could be done: change order %d", o.Number)), o, currency)
	}
	end := s.part("")
	end.say(Plain, plain("Grades A to D are the rust grades of ISO 8501-1; what follows them is common practice. Steel that nobody could see is not judged here. Local codes and qualified persons come first."))
	end.say(Caution, plain("A frame with perforated, cracked or patched steel may fail under load. It is not driven, and not lifted at such places, before a qualified person has judged it."))
	s.Block = [][]Field{
		{{Label: "Job", Value: fmt.Sprint(d.Job.Number)}, {Label: "Findings", Value: fmt.Sprint(len(d.Findings))}, {Label: "As of", Value: longDay(d.AsOf.In(d.Shop.Zone()))}},
		{{Label: "Vehicle", Value: d.Job.Vehicle.Label(), Wide: true}, {Label: "Serial", Value: d.Job.Vehicle.Serial}},
		{{Label: "Authorised", Value: amount(d.Job.AuthorisedAmount, currency) + " " + d.Job.Currency, Wide: true}, {Label: "Promised by", Value: day(d.Job.Promise)}},
	}
	return s, nil
}

// standing leaves out what does not stand, and puts the findings in order.
func (d InspectionData) standing() InspectionData {
	d.Observations = slices.DeleteFunc(slices.Clone(d.Observations), func(o domain.Observation) bool { return o.VoidedAt != nil })
	d.Findings = slices.DeleteFunc(slices.Clone(d.Findings), func(f domain.Finding) bool { return f.State == domain.FindingDismissed })
	slices.SortFunc(d.Findings, func(a, b domain.Finding) int { return cmp.Compare(a.Number, b.Number) })
	return d
}

func (d InspectionData) on(zone domain.ID) []domain.Finding {
	return slices.DeleteFunc(slices.Clone(d.Findings), func(f domain.Finding) bool { return f.ZoneID != zone })
}

func (d InspectionData) lead(p *Part) {
	p.lines(wording.Fill(d.Shop.Settings.Text(domain.InspectionOpening), InspectionValues(d)))
	p.lines(forWhom(d.Client, d.Job))
	zones, waiting := map[domain.ID]bool{}, 0
	for _, f := range d.Findings {
		zones[f.ZoneID] = true
		if f.State != domain.FindingApproved && f.State != domain.FindingDeclined {
			waiting++
		}
	}
	switch {
	case len(d.Findings) == 0:
		p.say(Lead, plain("Nothing was found so far."))
	case waiting == 0:
		p.say(Lead, strong(counted(len(d.Findings), "finding")), plain(" on ", counted(len(zones), "zone"), " of the frame. All are decided."))
	default:
		p.say(Lead, strong(counted(len(d.Findings), "finding")), plain(" on ", counted(len(zones), "zone"), " of the frame; ", fmt.Sprint(waiting), " not yet decided. Nothing is done about them without a decision."))
	}
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

var gradeWord = map[domain.Condition]string{
	domain.GradeA: "grade A, sound", domain.GradeB: "grade B, rust begun", domain.GradeC: "grade C, rusted", domain.GradeD: "grade D, rusted and pitting",
	domain.Pitted: "pitted", domain.Patched: "patched", domain.Perforated: "perforated", domain.Hidden: "hidden",
}

// frame draws the plan and lists every zone with its grade.
func (d InspectionData) frame(p *Part) {
	plan := &Plan{Title: "The frame from above, front at the left"}
	t := &Table{Name: "Zones", Columns: []Column{{Head: "Zone"}, {Head: "Section"}, {Head: "Condition"}, {Head: "Hidden, body on", Number: true}, {Head: "Findings"}}}
	for _, z := range d.Zones {
		var numbers []string
		for _, f := range d.on(z.ID) {
			numbers = append(numbers, fmt.Sprint(f.Number))
		}
		grade, word := d.grade(z.ID), "not graded yet"
		if grade != "" {
			word = gradeWord[grade]
		}
		plan.Zones = append(plan.Zones, PlanZone{Kind: z.Kind, Bar: z.Plan, Grade: grade, Badge: strings.Join(numbers, ", ")})
		t.row(z.Name, section(z.Section), word, percentage(fmt.Sprint(100-z.VisiblePercent)), strings.Join(numbers, ", "))
	}
	p.Blocks = append(p.Blocks, Block{Plan: plan}, Block{Table: t})
	p.Blocks = slices.Insert(p.Blocks, 1, Block{Text: &Text{Quiet, []Run{plain("Numbers: findings. Hatching: the closer, the worse, from grade B to pitted; crossed: perforated. Outlined twice: patched. Dashed: nobody has seen it. Heavy: something was found. Chain line: the middle of the car.")}}})
}

// grade is the worst that was seen on a zone at the last moment at which it was
// seen; what is hidden says nothing of the steel.
func (d InspectionData) grade(zone domain.ID) domain.Condition {
	moment := func(o domain.Observation) int {
		if o.Condition == domain.Hidden {
			return -1
		}
		return slices.Index(domain.Moments(), o.Moment)
	}
	last, worst := -2, domain.Condition("")
	for _, o := range d.Observations {
		if o.ZoneID != zone {
			continue
		}
		switch at := moment(o); {
		case at > last:
			last, worst = at, o.Condition
		case at == last && slices.Index(domain.Conditions(), o.Condition) > slices.Index(domain.Conditions(), worst):
			worst = o.Condition
		}
	}
	return worst
}

// section is written as on a drawing: width, height, wall.
func section(s domain.Section) string {
	switch s.Shape {
	case "none":
		return "none"
	case "plate", "tube":
		return together("%s %d × %s mm", s.Shape, max(s.HeightMM, s.WidthMM), s.ThicknessMM)
	}
	return together("%s %d × %d × %s mm", s.Shape, s.WidthMM, s.HeightMM, s.ThicknessMM)
}

var stateWord = map[domain.FindingState]string{
	domain.FindingReported: "reported", domain.FindingGathered: "in a draft", domain.FindingSent: "waits for a decision",
	domain.FindingApproved: "approved", domain.FindingDeclined: "declined",
}

// mostThumbs bounds the photos shown of one finding; the rest are counted.
const mostThumbs = 6

// zone lists the findings of a zone and shows their photos.
func (d InspectionData) zone(p *Part, findings []domain.Finding) {
	t := p.table(p.Heading+", findings", "#No.", "What", "Condition", "Size", "#Places", "State")
	var shown []Picture
	left := 0
	for _, f := range findings {
		row := t.row(fmt.Sprint(f.Number), words(string(f.What)), gradeWord[f.Condition], size(f), fmt.Sprint(f.Count), stateWord[f.State])
		row.Cells[1].Small = d.note(f)
		for i, id := range f.PhotoIDs {
			if jpeg := d.Thumbs[id]; jpeg != nil && i < mostThumbs {
				shown = append(shown, Picture{JPEG: jpeg, Caption: fmt.Sprintf("Finding %d, photo %d", f.Number, i+1)})
			} else {
				left++
			}
		}
	}
	if len(shown) > 0 {
		p.Blocks = append(p.Blocks, Block{Pictures: shown})
	}
	if left > 0 {
		p.say(Quiet, plain(counted(left, "more photo"), " of this zone in the survey."))
	}
}

func size(f domain.Finding) string {
	switch {
	case f.LengthMM > 0 && f.WidthMM > 0:
		return together("%d × %d mm", f.LengthMM, f.WidthMM)
	case f.LengthMM > 0 || f.WidthMM > 0:
		return together("%d mm", max(f.LengthMM, f.WidthMM))
	}
	return "not measured"
}

// note is what was said of a finding, and by whom where names are shown.
func (d InspectionData) note(f domain.Finding) string {
	var out []string
	if f.Note != "" {
		out = append(out, f.Note)
	}
	if lost := points(f.Originality.Neg(), f.ConditionPoints.Neg()); lost != "none" {
		out = append(out, "Judged points as found: "+lost+".")
	}
	if d.Names && f.ByName != "" {
		out = append(out, "Reported by "+f.ByName+", "+longDay(f.At.In(d.Shop.Zone()))+".")
	}
	return strings.Join(out, " ")
}

// order shows the options of an order's items.
func (d InspectionData) order(p *Part, o domain.ChangeOrder, c money.Currency) {
	state := string(o.StateAt(d.AsOf))
	switch {
	case o.State == domain.OrderDraft:
		state = "a draft that was not sent"
	case o.StateAt(d.AsOf) == domain.OrderSent:
		state = "waiting for a decision"
	}
	p.lines(o.Title + ": " + state + ".")
	x := OrderData{Shop: d.Shop, Job: d.Job, Order: o, Findings: map[domain.ID]domain.Finding{}}
	for _, item := range o.Items {
		p.say(Plain, strong(item.Title))
		x.options(p, item, c)
		if item.IfNot != "" {
			p.lines("If it is not done: " + item.IfNot)
		}
	}
}
