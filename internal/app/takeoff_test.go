package app_test

import (
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
	"bareframe/internal/takeoff"
)

// looking makes a quarter hour a zone, patching an hour and half an hour a patch on
// perforated steel, and 50 m of tube for a square metre of patch.
func looking() *method.List {
	holed := method.For{Conditions: []method.Condition{method.Perforated}}
	return &method.List{
		Methods: []method.Method{{Stage: method.Repair, Key: "weld", Name: "Welded in"}, {Stage: method.Repair, Key: "bond", Name: "Bonded in"}},
		Rules: []method.Rule{
			{Key: "look", Name: "Look", Stage: method.Repair, Makes: method.Hours, Task: "B10", Unit: "h", Each: "0.25", Source: "test"},
			{Key: "patch", Name: "Patch", Stage: method.Repair, Makes: method.Hours, Task: "B10", Unit: "h", For: holed, Each: "1",
				Parts: []method.Part{{Factors: []method.Factor{{Of: "patch_count"}, {Times: "0.5", Unit: "h/pc"}}}}, Spread: &method.Spread{Low: "0.5", High: "2"}, Source: "test"},
			{Key: "tube", Name: "Tube", Stage: method.Repair, Makes: method.Material, Task: "B10", Material: "tube", Unit: "m", For: holed,
				Parts: []method.Part{{Factors: []method.Factor{{Of: "patch_area"}, {Times: "50", Unit: "m/m2"}}}}, Source: "test"},
		},
	}
}

// takeoffBench has a job whose task B10 follows a frame of two rails and that has no
// line yet.
func takeoffBench(t *testing.T) (*bench, app.JobPage, []domain.Zone) {
	t.Helper()
	return takeoffBenchWith(t, nil)
}

func takeoffBenchWith(t *testing.T, lines []domain.TemplateLine) (*bench, app.JobPage, []domain.Zone) {
	t.Helper()
	b, _, _ := frameBench(t)
	system := takeoff.Example().System
	system.Welding.MarginMM = "20"
	plan := smallPlan()
	plan.Key, plan.Name, plan.Frame, plan.Takeoff, plan.Methods = "measured", "Measured", "two", &system, looking()
	plan.Lines = lines
	id := domain.ID("00000009-3333-7000-8000-000000000011")
	b.ok("template", b.store.Update(t.Context(), b.shop, func(tx app.Tx) error { return tx.AddTemplate(domain.Template{ID: id, Revision: 1, Plan: plan}) }))
	p := b.job(id)
	frame, err := b.app.Frame(t.Context(), b.marik, p.Job.ID)
	b.ok("frame", err)
	return b, p, frame.Zones
}

func (b *bench) sees(job domain.ID, zone domain.ID, c domain.Condition, length, width int) app.SeenPage {
	b.t.Helper()
	seen, err := b.app.Observe(b.t.Context(), b.marik, job, b.key(), domain.Observation{ZoneID: zone, Moment: domain.OnArrival, Condition: c, LengthMM: length, WidthMM: width})
	b.ok("observing", err)
	return seen
}

func likely(h domain.ThreePoint) string {
	return h.Low.StringFixed(2) + " " + h.Likely.StringFixed(2) + " " + h.High.StringFixed(2)
}

