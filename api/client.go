package api

import (
	"context"
)

// ListClientJobs lists the actor's own cars.
func (s *Server) ListClientJobs(ctx context.Context, _ ListClientJobsRequestObject) (ListClientJobsResponseObject, error) {
	pages, err := s.app.ClientJobs(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListClientJobs200JSONResponse{Items: each(pages, clientJobSummary)}, nil
}

// GetClientJob shows where one of the actor's cars stands.
func (s *Server) GetClientJob(ctx context.Context, r GetClientJobRequestObject) (GetClientJobResponseObject, error) {
	page, err := s.app.ClientJob(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetClientJob200JSONResponse(clientJob(page)), nil
}

// GetClientQuote shows a quote to its client.
func (s *Server) GetClientQuote(ctx context.Context, r GetClientQuoteRequestObject) (GetClientQuoteResponseObject, error) {
	q, err := s.app.ClientQuote(ctx, actorOf(ctx), r.Quote)
	if err != nil {
		return nil, err
	}
	return GetClientQuote200JSONResponse(clientQuote(q, s.app.Now())), nil
}

// DecideQuote keeps the client's own decision.
func (s *Server) DecideQuote(ctx context.Context, r DecideQuoteRequestObject) (DecideQuoteResponseObject, error) {
	d, err := decidedFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	q, err := s.app.DecideQuote(ctx, actorOf(ctx), r.Quote, r.Params.IdempotencyKey, d)
	if err != nil {
		return nil, err
	}
	return DecideQuote200JSONResponse(clientQuote(q, s.app.Now())), nil
}

// GetClientFrame shows a client the frame of their own car.
func (s *Server) GetClientFrame(ctx context.Context, r GetClientFrameRequestObject) (GetClientFrameResponseObject, error) {
	page, err := s.app.ClientFrame(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetClientFrame200JSONResponse(clientFrame(page)), nil
}
