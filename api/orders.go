package api

import (
	"context"

	"bareframe/internal/fault"
)

// GatherFindings is not built yet.
func (s *Server) GatherFindings(_ context.Context, _ GatherFindingsRequestObject) (GatherFindingsResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ListOrders is not built yet.
func (s *Server) ListOrders(_ context.Context, _ ListOrdersRequestObject) (ListOrdersResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// AddOrder is not built yet.
func (s *Server) AddOrder(_ context.Context, _ AddOrderRequestObject) (AddOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetOrder is not built yet.
func (s *Server) GetOrder(_ context.Context, _ GetOrderRequestObject) (GetOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ChangeOrder is not built yet.
func (s *Server) ChangeOrder(_ context.Context, _ ChangeOrderRequestObject) (ChangeOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// RecordOrderDecision is not built yet.
func (s *Server) RecordOrderDecision(_ context.Context, _ RecordOrderDecisionRequestObject) (RecordOrderDecisionResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetOrderDocument is not built yet.
func (s *Server) GetOrderDocument(_ context.Context, _ GetOrderDocumentRequestObject) (GetOrderDocumentResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// PreviewOrder is not built yet.
func (s *Server) PreviewOrder(_ context.Context, _ PreviewOrderRequestObject) (PreviewOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// AnswerAboutOrder is not built yet.
func (s *Server) AnswerAboutOrder(_ context.Context, _ AnswerAboutOrderRequestObject) (AnswerAboutOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// SendOrder is not built yet.
func (s *Server) SendOrder(_ context.Context, _ SendOrderRequestObject) (SendOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// WithdrawOrder is not built yet.
func (s *Server) WithdrawOrder(_ context.Context, _ WithdrawOrderRequestObject) (WithdrawOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
