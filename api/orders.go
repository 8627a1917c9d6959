package api

import (
	"context"

	"bareframe/internal/app"
)

// GatherFindings drafts the order of the strip gate from all findings that wait.
func (s *Server) GatherFindings(ctx context.Context, r GatherFindingsRequestObject) (GatherFindingsResponseObject, error) {
	body, tag, err := orderAnswer(s.app.GatherFindings(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey))
	if err != nil {
		return nil, err
	}
	return GatherFindings201JSONResponse{Body: body, Headers: GatherFindings201ResponseHeaders{ETag: tag}}, nil
}

// OrderOption drafts a change order from an option that was not taken.
func (s *Server) OrderOption(ctx context.Context, r OrderOptionRequestObject) (OrderOptionResponseObject, error) {
	body, tag, err := orderAnswer(s.app.OrderOption(ctx, actorOf(ctx), r.Job, r.Option, r.Params.IdempotencyKey))
	if err != nil {
		return nil, err
	}
	return OrderOption201JSONResponse{Body: body, Headers: OrderOption201ResponseHeaders{ETag: tag}}, nil
}

// ListOrders lists a job's change orders, newest first.
func (s *Server) ListOrders(ctx context.Context, r ListOrdersRequestObject) (ListOrdersResponseObject, error) {
	pages, err := s.app.Orders(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return ListOrders200JSONResponse{Items: each(pages, orderSummary)}, nil
}

// AddOrder drafts a change order.
func (s *Server) AddOrder(ctx context.Context, r AddOrderRequestObject) (AddOrderResponseObject, error) {
	draft, err := orderFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := orderAnswer(s.app.AddOrder(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, draft))
	if err != nil {
		return nil, err
	}
	return AddOrder201JSONResponse{Body: body, Headers: AddOrder201ResponseHeaders{ETag: tag}}, nil
}

// GetOrder shows one order to the owner.
func (s *Server) GetOrder(ctx context.Context, r GetOrderRequestObject) (GetOrderResponseObject, error) {
	body, tag, err := orderAnswer(s.app.Order(ctx, actorOf(ctx), r.Order))
	if err != nil {
		return nil, err
	}
	return GetOrder200JSONResponse{Body: body, Headers: GetOrder200ResponseHeaders{ETag: tag}}, nil
}

// ChangeOrder edits a draft.
func (s *Server) ChangeOrder(ctx context.Context, r ChangeOrderRequestObject) (ChangeOrderResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := orderFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := orderAnswer(s.app.ChangeOrder(ctx, actorOf(ctx), r.Order, made, draft))
	if err != nil {
		return nil, err
	}
	return ChangeOrder200JSONResponse{Body: body, Headers: ChangeOrder200ResponseHeaders{ETag: tag}}, nil
}

// RecordOrderDecision keeps what a client said in person, by telephone or by e-mail.
func (s *Server) RecordOrderDecision(ctx context.Context, r RecordOrderDecisionRequestObject) (RecordOrderDecisionResponseObject, error) {
	d, err := recordedOrderFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, _, err := orderAnswer(s.app.RecordOrderDecision(ctx, actorOf(ctx), r.Order, r.Params.IdempotencyKey, d))
	if err != nil {
		return nil, err
	}
	return RecordOrderDecision200JSONResponse(body), nil
}

// PreviewOrder says what a selection would do.
func (s *Server) PreviewOrder(ctx context.Context, r PreviewOrderRequestObject) (PreviewOrderResponseObject, error) {
	e, err := s.app.PreviewOrder(ctx, actorOf(ctx), r.Order, choicesFrom(r.Body.Choices))
	if err != nil {
		return nil, err
	}
	return PreviewOrder200JSONResponse(effectView(e)), nil
}

// AnswerAboutOrder keeps the shop's answer to a question.
func (s *Server) AnswerAboutOrder(ctx context.Context, r AnswerAboutOrderRequestObject) (AnswerAboutOrderResponseObject, error) {
	body, _, err := orderAnswer(s.app.AnswerAboutOrder(ctx, actorOf(ctx), r.Order, r.Params.IdempotencyKey, r.Body.Text))
	if err != nil {
		return nil, err
	}
	return AnswerAboutOrder201JSONResponse(body), nil
}

// SendOrder puts a draft before the client.
func (s *Server) SendOrder(ctx context.Context, r SendOrderRequestObject) (SendOrderResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := orderAnswer(s.app.SendOrder(ctx, actorOf(ctx), r.Order, made, r.Params.IdempotencyKey, r.Body.ValidDays))
	if err != nil {
		return nil, err
	}
	return SendOrder200JSONResponse{Body: body, Headers: SendOrder200ResponseHeaders{ETag: tag}}, nil
}

// WithdrawOrder takes back a draft or an order that waits for a decision.
func (s *Server) WithdrawOrder(ctx context.Context, r WithdrawOrderRequestObject) (WithdrawOrderResponseObject, error) {
	body, _, err := orderAnswer(s.app.WithdrawOrder(ctx, actorOf(ctx), r.Order, r.Params.IdempotencyKey, r.Body.Reason))
	if err != nil {
		return nil, err
	}
	return WithdrawOrder200JSONResponse(body), nil
}

// orderAnswer maps a use case's order with the version that it bears.
func orderAnswer(p app.OrderPage, err error) (Order, *string, error) {
	if err != nil {
		return Order{}, nil, err
	}
	return orderView(p), etag(p.Order.Version), nil
}
