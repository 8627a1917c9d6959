package app_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// choices is the small job with two ways to do the rail, and two extras: weld in
// two (advised) or fit a bought rail, which takes longer to come; zinc, and a
// longer fitting that moves the finish.
type choices struct {
	page                     app.JobPage
	repair, bought, zinc, up domain.ID
}

func (b *bench) choices() choices {
	b.t.Helper()
	ctx := b.t.Context()
	p := b.job(b.template)
	option := func(group, name string, taken bool, points string) domain.ID {
		var err error
		p, err = b.app.AddOption(ctx, b.owner, p.Job.ID, made(p), domain.Option{Group: group, Name: name, Taken: taken,
			Points: []domain.PointEffect{{ItemKey: "frame", Originality: dec(points), Condition: dec("1")}}})
		b.ok("adding "+name, err)
		return p.All.Options[len(p.All.Options)-1].ID
	}
	c := choices{repair: option("Left rail", "Weld in two", true, "0"), bought: option("Left rail", "Bought rail", false, "-2"),
		zinc: option("", "Zinc primer", false, "0"), up: option("", "Doors fitted twice", false, "0.5")}
	weld := taskCalled(b.t, p, "B10")
	weld.OptionID = c.repair
	var err error
	p, err = b.app.ChangeTask(ctx, b.owner, p.Job.ID, weld.ID, made(p), weld, nil)
	b.ok("giving B10 to an option", err)
	add := func(code, name string, kind domain.TaskKind, likely string, option domain.ID, phase int, after, before string) {
		task := domain.Task{PhaseID: p.All.Phases[phase].ID, Code: code, Name: name, Kind: kind, TaxClass: pricing.RepairLabour, OptionID: option}
		if kind == domain.Work {
			task.Hours, task.Skill, task.Crew = domain.ThreePoint{Low: dec(likely), Likely: dec(likely), High: dec(likely)}, "welder", 1
		} else {
			task.LeadDays = 15
		}
		whole := p
		whole.Estimate = p.All
		ends := func(code string) []domain.ID {
			if code == "" {
				return nil
			}
			return []domain.ID{taskCalled(b.t, whole, code).ID}
		}
		p, err = b.app.AddTask(ctx, b.owner, p.Job.ID, made(p), task, ends(after), ends(before))
		b.ok("adding "+code, err)
	}
	add("B20", "Rail on its way", domain.Sublet, "", c.bought, 1, "A20", "C10")
	add("B30", "Fit the bought rail", domain.Work, "6", c.bought, 1, "B20", "C10")
	add("C40", "Fit the doors again", domain.Work, "16", c.up, 2, "C30", "")
	p, err = b.app.AddLine(ctx, b.owner, p.Job.ID, made(p), domain.Line{PhaseID: p.All.Phases[2].ID, Kind: pricing.Material, Description: "Zinc primer",
		Quantity: dec("2.5"), Unit: "l", UnitCost: dec("31.337"), MarkupPercent: dec("20"), TaxClass: pricing.MaterialClass, OptionID: c.zinc})
	b.ok("adding a line", err)
	c.page = p
	return c
}

