package app_test

import (
	"fmt"
	"maps"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// Random sequences of quote, findings, drafts, edits, sendings, previews,
// decisions (two at once too), withdrawals and days that pass keep what was
// agreed, what is planned and what stands in the orders one story.
func TestOrdersKeepOneStory(t *testing.T) {
	fewerDraws(t, 12)
	for _, basis := range []pricing.TaxBasis{pricing.PerDocument, pricing.PerLine} {
		t.Run("sqlite, tax per "+string(basis), func(t *testing.T) {
			b := open(t, settings("EUR", basis))
			rapid.Check(t, func(rt *rapid.T) { tell(b, rt) })
		})
	}
	t.Run("postgres", func(t *testing.T) {
		b := openOnPostgres(t, settings("JPY", pricing.PerDocument))
		rapid.Check(t, func(rt *rapid.T) { tell(b, rt) })
	})
}

// tell plays one story on a job of its own.
func tell(b *bench, rt *rapid.T) {
	m := newModel(b, rt)
	rt.Repeat(map[string]func(*rapid.T){
		"":              m.check,
		"find":          m.find,
		"draft":         m.draft,
		"draft again":   m.draft,
		"order option":  m.orderOption,
		"edit":          m.edit,
		"send":          m.send,
		"send again":    m.send,
		"preview":       m.preview,
		"approve":       m.approve,
		"approve again": m.approve,
		"decline":       m.decline,
		"record":        m.record,
		"race":          m.race,
		"withdraw":      m.withdraw,
		"time passes":   m.pass,
	})
	m.worked(rt)
}

// told is an order as the model knows it.
type told struct {
	id      domain.ID
	state   domain.OrderState // never expired: that follows from the clock
	expires time.Time
	items   []domain.OrderItem
	sent    bool
	amount  decimal.Decimal // once approved
	names   []string        // of tasks of the approved options
}

func (o *told) String() string { return fmt.Sprintf("order %s, %s", o.id, o.state) }

// model is what must be true of a job, worked out apart from the program: by
// names and sums only.
type model struct {
	b        *bench
	job      domain.ID
	quote    domain.Quote
	sold     bool
	promise  domain.Day
	zone     domain.ID
	orders   []*told
	findings map[domain.ID]domain.FindingState
	holder   map[domain.ID]domain.ID // finding to order
	hours    map[string]string       // authorised task by name to its hours
	made     int                     // names so far
	options  []domain.ID             // of the quote
	took     []domain.ID             // with the quote
	later    []domain.ID             // with an order
	grouped  []domain.ID             // that exclude each other
}

func newModel(b *bench, rt *rapid.T) *model {
	m := &model{b: b, findings: map[domain.ID]domain.FindingState{}, holder: map[domain.ID]domain.ID{}, hours: map[string]string{}, zone: b.id()}
	p := b.job(b.template)
	m.job = p.Job.ID
	err := b.store.Update(b.t.Context(), b.shop, func(tx app.Tx) error {
		return tx.AddZones([]domain.Zone{{ID: m.zone, JobID: m.job, Code: "L1", Name: "Left rail", Kind: domain.Rail, Side: domain.LeftSide,
			Section: domain.Section{Shape: "box", WidthMM: 100, HeightMM: 50, ThicknessMM: dec("3")}, AreaM2: dec("0.3"), LengthMM: 1000, VisiblePercent: 50}})
	})
	m.must(rt, "laying the frame", err)
	// Before the sale nothing is ordered.
	_, err = b.app.AddOrder(b.t.Context(), b.owner, m.job, b.key(), app.OrderDraft{Kind: domain.FromClientWish, Title: "Too early", Reason: "r", Items: []domain.OrderItem{m.item(rt, p, nil)}})
	m.code(rt, "drafting before the sale", err, "job-not-in-work")
	m.quote = m.sell(rt, p)
	page := b.page(m.job)
	m.sold, m.promise = true, page.Job.Promise
	for _, x := range page.Estimate.Tasks {
		m.hours[x.Name] = x.Hours.Mean().StringFixed(2)
	}
	return m
}

// sell quotes the job with options, each with work, a lag and a line of its own,
// and has the client take some of them.
func (m *model) sell(rt *rapid.T, p app.JobPage) domain.Quote {
	b, ctx := m.b, m.b.t.Context()
	var err error
	for i := range rapid.IntRange(0, 3).Draw(rt, "options") {
		o := domain.Option{Name: fmt.Sprintf("Option %d", i), Group: rapid.SampledFrom([]string{"", "Rail"}).Draw(rt, "group"), Taken: rapid.Bool().Draw(rt, "advised"),
			Points: []domain.PointEffect{{ItemKey: "frame", Originality: dec("-0.5"), Condition: dec("0.75")}, {ItemKey: "mounts", Condition: dec("1")}}}
		p, err = b.app.AddOption(ctx, b.owner, m.job, made(p), o)
		m.must(rt, "adding an option", err)
		o = p.All.Options[len(p.All.Options)-1]
		weld, phase := taskCalled(b.t, p, "B10"), p.All.Phases[1].ID
		for k := range rapid.IntRange(0, 2).Draw(rt, "tasks of it") {
			code := fmt.Sprintf("X%d%d", i, k)
			p, err = b.app.AddTask(ctx, b.owner, m.job, made(p), domain.Task{PhaseID: phase, Code: code, Name: "Work of option " + code, Kind: domain.Work,
				Hours: rapid.SampledFrom(smallHours).Draw(rt, "hours"), Skill: "welder", Crew: 1, Cautions: []string{}, TaxClass: pricing.FabricationLabour, OptionID: o.ID}, nil, nil)
			m.must(rt, "adding its task", err)
			x := p.All.Tasks[slices.IndexFunc(p.All.Tasks, func(x domain.Task) bool { return x.Code == code })]
			l := domain.Link{FromID: taskCalled(b.t, p, "A20").ID, ToID: x.ID, Type: network.FS, LagHours: dec(rapid.SampledFrom([]string{"0", "6"}).Draw(rt, "lag")), LagKind: calendar.Working}
			p, err = b.app.AddTaskLink(ctx, b.owner, m.job, made(p), l)
			m.must(rt, "linking it", err)
			p, err = b.app.AddTaskLink(ctx, b.owner, m.job, made(p), domain.Link{FromID: x.ID, ToID: weld.ID, Type: rapid.SampledFrom([]network.LinkType{network.FS, network.FF}).Draw(rt, "type"), LagHours: dec("0"), LagKind: calendar.Working})
			m.must(rt, "linking the weld", err)
		}
		p, err = b.app.AddLine(ctx, b.owner, m.job, made(p), domain.Line{PhaseID: phase, Kind: pricing.Fee, Description: fmt.Sprintf("Line of option %d", i), Quantity: dec("1.5"), Unit: "lot",
			UnitCost: dec(rapid.SampledFrom([]string{"7.777", "49.5"}).Draw(rt, "cost")), TaxClass: pricing.Part, OptionID: o.ID})
		m.must(rt, "adding its line", err)
	}
	q := b.issue(p)
	if len(p.All.Options) == 0 {
		return b.accept(q)
	}
	chosen := pick(rt, p.All.Options)
	s, err := b.app.PreviewQuote(ctx, b.client, q.ID, chosen)
	m.must(rt, "previewing", err)
	q, err = b.app.DecideQuote(ctx, b.client, q.ID, b.key(), app.PortalDecision{Accepted: true, Name: "Sorei Vantesse", Signature: "Sorei Vantesse",
		DocumentHash: q.DocumentHash, OptionIDs: chosen, Amount: &s.Total, Finish: s.Offer.Finish})
	m.must(rt, "accepting", err)
	q.Total = s.Total
	for _, o := range p.All.Options {
		m.options = append(m.options, o.ID)
		if slices.Contains(chosen, o.ID) {
			m.took = append(m.took, o.ID)
		}
		if o.Group != "" {
			m.grouped = append(m.grouped, o.ID)
		}
	}
	return q
}

// orderOption drafts an order from an option: refused when the client took it with
// the quote or with an order, and while another order holds it.
func (m *model) orderOption(rt *rapid.T) {
	if len(m.options) == 0 {
		rt.Skip("no option")
	}
	id := rapid.SampledFrom(m.options).Draw(rt, "option")
	p, err := m.b.app.OrderOption(m.b.t.Context(), m.b.owner, m.job, id, m.b.key())
	in := func(o *told) bool {
		state := m.state(o)
		return (state == domain.OrderDraft || state == domain.OrderSent) && slices.ContainsFunc(o.items, func(i domain.OrderItem) bool { return i.Options[0].TakesOption == id })
	}
	inGroup := slices.Contains(m.grouped, id) && slices.ContainsFunc(m.later, func(x domain.ID) bool { return slices.Contains(m.grouped, x) })
	switch {
	case slices.Contains(m.took, id), slices.Contains(m.later, id), inGroup:
		m.code(rt, "ordering what was taken", err, "option-taken")
		return
	case slices.ContainsFunc(m.orders, in):
		m.code(rt, "ordering what is in an order", err, "option-in-order")
		return
	}
	m.must(rt, "drafting from an option", err)
	gains := domain.PointEffect{Originality: dec("-0.5"), Condition: dec("1.75")}
	if slices.Contains(m.grouped, id) {
		gains = domain.PointEffect{} // the one that it replaces gains as much
	}
	if got := p.Order.Items[0].Options[0]; got.TakesOption != id || !got.Originality.Equal(gains.Originality) || !got.Condition.Equal(gains.Condition) {
		rt.Fatalf("drafted %+v, want it to bring in %s with %+v", got, id, gains)
	}
	m.orders = append(m.orders, &told{id: p.Order.ID, state: domain.OrderDraft, items: p.Order.Items})
}

func (m *model) must(rt *rapid.T, what string, err error) {
	if err != nil {
		rt.Fatalf("%s: %v", what, err)
	}
}

func (m *model) code(rt *rapid.T, what string, err error, code string) {
	if e := fault.As(err); e == nil || e.Code != code {
		rt.Fatalf("%s: got %v, want it refused with %s", what, err, code)
	}
}

// state is how an order reads now.
func (m *model) state(o *told) domain.OrderState {
	if o.state == domain.OrderSent && !m.b.now().Before(o.expires) {
		return domain.OrderExpired
	}
	return o.state
}

func (m *model) any(rt *rapid.T) *told {
	if len(m.orders) == 0 {
		rt.Skip("no order yet")
	}
	return rapid.SampledFrom(m.orders).Draw(rt, "order")
}

func (m *model) find(rt *rapid.T) {
	f := domain.Finding{ID: m.b.id(), JobID: m.job, Version: 1, ZoneID: m.zone, What: domain.FoundRust, Count: 1, PhotoIDs: []domain.ID{}, Repairs: []string{},
		State: domain.FindingReported, By: m.b.marik.PersonID, ByName: "Marik Oldane", At: m.b.now()}
	err := m.b.store.Update(m.b.t.Context(), m.b.shop, func(tx app.Tx) (err error) {
		if f.Number, err = tx.NextFindingNumber(m.job); err != nil {
			return err
		}
		return tx.AddFinding(f)
	})
	m.must(rt, "finding", err)
	m.findings[f.ID] = f.State
}

// free lists the findings that an order may hold, in a settled order.
func (m *model) free(o *told) []domain.ID {
	var out []domain.ID
	for _, id := range slices.Sorted(maps.Keys(m.findings)) {
		state := m.findings[id]
		if state == domain.FindingReported || state == domain.FindingDeclined || o != nil && state == domain.FindingGathered && m.holder[id] == o.id {
			out = append(out, id)
		}
	}
	return out
}

var smallHours = []domain.ThreePoint{hours("1", "2", "3"), hours("0.35", "0.5", "1.21"), hours("6", "8", "13.37")}

func (m *model) option(rt *rapid.T, key string, p app.JobPage) domain.OrderOption {
	sold := []domain.Task{}
	for _, x := range p.Estimate.Tasks {
		if x.Scope == domain.Authorised && x.Kind == domain.Work && x.Code != "A10" {
			sold = append(sold, x)
		}
	}
	o := domain.OrderOption{Key: key, Name: "Option " + key, Originality: dec("0.25")}
	for i := range rapid.IntRange(0, 2).Draw(rt, "tasks") {
		m.made++
		x := domain.OrderTask{Key: fmt.Sprintf("t%d", i), PhaseID: p.Estimate.Phases[1].ID, Name: fmt.Sprintf("Work %d", m.made), Kind: domain.Work,
			Hours: rapid.SampledFrom(smallHours).Draw(rt, "hours"), Skill: "welder", Crew: 1, TaxClass: pricing.FabricationLabour}
		if len(sold) > 0 && rapid.Bool().Draw(rt, "follows") {
			x.After = []string{rapid.SampledFrom(sold).Draw(rt, "after").ID}
		}
		if len(sold) > 0 && rapid.Bool().Draw(rt, "precedes") {
			x.Before = []string{rapid.SampledFrom(sold).Draw(rt, "before").ID}
		}
		o.Tasks = append(o.Tasks, x)
	}
	if len(sold) > 0 && rapid.IntRange(0, 2).Draw(rt, "changes hours") == 0 {
		o.HoursChanges = []domain.HoursChange{{TaskID: rapid.SampledFrom(sold).Draw(rt, "changed").ID, Hours: rapid.SampledFrom(smallHours).Draw(rt, "to")}}
	}
	if len(sold) > 0 && rapid.IntRange(0, 4).Draw(rt, "removes") == 0 {
		id := rapid.SampledFrom(sold).Draw(rt, "removed").ID
		if len(o.HoursChanges) == 0 || o.HoursChanges[0].TaskID != id {
			o.RemovesTasks = []domain.ID{id}
		}
	}
	if rapid.Bool().Draw(rt, "buys") {
		o.Lines = []domain.OrderLine{{PhaseID: p.Estimate.Phases[1].ID, Kind: rapid.SampledFrom([]pricing.Kind{pricing.Fee, pricing.Credit, pricing.Allowance}).Draw(rt, "kind"),
			Description: "Something", Quantity: dec("3.333"), Unit: "lot", UnitCost: dec(rapid.SampledFrom([]string{"0", "7.777", "49.5"}).Draw(rt, "cost")), TaxClass: pricing.Part}}
	}
	return o
}

func (m *model) item(rt *rapid.T, p app.JobPage, findings []domain.ID) domain.OrderItem {
	m.made++
	item := domain.OrderItem{Key: fmt.Sprintf("i%d", m.made), Title: "Item", IfNot: fmt.Sprintf("What item %d leaves undone.", m.made), MayLeave: rapid.Bool().Draw(rt, "may leave"), FindingIDs: findings}
	for i := range rapid.IntRange(1, 2).Draw(rt, "options") {
		item.Options = append(item.Options, m.option(rt, fmt.Sprintf("o%d", i), p))
	}
	return item
}

func (m *model) content(rt *rapid.T, o *told) app.OrderDraft {
	p, free := m.b.page(m.job), m.free(o)
	d := app.OrderDraft{Kind: domain.FromFinding, Title: "An order", Reason: "Because."}
	for range rapid.IntRange(1, 2).Draw(rt, "items") {
		n := rapid.IntRange(0, len(free)).Draw(rt, "findings")
		d.Items = append(d.Items, m.item(rt, p, free[:n:n]))
		free = free[n:]
	}
	return d
}

func (m *model) draft(rt *rapid.T) {
	d := m.content(rt, nil)
	p, err := m.b.app.AddOrder(m.b.t.Context(), m.b.owner, m.job, m.b.key(), d)
	m.must(rt, "drafting", err)
	o := &told{id: p.Order.ID, state: domain.OrderDraft, items: d.Items}
	m.orders = append(m.orders, o)
	m.hold(o, d.Items)
}

func (m *model) hold(o *told, items []domain.OrderItem) {
	for id, holder := range m.holder {
		if holder == o.id {
			m.findings[id] = domain.FindingReported
			delete(m.holder, id)
		}
	}
	o.items = items
	for _, item := range items {
		for _, id := range item.FindingIDs {
			m.findings[id], m.holder[id] = domain.FindingGathered, o.id
		}
	}
}

func (m *model) read(rt *rapid.T, o *told) app.OrderPage {
	p, err := m.b.app.Order(m.b.t.Context(), m.b.owner, o.id)
	m.must(rt, "reading", err)
	return p
}

func (m *model) edit(rt *rapid.T) {
	o := m.any(rt)
	p := m.read(rt, o)
	made := orderMade(p)
	d := m.content(rt, o)
	stale := rapid.IntRange(0, 3).Draw(rt, "stale") == 0
	if stale {
		made.Version++
	}
	_, err := m.b.app.ChangeOrder(m.b.t.Context(), m.b.owner, o.id, made, d)
	switch {
	case stale:
		m.code(rt, "editing another version", err, "stale-edit")
	case m.state(o) != domain.OrderDraft:
		m.code(rt, "editing what is "+string(m.state(o)), err, "order-not-draft")
	default:
		m.must(rt, "editing", err)
		m.hold(o, d.Items)
	}
}

func (m *model) send(rt *rapid.T) {
	o := m.any(rt)
	p := m.read(rt, o)
	days := rapid.IntRange(1, 4).Draw(rt, "days")
	sent, err := m.b.app.SendOrder(m.b.t.Context(), m.b.owner, o.id, orderMade(p), m.b.key(), days)
	switch {
	case m.state(o) != domain.OrderDraft:
		m.code(rt, "sending what is "+string(m.state(o)), err, "order-not-draft")
	case p.Order.Effect.Contradiction != nil:
		m.code(rt, "sending a contradiction", err, "order-contradiction")
	default:
		m.must(rt, "sending", err)
		now := m.b.now()
		o.sent = true
		o.state, o.expires = domain.OrderSent, time.Date(now.Year(), now.Month(), now.Day()+days+1, 0, 0, 0, 0, time.UTC)
		if sent.Order.DocumentHash == "" || sent.Order.Revision != 1 {
			rt.Fatalf("sent without a document: %+v", sent.Order)
		}
		for id, holder := range m.holder {
			if holder == o.id {
				m.findings[id] = domain.FindingSent
			}
		}
	}
}

func (m *model) choices(rt *rapid.T, o *told) []domain.Choice {
	var out []domain.Choice
	for _, item := range o.items {
		keys := []string{""}
		if !item.MayLeave {
			keys = nil
		}
		for _, option := range item.Options {
			keys = append(keys, option.Key)
		}
		out = append(out, domain.Choice{ItemKey: item.Key, OptionKey: rapid.SampledFrom(keys).Draw(rt, "choice")})
	}
	return out
}

func (m *model) preview(rt *rapid.T) {
	o := m.any(rt)
	effect, err := m.b.app.PreviewOrder(m.b.t.Context(), m.b.owner, o.id, m.choices(rt, o))
	switch m.state(o) {
	case domain.OrderDraft, domain.OrderSent:
		m.must(rt, "previewing", err)
		if !effect.Amount.Equal(effect.Net.Add(effect.Tax)) {
			rt.Fatalf("%s and %s do not add up to %s", effect.Net, effect.Tax, effect.Amount)
		}
	default:
		m.code(rt, "previewing what is "+string(m.state(o)), err, "order-over")
	}
}

// closed is the code with which a decision on an order is refused, "" when it is
// with the client.
func (m *model) closed(o *told) string {
	return map[domain.OrderState]string{domain.OrderDraft: "order-not-sent", domain.OrderExpired: "order-expired", domain.OrderApproved: "order-decided",
		domain.OrderDeclined: "order-decided", domain.OrderWithdrawn: "order-withdrawn"}[m.state(o)]
}

// says reads the effect of choices and repeats it.
func (m *model) says(rt *rapid.T, o *told, choices []domain.Choice) (app.PortalOrderDecision, domain.OrderEffect) {
	p := m.read(rt, o)
	d := app.PortalOrderDecision{Approved: true, Name: "Sorei Vantesse", Signature: "Sorei Vantesse", DocumentHash: p.Order.DocumentHash, Choices: choices, Reason: "Not now.", PromiseAfter: m.promise}
	if m.state(o) != domain.OrderSent {
		return d, domain.OrderEffect{}
	}
	e, err := m.b.app.PreviewClientOrder(m.b.t.Context(), m.b.client, o.id, choices)
	m.must(rt, "reading the effect", err)
	d.Amount = e.Amount
	if e.Contradiction == nil {
		d.PromiseAfter = e.Dates.PromiseAfter
	}
	return d, e
}

func (m *model) approve(rt *rapid.T) {
	o := m.any(rt)
	if !o.sent { // the client does not see it at all
		_, err := m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, m.b.key(), app.PortalOrderDecision{Approved: true})
		m.code(rt, "approving what was never sent", err, "not-found")
		return
	}
	choices := m.choices(rt, o)
	d, e := m.says(rt, o, choices)
	if m.closed(o) == "" && e.Contradiction == nil && !domain.LeavesAll(choices) {
		wrong := d
		wrong.Amount = d.Amount.Add(dec("0.01"))
		_, err := m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, m.b.key(), wrong)
		m.code(rt, "approving another amount", err, "effect-moved")
		wrong = d
		wrong.DocumentHash = "another"
		_, err = m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, m.b.key(), wrong)
		m.code(rt, "approving another document", err, "another-document")
	}
	key := m.b.key()
	_, err := m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, key, d)
	switch {
	case m.closed(o) != "":
		m.code(rt, "approving what is "+string(m.state(o)), err, m.closed(o))
		return
	case domain.LeavesAll(choices):
		m.must(rt, "leaving everything", err)
		m.declined(o)
	case e.Contradiction != nil:
		m.code(rt, "approving a contradiction", err, "order-contradiction")
		return
	default:
		m.must(rt, "approving", err)
		m.approved(rt, o, choices, e)
	}
	_, err = m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, key, d)
	m.must(rt, "the same key again", err)
	_, err = m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, m.b.key(), d)
	m.code(rt, "deciding twice", err, "order-decided")
}

