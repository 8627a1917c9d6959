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
