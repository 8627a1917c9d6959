package api

import (
	"context"

	"bareframe/internal/domain"
)

// GetJobMoney shows a job's money so far.
func (s *Server) GetJobMoney(ctx context.Context, r GetJobMoneyRequestObject) (GetJobMoneyResponseObject, error) {
	m, err := s.app.JobMoney(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetJobMoney200JSONResponse(jobMoneyView(m)), nil
}

// OverrideWatch lets work go on past the stop.
func (s *Server) OverrideWatch(ctx context.Context, r OverrideWatchRequestObject) (OverrideWatchResponseObject, error) {
	var read reading
	upTo := read.decimal("/up_to", r.Body.UpTo)
	if err := read.err(); err != nil {
		return nil, err
	}
	m, err := s.app.OverrideWatch(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, upTo, r.Body.Reason)
	if err != nil {
		return nil, err
	}
	return OverrideWatch200JSONResponse(jobMoneyView(m)), nil
}

// AddPayment keeps a payment that came in.
func (s *Server) AddPayment(ctx context.Context, r AddPaymentRequestObject) (AddPaymentResponseObject, error) {
	var read reading
	p := domain.Payment{Amount: read.decimal("/amount", r.Body.Amount), PaidOn: read.day("/paid_on", &r.Body.PaidOn),
		How: domain.PaymentHow(r.Body.How), Note: r.Body.Note}
	if err := read.err(); err != nil {
		return nil, err
	}
	m, err := s.app.AddPayment(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, p)
	if err != nil {
		return nil, err
	}
	return AddPayment201JSONResponse(jobMoneyView(m)), nil
}

// VoidPayment says that a payment does not stand.
func (s *Server) VoidPayment(ctx context.Context, r VoidPaymentRequestObject) (VoidPaymentResponseObject, error) {
	m, err := s.app.VoidPayment(ctx, actorOf(ctx), r.Payment, r.Params.IdempotencyKey, r.Body.Reason)
	if err != nil {
		return nil, err
	}
	return VoidPayment200JSONResponse(jobMoneyView(m)), nil
}

// NoteSupply notes what became of what a line buys.
func (s *Server) NoteSupply(ctx context.Context, r NoteSupplyRequestObject) (NoteSupplyResponseObject, error) {
	var read reading
	note := domain.Supply{State: domain.SupplyState(r.Body.State), Returnable: r.Body.Returnable,
		RestockingFee: read.decimal("/restocking_fee", r.Body.RestockingFee), Note: r.Body.Note, ExpectedOn: read.day("/expected_on", r.Body.ExpectedOn)}
	if err := read.err(); err != nil {
		return nil, err
	}
	m, err := s.app.NoteSupply(ctx, actorOf(ctx), r.Job, r.Line, r.Params.IdempotencyKey, note)
	if err != nil {
		return nil, err
	}
	return NoteSupply200JSONResponse(jobMoneyView(m)), nil
}