func (m *model) declined(o *told) {
	o.state = domain.OrderDeclined
	for id, holder := range m.holder {
		if holder == o.id {
			m.findings[id] = domain.FindingDeclined
		}
	}
	m.let(o)
}

// let forgets who holds findings that a decided order has settled, so that a
// declined one may be proposed again.
func (m *model) let(o *told) {
	maps.DeleteFunc(m.holder, func(_, holder domain.ID) bool { return holder == o.id })
}

// approved carries choices out on the model.
func (m *model) approved(rt *rapid.T, o *told, choices []domain.Choice, e domain.OrderEffect) {
	o.state, o.amount = domain.OrderApproved, e.Amount
	names := m.namesByID(rt)
	for i, item := range o.items {
		state := domain.FindingDeclined
		for _, option := range item.Options {
			if option.Key != choices[i].OptionKey {
				continue
			}
			state = domain.FindingApproved
			if option.TakesOption != "" {
				m.later = append(m.later, option.TakesOption)
			}
			for _, x := range option.Tasks {
				m.hours[x.Name] = x.Hours.Mean().StringFixed(2)
				o.names = append(o.names, x.Name)
			}
			for _, h := range option.HoursChanges {
				m.hours[names[h.TaskID]] = h.Hours.Mean().StringFixed(2)
			}
			for _, id := range option.RemovesTasks {
				delete(m.hours, names[id])
			}
		}
		for _, id := range item.FindingIDs {
			m.findings[id] = state
		}
	}
	m.let(o)
	if e.Dates.PromiseAfter < m.promise {
		rt.Fatalf("the promise came forward from %s to %s", m.promise, e.Dates.PromiseAfter)
	}
	m.promise = e.Dates.PromiseAfter
}

