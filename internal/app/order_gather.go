package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
	"bareframe/internal/repair"
)

// GatherFindings drafts one order of the strip gate from all findings that wait:
// an item a finding, its suggested repairs as options. The owner looks through
// the draft before it is sent.
func (a *App) GatherFindings(ctx context.Context, actor domain.Actor, jobID domain.ID, key string) (OrderPage, error) {
	id, err := once(ctx, a, actor, "gatherFindings", key, jobID, func(w *work) (domain.ID, error) {
		d, err := w.inspection(jobID)
		if err != nil {
			return "", err
		}
		return w.addOrder(jobID, d)
	})
	if err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

// mostItems bounds the items of an order, as the contract does.
const mostItems = 40

// inspection writes the draft, oldest finding first.
func (w *work) inspection(jobID domain.ID) (OrderDraft, error) {
	d := OrderDraft{Kind: domain.FromInspection, Title: "Inspection after stripping", Reason: "Now that the steel is bare, this is what was found and what can be done about it."}
	b, err := w.orderable(jobID)
	if err != nil {
		return d, err
	}
	list, err := w.app.repairsOf(w, b.job)
	if err != nil {
		return d, err
	}
	found, err := w.Findings(jobID)
	if err != nil {
		return d, err
	}
	for _, f := range slices.Backward(found) {
		if !f.Open() || len(d.Items) == mostItems {
			continue
		}
		item, err := b.itemOf(f, list)
		if err != nil {
			return d, err
		}
		d.Items = append(d.Items, item)
	}
	if len(d.Items) == 0 {
		return d, fault.New(fault.Conflict, "nothing-found", "No finding waits to be gathered on job %d.", b.job.Number)
	}
	return d, nil
}

// itemOf makes an item of a finding. Without a repair that can be sized there is
// one empty option for the owner to fill in.
func (b *orderBase) itemOf(f domain.Finding, list repair.List) (domain.OrderItem, error) {
	zone := b.zones[f.ZoneID]
	item := domain.OrderItem{Key: fmt.Sprintf("f%d", f.Number), Title: cut(fmt.Sprintf("%s: %s", zone, whatWord(f.What)), 120),
		IfNot: fmt.Sprintf("%s on %s stays as it was found.", capital(whatWord(f.What)), zone), MayLeave: true, FindingIDs: []domain.ID{f.ID}}
	suggested, err := repair.Suggest(repair.Input{List: list, Finding: repair.Finding{Condition: repair.Condition(f.Condition), What: string(f.What),
		LengthMM: f.LengthMM, WidthMM: f.WidthMM, Count: max(1, f.Count)}})
	if err != nil && fault.KindOf(err) != fault.Invalid { // what a list cannot read, the owner works out
		return item, err
	}
	for _, s := range suggested.Suggestions {
		if len(f.Repairs) > 0 && !slices.Contains(f.Repairs, s.Code) || len(item.Options) == mostOptions {
			continue
		}
		item.Options = append(item.Options, b.optionOf(f, s))
	}
	if len(item.Options) == 0 {
		item.Options = []domain.OrderOption{{Key: "r1", Name: "To be worked out", Note: "No repair of the list answers this as it was measured."}}
	}
	item.Options[0].Advised = true
	return item, nil
}

// mostOptions bounds the options of an item, as the contract does.
const mostOptions = 6

// optionOf makes a repair into a task after the strip gate, before what followed
// the gate, with its material as lines.
func (b *orderBase) optionOf(f domain.Finding, s repair.Suggestion) domain.OrderOption {
	phase, after, before := b.repairPlace()
	skill := s.Skill
	if _, known := b.book.Rate(skill); !known {
		skill = b.anySkill()
	}
	t := domain.OrderTask{Key: "t1", PhaseID: phase, Name: cut(s.Name+", "+b.zones[f.ZoneID], 120), Note: cut(s.Note, 2000), Kind: domain.Work,
		Hours: domain.ThreePoint{Low: s.Hours.Low, Likely: s.Hours.Likely, High: s.Hours.High}, Skill: skill, Crew: max(1, s.Crew), Station: b.knownStation(s.Station),
		ZoneID: f.ZoneID, Cautions: []string{}, TaxClass: pricing.TaxClass(s.TaxClass), After: after, Before: before}
	originality := decimal.Zero
	if f.What == domain.FoundMissingOpening || f.What == domain.FoundMissingBracket {
		originality = f.Originality // it is there again
	}
	for _, c := range s.Cautions {
		t.Cautions = append(t.Cautions, c.Key)
	}
	option := domain.OrderOption{Key: s.Code, Name: cut(s.Name, 120), Tasks: []domain.OrderTask{t},
		Originality: originality, Condition: f.ConditionPoints}
	for _, need := range s.Materials {
		option.Lines = append(option.Lines, b.lineOf(phase, need))
	}
	return option
}

// prices is the price book as it holds today.
func (b *orderBase) prices() domain.PriceBook {
	if b.today == nil {
		today := b.shop.PricesFor(b.job, domain.DayOf(b.now, b.shop.Zone()))
		b.today = &today
	}
	return *b.today
}

// lineOf prices a material from the price book where the repair list names a row
// of it, else at the list's own price.
func (b *orderBase) lineOf(phase domain.ID, need repair.Need) domain.OrderLine {
	l := domain.OrderLine{PhaseID: phase, TaskKey: "t1", Kind: pricing.Material, Description: cut(need.Item, 120), Quantity: need.Quantity, Unit: need.Unit,
		TaxClass: pricing.TaxClass(need.TaxClass)}
	if m, ok := b.prices().Material(need.PriceItem); ok && need.PriceItem != "" {
		l.UnitCost, l.MarkupPercent, l.WastePercent, l.TaxClass = m.UnitCost, m.MarkupPercent, m.WastePercent, m.TaxClass
	} else if price, err := decimal.NewFromString(need.UnitPrice); err == nil {
		l.UnitCost = money.ConvertPrice(price, b.job.Rate())
	}
	return l
}

// repairPlace is where repairs go: the phase of what follows the strip gate,
// after the gate and before its successors. Without a gate they go to the last
// phase with work, free of links.
func (b *orderBase) repairPlace() (phase domain.ID, after, before []string) {
	after, before = []string{}, []string{}
	for _, hold := range b.e.Tasks {
		if !hold.StripGate {
			continue
		}
		after = append(after, hold.ID)
		for _, l := range b.e.Links {
			next, ok := b.e.Task(l.ToID)
			if l.FromID != hold.ID || !ok || next.Scope == domain.Outside || next.OrderID != "" {
				continue
			}
			if phase == "" {
				phase = next.PhaseID
			}
			if next.PhaseID == phase && !b.begun[next.ID] {
				before = append(before, next.ID)
			}
		}
		break
	}
	if phase == "" {
		for _, t := range b.e.Tasks {
			phase = t.PhaseID
		}
	}
	return phase, after, before
}

// anySkill is the first skill of the price book, for a repair whose own skill the
// shop does not have.
func (b *orderBase) anySkill() string {
	for _, r := range b.book.Labour {
		return r.Skill
	}
	return ""
}

func (b *orderBase) knownStation(key string) string {
	if slices.ContainsFunc(b.shop.Settings.Stations, func(s domain.Station) bool { return s.Key == key }) {
		return key
	}
	return ""
}

func whatWord(w domain.FindingWhat) string { return strings.ReplaceAll(string(w), "_", " ") }

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// cut keeps a text within what the contract takes.
func cut(s string, most int) string {
	if runes := []rune(s); len(runes) > most {
		return strings.TrimSpace(string(runes[:most-1])) + "…"
	}
	return s
}
