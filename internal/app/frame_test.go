package app_test

import (
	"bytes"
	"image"
	"image/png"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/photo"
	"bareframe/internal/repair"
)

// frameBench is a shop whose template lays out a frame of two zones, with a
// repair list of its own, on a clock that the test sets.
func frameBench(t *testing.T) (*bench, app.JobPage, []domain.Zone) {
	t.Helper()
	b := open(t, settings("EUR", "document"))
	folder, err := photo.OpenFolder(t.TempDir())
	b.ok("folder", err)
	t.Cleanup(func() { _ = folder.Close() })
	zone := func(code string, y int) domain.LayoutZone {
		return domain.LayoutZone{Code: code, Name: code, Kind: domain.Rail, Side: domain.LeftSide, Section: domain.Section{Shape: "box", WidthMM: 75, HeightMM: 125, ThicknessMM: dec("2.5")},
			LengthMM: 700, AreaM2: dec("0.28"), VisiblePercent: 30, Plan: domain.ZonePlan{From: domain.PlanPoint{X: 0, Y: y}, To: domain.PlanPoint{X: 700, Y: y}, Width: 75}}
	}
	list := repair.Example().List
	b.app = app.New(app.Options{Store: b.store, Passwords: plainPasswords{}, Now: b.now, NewID: counter("%08d-2222-7000-8000-%012d"), Secret: counter("frame-%d-%d"), Announce: b.hear,
		Frames: []domain.FrameLayout{{Code: "two", Name: "Two rails", Zones: []domain.LayoutZone{zone("left", -400), zone("right", 400)}}}, Repairs: list, Photos: folder})
	p := b.soldJob()
	page, err := b.app.LayFrame(t.Context(), b.owner, p.Job.ID, made(p), "two")
	b.ok("laying the frame", err)
	return b, b.page(p.Job.ID), page.Zones
}

func (b *bench) found(job domain.ID, zone domain.ID) app.FoundPage {
	b.t.Helper()
	f, err := b.app.ReportFinding(b.t.Context(), b.marik, job, b.key(), domain.Finding{ZoneID: zone, What: domain.FoundPerforation, Condition: domain.Perforated,
		LengthMM: 140, WidthMM: 60, Count: 1, Repairs: []string{"let-in-patch"}})
	b.ok("reporting", err)
	return f
}

// Monday 08:00 reported; sent Wednesday, decided the Monday after: two working
// days are the shop's, three the client's; the weekend is nobody's. Counted off
// on a calendar: 3 March 2031 is a Monday.
func TestWaitingBelongsToWhoLetsItWait(t *testing.T) {
	b, p, zones := frameBench(t)
	f := b.found(p.Job.ID, zones[0].ID)
	if f.Waited != (app.Waited{}) || f.Finding.Number != 1 {
		t.Errorf("at once: %+v", f.Waited)
	}
	b.set(monday.AddDate(0, 0, 2))
	draft, err := b.app.AddOrder(t.Context(), b.owner, p.Job.ID, b.key(), app.OrderDraft{Kind: domain.FromFinding, Title: "Left rail", Reason: "Holed.",
		Items: []domain.OrderItem{{Key: "i1", Title: "Patch", IfNot: "It goes through.", MayLeave: true, FindingIDs: []domain.ID{f.Finding.ID},
			Options: []domain.OrderOption{{Key: "o1", Name: "Let in a patch", Advised: true, Lines: []domain.OrderLine{{PhaseID: p.Estimate.Phases[1].ID, Kind: "material",
				Description: "Sheet", Quantity: dec("1"), Unit: "pc", UnitCost: dec("10"), TaxClass: "part"}}}}}}})
	b.ok("drafting", err)
	_, err = b.app.DismissFinding(t.Context(), b.owner, f.Finding.ID, b.key(), "Not needed.")
	refused(t, "dismissing what is in a draft", err, "finding-gathered")
	sent, err := b.app.SendOrder(t.Context(), b.owner, draft.Order.ID, app.Precondition{Given: true, Version: draft.Order.Version}, b.key(), 14)
	b.ok("sending", err)
	now, err := b.app.Findings(t.Context(), b.marik, p.Job.ID)
	b.ok("findings", err)
	if now[0].Waited != (app.Waited{Shop: 2}) || now[0].Order == nil || now[0].Order.Number != sent.Order.Number {
		t.Errorf("once sent: %+v, order %+v", now[0].Waited, now[0].Order)
	}
	_, err = b.app.ChangeFinding(t.Context(), b.owner, f.Finding.ID, app.Precondition{Given: true, Version: now[0].Finding.Version}, now[0].Finding)
	refused(t, "changing what is with the client", err, "finding-sent")
	b.set(monday.AddDate(0, 0, 7))
	_, err = b.app.DecideOrder(t.Context(), b.client, sent.Order.ID, b.key(), app.PortalOrderDecision{Name: "Sorei Vantesse", Reason: "Too dear.", DocumentHash: sent.Order.DocumentHash})
	b.ok("declining", err)
	b.set(monday.AddDate(0, 0, 21))
	now, err = b.app.Findings(t.Context(), b.marik, p.Job.ID)
	b.ok("findings", err)
	if now[0].Waited != (app.Waited{Shop: 2, Client: 3}) || now[0].Finding.State != domain.FindingDeclined {
		t.Errorf("once declined: %+v, %s", now[0].Waited, now[0].Finding.State)
	}
}