// namesByID asks the store for removed tasks too.
func (m *model) namesByID(rt *rapid.T) map[domain.ID]string {
	out := map[domain.ID]string{}
	var ids []domain.ID
	for _, o := range m.orders {
		for _, item := range o.items {
			for _, option := range item.Options {
				ids = append(ids, option.RemovesTasks...)
				for _, h := range option.HoursChanges {
					ids = append(ids, h.TaskID)
				}
			}
		}
	}
	err := m.b.store.View(m.b.t.Context(), m.b.shop, func(r app.Reader) error {
		names, err := r.TaskNames(ids)
		for id, n := range names {
			out[id] = n.Name
		}
		return err
	})
	m.must(rt, "names", err)
	return out
}

func (m *model) decline(rt *rapid.T) {
	o := m.any(rt)
	if !o.sent {
		rt.Skip("the client does not see it")
	}
	d, _ := m.says(rt, o, nil)
	d.Approved = false
	_, err := m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, m.b.key(), d)
	if code := m.closed(o); code != "" {
		m.code(rt, "declining what is "+string(m.state(o)), err, code)
		return
	}
	m.must(rt, "declining", err)
	m.declined(o)
}

// record is a decision by telephone.
func (m *model) record(rt *rapid.T) {
	o := m.any(rt)
	choices := m.choices(rt, o)
	d := domain.OrderDecision{Approved: true, How: domain.ByTelephone, Name: "Sorei Vantesse", Contact: "+00 555 0101", Said: "Yes.", DecidedAt: m.b.now(), Choices: choices,
		AddedParts: "as listed", AddedLabour: "as listed"}
	var e domain.OrderEffect
	if m.state(o) == domain.OrderSent {
		var err error
		e, err = m.b.app.PreviewOrder(m.b.t.Context(), m.b.owner, o.id, choices)
		m.must(rt, "reading the effect", err)
		d.Amount, d.RevisedTotal = e.Amount, e.AuthorisedBefore.Add(e.Amount)
	}
	_, err := m.b.app.RecordOrderDecision(m.b.t.Context(), m.b.owner, o.id, m.b.key(), d)
	switch {
	case m.closed(o) != "":
		m.code(rt, "recording on what is "+string(m.state(o)), err, m.closed(o))
	case domain.LeavesAll(choices):
		m.must(rt, "recording that all is left", err)
		m.declined(o)
	case e.Contradiction != nil:
		m.code(rt, "recording a contradiction", err, "order-contradiction")
	default:
		m.must(rt, "recording", err)
		m.approved(rt, o, choices, e)
	}
}

