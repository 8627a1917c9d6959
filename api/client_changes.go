package api

import "context"

// ListClientLetters lists the letters of the client's own job.
func (s *Server) ListClientLetters(ctx context.Context, r ListClientLettersRequestObject) (ListClientLettersResponseObject, error) {
	letters, err := s.app.ClientLetters(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return ListClientLetters200JSONResponse{Items: each(letters, clientLetterView)}, nil
}

// GetClientMoney shows what was agreed, what was paid and what comes next.
func (s *Server) GetClientMoney(ctx context.Context, r GetClientMoneyRequestObject) (GetClientMoneyResponseObject, error) {
	m, err := s.app.ClientMoney(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetClientMoney200JSONResponse(clientMoneyView(m)), nil
}