// On paper: two rails of a quarter hour are 0.5 h. A hole of 160 x 60 mm, cut back
// 20 mm all round, is one patch of 0.02 m2: 1 + 0.5 = 1.5 h more, 0.75 and 3.00 at
// the least and the most, and 50 x 0.02 = 1 m of tube. The mean of 1.25, 2 and 3.5 h
// is 2.125, rounded 2.13: 2.13 x 77.7775 = 165.67 after 0.5 x 77.7775 = 38.89, and the
// tube at 17.891 x 1.15 with 5 percent waste is 21.60: together 148.38.
func TestAGradeMovesExactlyWhatTheRulesSay(t *testing.T) {
	b, p, zones := takeoffBench(t)
	before := taskCalled(t, p, "B10")
	if likely(before.Hours) != "0.50 0.50 0.50" || !before.Follows {
		t.Fatalf("at the start %s, follows %v", likely(before.Hours), before.Follows)
	}
	if other := taskCalled(t, p, "A10"); other.Follows {
		t.Error("a task that no rule names follows")
	}
	lines := len(p.Estimate.Lines)
	b.sees(p.Job.ID, zones[0].ID, domain.GradeB, 0, 0)
	if now := b.page(p.Job.ID); now.Job.Version != p.Job.Version || likely(taskCalled(t, now, "B10").Hours) != "0.50 0.50 0.50" {
		t.Errorf("a grade that no rule asks for moved the job to version %d", now.Job.Version)
	}
	b.sees(p.Job.ID, zones[0].ID, domain.Perforated, 160, 60)
	now := b.page(p.Job.ID)
	if got := likely(taskCalled(t, now, "B10").Hours); got != "1.25 2.00 3.50" {
		t.Errorf("hours %s, on paper 1.25 2.00 3.50", got)
	}
	if len(now.Estimate.Lines) != lines+1 {
		t.Fatalf("%d lines, want one more than %d", len(now.Estimate.Lines), lines)
	}
	if l := now.Estimate.Lines[lines]; l.Quantity.String() != "1" || l.Unit != "m" || !l.Follows || l.PriceItem != "tube" {
		t.Errorf("the new line is %+v", l)
	}
	moved := now.Price.Totals.TaxBasisTotal.Decimal().Sub(p.Price.Totals.TaxBasisTotal.Decimal())
	if moved.String() != "148.38" {
		t.Errorf("the price moved by %s, on paper 148.38", moved)
	}
	if now.Job.Version != p.Job.Version+1 {
		t.Errorf("version %d after %d", now.Job.Version, p.Job.Version)
	}
	moves, currency, _, err := b.app.TakeoffMoves(t.Context(), b.owner, p.Job.ID, app.Page{})
	b.ok("moves", err)
	if len(moves) != 1 || currency != "EUR" {
		t.Fatalf("%d moves in %s", len(moves), currency)
	}
	m := moves[0]
	if m.Cause != "left: grade B to perforated" || m.ByName != "Marik Oldane" || len(m.Moved.Tasks) != 1 || len(m.Moved.Materials) != 1 {
		t.Errorf("the move: %+v", m)
	}
	if !m.Moved.NetAfter.Sub(m.Moved.NetBefore).Equal(moved) || m.Moved.Tasks[0].By[0].Amount.String() != "1.5" || m.Moved.Materials[0].After.String() != "1" {
		t.Errorf("the move says %+v", m.Moved)
	}
	if _, err := b.app.VerifyTrail(t.Context(), b.shop); err != nil {
		t.Error(err)
	}
}

// A line of the template with the material of a rule follows too, until its
// quantity is typed.
func TestALineOfTheTemplateFollows(t *testing.T) {
	b, p, zones := takeoffBenchWith(t, smallPlan().Lines)
	line := p.Estimate.Lines[0]
	if !line.Follows || !line.Quantity.IsZero() {
		t.Fatalf("at the start %s %s, follows %v", line.Quantity, line.Unit, line.Follows)
	}
	b.sees(p.Job.ID, zones[0].ID, domain.Perforated, 160, 60)
	now := b.page(p.Job.ID)
	if l := now.Estimate.Lines[0]; len(now.Estimate.Lines) != 1 || l.Quantity.String() != "1" {
		t.Errorf("after the hole: %+v", now.Estimate.Lines)
	}
	line = now.Estimate.Lines[0]
	line.Quantity = dec("2.5")
	now, err := b.app.ChangeLine(t.Context(), b.owner, p.Job.ID, line.ID, made(now), line)
	b.ok("typing", err)
	b.sees(p.Job.ID, zones[1].ID, domain.Perforated, 160, 60)
	if l := b.page(p.Job.ID).Estimate.Lines[0]; l.Follows || l.Quantity.String() != "2.5" || now.Estimate.Lines[0].Follows {
		t.Errorf("a typed quantity became %s, follows %v", l.Quantity, l.Follows)
	}
}

