package app_test

import (
	"bytes"
	"fmt"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/points"
	"bareframe/internal/pricing"
)

// handSheet is the sheet of the case that is worked by hand in these tests. Its
// maxima are common practice, no source; the rest is made up to be easy on paper.
func handSheet() points.Sheet {
	look := func(c points.Condition, from int, share string) points.Look {
		return points.Look{Condition: c, FromVisible: from, Share: share}
	}
	return points.Sheet{Key: "hand", Name: "By hand",
		Looks: []points.Look{look("a", 0, "0"), look("b", 0, "0.1"), look("c", 0, "0.5"), look("d", 0, "1"), look("pitted", 0, "1.5"), look("patched", 0, "2"),
			look("perforated", 0, "0.1"), look("perforated", 50, "0.6"), look("hidden", 0, "0.25")},
		Items: []points.Item{
			{Key: "frame", Name: "Frame", MaxOriginality: "10", MaxCondition: "8", Kinds: []string{"rail"},
				Departures: []points.Departure{{What: "perforation", Originality: "0.5", Condition: "0.5"}}},
			{Key: "mounts", Name: "Body mounts", MaxOriginality: "2", MaxCondition: "2", Kinds: []string{"mount"},
				Departures: []points.Departure{{What: "broken_bolt", Originality: "0", Condition: "0.25"}}}}}
}

// judged is a job on handSheet with three zones: the left rail seen dull on
// arrival and perforated once the body was off, with a finding there; the right
// rail seen at grade d on arrival; a mount that nobody has seen, with two broken
// bolts. B10 welds on the left rail, C10 paints the whole.
func judged(t *testing.T) (*bench, app.JobPage, map[string]domain.Zone) {
	t.Helper()
	b := open(t, settings("EUR", pricing.PerDocument))
	zone := func(code string, kind domain.ZoneKind, area string) domain.LayoutZone {
		to := domain.PlanPoint{X: 700}
		section := domain.Section{Shape: "box", WidthMM: 75, HeightMM: 125, ThicknessMM: dec("2.5")}
		return domain.LayoutZone{Code: code, Name: code, Kind: kind, Side: domain.LeftSide, Section: section, LengthMM: 700, AreaM2: dec(area), VisiblePercent: 30,
			Plan: domain.ZonePlan{To: to, Width: 75}}
	}
	b.app = app.New(app.Options{Store: b.store, Passwords: plainPasswords{}, Now: b.now, NewID: counter("%08d-2222-7000-8000-%012d"), Secret: counter("points-%d-%d"), Announce: b.hear,
		Frames: []domain.FrameLayout{{Code: "three", Name: "Three zones", Zones: []domain.LayoutZone{zone("left-rail", domain.Rail, "0.30"), zone("right-rail", domain.Rail, "0.10"), zone("mount-1", domain.Mount, "0")}}},
		Sheet:  handSheet(),
		PutRight: domain.PutRight{Rules: []domain.PutRightRule{
			{Phase: "repair", Kinds: []domain.TaskKind{domain.Work}, Conditions: []domain.Condition{domain.GradeD, domain.Perforated}, Found: []domain.FindingWhat{domain.FoundPerforation}},
			{Phase: "coat", Kinds: []domain.TaskKind{domain.Work}, Everywhere: true, Conditions: []domain.Condition{domain.GradeC, domain.GradeD}}}}})
	sheets, err := b.app.Sheets(t.Context(), b.owner)
	b.ok("sheets of a shop from before there were any", err)
	p := b.job(b.template)
	if len(sheets) != 1 || p.Job.SheetID != sheets[0].ID || p.Job.SheetVersion != 1 {
		t.Fatalf("%d sheets; the job has %q, version %d", len(sheets), p.Job.SheetID, p.Job.SheetVersion)
	}
	frame, err := b.app.LayFrame(t.Context(), b.owner, p.Job.ID, made(p), "three")
	b.ok("laying the frame", err)
	zones := map[string]domain.Zone{}
	for _, z := range frame.Zones {
		zones[z.Code] = z
	}
	b.see(p.Job.ID, zones["left-rail"], domain.OnArrival, domain.GradeC)
	b.see(p.Job.ID, zones["left-rail"], domain.BodyOff, domain.Perforated)
	b.see(p.Job.ID, zones["right-rail"], domain.OnArrival, domain.GradeD)
	for _, f := range []domain.Finding{{ZoneID: zones["left-rail"].ID, What: domain.FoundPerforation, Condition: domain.Perforated, Count: 1},
		{ZoneID: zones["mount-1"].ID, What: domain.FoundBrokenBolt, Count: 2}} {
		_, err := b.app.ReportFinding(t.Context(), b.marik, p.Job.ID, b.key(), f)
		b.ok("reporting", err)
	}
	p = b.page(p.Job.ID)
	weld := taskCalled(t, p, "B10")
	weld.Zone = "Left rail"
	p, err = b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, nil)
	b.ok("naming the zone", err)
	return b, p, zones
}

