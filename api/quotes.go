package api

import (
	"context"
)

// IssueQuote fixes the estimate as the next numbered revision.
func (s *Server) IssueQuote(ctx context.Context, r IssueQuoteRequestObject) (IssueQuoteResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	q, err := s.app.IssueQuote(ctx, actorOf(ctx), r.Job, made, r.Params.IdempotencyKey, r.Body.ValidDays, r.Body.Note)
	if err != nil {
		return nil, err
	}
	return IssueQuote201JSONResponse(quoteView(q, s.app.Now())), nil
}

// GetQuote shows one revision to the owner.
func (s *Server) GetQuote(ctx context.Context, r GetQuoteRequestObject) (GetQuoteResponseObject, error) {
	q, err := s.app.Quote(ctx, actorOf(ctx), r.Quote)
	if err != nil {
		return nil, err
	}
	return GetQuote200JSONResponse(quoteView(q, s.app.Now())), nil
}

// WithdrawQuote takes back an open quote.
func (s *Server) WithdrawQuote(ctx context.Context, r WithdrawQuoteRequestObject) (WithdrawQuoteResponseObject, error) {
	q, err := s.app.WithdrawQuote(ctx, actorOf(ctx), r.Quote, r.Params.IdempotencyKey, r.Body.Reason)
	if err != nil {
		return nil, err
	}
	return WithdrawQuote200JSONResponse(quoteView(q, s.app.Now())), nil
}

// RecordDecision keeps what a client said in person, by telephone or by e-mail.
func (s *Server) RecordDecision(ctx context.Context, r RecordDecisionRequestObject) (RecordDecisionResponseObject, error) {
	d, err := recordedFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	q, err := s.app.RecordDecision(ctx, actorOf(ctx), r.Quote, r.Params.IdempotencyKey, d)
	if err != nil {
		return nil, err
	}
	return RecordDecision200JSONResponse(quoteView(q, s.app.Now())), nil
}
