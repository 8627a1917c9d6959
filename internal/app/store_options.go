package app

import (
	"time"

	"bareframe/internal/domain"
)

// OptionReader reads what quotes keep besides; the options of an estimate come
// with it.
type OptionReader interface {
	// Snapshot is there for every quote with options, and for those without since
	// workbooks are written from it; else NotFound.
	Snapshot(quoteID domain.ID) (domain.Snapshot, error)
	// AgreedDocument is there once such a quote was accepted.
	AgreedDocument(quoteID domain.ID) (domain.Document, error)
}

// OptionWriter writes options.
type OptionWriter interface {
	AddOptions(rows []domain.Option) error
	SaveOption(o domain.Option) error
	RemoveOption(id domain.ID, at time.Time) error
	AddSnapshot(quoteID domain.ID, s domain.Snapshot) error
	AddAgreedDocument(quoteID domain.ID, doc domain.Document) error
}
