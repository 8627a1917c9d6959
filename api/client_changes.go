package api

import (
	"context"

	"bareframe/internal/fault"
)

// ListClientLetters is not built yet.
func (s *Server) ListClientLetters(_ context.Context, _ ListClientLettersRequestObject) (ListClientLettersResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetClientMoney shows what was agreed, what was paid and what comes next.
func (s *Server) GetClientMoney(ctx context.Context, r GetClientMoneyRequestObject) (GetClientMoneyResponseObject, error) {
	m, err := s.app.ClientMoney(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetClientMoney200JSONResponse(clientMoneyView(m)), nil
}