// race has two people act on one order at one time: exactly one of them counts.
func (m *model) race(rt *rapid.T) {
	o := m.any(rt)
	if m.state(o) != domain.OrderSent {
		rt.Skip("nothing to race for")
	}
	first, second := m.choices(rt, o), m.choices(rt, o)
	d1, e1 := m.says(rt, o, first)
	d2, e2 := m.says(rt, o, second)
	if e1.Contradiction != nil || e2.Contradiction != nil || domain.LeavesAll(first) || domain.LeavesAll(second) {
		rt.Skip("not both can be approved")
	}
	withdraws := rapid.Bool().Draw(rt, "the shop withdraws meanwhile")
	var errs [2]error
	var together sync.WaitGroup
	together.Add(2)
	k1, k2 := m.b.key(), m.b.key()
	go func() {
		defer together.Done()
		_, errs[0] = m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, k1, d1)
	}()
	go func() {
		defer together.Done()
		if withdraws {
			_, errs[1] = m.b.app.WithdrawOrder(m.b.t.Context(), m.b.owner, o.id, k2, "Measured again.")
			return
		}
		_, errs[1] = m.b.app.DecideOrder(m.b.t.Context(), m.b.client, o.id, k2, d2)
	}()
	together.Wait()
	switch {
	case errs[0] == nil:
		m.code(rt, "the second of two", errs[1], "order-decided")
		m.approved(rt, o, first, e1)
	case withdraws:
		m.must(rt, "the withdrawal", errs[1])
		m.code(rt, "a decision after the withdrawal", errs[0], "order-withdrawn")
		m.withdrawn(o)
	default:
		m.must(rt, "one of two", errs[1])
		m.code(rt, "the other of two", errs[0], "order-decided")
		m.approved(rt, o, second, e2)
	}
}

