package app

import (
	"time"

	"bareframe/internal/domain"
)

// FloorReader reads the plans of all jobs together.
type FloorReader interface {
	// AgreedPlanID names the newest plan that was agreed to, without reading it; ok is
	// false when there is none.
	AgreedPlanID() (id domain.ID, ok bool, err error)
	// NewestPlans are the plan that holds, the one that waits and the last that was made,
	// even if it was dropped, each once and without what it says.
	NewestPlans() ([]domain.ShopPlan, error)
	// ProposedPlan returns the newest plan that waits for a decision.
	ProposedPlan() (plan domain.ShopPlan, ok bool, err error)
	ShopPlan(id domain.ID) (domain.ShopPlan, error)
	// LastPlanRevision is 0 when there is no plan yet.
	LastPlanRevision() (int, error)
	// Pins lists what was decided by hand, by task.
	Pins() ([]domain.FloorPin, error)
	Trial(id domain.ID) (domain.FloorTrial, error)
	// SavedTrials lists those that have a name, newest first, without their plans.
	SavedTrials() ([]domain.FloorTrial, error)
	// Run returns the present or last making of a plan.
	Run() (run domain.FloorRun, ok bool, err error)
	// SuppliesOf lists the notes of several jobs, oldest first.
	SuppliesOf(jobIDs []domain.ID) ([]domain.Supply, error)
}

// FloorWriter writes them.
type FloorWriter interface {
	AddShopPlan(p domain.ShopPlan) error
	// DecidePlan keeps the state of a proposed plan; the rest is immutable.
	DecidePlan(p domain.ShopPlan) error
	// ForgetPlans lets go of what plans said in full, but for the newest ones, the one
	// that holds and one that waits.
	ForgetPlans(newest int) error
	SavePin(p domain.FloorPin) error // in the place of the task's earlier one
	RemovePin(taskID domain.ID) error
	AddTrial(t domain.FloorTrial) error
	NameTrial(id domain.ID, name string) error
	RemoveTrial(id domain.ID) error
	// ForgetTrials forgets what was tried before an instant and not saved, and all but the
	// newest of what was not saved since.
	ForgetTrials(before time.Time, newest int) error
	SaveRun(r domain.FloorRun) error
}