// Whole packs: a metre of tube and 5 percent of waste are 1.05 m, in bars of 0.9 m
// two: 1.8 m are billed without further waste and 0.75 m are left. With 0.2 m from
// another job 0.85 m are needed, which is one bar; more than is left there, nothing
// at all, another unit and a job's own remainder are refused. Given back, it is two
// bars again.
func TestRemaindersOfWholePacks(t *testing.T) {
	b, p, zones := takeoffBenchWith(t, smallPlan().Lines)
	shop, err := b.app.Shop(t.Context(), b.owner)
	b.ok("shop", err)
	tube, _ := shop.PriceBook.Material("tube")
	tube.ValidFrom, tube.Packs, tube.WholePacks = b.today(shop), []domain.Pack{{Size: dec("0.9"), Cost: dec("10")}}, true
	_, err = b.app.SetPrices(t.Context(), b.owner, app.Precondition{Given: true, Version: shop.PriceBookVersion}, app.PriceChange{Set: []domain.PriceRow{{Material: &tube}}})
	b.ok("packs", err)
	other := b.job(p.Job.TemplateID)
	for job, zone := range map[domain.ID]domain.ID{p.Job.ID: zones[0].ID, other.Job.ID: b.firstZone(other.Job.ID)} {
		b.sees(job, zone, domain.Perforated, 160, 60)
	}
	bars := func(want string) {
		t.Helper()
		if l := b.page(p.Job.ID).Estimate.Lines[0]; l.Quantity.String() != want || !l.WastePercent.IsZero() {
			t.Errorf("billed %s m with %s percent, on paper %s", l.Quantity, l.WastePercent, want)
		}
	}
	bars("1.8")
	other = b.page(other.Job.ID)
	b.accept(b.issue(other))
	if r := b.leftOf(other.Job.ID); r.Free().String() != "0.75" {
		t.Fatalf("left over: %s", r.Free())
	}
	take := app.TakenRemainder{Material: "tube", FromJobID: other.Job.ID, Quantity: dec("0.1"), Unit: "m"}
	for code, spoil := range map[string]func(*app.TakenRemainder){
		"remainder-quantity": func(x *app.TakenRemainder) { x.Quantity = dec("0.751") },
		"remainder-unit":     func(x *app.TakenRemainder) { x.Unit = "kg" },
		"remainder-own":      func(x *app.TakenRemainder) { x.FromJobID = p.Job.ID },
		"remainder-none":     func(x *app.TakenRemainder) { x.Material = "gold" },
		"job-not-found":      func(x *app.TakenRemainder) { x.FromJobID = "nowhere" },
	} {
		bad := take
		spoil(&bad)
		_, err := b.app.UseRemainder(t.Context(), b.owner, p.Job.ID, b.key(), bad)
		refused(t, code, err, code)
	}
	take.Quantity = dec("-0.1")
	_, err = b.app.UseRemainder(t.Context(), b.owner, p.Job.ID, b.key(), take)
	refused(t, "less than nothing", err, "remainder-quantity")
	take.Quantity = dec("0.2")
	_, err = b.app.UseRemainder(t.Context(), b.owner, p.Job.ID, b.key(), take)
	b.ok("using", err)
	bars("0.9")
	left := b.leftOf(other.Job.ID)
	if left.Free().String() != "0.55" || left.Given.String() != "0.2" || len(left.Moves) != 1 {
		t.Fatalf("once taken: %s free, %s given", left.Free(), left.Given)
	}
	_, err = b.app.VoidRemainder(t.Context(), b.owner, left.Moves[0].ID, b.key(), "Bent.")
	b.ok("voiding", err)
	bars("1.8")
	_, err = b.app.VoidRemainder(t.Context(), b.owner, left.Moves[0].ID, b.key(), "Bent.")
	refused(t, "voiding twice", err, "remainder-void")
}

func (b *bench) leftOf(job domain.ID) app.Remainder {
	b.t.Helper()
	all, err := b.app.Remainders(b.t.Context(), b.owner)
	b.ok("remainders", err)
	for _, r := range all {
		if r.Job.ID == job {
			return r
		}
	}
	b.t.Fatalf("job %s leaves nothing over: %+v", job, all)
	return app.Remainder{}
}

func (b *bench) firstZone(job domain.ID) domain.ID {
	b.t.Helper()
	frame, err := b.app.Frame(b.t.Context(), b.marik, job)
	b.ok("frame", err)
	return frame.Zones[0].ID
}

// What is voided moves back; the newest line stays, with nothing on it.
func TestAVoidedGradeMovesBack(t *testing.T) {
	b, p, zones := takeoffBench(t)
	seen := b.sees(p.Job.ID, zones[0].ID, domain.Perforated, 160, 60)
	_, err := b.app.VoidObservation(t.Context(), b.owner, seen.Observation.ID, b.key(), "Wrong side.")
	b.ok("voiding", err)
	now := b.page(p.Job.ID)
	if got := likely(taskCalled(t, now, "B10").Hours); got != "0.50 0.50 0.50" {
		t.Errorf("hours %s", got)
	}
	if now.Price.Totals.GrandTotal.String() != p.Price.Totals.GrandTotal.String() {
		t.Errorf("the price is %s, it was %s", now.Price.Totals.GrandTotal, p.Price.Totals.GrandTotal)
	}
	moves, _, _, err := b.app.TakeoffMoves(t.Context(), b.owner, p.Job.ID, app.Page{})
	b.ok("moves", err)
	if len(moves) != 2 || moves[0].Cause != "left: perforated to hidden" {
		t.Errorf("moves: %+v", moves)
	}
}

