package store

import (
	"encoding/json"
	"time"

	"bareframe/internal/domain"
)

type planRecord struct {
	ShopID    string
	ID        string
	Revision  int
	MadeAt    time.Time
	MadeBy    string
	Cause     string
	Facts     string
	Seed      int64
	Schedules int
	Status    string
	Late      int64
	Bound     int64
	Body      string
	State     string
	DecidedAt *time.Time
	DecidedBy string
}

// TableName names the table.
func (planRecord) TableName() string { return "shop_plans" }

func (r planRecord) toDomain() domain.ShopPlan {
	return domain.ShopPlan{ID: r.ID, Revision: r.Revision, MadeAt: r.MadeAt.UTC(), MadeBy: r.MadeBy, Cause: r.Cause, Facts: r.Facts, Seed: uint64(r.Seed),
		Schedules: r.Schedules, Status: r.Status, Late: r.Late, Bound: r.Bound, Body: json.RawMessage(r.Body), State: domain.PlanState(r.State),
		DecidedAt: utcOrNil(r.DecidedAt), DecidedBy: r.DecidedBy}
}

func planRecordOf(shop string, p domain.ShopPlan) planRecord {
	return planRecord{ShopID: shop, ID: p.ID, Revision: p.Revision, MadeAt: instant(p.MadeAt), MadeBy: p.MadeBy, Cause: p.Cause, Facts: p.Facts, Seed: int64(p.Seed),
		Schedules: p.Schedules, Status: p.Status, Late: p.Late, Bound: p.Bound, Body: string(p.Body), State: string(p.State),
		DecidedAt: instantOrNil(p.DecidedAt), DecidedBy: p.DecidedBy}
}

// planHeadRecord is a plan without what it says, which may take a megabyte.
type planHeadRecord struct {
	ID       string
	Revision int
	MadeAt   time.Time
	Facts    string
	State    string
}

// TableName names the table.
func (planHeadRecord) TableName() string { return "shop_plans" }

func (r planHeadRecord) toDomain() domain.ShopPlan {
	return domain.ShopPlan{ID: r.ID, Revision: r.Revision, MadeAt: r.MadeAt.UTC(), Facts: r.Facts, State: domain.PlanState(r.State)}
}

type pinRecord struct {
	ShopID string
	TaskID string
	JobID  string
	Start  time.Time
	People string
	ByName string
	At     time.Time
}

// TableName names the table.
func (pinRecord) TableName() string { return "floor_pins" }

func (r pinRecord) toDomain() (domain.FloorPin, error) {
	p := domain.FloorPin{TaskID: r.TaskID, JobID: r.JobID, Start: r.Start.UTC(), ByName: r.ByName, At: r.At.UTC()}
	return p, json.Unmarshal([]byte(r.People), &p.People)
}

type trialRecord struct {
	ShopID  string
	ID      string
	Name    string
	PlanID  string
	Facts   string
	Changes string
	Body    string
	MadeAt  time.Time
	MadeBy  string
}

// TableName names the table.
func (trialRecord) TableName() string { return "floor_trials" }

func (r trialRecord) toDomain() domain.FloorTrial {
	return domain.FloorTrial{ID: r.ID, Name: r.Name, PlanID: r.PlanID, Facts: r.Facts, Changes: json.RawMessage(r.Changes), Body: json.RawMessage(r.Body),
		MadeAt: r.MadeAt.UTC(), MadeBy: r.MadeBy}
}

type runRecord struct {
	ShopID       string
	State        string
	Number       int
	Cause        string
	ByID         string
	ByName       string
	AskedAt      time.Time
	ClaimedUntil *time.Time
	EndedAt      *time.Time
	Cancel       bool
	Schedules    int
	OfSchedules  int
	Late         int64
	Facts        string
	Note         string
}

// TableName names the table.
func (runRecord) TableName() string { return "floor_runs" }

