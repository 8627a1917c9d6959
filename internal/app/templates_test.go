package app_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/repair"
)

func on(revision int) app.Precondition { return app.Precondition{Given: true, Version: revision} }

func (b *bench) saved(id domain.ID, revision int, change func(p *domain.TemplatePlan)) app.TemplatePage {
	b.t.Helper()
	now, err := b.app.Template(b.t.Context(), b.owner, id)
	b.ok("template", err)
	plan := now.Plan
	plan.Tasks, plan.Links, plan.Lines = slices.Clone(plan.Tasks), slices.Clone(plan.Links), slices.Clone(plan.Lines)
	change(&plan)
	out, err := b.app.SaveTemplate(b.t.Context(), b.owner, id, on(revision), plan, "Changed.")
	b.ok("saving", err)
	return out
}

func (b *bench) trial(plan domain.TemplatePlan) app.Trial {
	b.t.Helper()
	out, err := b.app.PreviewTemplate(b.t.Context(), b.owner, app.TrialJob{Plan: plan, Options: map[string]string{}})
	b.ok("preview", err)
	return out
}

// The sample is what a job made from the plan comes to. By hand: painting at
// (1+4x2+3)/6 = 2 h becomes (2+4x3+4)/6 = 3 h, one hour more at 68.35. From Monday
// 08:00 in days of eight hours: 4.17 h and 8.5 h of work to Tuesday 13:10, painting to
// 15:10, the cure to Wednesday 15:10, fitting 3.17 h to Thursday 09:50: the fourth
// working day.
func TestASampleJobIsWhatAJobComesTo(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	plan := smallPlan()
	before := b.trial(plan)
	if !before.Stands() || before.Days != 4 || domain.DayOf(before.Page.Plan.Finish, b.shopNow().Zone()) != "2031-03-06" || len(before.Page.Estimate.Tasks) != 6 {
		t.Fatalf("%v, %d days to %v, %d tasks; want 4 days to Thursday 6 March and 6 tasks", before.Problems, before.Days, before.Page.Plan.Finish, len(before.Page.Estimate.Tasks))
	}
	i := slices.IndexFunc(plan.Tasks, func(x domain.TemplateTask) bool { return x.Key == "C10" })
	plan.Tasks[i].Hours = domain.ThreePoint{Low: dec("2"), Likely: dec("3"), High: dec("4")}
	after := b.trial(plan)
	moved := after.Page.Price.Totals.TaxBasisTotal.Decimal().Sub(before.Page.Price.Totals.TaxBasisTotal.Decimal())
	if !moved.Equal(dec("68.35")) || !after.Page.Whole.Sold.Sub(before.Page.Whole.Sold).Equal(dec("1")) {
		t.Errorf("net moved by %s and hours by %s, want 68.35 and 1", moved, after.Page.Whole.Sold.Sub(before.Page.Whole.Sold))
	}
	saved := b.saved(b.template, 1, func(p *domain.TemplatePlan) { p.Tasks = plan.Tasks })
	job := b.job(saved.ID)
	if got, want := after.Page.Price.Totals.GrandTotal.String(), job.Price.Totals.GrandTotal.String(); got != want {
		t.Errorf("the sample comes to %s, the job made from it to %s", got, want)
	}
	if !job.Plan.Finish.Equal(after.Page.Plan.Finish) || !job.Whole.Sold.Equal(after.Page.Whole.Sold) {
		t.Errorf("the sample takes %s h to %v, the job %s h to %v", after.Page.Whole.Sold, after.Page.Plan.Finish, job.Whole.Sold, job.Plan.Finish)
	}
}

func (b *bench) shopNow() domain.Shop {
	b.t.Helper()
	shop, err := b.app.Shop(b.t.Context(), b.owner)
	b.ok("shop", err)
	return shop
}

// A preview reads and does not write: not the trail, not a job, not a number.
func TestAPreviewWritesNothing(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	trail := func() (n int) {
		b.ok("trail", b.store.View(t.Context(), b.shop, func(r app.Reader) error {
			entries, err := r.TrailFrom(1, 200)
			n = len(entries)
			return err
		}))
		return n
	}
	before := trail()
	b.trial(smallPlan())
	broken := smallPlan()
	broken.Lines[0].Material = "unobtainium"
	b.trial(broken)
	jobs, _, err := b.app.Jobs(t.Context(), b.owner, "", app.Page{Limit: 10})
	b.ok("jobs", err)
	if after := trail(); after != before || len(jobs) != 0 {
		t.Errorf("the trail grew from %d to %d entries, %d jobs", before, after, len(jobs))
	}
	if first := b.job(b.template); first.Job.Number != 1 {
		t.Errorf("the first job has number %d", first.Job.Number)
	}
}

