package app

import (
	"context"
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/points"
	"bareframe/internal/policy"
)

// mostNet is the most that an option can cost the search.
var mostNet = decimal.NewFromInt(999_999_999)

// pointsNodes bounds the search for the best set of a page, frontier included:
// some tens of milliseconds at the worst. What it did not show is said.
const pointsNodes = 20_000

// PointsPage is a job on its judging sheet: the deduction expected as found,
// after the work in force, and what each option buys.
type PointsPage struct {
	Job       domain.Job
	Sheet     *domain.Sheet // the version that the job is judged by; nil: none was chosen
	Newest    int           // version of it
	Found     points.Result // as found
	After     points.Result // after the work in force that belongs to no option
	Taken     points.SetResult
	Zones     []domain.Zone
	Findings  []domain.Finding
	PutRight  []PutRightBy
	Entered   []Entered
	Unmatched []domain.Finding
	Options   []OptionPoints
	Budget    string
	Decided   bool                             // the options were decided on with the quote
	TakenBy   map[domain.ID]domain.ChangeOrder // options that came in by approved orders
	AsFound   Deduction
	WithWork  Deduction
}

// Deduction is a sum of deductions, with what the shop entered.
type Deduction struct{ Originality, Condition decimal.Decimal }

// Total returns both together.
func (d Deduction) Total() decimal.Decimal { return d.Originality.Add(d.Condition) }

// OptionPoints is what an option costs and buys.
type OptionPoints struct {
	domain.Option
	Net    decimal.Decimal     // of its own tasks and lines, before tax
	Result points.OptionResult // by itself, on top of the work that belongs to no option
	// Against is this option instead of the taken one of its group; of an extra,
	// taking it, or leaving it where it is taken.
	AgainstNet          decimal.Decimal
	AgainstOriginality  points.Points
	AgainstCondition    points.Points
	AgainstCostPerPoint *money.Amount // when it buys points and costs more
}

// JobPoints returns a job on its sheet, to the owner. The budget bounds the net
// of the options in the best set; empty is no bound.
func (a *App) JobPoints(ctx context.Context, actor domain.Actor, jobID domain.ID, budget string) (out PointsPage, err error) {
	err = a.view(ctx, actor, "getJobPoints", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		out, err = a.pointsOf(ctx, r, job, budget)
		return err
	})
	return out, err
}

// ClientPoints returns one of the actor's own jobs on its sheet. Before there was
// a quote there is no work to reckon with.
func (a *App) ClientPoints(ctx context.Context, actor domain.Actor, jobID domain.ID) (out PointsPage, quoted bool, err error) {
	err = a.view(ctx, actor, "getClientPoints", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		if err := policy.AllowOn(actor, "getClientPoints", policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
			return err
		}
		quotes, err := r.Quotes([]domain.ID{jobID})
		if err != nil {
			return err
		}
		quoted = job.Sold()
		for _, q := range quotes[jobID] {
			quoted = quoted || q.StateAt(a.now()) == domain.QuoteOpen
		}
		out, err = a.pointsOf(ctx, r, job, "")
		return err
	})
	return out, quoted, err
}

func (a *App) pointsOf(ctx context.Context, r Reader, job domain.Job, budget string) (PointsPage, error) {
	p := PointsPage{Job: job, Budget: budget, Decided: job.Sold()}
	currency, err := money.ParseCurrency(job.Currency)
	if err != nil {
		return p, err
	}
	if b, err := money.Parse(orNought(budget), currency); err != nil || b.Sign() < 0 {
		return p, fault.InvalidField("budget-not-readable", "/query/budget", "A budget is an amount in %s that is not negative, with no more places than the currency has.", job.Currency)
	}
	if job.SheetID == "" {
		return p, nil
	}
	j, all, err := a.judgingOf(r, &p)
	if err != nil {
		return p, err
	}
	j.judge()
	if err := a.optionPoints(ctx, r, &p, j, all); err != nil {
		return p, err
	}
	p.PutRight, p.Entered, p.Unmatched = j.putRight, j.entered, j.unmatched
	p.sum()
	return p, nil
}