// inForce names the tasks in force.
func inForce(p app.JobPage) string {
	var out []string
	for _, t := range p.Estimate.Tasks {
		out = append(out, t.Code)
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

func TestOnlyWhatIsTakenIsPricedAndScheduled(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	plain := b.page(b.job(b.template).Job.ID)
	c := b.choices()
	if got, want := inForce(c.page), "A10 A20 B10 C10 C20 C30"; got != want {
		t.Errorf("in force %s, want %s", got, want)
	}
	// As advised the job is the small job without options.
	if got, want := c.page.Price.Totals.GrandTotal, plain.Price.Totals.GrandTotal; got != want {
		t.Errorf("priced %s, want %s", got, want)
	}
	if !c.page.Plan.Finish.Equal(plain.Plan.Finish) {
		t.Errorf("finishes %s, want %s", c.page.Plan.Finish, plain.Plan.Finish)
	}
	if n := len(c.page.All.Tasks); n != 9 {
		t.Errorf("%d tasks in all, want 9", n)
	}
}

func TestOptionsAreComparedAsIfBuiltAlone(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	c := b.choices()
	table, err := b.app.CompareOptions(t.Context(), b.owner, c.page.Job.ID, nil, false)
	b.ok("comparing", err)
	if !slices.Equal(table.Advised, []domain.ID{c.repair}) || table.Selected.Days != 0 || len(table.Selected.Offer.Options) != 4 {
		t.Fatalf("%+v", table)
	}
	for i, id := range []domain.ID{c.repair, c.bought, c.zinc, c.up} {
		row := table.Selected.Offer.Options[i]
		// Advise it for real, and read the job.
		o, _ := c.page.All.Option(id)
		o.Taken = true
		p, err := b.app.ChangeOption(t.Context(), b.owner, c.page.Job.ID, id, made(b.page(c.page.Job.ID)), o)
		b.ok("advising", err)
		if got, want := dec(row.Difference), p.Price.Totals.GrandTotal.Decimal().Sub(c.page.Price.Totals.GrandTotal.Decimal()); !got.Equal(want) {
			t.Errorf("%s changes the total by %s, want %s", row.Name, got, want)
		}
		moved := p.Plan.Finish.Sub(c.page.Plan.Finish)
		if (row.Days > 0) != (moved > 0) || (row.Days < 0) != (moved < 0) {
			t.Errorf("%s moves the finish by %d working days, and by %s", row.Name, row.Days, moved)
		}
		back := c.page.All.Options[0]
		if id == c.zinc || id == c.up {
			o.Taken = false
			back = o
		}
		_, err = b.app.ChangeOption(t.Context(), b.owner, c.page.Job.ID, back.ID, made(p), back)
		b.ok("advising again what was", err)
	}
	rows := table.Selected.Offer.Options
	// By hand: 15 working days away and 6 hours of fitting instead of (5+4×8+14)/6 = 8.5 h;
	// a day of the shop is 8 hours, so 120 + 6 - 8.5 working hours are 14.7 days: 15.
	if rows[1].Days != 15 || rows[1].Hours != "6.00" || rows[0].Hours != "8.50" {
		t.Errorf("the bought rail: %d days, %s h beside %s h; want 15, 6.00, 8.50", rows[1].Days, rows[1].Hours, rows[0].Hours)
	}
	// 2.5 l × 31.337 × 1.2 = 94.011 before tax, 94.01; at 7.25 % tax of 6.82 on its own.
	if rows[2].Net != "94.01" || rows[2].Days != 0 {
		t.Errorf("zinc: %s and %d days, want 94.01 and 0", rows[2].Net, rows[2].Days)
	}
	// 16 hours after the last task are two days.
	if rows[3].Days != 2 || !rows[3].Originality.Equal(dec("0.5")) {
		t.Errorf("doors: %d days, %s points; want 2, 0.5", rows[3].Days, rows[3].Originality)
	}
	if _, err := b.app.CompareOptions(t.Context(), b.owner, c.page.Job.ID, []domain.ID{c.bought, c.repair}, true); fault.As(err) == nil {
		t.Errorf("two of a group were compared: %v", err)
	}
	other, err := b.app.CompareOptions(t.Context(), b.owner, c.page.Job.ID, []domain.ID{c.bought, c.up}, true)
	b.ok("comparing another", err)
	if other.Selected.Days != 17 || !other.Selected.Originality.Equal(dec("-1.5")) || !other.Selected.Condition.Equal(dec("2")) {
		t.Errorf("bought rail and doors: %d days, %s and %s points; want 17, -1.5 and 2", other.Selected.Days, other.Selected.Originality, other.Selected.Condition)
	}
}

// The net of each option against the choice taken is what the pricing engine's own
// options say.
func TestTheEngineSaysTheSameOfOptions(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	c := b.choices()
	table, err := b.app.CompareOptions(t.Context(), b.owner, c.page.Job.ID, nil, false)
	b.ok("comparing", err)
	in := pricing.Input{Currency: "EUR", TaxBasis: pricing.PerDocument}
	for _, r := range c.page.Shop.Settings.TaxRates {
		in.TaxRates = append(in.TaxRates, pricing.TaxRate{Class: r.Class, Percent: r.Percent.String()})
	}
	of := func(id domain.ID) *pricing.Option {
		if o, ok := c.page.All.Option(id); ok {
			return &pricing.Option{Group: o.Group, Choice: o.ID, Taken: o.Taken}
		}
		return nil
	}
	for _, x := range c.page.All.Tasks {
		if rate, ok := c.page.Shop.PriceBook.Rate(x.Skill); ok && x.Hours.Mean().IsPositive() {
			in.Lines = append(in.Lines, pricing.Line{ID: x.ID, Kind: pricing.Labour, Description: x.Name, Quantity: x.Hours.Mean().String(), Unit: "h",
				UnitPrice: rate.SellRate.String(), TaxClass: x.TaxClass, Option: of(x.OptionID)})
		}
	}
	for _, l := range c.page.All.Lines {
		task, _ := c.page.All.Task(l.TaskID)
		option := of(l.OptionID)
		if task != nil && option == nil {
			option = of(task.OptionID)
		}
		in.Lines = append(in.Lines, pricing.Line{ID: l.ID, Kind: l.Kind, Description: l.Description, Quantity: l.Quantity.String(), Unit: l.Unit,
			UnitCost: l.UnitCost.String(), MarkupPercent: l.MarkupPercent.String(), WastePercent: l.WastePercent.String(), TaxClass: l.TaxClass, Option: option})
	}
	r, err := pricing.Calculate(in)
	b.ok("pricing", err)
	if len(r.Options) != 4 {
		t.Fatalf("%d options of the engine, want 4", len(r.Options))
	}
	for _, want := range r.Options {
		for _, got := range table.Selected.Offer.Options {
			if got.ID == want.Choice && got.Net != want.Net.String() {
				t.Errorf("%s: net %s, want %s", got.Name, got.Net, want.Net)
			}
		}
	}
	if r.Totals != c.page.Price.Totals {
		t.Errorf("the engine's totals are %+v, the page's %+v", r.Totals, c.page.Price.Totals)
	}
}

func (b *bench) choose(q domain.Quote, s app.Selection, ids []domain.ID) app.PortalDecision {
	return app.PortalDecision{Accepted: true, Name: "Sorei Vantesse", Signature: "Sorei Vantesse", DocumentHash: q.DocumentHash,
		OptionIDs: ids, Amount: &s.Total, Finish: s.Offer.Finish}
}

// What was quoted stays: another price book, other taxes, another calendar move no
// figure of any combination.
func TestACombinationKeepsTheDayOfIssue(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerLine))
	ctx := t.Context()
	c := b.choices()
	ids := []domain.ID{c.bought, c.zinc}
	q := b.issue(c.page)
	if len(q.Offer.Options) != 4 || !q.Offer.Options[0].Taken || len(q.Offer.Options[1].Lines) != 1 {
		t.Fatalf("the offer's options: %+v", q.Offer.Options)
	}
	advised, err := b.app.PreviewQuote(ctx, b.client, q.ID, []domain.ID{c.repair})
	b.ok("previewing as advised", err)
	if !advised.Total.Equal(q.Total) || advised.Offer.Finish != q.Offer.Finish || advised.Days != 0 {
		t.Errorf("as advised %s by %s, want the quote's %s by %s", advised.Total, advised.Offer.Finish, q.Total, q.Offer.Finish)
	}
	before, err := b.app.PreviewQuote(ctx, b.client, q.ID, ids)
	b.ok("previewing", err)
	shop := b.page(c.page.Job.ID).Shop
	b.rates(dec("250"))
	set := shop.Settings
	set.TaxRates = slices.Clone(set.TaxRates)
	for i := range set.TaxRates {
		if set.TaxRates[i].Class != pricing.Exempt {
			set.TaxRates[i].Percent = dec("25")
		}
	}
	_, err = b.app.ChangeShop(ctx, b.owner, app.Precondition{Given: true, Version: shop.Version}, set)
	b.ok("higher taxes", err)
	closed := shop.Calendar
	closed.Closures = []calendar.Closure{{From: monday.AddDate(0, 0, 1).Format(time.DateOnly), To: monday.AddDate(0, 0, 30).Format(time.DateOnly), Reason: "Holidays"}}
	_, err = b.app.ChangeCalendar(ctx, b.owner, app.Precondition{Given: true, Version: shop.CalendarVersion}, closed)
	b.ok("a month closed", err)
	b.pass(48 * time.Hour)
	after, err := b.app.PreviewQuote(ctx, b.client, q.ID, ids)
	b.ok("previewing again", err)
	if !after.Total.Equal(before.Total) || after.Offer.Finish != before.Offer.Finish || after.Days != before.Days {
		t.Errorf("%s by %s (%d days), want as before %s by %s (%d days)", after.Total, after.Offer.Finish, after.Days, before.Total, before.Offer.Finish, before.Days)
	}
	_, err = b.app.DecideQuote(ctx, b.client, q.ID, b.key(), b.choose(q, before, ids))
	b.ok("accepting", err)
	sold := b.page(c.page.Job.ID)
	if !sold.Job.AuthorisedAmount.Equal(before.Total) || sold.Job.Promise != before.Offer.Finish {
		t.Errorf("authorised %s by %s, want %s by %s", sold.Job.AuthorisedAmount, sold.Job.Promise, before.Total, before.Offer.Finish)
	}
	if got := sold.Price.Totals.GrandTotal.Decimal(); !got.Equal(before.Total) {
		t.Errorf("the work in force is priced %s, want %s", got, before.Total)
	}
}