func (m *model) withdraw(rt *rapid.T) {
	o := m.any(rt)
	state := m.state(o)
	_, err := m.b.app.WithdrawOrder(m.b.t.Context(), m.b.owner, o.id, m.b.key(), "Measured again.")
	switch state {
	case domain.OrderApproved, domain.OrderDeclined:
		m.code(rt, "withdrawing what is "+string(state), err, "order-decided")
	case domain.OrderWithdrawn:
		m.code(rt, "withdrawing twice", err, "order-withdrawn")
	default:
		m.must(rt, "withdrawing", err)
		m.withdrawn(o)
	}
}

func (m *model) withdrawn(o *told) {
	o.state = domain.OrderWithdrawn
	for id, holder := range m.holder {
		if holder == o.id {
			m.findings[id] = domain.FindingReported
		}
	}
	m.let(o)
}

func (m *model) pass(rt *rapid.T) {
	m.b.pass(time.Duration(rapid.SampledFrom([]int{1, 7, 30, 100}).Draw(rt, "hours")) * time.Hour)
}

// check holds what is stored against the model.
func (m *model) check(rt *rapid.T) {
	p := m.b.page(m.job)
	want := m.quote.Total
	for _, o := range m.orders {
		want = want.Add(o.amount)
	}
	if !p.Job.AuthorisedAmount.Equal(want) {
		rt.Fatalf("authorised %s, want the quote's %s and the approved orders: %s", p.Job.AuthorisedAmount, m.quote.Total, want)
	}
	if p.Job.Promise != m.promise {
		rt.Fatalf("promised %s, want %s", p.Job.Promise, m.promise)
	}
	m.checkWork(rt, p)
	pages, err := m.b.app.Orders(m.b.t.Context(), m.b.owner, m.job)
	m.must(rt, "listing", err)
	if len(pages) != len(m.orders) {
		rt.Fatalf("%d orders, want %d", len(pages), len(m.orders))
	}
	for i, o := range m.orders {
		got := pages[len(pages)-1-i].Order
		if got.ID != o.id || got.StateAt(m.b.now()) != m.state(o) || got.Number != i+1 || (got.Decision != nil) != (o.state == domain.OrderApproved || o.state == domain.OrderDeclined) {
			rt.Fatalf("order %d is %s %v, want %s", got.Number, got.StateAt(m.b.now()), got.Decision, m.state(o))
		}
		if o.state == domain.OrderApproved && !got.Decision.Amount.Equal(o.amount) {
			rt.Fatalf("order %d was approved at %s, want %s", got.Number, got.Decision.Amount, o.amount)
		}
	}
	m.checkFindings(rt)
	m.checkOptions(rt, p)
}