// pointsAsFound is the deduction expected as found, nil without a sheet.
func (a *App) pointsAsFound(r Reader, job domain.Job) (*decimal.Decimal, error) {
	if job.SheetID == "" {
		return nil, nil
	}
	p := PointsPage{Job: job}
	j, _, err := a.judgingOf(r, &p)
	if err != nil {
		return nil, err
	}
	j.judge()
	p.Entered = j.entered
	if p.Found, err = points.Calculate(points.Input{Currency: job.Currency, Sheet: j.sheet, Zones: j.zones, Seen: j.seen}); err != nil {
		return nil, err
	}
	p.sum()
	total := p.AsFound.Total()
	return &total, nil
}

func orNought(s string) string {
	if s == "" {
		return "0"
	}
	return s
}

// judgingOf loads what the sheet is reckoned on, and the whole estimate.
func (a *App) judgingOf(r Reader, p *PointsPage) (*judging, domain.Estimate, error) {
	j := &judging{right: a.putRight}
	var whole domain.Estimate
	sheet, err := r.Sheet(p.Job.SheetID, p.Job.SheetVersion)
	if err != nil {
		return j, whole, err
	}
	newest, err := r.Sheet(p.Job.SheetID, 0)
	if err != nil {
		return j, whole, err
	}
	p.Sheet, p.Newest, j.sheet = &sheet, newest.Version, sheet.Plan
	both, err := a.estimatesOf(r, []domain.Job{p.Job})
	if err != nil {
		return j, whole, err
	}
	j.e, whole = both[p.Job.ID].inForce, both[p.Job.ID].whole
	j.page.Job = p.Job
	if j.page.Zones, err = r.Zones(p.Job.ID); err != nil {
		return j, whole, err
	}
	if j.page.Observations, err = r.Observations(p.Job.ID); err != nil {
		return j, whole, err
	}
	if j.page.Findings, err = r.Findings(p.Job.ID); err != nil {
		return j, whole, err
	}
	orders, err := r.Orders([]domain.ID{p.Job.ID})
	j.orders = orders[p.Job.ID]
	p.TakenBy = domain.TakenBy(j.orders)
	j.e, whole = workOfOptions(j.e, j.orders), whole.AfterOrders(p.TakenBy)
	p.Zones, p.Findings = j.page.Zones, j.page.Findings
	return j, whole, err
}

// optionPoints reckons the sheet as found and after the work, with every option.
func (a *App) optionPoints(ctx context.Context, r Reader, p *PointsPage, j *judging, all domain.Estimate) (err error) {
	in := points.Input{Currency: p.Job.Currency, Sheet: j.sheet, Zones: j.zones, Seen: j.seen, MaxNodes: pointsNodes}
	if p.Found, err = points.Compute(ctx, in); err != nil {
		return err
	}
	if p.Options, err = a.optionNets(r, p.Job, all); err != nil {
		return err
	}
	in.Zones, in.Seen = j.mended, j.left
	in.Frontier = !p.Decided && len(p.Options) > 0
	if in.Frontier {
		in.Budget = p.Budget
	}
	in.Options, in.Groups = j.choices(p.Options)
	in.Sets = [][]string{all.Taken()}
	for _, o := range p.Options {
		in.Sets = append(in.Sets, all.Toggled(o.ID))
	}
	if p.After, err = points.Compute(ctx, in); err != nil {
		return err
	}
	p.Taken = p.After.Sets[0]
	return p.against(all)
}

// optionNets prices what belongs to each option by itself.
func (a *App) optionNets(r Reader, job domain.Job, all domain.Estimate) ([]OptionPoints, error) {
	out := make([]OptionPoints, len(all.Options))
	if len(out) == 0 {
		return out, nil
	}
	shop, err := r.Shop()
	if err != nil {
		return nil, err
	}
	quotes, err := r.Quotes([]domain.ID{job.ID})
	if err != nil {
		return nil, err
	}
	c, err := a.choosingOf(JobPage{Shop: shop, Job: job, All: all, AsOf: a.now()}, basisOf(shop, job, quotes[job.ID], a.now()), nil)
	if err != nil {
		return nil, err
	}
	for i, o := range all.Options {
		row := domain.OfferOption{ID: o.ID}
		if err := c.content(&row, all); err != nil {
			return nil, err
		}
		out[i].Option = o
		if out[i].Net, err = decimal.NewFromString(row.Net); err != nil {
			return nil, err
		}
		out[i].Result.Hours = points.Hours(hundredthsOf(row.Hours))
	}
	return out, nil
}

