package api

import (
	"context"

	"bareframe/internal/app"
)

// GetFloor shows the plan of all jobs.
func (s *Server) GetFloor(ctx context.Context, _ GetFloorRequestObject) (GetFloorResponseObject, error) {
	f, err := s.app.Floor(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return GetFloor200JSONResponse(shopFloorView(f)), nil
}

// PlanFloor asks for a new plan.
func (s *Server) PlanFloor(ctx context.Context, _ PlanFloorRequestObject) (PlanFloorResponseObject, error) {
	f, err := s.app.PlanFloor(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return PlanFloor200JSONResponse(shopFloorView(f)), nil
}

// CancelPlanning stops the plan that is being made.
func (s *Server) CancelPlanning(ctx context.Context, _ CancelPlanningRequestObject) (CancelPlanningResponseObject, error) {
	f, err := s.app.CancelPlanning(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return CancelPlanning200JSONResponse(shopFloorView(f)), nil
}

// DecidePlan agrees to a plan or drops it.
func (s *Server) DecidePlan(ctx context.Context, r DecidePlanRequestObject) (DecidePlanResponseObject, error) {
	f, err := s.app.DecidePlan(ctx, actorOf(ctx), r.Plan, r.Body.Agree)
	if err != nil {
		return nil, err
	}
	return DecidePlan200JSONResponse(shopFloorView(f)), nil
}

// TryFloor plans the floor with something changed.
func (s *Server) TryFloor(ctx context.Context, r TryFloorRequestObject) (TryFloorResponseObject, error) {
	t, err := s.app.TryFloor(ctx, actorOf(ctx), each(r.Body.Changes, floorChangeIn))
	if err != nil {
		return nil, err
	}
	return TryFloor200JSONResponse(trialView(t)), nil
}

// ListTrials lists what was tried and saved.
func (s *Server) ListTrials(ctx context.Context, _ ListTrialsRequestObject) (ListTrialsResponseObject, error) {
	trials, err := s.app.WhatIfs(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListTrials200JSONResponse{Items: each(trials, trialView)}, nil
}

// KeepTrial saves what was tried under a name.
func (s *Server) KeepTrial(ctx context.Context, r KeepTrialRequestObject) (KeepTrialResponseObject, error) {
	f, err := s.app.KeepTrial(ctx, actorOf(ctx), r.Trial, r.Body.Name)
	if err != nil {
		return nil, err
	}
	return KeepTrial200JSONResponse(shopFloorView(f)), nil
}

// AdoptTrial makes what was tried real.
func (s *Server) AdoptTrial(ctx context.Context, r AdoptTrialRequestObject) (AdoptTrialResponseObject, error) {
	f, err := s.app.AdoptTrial(ctx, actorOf(ctx), r.Trial)
	if err != nil {
		return nil, err
	}
	return AdoptTrial200JSONResponse(shopFloorView(f)), nil
}

// DropTrial forgets what was tried.
func (s *Server) DropTrial(ctx context.Context, r DropTrialRequestObject) (DropTrialResponseObject, error) {
	if err := s.app.DropTrial(ctx, actorOf(ctx), r.Trial); err != nil {
		return nil, err
	}
	return DropTrial204Response{}, nil
}

// UnpinTask takes a decided start back.
func (s *Server) UnpinTask(ctx context.Context, r UnpinTaskRequestObject) (UnpinTaskResponseObject, error) {
	f, err := s.app.UnpinTask(ctx, actorOf(ctx), r.Task)
	if err != nil {
		return nil, err
	}
	return UnpinTask200JSONResponse(shopFloorView(f)), nil
}

// GetRelief says what one more of each would save.
func (s *Server) GetRelief(ctx context.Context, _ GetReliefRequestObject) (GetReliefResponseObject, error) {
	gains, err := s.app.Relief(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return GetRelief200JSONResponse{Items: each(gains, func(g app.Relieved) Relief { return reliefView(g) })}, nil
}

// GetQueue says when a job would be finished behind what is on the floor.
func (s *Server) GetQueue(ctx context.Context, r GetQueueRequestObject) (GetQueueResponseObject, error) {
	q, err := s.app.Queue(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetQueue200JSONResponse{Alone: Day(q.Alone), Finish: Day(q.Finish), Words: q.Words}, nil
}