// What was typed over stays until it is told to follow again.
func TestTypedHoursStay(t *testing.T) {
	b, p, zones := takeoffBench(t)
	task := taskCalled(t, p, "B10")
	task.Hours = domain.ThreePoint{Low: dec("3"), Likely: dec("4"), High: dec("6")}
	p, err := b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, task.ID, made(p), task, nil)
	b.ok("typing", err)
	if taskCalled(t, p, "B10").Follows {
		t.Fatal("typed hours follow")
	}
	b.sees(p.Job.ID, zones[0].ID, domain.Perforated, 160, 60)
	now := b.page(p.Job.ID)
	if got := likely(taskCalled(t, now, "B10").Hours); got != "3.00 4.00 6.00" {
		t.Errorf("typed hours became %s", got)
	}
	page, err := b.app.Takeoff(t.Context(), b.owner, p.Job.ID)
	b.ok("takeoff", err)
	if len(page.Tasks) != 1 || page.Tasks[0].Difference().String() != "-2" || page.Stands != "" {
		t.Errorf("the takeoff says %+v, stands %q", page.Tasks, page.Stands)
	}
	now, err = b.app.FollowTakeoff(t.Context(), b.owner, p.Job.ID, made(now), app.Following{TaskIDs: []domain.ID{task.ID}, Follows: true})
	b.ok("following", err)
	if got := taskCalled(t, now, "B10"); likely(got.Hours) != "1.25 2.00 3.50" || !got.Follows {
		t.Errorf("told to follow: %s, %v", likely(got.Hours), got.Follows)
	}
	_, err = b.app.FollowTakeoff(t.Context(), b.owner, p.Job.ID, made(now), app.Following{TaskIDs: []domain.ID{taskCalled(t, now, "A10").ID}, Follows: true})
	refused(t, "a task that no rule makes hours for", err, "nothing-to-follow")
}

// While a quote is open and once a job is sold nothing moves, and the takeoff says
// by how much the steel asks for more: 1.5 h, and 148.38 as on paper above.
func TestASoldJobStandsStill(t *testing.T) {
	b, p, zones := takeoffBench(t)
	q := b.issue(p)
	for _, stands := range []string{"quoted", "sold"} {
		if stands == "sold" {
			b.accept(q)
		} else {
			b.sees(p.Job.ID, zones[0].ID, domain.Perforated, 160, 60)
		}
		now := b.page(p.Job.ID)
		if got := likely(taskCalled(t, now, "B10").Hours); got != "0.50 0.50 0.50" {
			t.Errorf("%s: hours %s", stands, got)
		}
		page, err := b.app.Takeoff(t.Context(), b.owner, p.Job.ID)
		b.ok("takeoff", err)
		if page.Stands != stands || page.Gap.Hours.String() != "1.5" || page.Gap.Net.String() != "148.38" || len(page.Moves) != 0 {
			t.Errorf("%s: stands %q, gap %s h and %s, %d moves", stands, page.Stands, page.Gap.Hours, page.Gap.Net, len(page.Moves))
		}
	}
	_, err := b.app.FollowTakeoff(t.Context(), b.owner, p.Job.ID, made(b.page(p.Job.ID)), app.Following{TaskIDs: []domain.ID{taskCalled(t, p, "B10").ID}, Follows: true})
	refused(t, "following once sold", err, "already-sold")
}