// What stands in the way is named by row, and there is no price beside it.
func TestAPreviewNamesWhatIsMissing(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	for name, r := range map[string]struct {
		change  func(p *domain.TemplatePlan)
		pointer string
		says    string
	}{
		"a material":    {func(p *domain.TemplatePlan) { p.Lines[0].Material = "unobtainium" }, "/plan/lines/0/material", "unobtainium"},
		"a skill":       {func(p *domain.TemplatePlan) { p.Tasks[0].Skill = "juggler" }, "/plan/tasks/0/skill", "juggler"},
		"a station":     {func(p *domain.TemplatePlan) { p.Tasks[0].Station = "moon" }, "/plan/tasks/0/station", "moon"},
		"a circle":      {circle, "/plan/links/5", "B10 → C10 → B10"},
		"a car's words": {func(p *domain.TemplatePlan) { p.VehicleOptions = aBody() }, "/vehicle/options/body", "Body"},
	} {
		plan := smallPlan()
		r.change(&plan)
		out := b.trial(plan)
		i := slices.IndexFunc(out.Problems, func(f fault.Field) bool { return f.Pointer == r.pointer })
		if i < 0 || !strings.Contains(out.Problems[i].Detail, r.says) || out.Page.Price.Lines != nil {
			t.Errorf("%s: got %v and a price %v, want %s saying %q and none", name, out.Problems, out.Page.Price.Lines, r.pointer, r.says)
		}
	}
}

func aBody() []domain.VehicleOption {
	return []domain.VehicleOption{{Key: "body", Name: "Body", Choices: []domain.OptionChoice{{Key: "open", Name: "open"}}}}
}

func circle(p *domain.TemplatePlan) {
	p.Links = append(p.Links, domain.TemplateLink{From: "C10", To: "B10", Type: "SS", LagHours: decimal.Zero, LagKind: "working"})
}

func TestACircleIsRefusedAndNamed(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	plan := smallPlan()
	circle(&plan)
	_, err := b.app.SaveTemplate(t.Context(), b.owner, b.template, on(1), plan, "")
	refused(t, "a circle", err, "network-cycle")
	if e := fault.As(err); e == nil || !strings.Contains(e.Detail, "B10 → C10 → B10") {
		t.Errorf("the circle is not named by its codes: %v", err)
	}
	now, err := b.app.Template(t.Context(), b.owner, b.template)
	b.ok("template", err)
	if now.Newest.Revision != 1 {
		t.Errorf("the refused plan was stored as revision %d", now.Newest.Revision)
	}
}

// A job goes on reading the repair list of the revision that it was made from,
// whatever is saved later.
func TestAJobKeepsTheRevisionItWasMadeFrom(t *testing.T) {
	b, _, _ := frameBench(t)
	short := repair.Example().List
	short.Repairs = short.Repairs[1:]
	plan := smallPlan()
	plan.Key, plan.Name, plan.Frame, plan.Repairs = "own", "Own repairs", "two", &short
	first := domain.Template{ID: "00000009-4444-7000-8000-000000000009", Revision: 1, Plan: plan}
	b.ok("template", b.store.Update(t.Context(), b.shop, func(tx app.Tx) error { return tx.AddTemplate(first) }))
	j := b.job(first.ID)
	second := b.saved(first.ID, 1, func(p *domain.TemplatePlan) { p.Tasks[0].Name = "Strip it all" })
	if second.Revision != 2 || !second.OwnRepairs || len(second.Repairs.Repairs) != len(short.Repairs) {
		t.Fatalf("revision %d with %d repairs, own: %v; an edit keeps the list", second.Revision, len(second.Repairs.Repairs), second.OwnRepairs)
	}
	third := second.Revised("00000009-4445-7000-8000-000000000009", second.Plan, monday, "Ilvane Torresk", "")
	third.Plan.Repairs = nil
	b.ok("third", b.store.Update(t.Context(), b.shop, func(tx app.Tx) error { return tx.AddTemplate(third) }))
	suggested := func(job domain.ID) int {
		out, err := b.app.SuggestRepairs(t.Context(), b.marik, job, repair.Finding{Condition: repair.Perforated, LengthMM: 140, WidthMM: 60, Count: 1})
		b.ok("suggesting", err)
		return len(out.Suggestions)
	}
	if got := suggested(j.Job.ID); got != 1 {
		t.Errorf("the old job is offered %d repairs, want the one of its own revision", got)
	}
	if got := suggested(b.job(third.ID).Job.ID); got != 2 {
		t.Errorf("a new job is offered %d repairs, want the program's two", got)
	}
	if b.page(j.Job.ID).Estimate.Tasks[0].Name != "Strip" {
		t.Error("saving a template renamed a job's task")
	}
}