func TestAnEnteredPromiseMovesWithTheSelection(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	c := b.choices()
	p, err := b.app.ChangeJob(t.Context(), b.owner, c.page.Job.ID, made(c.page), app.JobHead{Title: c.page.Job.Title, Vehicle: c.page.Job.Vehicle, Promise: "2031-03-28"})
	b.ok("promising", err)
	q := b.issue(p)
	for _, r := range []struct {
		name string
		ids  []domain.ID
		want domain.Day
	}{
		// 28 March 2031 is a Friday, and the shop works from Monday to Friday.
		{"as advised", []domain.ID{c.repair}, "2031-03-28"},
		{"no work added", []domain.ID{c.repair, c.zinc}, "2031-03-28"},
		{"two working days more", []domain.ID{c.repair, c.up}, "2031-04-01"},
	} {
		s, err := b.app.PreviewQuote(t.Context(), b.client, q.ID, r.ids)
		if err != nil || s.Offer.Finish != r.want {
			t.Errorf("%s: promised by %s %v, want %s", r.name, s.Offer.Finish, err, r.want)
		}
	}
}

func TestWhatWasLeftIsNotWorked(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	ctx := t.Context()
	c := b.choices()
	q := b.issue(c.page)
	ids := []domain.ID{c.bought, c.zinc}
	s, err := b.app.PreviewQuote(ctx, b.client, q.ID, ids)
	b.ok("previewing", err)
	accepted, err := b.app.DecideQuote(ctx, b.client, q.ID, b.key(), b.choose(q, s, ids))
	b.ok("accepting", err)
	if accepted.Agreed == nil || !slices.Equal(accepted.Agreed.OptionIDs, ids) || !accepted.Total.Equal(q.Total) {
		t.Fatalf("agreed %+v, issued for %s", accepted.Agreed, accepted.Total)
	}
	issued, err := b.app.ClientQuoteDocument(ctx, b.client, q.ID, app.AsHTML)
	b.ok("document as issued", err)
	decided, err := b.app.ClientAgreedDocument(ctx, b.client, q.ID, app.AsHTML)
	b.ok("document as decided", err)
	if issued.Hash != q.DocumentHash || decided.Hash != accepted.Agreed.DocumentHash || decided.Hash == issued.Hash {
		t.Errorf("documents %s and %s, want %s and %s", issued.Hash, decided.Hash, q.DocumentHash, accepted.Agreed.DocumentHash)
	}
	text := strings.ReplaceAll(string(decided.Body), ",", "")
	for _, want := range []string{"☒ yes</td><td>Left rail: Bought rail", "☐ no</td><td>Left rail: Weld in two", "☒ yes</td><td>Zinc primer", "☐ no</td><td>Doors fitted twice", s.Total.StringFixed(2) + " EUR", "Sorei Vantesse"} {
		if !strings.Contains(text, want) {
			t.Errorf("the document as decided does not say %q", want)
		}
	}
	p := b.page(c.page.Job.ID)
	if got, want := inForce(p), "A10 A20 B20 B30 C10 C20 C30"; got != want {
		t.Errorf("in force %s, want %s", got, want)
	}
	whole := p
	whole.Estimate = p.All
	left := taskCalled(t, whole, "B10")
	log := func(id domain.ID) error {
		_, err := b.app.LogHours(ctx, b.marik, b.key(), app.Log{On: app.Target{TaskID: id}, StartedAt: b.now(), FinishedAt: b.now().Add(time.Hour)})
		return err
	}
	b.set(monday.Add(2 * time.Hour))
	refused(t, "hours on what was left", log(left.ID), "option-not-taken")
	_, err = b.app.OpenTask(ctx, b.owner, p.Job.ID, left.ID, b.key(), "The client called.")
	refused(t, "opening what was left", err, "option-not-taken")
	refused(t, "a second acceptance", second(b.app.DecideQuote(ctx, b.client, q.ID, b.key(), b.choose(q, s, ids))), "quote-decided")
	refused(t, "a preview after it", second(b.app.PreviewQuote(ctx, b.client, q.ID, ids)), "quote-decided")
	o, _ := p.All.Option(c.up)
	o.Taken = true
	refused(t, "taking it later", second(b.app.ChangeOption(ctx, b.owner, p.Job.ID, c.up, made(p), o)), "options-decided")
	refused(t, "adding an option later", second(b.app.AddOption(ctx, b.owner, p.Job.ID, made(p), domain.Option{Name: "Another"})), "options-decided")
	refused(t, "removing an option later", second(b.app.RemoveOption(ctx, b.owner, p.Job.ID, c.up, made(p), true)), "options-decided")
	left.OptionID = ""
	refused(t, "moving left work into the agreed", second(b.app.ChangeTask(ctx, b.owner, p.Job.ID, left.ID, made(p), left, nil)), "options-decided")
	cards, err := b.app.BenchTasks(ctx, b.marik, p.Job.ID)
	b.ok("bench", err)
	for _, card := range cards {
		if card.Task.ID == left.ID {
			t.Error("the bench shows what was left")
		}
	}
}