func (r runRecord) toDomain() domain.FloorRun {
	return domain.FloorRun{State: domain.RunState(r.State), Number: r.Number, Cause: r.Cause, ByID: r.ByID, ByName: r.ByName, AskedAt: r.AskedAt.UTC(),
		ClaimedUntil: utcOrNil(r.ClaimedUntil), EndedAt: utcOrNil(r.EndedAt), Cancel: r.Cancel, Schedules: r.Schedules, OfSchedules: r.OfSchedules,
		Late: r.Late, Facts: r.Facts, Note: r.Note}
}

// AgreedPlanID names the newest plan that was agreed to.
func (r *reader) AgreedPlanID() (domain.ID, bool, error) {
	ids, err := column[domain.ID](r, "SELECT id FROM shop_plans WHERE shop_id = ? AND state = ? ORDER BY revision DESC LIMIT 1", r.shop, string(domain.PlanAgreed))
	if err != nil || len(ids) == 0 {
		return "", false, err
	}
	return ids[0], true, nil
}

// NewestPlans are the newest plan that was agreed to, the newest that waits and the
// newest of all, whatever became of it.
func (r *reader) NewestPlans() ([]domain.ShopPlan, error) {
	rows, err := list[planHeadRecord](r, "revision", 0, `(
		revision IN (SELECT MAX(revision) FROM shop_plans WHERE shop_id = ? AND state IN ('agreed', 'proposed') GROUP BY state)
		OR revision = (SELECT MAX(revision) FROM shop_plans WHERE shop_id = ?))`, r.shop, r.shop)
	return domains(rows), err
}

// ProposedPlan returns the newest plan that waits for a decision.
func (r *reader) ProposedPlan() (domain.ShopPlan, bool, error) {
	rows, err := list[planRecord](r, "revision DESC", 1, "state = ?", string(domain.PlanProposed))
	if err != nil || len(rows) == 0 {
		return domain.ShopPlan{}, false, err
	}
	return rows[0].toDomain(), true, nil
}

// ShopPlan returns one plan.
func (r *reader) ShopPlan(id domain.ID) (domain.ShopPlan, error) {
	row, err := one[planRecord](r, "plan", "id = ?", id)
	return row.toDomain(), err
}

// LastPlanRevision is 0 when there is no plan yet.
func (r *reader) LastPlanRevision() (int, error) {
	numbers, err := column[int](r, "SELECT COALESCE(MAX(revision), 0) FROM shop_plans WHERE shop_id = ?", r.shop)
	if err != nil || len(numbers) == 0 {
		return 0, err
	}
	return numbers[0], nil
}