func (b *bench) see(job domain.ID, z domain.Zone, m domain.Moment, c domain.Condition) app.SeenPage {
	b.t.Helper()
	b.pass(1e9)
	seen, err := b.app.Observe(b.t.Context(), b.marik, job, b.key(), domain.Observation{ZoneID: z.ID, Moment: m, Condition: c})
	b.ok("observing", err)
	return seen
}

func (b *bench) points(job domain.ID, budget string) app.PointsPage {
	b.t.Helper()
	p, err := b.app.JobPoints(b.t.Context(), b.owner, job, budget)
	b.ok("points", err)
	return p
}

func sums(p app.PointsPage) string {
	return fmt.Sprintf("%s/%s -> %s/%s", p.AsFound.Originality.StringFixed(2), p.AsFound.Condition.StringFixed(2), p.WithWork.Originality.StringFixed(2), p.WithWork.Condition.StringFixed(2))
}

// By hand. As found: frame, condition 8 x (0.30 x 0.6 + 0.10 x 1) / 0.40 = 5.60,
// because the left rail is seen whole with the body off, and the hole 0.50 more:
// 6.10; originality the hole 0.50. Mounts: hidden 2 x 0.25 = 0.50, two bolts
// 2 x 0.25: 1.00. Together 0.50 and 7.10. After: B10 mends the left rail and its
// hole, C10 coats the right rail; the mount stays: 0 and 1.00.
func TestPointsByHand(t *testing.T) {
	b, p, zones := judged(t)
	got := b.points(p.Job.ID, "")
	if want := "0.50/7.10 -> 0.00/1.00"; sums(got) != want {
		t.Errorf("got %s, want %s\n%+v", sums(got), want, got.Found.Items)
	}
	if want := `On the sheet "By hand" the car would be expected to lose 7.60 of 22.00 points as found, and 1.00 after the work.`; got.Sentence(true) != want {
		t.Errorf("got %q\nwant %q", got.Sentence(true), want)
	}
	// Regraded b, the right rail costs 8 x 0.1 x 0.10 / 0.40 = 0.20 less 2.00: 5.30,
	// and the paint counts for nothing, because no rule speaks of grade b.
	b.see(p.Job.ID, zones["right-rail"], domain.BodyOff, domain.GradeB)
	if got, want := sums(b.points(p.Job.ID, "")), "0.50/5.30 -> 0.00/1.20"; got != want {
		t.Errorf("regraded: got %s, want %s", got, want)
	}
	// Seen after repair, what was seen counts and not what was planned: left rail c,
	// 8 x 0.5 x 0.30 / 0.40 = 3.00 more; as found stays.
	seen := b.see(p.Job.ID, zones["left-rail"], domain.Repaired, domain.GradeC)
	if got, want := sums(b.points(p.Job.ID, "")), "0.50/5.30 -> 0.00/4.20"; got != want {
		t.Errorf("seen after repair: got %s, want %s", got, want)
	}
	_, err := b.app.VoidObservation(t.Context(), b.owner, seen.Observation.ID, b.key(), "Wrong rail.")
	b.ok("voiding", err)
	if got, want := sums(b.points(p.Job.ID, "")), "0.50/5.30 -> 0.00/1.20"; got != want {
		t.Errorf("voided: got %s, want %s", got, want)
	}
}

