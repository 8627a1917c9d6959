package api

import (
	"context"

	"bareframe/internal/fault"
)

// NoteSupply is not built yet.
func (s *Server) NoteSupply(_ context.Context, _ NoteSupplyRequestObject) (NoteSupplyResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetJobMoney is not built yet.
func (s *Server) GetJobMoney(_ context.Context, _ GetJobMoneyRequestObject) (GetJobMoneyResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// OverrideWatch is not built yet.
func (s *Server) OverrideWatch(_ context.Context, _ OverrideWatchRequestObject) (OverrideWatchResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// AddPayment is not built yet.
func (s *Server) AddPayment(_ context.Context, _ AddPaymentRequestObject) (AddPaymentResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetStopNowDocument is not built yet.
func (s *Server) GetStopNowDocument(_ context.Context, _ GetStopNowDocumentRequestObject) (GetStopNowDocumentResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// VoidPayment is not built yet.
func (s *Server) VoidPayment(_ context.Context, _ VoidPaymentRequestObject) (VoidPaymentResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