// A withdrawn quote lets the estimate catch up in the same transaction, with what
// was seen meanwhile as the reason: 1.5 h and 148.38, as on paper above. What was
// typed stays, and a quote during which nothing moved moves nothing.
func TestAWithdrawnQuoteCatchesUp(t *testing.T) {
	b, p, zones := takeoffBench(t)
	withdraw := func(q domain.Quote) app.JobPage {
		t.Helper()
		_, err := b.app.WithdrawQuote(t.Context(), b.owner, q.ID, b.key(), "Looked again.")
		b.ok("withdrawing", err)
		return b.page(p.Job.ID)
	}
	quoted := b.issue(p)
	version := b.page(p.Job.ID).Job.Version
	if now := withdraw(quoted); now.Job.Version != version || likely(taskCalled(t, now, "B10").Hours) != "0.50 0.50 0.50" {
		t.Errorf("nothing was seen: version %d after %d, %s", now.Job.Version, version, likely(taskCalled(t, now, "B10").Hours))
	}
	q := b.issue(b.page(p.Job.ID))
	b.pass(time.Hour)
	b.sees(p.Job.ID, zones[0].ID, domain.Perforated, 160, 60)
	version = b.page(p.Job.ID).Job.Version
	now := withdraw(q)
	moved := now.Price.Totals.TaxBasisTotal.Decimal().Sub(p.Price.Totals.TaxBasisTotal.Decimal())
	if got := likely(taskCalled(t, now, "B10").Hours); got != "1.25 2.00 3.50" || moved.String() != "148.38" || now.Job.Version != version+1 {
		t.Errorf("withdrawn: hours %s, the price moved by %s, version %d after %d", got, moved, now.Job.Version, version)
	}
	moves, _, _, err := b.app.TakeoffMoves(t.Context(), b.owner, p.Job.ID, app.Page{})
	b.ok("moves", err)
	if want := "Quote " + q.Number + " was withdrawn. left: hidden to perforated"; len(moves) != 1 || moves[0].Cause != want || moves[0].ByName != b.owner.Name ||
		len(moves[0].Moved.Tasks) != 1 || moves[0].Moved.Tasks[0].By[0].Amount.String() != "1.5" {
		t.Errorf("moves %+v, want one because %q", moves, want)
	}
	q = b.issue(now)
	b.pass(time.Hour)
	b.sees(p.Job.ID, zones[1].ID, domain.Perforated, 160, 60)
	b.accept(q)
	if now := b.page(p.Job.ID); likely(taskCalled(t, now, "B10").Hours) != "1.25 2.00 3.50" {
		t.Errorf("sold: hours %s", likely(taskCalled(t, now, "B10").Hours))
	}
}

// Finish and methods are held against the rules, on job and zone.
func TestMethodsAreThoseOfTheRules(t *testing.T) {
	b, p, zones := takeoffBench(t)
	if p.Job.Finish != domain.ShowFinish || p.Job.Ways[method.Repair] != "weld" {
		t.Errorf("a new job is worked %s by %v", p.Job.Finish, p.Job.Ways)
	}
	_, err := b.app.ChangeWays(t.Context(), b.owner, p.Job.ID, made(p), domain.ShowFinish, domain.Ways{method.Repair: "glue"})
	if e := fault.As(err); e == nil || e.Fields[0].Pointer != "/methods/repair" {
		t.Errorf("an unknown method: %v", err)
	}
	now, err := b.app.ChangeWays(t.Context(), b.owner, p.Job.ID, made(p), domain.DriverFinish, domain.Ways{method.Repair: "bond"})
	b.ok("changing", err)
	z := zones[0]
	z.Ways = domain.Ways{method.Strip: "weld"}
	_, err = b.app.ChangeZone(t.Context(), b.owner, p.Job.ID, z.ID, made(now), z)
	if e := fault.As(err); e == nil || e.Fields[0].Pointer != "/methods/strip" {
		t.Errorf("a zone's unknown method: %v", err)
	}
	z.Ways, z.Section.ThicknessMM = nil, dec("40")
	_, err = b.app.ChangeZone(t.Context(), b.owner, p.Job.ID, z.ID, made(now), z)
	if e := fault.As(err); e == nil || e.Fields[0].Pointer != "/section/thickness_mm" {
		t.Errorf("walls thicker than half the width: %v", err)
	}
}

// Rules whose units do not come out are not stored.
func TestRulesThatDoNotComeOutAreNotStored(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	plan := smallPlan()
	plan.Methods = looking()
	plan.Methods.Rules[1].Parts[0].Factors[1].Unit = "h/m2"
	_, _, err := b.app.OpenShop(t.Context(), app.NewShop{Settings: settings("EUR", "document"), Calendar: app.StartingCalendar(), PriceBook: priceBook(),
		Templates: []domain.TemplatePlan{plan}, OwnerName: "Ilvane Torresk", Email: "other@example.org", Password: "a long enough one"}, false)
	if e := fault.As(err); e == nil || e.Kind != fault.Invalid || e.Fields[0].Pointer != "/templates/0/methods/rules/1/parts/0" {
		t.Errorf("stored: %v", err)
	}
}

// Another shop finds nothing.
func TestAnotherShopsTakeoffIsNotFound(t *testing.T) {
	b, p, _ := takeoffBench(t)
	stranger := b.owner
	stranger.ShopID = "elsewhere"
	_, err := b.app.Takeoff(t.Context(), stranger, p.Job.ID)
	if fault.KindOf(err) != fault.NotFound {
		t.Errorf("another shop's takeoff: %v", err)
	}
}
