package api

import (
	"context"

	"bareframe/internal/app"
)

// ListClientOrders lists the orders that were sent to the client, newest first.
func (s *Server) ListClientOrders(ctx context.Context, r ListClientOrdersRequestObject) (ListClientOrdersResponseObject, error) {
	pages, err := s.app.ClientOrders(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return ListClientOrders200JSONResponse{Items: each(pages, clientOrderSummary)}, nil
}

// GetClientOrder shows one order to its client.
func (s *Server) GetClientOrder(ctx context.Context, r GetClientOrderRequestObject) (GetClientOrderResponseObject, error) {
	p, err := s.app.ClientOrder(ctx, actorOf(ctx), r.Order)
	if err != nil {
		return nil, err
	}
	return GetClientOrder200JSONResponse(clientOrder(p)), nil
}

// DecideOrder keeps the client's own decision.
func (s *Server) DecideOrder(ctx context.Context, r DecideOrderRequestObject) (DecideOrderResponseObject, error) {
	d, err := portalOrderFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	p, err := s.app.DecideOrder(ctx, actorOf(ctx), r.Order, r.Params.IdempotencyKey, d)
	if err != nil {
		return nil, err
	}
	return DecideOrder200JSONResponse(clientOrder(p)), nil
}

// PreviewClientOrder says what a selection would do to total and date.
func (s *Server) PreviewClientOrder(ctx context.Context, r PreviewClientOrderRequestObject) (PreviewClientOrderResponseObject, error) {
	e, err := s.app.PreviewClientOrder(ctx, actorOf(ctx), r.Order, choicesFrom(r.Body.Choices))
	if err != nil {
		return nil, err
	}
	return PreviewClientOrder200JSONResponse(clientEffect(e)), nil
}

// AskAboutOrder keeps a question about an order that waits for a decision.
func (s *Server) AskAboutOrder(ctx context.Context, r AskAboutOrderRequestObject) (AskAboutOrderResponseObject, error) {
	p, err := s.app.AskAboutOrder(ctx, actorOf(ctx), r.Order, r.Params.IdempotencyKey, r.Body.Text)
	if err != nil {
		return nil, err
	}
	return AskAboutOrder201JSONResponse(clientOrder(p)), nil
}

func portalOrderFrom(b ClientOrderDecision) (app.PortalOrderDecision, error) {
	var r reading
	d := app.PortalOrderDecision{Approved: b.Outcome == OrderOutcomeApproved, Name: b.Name, Signature: b.Signature, DocumentHash: b.DocumentHash,
		Choices: choicesFrom(b.Choices), Amount: r.decimal("/amount", b.Amount), PromiseAfter: r.day("/promise_after", b.PromiseAfter), Reason: b.Reason}
	return d, r.err()
}