// A template's own repair list stands in for the program's.
func TestATemplatesOwnRepairsHold(t *testing.T) {
	b, p, zones := frameBench(t)
	own := repair.Example().List
	own.Repairs = own.Repairs[1:]
	plan := smallPlan()
	plan.Key, plan.Name, plan.Frame, plan.Repairs = "own", "Own repairs", "two", &own
	id := domain.ID("00000009-3333-7000-8000-000000000009")
	b.ok("template", b.store.Update(t.Context(), b.shop, func(tx app.Tx) error { return tx.AddTemplate(domain.Template{ID: id, Revision: 1, Plan: plan}) }))
	j := b.job(id)
	frame, err := b.app.Frame(t.Context(), b.marik, j.Job.ID)
	b.ok("frame", err)
	if len(frame.Zones) != 2 || frame.Job.FrameName != "Two rails" {
		t.Fatalf("the template's frame gave %d zones, %q", len(frame.Zones), frame.Job.FrameName)
	}
	if got := b.found(p.Job.ID, zones[0].ID); len(got.Finding.Repairs) != 1 {
		t.Errorf("the program's list does not hold for the other job: %v", got.Finding.Repairs)
	}
	_, err = b.app.ReportFinding(t.Context(), b.marik, j.Job.ID, b.key(), domain.Finding{ZoneID: frame.Zones[0].ID, What: domain.FoundRust, Count: 1, Repairs: []string{"let-in-patch"}})
	refused(t, "a repair that the template's list has not", err, "finding-invalid")
	out, err := b.app.SuggestRepairs(t.Context(), b.marik, j.Job.ID, repair.Finding{Condition: repair.Perforated, LengthMM: 140, WidthMM: 60, Count: 1})
	b.ok("suggesting", err)
	if len(out.Suggestions) != 1 || out.Suggestions[0].Code != "bought-section" {
		t.Errorf("suggested %+v", out.Suggestions)
	}
}

// A survey is kept whole or not at all.
func TestASurveyIsAllOrNothing(t *testing.T) {
	b, p, zones := frameBench(t)
	walk := []domain.Observation{{ZoneID: zones[0].ID, Moment: domain.OnArrival, Condition: domain.GradeB}, {ZoneID: "nowhere", Moment: domain.OnArrival, Condition: domain.GradeB}}
	_, err := b.app.Survey(t.Context(), b.marik, p.Job.ID, b.key(), walk)
	refused(t, "a walk round past the frame", err, "observation-invalid")
	walk[1].ZoneID = zones[1].ID
	ids, err := b.app.Survey(t.Context(), b.marik, p.Job.ID, b.key(), walk)
	b.ok("surveying", err)
	frame, err := b.app.Frame(t.Context(), b.owner, p.Job.ID)
	b.ok("frame", err)
	if len(ids) != 2 || len(frame.Observations) != 2 || frame.Observations[0].By != b.marik.PersonID {
		t.Errorf("kept %d: %+v", len(frame.Observations), frame.Observations)
	}
	b.pass(time.Hour)
	_, err = b.app.LayFrame(t.Context(), b.owner, p.Job.ID, made(b.page(p.Job.ID)), "two")
	refused(t, "a frame that something was seen on", err, "zone-in-use")
}

// A job that is over takes neither photographs nor sights.
func TestNothingIsAddedToAJobThatIsOver(t *testing.T) {
	b, _, _ := frameBench(t)
	p := b.job(b.template)
	laid, err := b.app.LayFrame(t.Context(), b.owner, p.Job.ID, made(p), "two")
	b.ok("laying", err)
	_, err = b.app.MoveJob(t.Context(), b.owner, p.Job.ID, made(b.page(p.Job.ID)), domain.Cancelled, "Sold.")
	b.ok("cancelling", err)
	_, err = b.app.Observe(t.Context(), b.marik, p.Job.ID, b.key(), domain.Observation{ZoneID: laid.Zones[0].ID, Moment: domain.OnArrival, Condition: domain.GradeA})
	refused(t, "a sight", err, "job-over")
	_, err = b.app.ReportFinding(t.Context(), b.marik, p.Job.ID, b.key(), domain.Finding{ZoneID: laid.Zones[0].ID, What: domain.FoundRust, Count: 1})
	refused(t, "a finding", err, "job-not-editable")
	var upload bytes.Buffer
	b.ok("drawing", png.Encode(&upload, image.NewGray(image.Rect(0, 0, 8, 8))))
	_, err = b.app.AddPhoto(t.Context(), b.marik, p.Job.ID, b.key(), &upload)
	refused(t, "a photograph", err, "job-over")
	_, err = b.app.AddZone(t.Context(), b.owner, p.Job.ID, made(b.page(p.Job.ID)), laid.Zones[0])
	if fault.KindOf(err) != fault.Conflict {
		t.Errorf("a zone: %v", err)
	}
}
