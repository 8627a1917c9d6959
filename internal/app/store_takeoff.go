package app

import "bareframe/internal/domain"

// TakeoffReader reads what moved with the takeoff, and what jobs took of each other.
type TakeoffReader interface {
	// TakeoffMoves lists a job's, newest first.
	TakeoffMoves(jobID domain.ID, page Page) ([]domain.TakeoffMove, string, error)
	// StockMoves lists the shop's, oldest first, voided ones too.
	StockMoves() ([]domain.StockMove, error)
	StockMove(id domain.ID) (domain.StockMove, error)
}

// TakeoffWriter writes them. They are kept as they were written, save that a stock
// move is voided once: Conflict "append-only".
type TakeoffWriter interface {
	AddTakeoffMove(m domain.TakeoffMove) error
	AddStockMove(m domain.StockMove) error
	VoidStockMove(m domain.StockMove) error
}