func TestRevisionsAreSavedRestoredAndRetired(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	second := b.saved(b.template, 1, func(p *domain.TemplatePlan) { p.Name = "Smaller job" })
	_, err := b.app.SaveTemplate(t.Context(), b.owner, b.template, on(1), smallPlan(), "Mine.")
	refused(t, "an edit of an old revision", err, "stale-edit")
	if e := fault.As(err); e == nil || e.Evidence == nil || e.Evidence.(app.TemplatePage).ID != second.ID {
		t.Errorf("the stale edit shows %v, want revision 2", err)
	}
	_, err = b.app.SaveTemplate(t.Context(), b.owner, b.template, app.Precondition{}, smallPlan(), "")
	refused(t, "an edit without a version", err, "if-match-missing")
	_, err = b.app.RestoreTemplate(t.Context(), b.owner, second.ID, on(2), "")
	refused(t, "restoring the newest", err, "template-newest")
	third, err := b.app.RestoreTemplate(t.Context(), b.owner, b.template, on(2), "It was better.")
	b.ok("restoring", err)
	if third.Revision != 3 || third.Plan.Name != "Small job" || third.Note != "As in revision 1. It was better." {
		t.Errorf("restored revision %d, %q, %q", third.Revision, third.Plan.Name, third.Note)
	}
	old := app.NewJob{Title: "Body off", TemplateID: second.ID, ClientID: b.client.PersonID, Vehicle: domain.Vehicle{Options: map[string]string{}}}
	_, err = b.app.CreateJob(t.Context(), b.owner, b.key(), old)
	refused(t, "a job from an old revision", err, "template-revised")
	fourth, err := b.app.RetireTemplate(t.Context(), b.owner, third.ID, on(3), "Nobody asks.")
	b.ok("retiring", err)
	old.TemplateID = fourth.ID
	_, err = b.app.CreateJob(t.Context(), b.owner, b.key(), old)
	refused(t, "a job from a retired template", err, "template-retired")
	_, err = b.app.SaveTemplate(t.Context(), b.owner, fourth.ID, on(4), smallPlan(), "")
	refused(t, "saving what is retired", err, "template-retired")
	_, err = b.app.RetireTemplate(t.Context(), b.owner, fourth.ID, on(4), "")
	refused(t, "retiring twice", err, "template-retired")
	retired, err := b.app.RetiredTemplates(t.Context(), b.owner)
	b.ok("retired", err)
	listed, err := b.app.Templates(t.Context(), b.owner)
	b.ok("templates", err)
	if len(retired) != 1 || retired[0].ID != fourth.ID || len(listed) != 1 {
		t.Errorf("%d retired, %d listed", len(retired), len(listed))
	}
	_, err = b.app.RestoreTemplate(t.Context(), b.owner, fourth.ID, on(4), "")
	b.ok("bringing it back", err)
	history, err := b.app.TemplateRevisions(t.Context(), b.owner, b.template)
	b.ok("revisions", err)
	var told []string
	for _, r := range history {
		told = append(told, r.SavedBy+": "+r.Note)
	}
	want := []string{"Ilvane Torresk: As in revision 4.", "Ilvane Torresk: Nobody asks.", "Ilvane Torresk: As in revision 1. It was better.", "Ilvane Torresk: Changed.", "Ilvane Torresk: "}
	if !slices.Equal(told, want) {
		t.Errorf("the history says %q, want %q", told, want)
	}
}

// A copy has a key of its own, so that what is saved of one leaves the other.
func TestACopyHasItsOwnKey(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	key := b.key()
	made, err := b.app.AddTemplate(t.Context(), b.owner, key, app.NewTemplate{Name: "Small job, Über-lang!", CopyOf: b.template})
	b.ok("copying", err)
	again, err := b.app.AddTemplate(t.Context(), b.owner, key, app.NewTemplate{Name: "Small job, Über-lang!", CopyOf: b.template})
	b.ok("again with the same key", err)
	if again.ID != made.ID || made.Revision != 1 || made.Plan.Key == "small" || len(made.Plan.Tasks) != len(smallPlan().Tasks) {
		t.Errorf("copied to %s %q with %d tasks, again %s", made.ID, made.Plan.Key, len(made.Plan.Tasks), again.ID)
	}
	twin, err := b.app.AddTemplate(t.Context(), b.owner, b.key(), app.NewTemplate{Name: "Small job, Über-lang!", CopyOf: b.template})
	b.ok("copying again", err)
	if twin.Plan.Key == made.Plan.Key || !strings.Contains(twin.Note, "Small job, revision 1") {
		t.Errorf("two copies have keys %q and %q, note %q", made.Plan.Key, twin.Plan.Key, twin.Note)
	}
	b.saved(made.ID, 1, func(p *domain.TemplatePlan) { p.Tasks = p.Tasks[:1]; p.Links, p.Lines = nil, nil })
	kept, err := b.app.Template(t.Context(), b.owner, b.template)
	b.ok("template", err)
	if kept.Newest.Revision != 1 || len(kept.Plan.Tasks) != 6 {
		t.Errorf("editing a copy changed what it was copied from: revision %d, %d tasks", kept.Newest.Revision, len(kept.Plan.Tasks))
	}
	_, err = b.app.AddTemplate(t.Context(), b.owner, b.key(), app.NewTemplate{Name: "x", CopyOf: b.client.PersonID})
	refused(t, "a copy of nothing", err, "template-not-found")
	empty, err := b.app.AddTemplate(t.Context(), b.owner, b.key(), app.NewTemplate{Name: "測試"})
	b.ok("an empty one", err)
	if !b.trial(empty.Plan).Stands() || len(empty.Plan.Phases) != 5 || empty.Plan.Key != "template" {
		t.Errorf("an empty template has %d phases, key %q", len(empty.Plan.Phases), empty.Plan.Key)
	}
}