// checkOptions: the options stand as the quote left them, and the approved orders
// say which came in later, each once.
func (m *model) checkOptions(rt *rapid.T, p app.JobPage) {
	for _, o := range p.All.Options {
		if o.Taken != slices.Contains(m.took, o.ID) {
			rt.Fatalf("%s reads as taken with the quote: %v", o.Name, o.Taken)
		}
	}
	c, err := m.b.app.CompareOptions(m.b.t.Context(), m.b.owner, m.job, nil, false)
	m.must(rt, "comparing", err)
	came := []domain.ID{}
	for _, o := range c.Ordered {
		if o.State == domain.OrderApproved {
			came = append(came, o.OptionID)
		}
	}
	slices.Sort(came)
	if want := slices.Sorted(slices.Values(m.later)); !slices.Equal(came, want) {
		rt.Fatalf("options %v came in by orders, want %v", came, want)
	}
}

// checkWork: the tasks are what was agreed, each once, with a baseline of the
// agreed hours; nothing else has one.
func (m *model) checkWork(rt *rapid.T, p app.JobPage) {
	left := maps.Clone(m.hours)
	for _, x := range p.Estimate.Tasks {
		h, ok := left[x.Name]
		if !ok || x.Scope != domain.Authorised {
			rt.Fatalf("task %q is there once too often or unagreed (%s)", x.Name, x.Scope)
		}
		delete(left, x.Name)
		b, planned := p.Baseline[x.ID]
		if !planned || b.Hours.StringFixed(2) != h || x.Hours.Mean().StringFixed(2) != h || b.Finish.Before(b.Start) {
			rt.Fatalf("task %q has %s h and the baseline %+v, want %s h", x.Name, x.Hours.Mean(), b, h)
		}
	}
	if len(left) > 0 || len(p.Baseline) != len(m.hours) {
		rt.Fatalf("tasks %v are missing; %d baselines for %d tasks", left, len(p.Baseline), len(m.hours))
	}
}