// By hand. Mounts lose 1.00 after the common work. Plugs (taken) take 0.25 off for
// 40, New mounts 1.50 for 400 and so all 1.00; Bolts 0.75 for 100; Ground welds put
// 0.50 on the frame's originality. With Plugs taken 0.75 are lost. New mounts
// instead: 0.75 more for 360, 480.00 a point. Bolts besides: 0.75 more for 100,
// 133.33. Up to 200 Plugs and Bolts buy all 1.00 for 140; that is also the best
// without a bound, because New mounts buy no more and cost more. Nothing keeps the
// group for less than 40.
func TestOptionsByHand(t *testing.T) {
	b, p, _ := judged(t)
	option := func(group, name string, taken bool, net, item, originality, condition string) {
		var err error
		p, err = b.app.AddOption(t.Context(), b.owner, p.Job.ID, made(p), domain.Option{Group: group, Name: name, Taken: taken,
			Points: []domain.PointEffect{{ItemKey: item, Originality: dec(originality), Condition: dec(condition)}}})
		b.ok("adding "+name, err)
		p, err = b.app.AddLine(t.Context(), b.owner, p.Job.ID, made(p), domain.Line{PhaseID: p.All.Phases[1].ID, Kind: pricing.Fee, Description: name,
			Quantity: dec("1"), Unit: "lot", UnitCost: dec(net), TaxClass: pricing.FeeClass, OptionID: p.All.Options[len(p.All.Options)-1].ID})
		b.ok("a line of "+name, err)
	}
	option("Mounts", "Plugs", true, "40", "mounts", "0", "0.25")
	option("Mounts", "New mounts", false, "400", "mounts", "0", "1.5")
	option("", "Bolts", false, "100", "mounts", "0", "0.75")
	option("", "Ground welds", false, "10", "frame", "-0.5", "0")
	option("", "Engine washed", false, "25", "engine", "0", "1") // on no item of the sheet
	got := b.points(p.Job.ID, "200")
	if want := "0.50/7.10 -> 0.00/0.75"; sums(got) != want {
		t.Errorf("with what is advised: got %s, want %s", sums(got), want)
	}
	want := []struct{ name, net, bought, againstNet, against, each string }{
		{"Plugs", "40", "0.25", "0", "0.00", ""}, {"New mounts", "400", "1.00", "360", "0.75", "480.00"}, {"Bolts", "100", "0.75", "100", "0.75", "133.33"},
		{"Ground welds", "10", "-0.50", "10", "-0.50", ""}, {"Engine washed", "25", "0.00", "25", "0.00", ""}}
	for i, w := range want {
		o := got.Options[i]
		each := ""
		if o.AgainstCostPerPoint != nil {
			each = o.AgainstCostPerPoint.String()
		}
		if o.Name != w.name || !o.Net.Equal(dec(w.net)) || o.Result.Bought.Total().String() != w.bought || !o.AgainstNet.Equal(dec(w.againstNet)) ||
			(o.AgainstOriginality+o.AgainstCondition).String() != w.against || each != w.each {
			t.Errorf("%s: net %s buys %s; against %s buys %s, %s a point; want %+v", o.Name, o.Net, o.Result.Bought.Total(), o.AgainstNet, o.AgainstOriginality+o.AgainstCondition, each, w)
		}
	}
	if e := got.Entered; len(e) != 1 || e[0].Item != "engine" || e[0].After {
		t.Errorf("entered by the shop: %+v, want the engine, not counted while it is not taken", e)
	}
	best := func(budget string) string {
		r := b.points(p.Job.ID, budget).After.Best
		if r.Selection == nil {
			return string(r.Status)
		}
		return fmt.Sprintf("%s: %d for %s buy %s", r.Status, len(r.Selection.Options), r.Selection.Cost, r.Selection.Bought.Total())
	}
	for budget, want := range map[string]string{"39.99": "impossible", "40": "optimal: 1 for 40.00 buy 0.25", "200": "optimal: 2 for 140.00 buy 1.00", "": "optimal: 2 for 140.00 buy 1.00"} {
		if got := best(budget); got != want {
			t.Errorf("best within %q: got %s, want %s", budget, got, want)
		}
	}
	if f := got.After.Frontier; f == nil || f.Status != points.Optimal || len(f.Sets) != 2 || f.Sets[0].Cost.String() != "40.00" || f.Sets[1].Cost.String() != "140.00" {
		t.Errorf("frontier: %+v, want 40.00 and 140.00", f)
	}
	for _, bad := range []string{"-1", "1.005", "a lot"} {
		_, err := b.app.JobPoints(t.Context(), b.owner, p.Job.ID, bad)
		refused(t, "a budget of "+bad, err, "budget-not-readable")
	}
}

