package app

import "bareframe/internal/domain"

// MoneyReader reads who can authorise, what was paid, ordered and fitted, and
// how far work may go past the stop.
type MoneyReader interface {
	// Authorisers lists a job's, in the order in which they were named, ended
	// ones too.
	Authorisers(jobID domain.ID) ([]domain.Authoriser, error)
	Authoriser(id domain.ID) (domain.Authoriser, error)
	// Payments lists a job's by when they were recorded, voided ones too.
	Payments(jobID domain.ID) ([]domain.Payment, error)
	Payment(id domain.ID) (domain.Payment, error)
	// Supplies lists a job's notes, oldest first.
	Supplies(jobID domain.ID) ([]domain.Supply, error)
	// Expected tells of several jobs which lines' things are ordered and expected on
	// which day.
	Expected(jobIDs []domain.ID) (map[domain.ID]map[domain.ID]domain.Day, error)
	// WatchOverrides lists a job's, oldest first.
	WatchOverrides(jobID domain.ID) ([]domain.WatchOverride, error)
}

// MoneyWriter writes them. All are kept as they were written, save that an
// authoriser ends once and a payment is voided once: Conflict "append-only".
type MoneyWriter interface {
	AddAuthoriser(a domain.Authoriser) error
	EndAuthoriser(a domain.Authoriser) error
	AddPayment(p domain.Payment) error
	VoidPayment(p domain.Payment) error
	AddSupply(s domain.Supply) error
	AddWatchOverride(o domain.WatchOverride) error
}