func hundredthsOf(text string) int64 {
	d, err := decimal.NewFromString(text)
	if err != nil {
		return 0
	}
	return min(d.Shift(2).Round(0).IntPart(), 99_999_999) // the most that the engine reads
}

// choices are a job's options as the engine knows them. One that brings money back
// costs the search nothing, because no set may cost less than none.
func (j *judging) choices(options []OptionPoints) ([]points.Option, []points.Group) {
	out, groups, at := make([]points.Option, len(options)), []points.Group{}, map[string]int{}
	for i, o := range options {
		out[i] = points.Option{ID: o.ID, Name: o.Label(), Cost: decimal.Min(decimal.Max(o.Net, decimal.Zero), mostNet).String(), Hours: o.Result.Hours.String(), Effects: j.effects(o.Option)}
		if o.Group == "" {
			continue
		}
		g, known := at[o.Group]
		if !known {
			g = len(groups)
			at[o.Group] = g
			groups = append(groups, points.Group{ID: fmt.Sprintf("group %d", g+1), Name: o.Group, Choose: points.ExactlyOne})
		}
		groups[g].Options = append(groups[g].Options, o.ID)
	}
	return out, groups
}

// against says what each option changes against what is taken.
func (p *PointsPage) against(all domain.Estimate) error {
	nets := map[domain.ID]decimal.Decimal{}
	for _, o := range p.Options {
		nets[o.ID] = o.Net
	}
	sum := func(ids []domain.ID) (total decimal.Decimal) {
		for _, id := range ids {
			total = total.Add(nets[id])
		}
		return total
	}
	taken := sum(all.Taken())
	for i := range p.Options {
		o, then := &p.Options[i], p.After.Sets[i+1]
		o.Result = p.After.Options[i]
		o.AgainstNet = sum(all.Toggled(o.ID)).Sub(taken)
		o.AgainstOriginality = then.Bought.Originality - p.Taken.Bought.Originality
		o.AgainstCondition = then.Bought.Condition - p.Taken.Bought.Condition
		bought := o.AgainstOriginality + o.AgainstCondition
		if bought > 0 && o.AgainstNet.IsPositive() {
			each := money.RoundQuotient(o.AgainstNet, bought.Decimal(), p.After.Currency)
			o.AgainstCostPerPoint = &each
		}
	}
	return nil
}

// sum adds the sheet's deductions and the shop's own figures. What the shop
// entered as gained takes off no more than is there.
func (p *PointsPage) sum() {
	p.AsFound = Deduction{p.Found.AsFound.Originality.Decimal(), p.Found.AsFound.Condition.Decimal()}
	for _, item := range p.Taken.Items {
		p.WithWork.Originality = p.WithWork.Originality.Add(item.Deduction.Originality.Decimal())
		p.WithWork.Condition = p.WithWork.Condition.Add(item.Deduction.Condition.Decimal())
	}
	for _, e := range p.Entered {
		if e.AsFound {
			p.AsFound = p.AsFound.plus(e, 1)
		}
		switch {
		case !e.After:
		case e.Source == "finding":
			p.WithWork = p.WithWork.plus(e, 1)
		default:
			p.WithWork = p.WithWork.plus(e, -1)
		}
	}
	p.WithWork.Originality = decimal.Max(p.WithWork.Originality, decimal.Zero)
	p.WithWork.Condition = decimal.Max(p.WithWork.Condition, decimal.Zero)
}

func (d Deduction) plus(e Entered, sign int64) Deduction {
	s := decimal.NewFromInt(sign)
	return Deduction{d.Originality.Add(e.Originality.Mul(s)), d.Condition.Add(e.Condition.Mul(s))}
}

// Sentence says in one sentence what the sheet expects; with work, after it too.
func (p PointsPage) Sentence(work bool) string {
	if p.Sheet == nil {
		return "No judging sheet was chosen for this car yet."
	}
	maximum := p.Found.Maximum.Total()
	found := fmt.Sprintf("On the sheet %q the car would be expected to lose %s of %s points as found", p.Sheet.Plan.Name, p.AsFound.Total().StringFixed(2), maximum)
	if !work {
		return found + "."
	}
	return found + fmt.Sprintf(", and %s after the work.", p.WithWork.Total().StringFixed(2))
}