// What the client approved puts its findings right; an order's own figures count
// only where no finding of the item has one.
func TestOrdersOnTheSheet(t *testing.T) {
	b, p, _ := judged(t)
	b.accept(b.issue(p))
	p = b.page(p.Job.ID)
	found, err := b.app.Findings(t.Context(), b.owner, p.Job.ID)
	b.ok("findings", err)
	bolts := found[0].Finding
	item := func(key, title, originality, condition string, findings ...domain.ID) domain.OrderItem {
		return domain.OrderItem{Key: key, Title: title, IfNot: "It stays.", MayLeave: true, FindingIDs: findings, Options: []domain.OrderOption{{Key: "o", Name: "Do it", Advised: true,
			Originality: dec(originality), Condition: dec(condition), Lines: []domain.OrderLine{{PhaseID: p.Estimate.Phases[1].ID, Kind: "fee", Description: title, Quantity: dec("1"), Unit: "lot", UnitCost: dec("10"), TaxClass: "fee"}}}}}
	}
	draft, err := b.app.AddOrder(t.Context(), b.owner, p.Job.ID, b.key(), app.OrderDraft{Kind: domain.FromFinding, Title: "Mounts", Reason: "Broken.",
		Items: []domain.OrderItem{item("bolts", "Bolts freed", "0", "0.9", bolts.ID), item("wish", "Shims as found", "0", "0.2")}})
	b.ok("drafting", err)
	sent, err := b.app.SendOrder(t.Context(), b.owner, draft.Order.ID, app.Precondition{Given: true, Version: draft.Order.Version}, b.key(), 14)
	b.ok("sending", err)
	if got, want := sums(b.points(p.Job.ID, "")), "0.50/7.10 -> 0.00/1.00"; got != want {
		t.Errorf("while it is only sent: got %s, want %s", got, want)
	}
	effect := sent.Order.Effect
	_, err = b.app.DecideOrder(t.Context(), b.client, sent.Order.ID, b.key(), app.PortalOrderDecision{Approved: true, Name: "Sorei Vantesse", Signature: "Sorei Vantesse", DocumentHash: sent.Order.DocumentHash,
		Choices: effect.Choices, Amount: effect.Amount, PromiseAfter: effect.Dates.PromiseAfter})
	b.ok("approving", err)
	// The bolts are freed: 1.00 - 0.50; the 0.9 of the order is theirs and does not
	// count twice. The shims are on no finding, so their 0.20 counts.
	got := b.points(p.Job.ID, "")
	if want := "0.50/7.10 -> 0.00/0.30"; sums(got) != want {
		t.Errorf("approved: got %s, want %s\n%+v", sums(got), want, got.Entered)
	}
	if len(got.Entered) != 2 || got.Entered[0].After || !got.Entered[1].After {
		t.Errorf("entered by the shop: %+v, want the bolts not counted and the shims counted", got.Entered)
	}
}