func (m *model) checkFindings(rt *rapid.T) {
	err := m.b.store.View(m.b.t.Context(), m.b.shop, func(r app.Reader) error {
		all, err := r.Findings(m.job)
		if len(all) != len(m.findings) {
			rt.Fatalf("%d findings, want %d", len(all), len(m.findings))
		}
		for _, f := range all {
			if f.State != m.findings[f.ID] {
				rt.Fatalf("finding %d is %s, want %s", f.Number, f.State, m.findings[f.ID])
			}
			if holder := m.holder[f.ID]; holder != "" && f.OrderID != holder {
				rt.Fatalf("finding %d is in order %q, want %q", f.Number, f.OrderID, holder)
			}
			if f.State == domain.FindingDeclined && f.StateReason == "" {
				rt.Fatalf("finding %d was declined without saying what that means", f.Number)
			}
		}
		return err
	})
	m.must(rt, "reading findings", err)
}

// worked logs time on every task that an approved order brought, once the gate
// is released: it is open for hours.
func (m *model) worked(rt *rapid.T) {
	p := m.b.page(m.job)
	if gate := taskCalled(m.b.t, p, "A20"); gate.ReleasedAt == nil {
		_, err := m.b.app.ReleaseHold(m.b.t.Context(), m.b.owner, m.job, gate.ID, m.b.key(), "Looked at.")
		m.must(rt, "releasing the gate", err)
	}
	for _, o := range m.orders {
		for _, name := range o.names {
			i := slices.IndexFunc(p.Estimate.Tasks, func(x domain.Task) bool { return x.Name == name })
			if i < 0 {
				continue // left out again by a later order
			}
			m.b.pass(time.Hour)
			_, err := m.b.app.LogHours(m.b.t.Context(), m.b.marik, m.b.key(), app.Log{On: app.Target{TaskID: p.Estimate.Tasks[i].ID},
				StartedAt: m.b.now().Add(-30 * time.Minute), FinishedAt: m.b.now()})
			m.must(rt, "working on "+name, err)
		}
	}
}
