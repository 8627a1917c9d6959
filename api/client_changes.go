package api

import (
	"context"

	"bareframe/internal/fault"
)

// GetClientFrame is not built yet.
func (s *Server) GetClientFrame(_ context.Context, _ GetClientFrameRequestObject) (GetClientFrameResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ListClientLetters is not built yet.
func (s *Server) ListClientLetters(_ context.Context, _ ListClientLettersRequestObject) (ListClientLettersResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetClientMoney is not built yet.
func (s *Server) GetClientMoney(_ context.Context, _ GetClientMoneyRequestObject) (GetClientMoneyResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ListClientOrders is not built yet.
func (s *Server) ListClientOrders(_ context.Context, _ ListClientOrdersRequestObject) (ListClientOrdersResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetClientOrder is not built yet.
func (s *Server) GetClientOrder(_ context.Context, _ GetClientOrderRequestObject) (GetClientOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// DecideOrder is not built yet.
func (s *Server) DecideOrder(_ context.Context, _ DecideOrderRequestObject) (DecideOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetClientOrderDocument is not built yet.
func (s *Server) GetClientOrderDocument(_ context.Context, _ GetClientOrderDocumentRequestObject) (GetClientOrderDocumentResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// PreviewClientOrder is not built yet.
func (s *Server) PreviewClientOrder(_ context.Context, _ PreviewClientOrderRequestObject) (PreviewClientOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// AskAboutOrder is not built yet.
func (s *Server) AskAboutOrder(_ context.Context, _ AskAboutOrderRequestObject) (AskAboutOrderResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