// A changed sheet is a further version; the job stays with its own until the
// owner takes the new one.
func TestJobsKeepTheirVersionOfASheet(t *testing.T) {
	b, p, _ := judged(t)
	id := p.Job.SheetID
	plan := handSheet()
	plan.Items[0].MaxCondition = "16"
	changed, err := b.app.ChangeSheet(t.Context(), b.owner, id, app.Precondition{Given: true, Version: 1}, plan)
	b.ok("changing the sheet", err)
	if changed.Version != 2 || changed.Used != (domain.SheetUsed{Jobs: 1, Oldest: 1}) {
		t.Errorf("version %d, used %+v", changed.Version, changed.Used)
	}
	got := b.points(p.Job.ID, "")
	if want := "0.50/7.10 -> 0.00/1.00"; sums(got) != want || got.Newest != 2 || got.Sheet.Version != 1 {
		t.Errorf("still by the first version: got %s, version %d of %d", sums(got), got.Sheet.Version, got.Newest)
	}
	p, err = b.app.SetJobSheet(t.Context(), b.owner, p.Job.ID, made(p), id, 0)
	b.ok("taking the new one", err)
	// 16 x 0.7 = 11.20, the hole 0.50, the mounts 1.00.
	if got, want := sums(b.points(p.Job.ID, "")), "0.50/12.70 -> 0.00/1.00"; got != want {
		t.Errorf("by the second version: got %s, want %s", got, want)
	}
	_, err = b.app.ChangeSheet(t.Context(), b.owner, id, app.Precondition{Given: true, Version: 1}, plan)
	refused(t, "an edit of the first version", err, "stale-edit")
	retired, err := b.app.RetireSheet(t.Context(), b.owner, id, true)
	b.ok("retiring", err)
	_, err = b.app.ChangeSheet(t.Context(), b.owner, id, app.Precondition{Given: true, Version: retired.Version}, plan)
	refused(t, "changing a retired sheet", err, "sheet-retired")
	other := b.job(b.template)
	if other.Job.SheetID != "" {
		t.Errorf("a new job is judged by a retired sheet")
	}
	_, err = b.app.SetJobSheet(t.Context(), b.owner, other.Job.ID, made(other), id, 0)
	refused(t, "a retired sheet for another job", err, "sheet-retired")
	_, err = b.app.SetJobSheet(t.Context(), b.owner, p.Job.ID, made(p), id, 1)
	b.ok("the job that has it may go back a version", err)
	copied, err := b.app.AddSheet(t.Context(), b.owner, app.NewSheet{CopyOf: id, Name: "Copy"})
	b.ok("copying", err)
	if copied.Plan.Name != "Copy" || copied.Plan.Items[0].MaxCondition != "16" || copied.Version != 1 {
		t.Errorf("the copy: %+v", copied)
	}
	none := b.points(other.Job.ID, "")
	if none.Sheet != nil || none.Sentence(true) != "No judging sheet was chosen for this car yet." {
		t.Errorf("without a sheet: %+v", none)
	}
}

// A client sees the sheet of their own car, and the work only once it was quoted.
func TestAClientSeesOwnPoints(t *testing.T) {
	b, p, _ := judged(t)
	got, quoted, err := b.app.ClientPoints(t.Context(), b.client, p.Job.ID)
	b.ok("the client's points", err)
	if quoted || got.AsFound.Total().String() != "7.6" {
		t.Errorf("before a quote: quoted %v, %s", quoted, got.AsFound.Total())
	}
	b.issue(p)
	if _, quoted, _ = b.app.ClientPoints(t.Context(), b.client, p.Job.ID); !quoted {
		t.Error("a quote is open, and the work is not reckoned with")
	}
	other := b.hire("Another Client", "", domain.Client)
	_, _, err = b.app.ClientPoints(t.Context(), other, p.Job.ID)
	if fault.KindOf(err) != fault.NotFound {
		t.Errorf("another client: got %v, want not found", err)
	}
}

// Forty options on the worst kind of numbers still answer, and say what was shown.
func TestTheSearchOfAPageIsBounded(t *testing.T) {
	b, p, _ := judged(t)
	for i := range domain.MaxOptions {
		var err error
		p, err = b.app.AddOption(t.Context(), b.owner, p.Job.ID, made(p), domain.Option{Name: fmt.Sprintf("Extra %d", i),
			Points: []domain.PointEffect{{ItemKey: "frame", Originality: dec(fmt.Sprintf("0.%02d", 11+i)), Condition: dec(fmt.Sprintf("-0.%02d", i%7))}}})
		b.ok("adding", err)
		p, err = b.app.AddLine(t.Context(), b.owner, p.Job.ID, made(p), domain.Line{PhaseID: p.All.Phases[1].ID, Kind: pricing.Fee, Description: "x",
			Quantity: dec("1"), Unit: "lot", UnitCost: dec(fmt.Sprintf("%d", 1009+i*37)), TaxClass: pricing.FeeClass, OptionID: p.All.Options[i].ID})
		b.ok("a line", err)
	}
	got := b.points(p.Job.ID, "20000")
	if n := got.After.Best.Nodes; n > 20_000 || got.After.Best.Status == points.Impossible {
		t.Errorf("%d nodes, %s", n, got.After.Best.Status)
	}
	if words := fmt.Sprint(got.After.Best.Words); !bytes.Contains([]byte(words), []byte("No set within")) && !bytes.Contains([]byte(words), []byte("no set within")) {
		t.Errorf("the words do not say what was shown: %s", words)
	}
}