func second[A, B any](_ A, b B) B { return b }

func TestAnAcceptanceRepeatsWhatWasRead(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	ctx := t.Context()
	c := b.choices()
	q := b.issue(c.page)
	ids := []domain.ID{c.bought}
	s, err := b.app.PreviewQuote(ctx, b.client, q.ID, ids)
	b.ok("previewing", err)
	decide := func(change func(*app.PortalDecision)) error {
		d := b.choose(q, s, ids)
		change(&d)
		_, err := b.app.DecideQuote(ctx, b.client, q.ID, b.key(), d)
		return err
	}
	moved := decide(func(d *app.PortalDecision) { d.Amount = &q.Total })
	refused(t, "the advised total for another selection", moved, "selection-moved")
	if now, ok := fault.As(moved).Evidence.(app.SelectionNow); !ok || !now.Total.Equal(s.Total) || now.Offer.Finish != s.Offer.Finish {
		t.Errorf("the refusal shows %+v, want %s by %s", fault.As(moved).Evidence, s.Total, s.Offer.Finish)
	}
	refused(t, "another date", decide(func(d *app.PortalDecision) { d.Finish = q.Offer.Finish }), "selection-moved")
	refused(t, "no amount", decide(func(d *app.PortalDecision) { d.Amount = nil }), "decision-invalid")
	refused(t, "no date", decide(func(d *app.PortalDecision) { d.Finish = "" }), "decision-invalid")
	refused(t, "no selection", decide(func(d *app.PortalDecision) { d.OptionIDs = nil }), "options-invalid")
	refused(t, "two of a group", decide(func(d *app.PortalDecision) { d.OptionIDs = []domain.ID{c.bought, c.repair} }), "options-invalid")
	refused(t, "another client", second(b.app.PreviewQuote(ctx, b.other, q.ID, ids)), "not-found")
	record := domain.Decision{Accepted: true, How: domain.ByTelephone, Name: "Sorei Vantesse", Contact: "+00 555 0134", Said: "The bought rail.", DecidedAt: b.now(), Amount: q.Total, OptionIDs: ids}
	refused(t, "recording the advised total", second(b.app.RecordDecision(ctx, b.owner, q.ID, b.key(), record)), "decision-invalid")
	record.Amount = s.Total
	_, err = b.app.RecordDecision(ctx, b.owner, q.ID, b.key(), record)
	b.ok("recording", err)
	if p := b.page(q.JobID); !p.Job.AuthorisedAmount.Equal(s.Total) {
		t.Errorf("authorised %s, want %s", p.Job.AuthorisedAmount, s.Total)
	}
}

func TestAnOptionIsRemovedWithItsWorkKept(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	ctx := t.Context()
	c := b.choices()
	p := c.page
	refused(t, "the advised one", second(b.app.RemoveOption(ctx, b.owner, p.Job.ID, c.repair, made(p), true)), "option-advised")
	refused(t, "one with work", second(b.app.RemoveOption(ctx, b.owner, p.Job.ID, c.up, made(p), false)), "option-not-empty")
	p, err := b.app.RemoveOption(ctx, b.owner, p.Job.ID, c.up, made(p), true)
	b.ok("removing", err)
	if got, want := inForce(p), "A10 A20 B10 C10 C20 C30 C40"; got != want || len(p.All.Options) != 3 {
		t.Errorf("in force %s of %d options, want %s of 3", got, len(p.All.Options), want)
	}
	// A circle through what is not taken would be one of some combination.
	whole := p
	whole.Estimate = p.All
	_, err = b.app.AddTaskLink(ctx, b.owner, p.Job.ID, made(p), domain.Link{FromID: taskCalled(t, whole, "C10").ID, ToID: taskCalled(t, whole, "B20").ID, Type: "FS", LagKind: "working"})
	refused(t, "a circle through what is not taken", err, "network-cycle")
}