// Pins lists what was decided by hand, by task.
func (r *reader) Pins() ([]domain.FloorPin, error) {
	rows, err := list[pinRecord](r, "task_id", 0, "1 = 1")
	out := make([]domain.FloorPin, 0, len(rows))
	for _, row := range rows {
		p, err := row.toDomain()
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, err
}

// Trial returns what was tried.
func (r *reader) Trial(id domain.ID) (domain.FloorTrial, error) {
	row, err := one[trialRecord](r, "what-if", "id = ?", id)
	return row.toDomain(), err
}

// SavedTrials lists those that have a name, newest first.
func (r *reader) SavedTrials() ([]domain.FloorTrial, error) {
	rows, err := list[trialRecord](r, "made_at DESC, id DESC", 0, "name <> ''")
	return domains(rows), err
}

// Run returns the present or last making of a plan.
func (r *reader) Run() (domain.FloorRun, bool, error) {
	rows, err := list[runRecord](r, "", 1, "1 = 1")
	if err != nil || len(rows) == 0 {
		return domain.FloorRun{}, false, err
	}
	return rows[0].toDomain(), true, nil
}

// SuppliesOf lists the notes of several jobs, oldest first.
func (r *reader) SuppliesOf(jobIDs []domain.ID) ([]domain.Supply, error) {
	if len(jobIDs) == 0 {
		return []domain.Supply{}, nil
	}
	of, arg := r.among("job_id", jobIDs)
	rows, err := list[supplyRecord](r, "at, id", 0, of, arg)
	return domains(rows), err
}

// AddShopPlan stores a plan as it was made.
func (w *writer) AddShopPlan(p domain.ShopPlan) error {
	return add(w, []planRecord{planRecordOf(w.shop, p)})
}

// DecidePlan keeps whether a proposed plan was agreed to.
func (w *writer) DecidePlan(p domain.ShopPlan) error {
	return w.exec("plan", "UPDATE shop_plans SET state = ?, decided_at = ?, decided_by = ? WHERE shop_id = ? AND id = ?",
		string(p.State), instantOrNil(p.DecidedAt), p.DecidedBy, w.shop, p.ID)
}

// ForgetPlans empties what plans said, but for the newest ones, the one that holds and
// one that waits. Their rows stay.
func (w *writer) ForgetPlans(newest int) error {
	agreed, _, err := w.AgreedPlanID()
	if err != nil {
		return err
	}
	last, err := w.LastPlanRevision()
	if err != nil {
		return err
	}
	return w.ran(w.db.Exec("UPDATE shop_plans SET body = '' WHERE shop_id = ? AND revision <= ? AND body <> '' AND state <> 'proposed' AND id <> ?", w.shop, last-newest, agreed))
}

// SavePin keeps what was decided about a task in the place of what was before.
func (w *writer) SavePin(p domain.FloorPin) error {
	people, err := json.Marshal(append([]domain.ID{}, p.People...))
	if err != nil {
		return err
	}
	if err := w.RemovePin(p.TaskID); err != nil {
		return err
	}
	return add(w, []pinRecord{{ShopID: w.shop, TaskID: p.TaskID, JobID: p.JobID, Start: instant(p.Start), People: string(people), ByName: p.ByName, At: instant(p.At)}})
}

// RemovePin takes a decision back; there need not be one.
func (w *writer) RemovePin(taskID domain.ID) error {
	return w.ran(w.db.Exec("DELETE FROM floor_pins WHERE shop_id = ? AND task_id = ?", w.shop, taskID))
}

// AddTrial keeps what was tried.
func (w *writer) AddTrial(t domain.FloorTrial) error {
	return add(w, []trialRecord{{ShopID: w.shop, ID: t.ID, Name: t.Name, PlanID: t.PlanID, Facts: t.Facts, Changes: string(t.Changes), Body: string(t.Body),
		MadeAt: instant(t.MadeAt), MadeBy: t.MadeBy}})
}

// NameTrial saves what was tried under a name.
func (w *writer) NameTrial(id domain.ID, name string) error {
	return w.exec("what-if", "UPDATE floor_trials SET name = ? WHERE shop_id = ? AND id = ?", name, w.shop, id)
}

// RemoveTrial drops what was tried.
func (w *writer) RemoveTrial(id domain.ID) error {
	return w.exec("what-if", "DELETE FROM floor_trials WHERE shop_id = ? AND id = ?", w.shop, id)
}

// ForgetTrials forgets what was tried before an instant and not saved, and all but the
// newest of what was not saved since.
func (w *writer) ForgetTrials(before time.Time, newest int) error {
	return w.ran(w.db.Exec(`DELETE FROM floor_trials WHERE shop_id = ? AND name = '' AND (made_at < ? OR id NOT IN (
		SELECT id FROM floor_trials WHERE shop_id = ? AND name = '' ORDER BY made_at DESC, id DESC LIMIT ?))`, w.shop, instant(before), w.shop, newest))
}

// SaveRun keeps the present making of a plan in the place of the last.
func (w *writer) SaveRun(r domain.FloorRun) error {
	if err := w.ran(w.db.Exec("DELETE FROM floor_runs WHERE shop_id = ?", w.shop)); err != nil {
		return err
	}
	return add(w, []runRecord{{ShopID: w.shop, State: string(r.State), Number: r.Number, Cause: r.Cause, ByID: r.ByID, ByName: r.ByName, AskedAt: instant(r.AskedAt),
		ClaimedUntil: instantOrNil(r.ClaimedUntil), EndedAt: instantOrNil(r.EndedAt), Cancel: r.Cancel, Schedules: r.Schedules, OfSchedules: r.OfSchedules,
		Late: r.Late, Facts: r.Facts, Note: r.Note}})
}
