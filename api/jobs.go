package api

import (
	"context"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// jobAnswer is the job page with its version, or the use case's error.
func jobAnswer(page app.JobPage, err error) (JobPage, *string, error) {
	if err != nil {
		return JobPage{}, nil, err
	}
	return jobPage(page), etag(page.Job.Version), nil
}

// ListJobs lists the shop's jobs, newest number first.
func (s *Server) ListJobs(ctx context.Context, r ListJobsRequestObject) (ListJobsResponseObject, error) {
	p := r.Params
	items, next, err := app.JobsAs(ctx, s.app, actorOf(ctx), domain.JobState(orZero(p.State)), pageOf(p.Limit, p.Cursor), jobSummary)
	if err != nil {
		return nil, err
	}
	return ListJobs200JSONResponse{Items: items, NextCursor: next}, nil
}

// CreateJob makes a job from a template and a vehicle.
func (s *Server) CreateJob(ctx context.Context, r CreateJobRequestObject) (CreateJobResponseObject, error) {
	n, err := newJobFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.CreateJob(ctx, actorOf(ctx), r.Params.IdempotencyKey, n))
	if err != nil {
		return nil, err
	}
	return CreateJob201JSONResponse{Body: body, Headers: CreateJob201ResponseHeaders{ETag: tag}}, nil
}

// GetJob shows everything about a job to the owner.
func (s *Server) GetJob(ctx context.Context, r GetJobRequestObject) (GetJobResponseObject, error) {
	body, tag, err := jobAnswer(s.app.JobPage(ctx, actorOf(ctx), r.Job))
	if err != nil {
		return nil, err
	}
	return GetJob200JSONResponse{Body: body, Headers: GetJob200ResponseHeaders{ETag: tag}}, nil
}

// ChangeJob edits title, vehicle, earliest start and the date to promise.
func (s *Server) ChangeJob(ctx context.Context, r ChangeJobRequestObject) (ChangeJobResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	head, err := headFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.ChangeJob(ctx, actorOf(ctx), r.Job, made, head))
	if err != nil {
		return nil, err
	}
	return ChangeJob200JSONResponse{Body: body, Headers: ChangeJob200ResponseHeaders{ETag: tag}}, nil
}

// MoveJob moves a job along its life.
func (s *Server) MoveJob(ctx context.Context, r MoveJobRequestObject) (MoveJobResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.MoveJob(ctx, actorOf(ctx), r.Job, made, domain.JobState(r.Body.To), r.Body.Reason))
	if err != nil {
		return nil, err
	}
	return MoveJob200JSONResponse{Body: body, Headers: MoveJob200ResponseHeaders{ETag: tag}}, nil
}

// ReleaseHold releases a hold point.
func (s *Server) ReleaseHold(ctx context.Context, r ReleaseHoldRequestObject) (ReleaseHoldResponseObject, error) {
	body, tag, err := jobAnswer(s.app.ReleaseHold(ctx, actorOf(ctx), r.Job, r.Task, r.Params.IdempotencyKey, r.Body.Reason))
	if err != nil {
		return nil, err
	}
	return ReleaseHold200JSONResponse{Body: body, Headers: ReleaseHold200ResponseHeaders{ETag: tag}}, nil
}

// OpenTask opens a task outside the authorised scope for hours.
func (s *Server) OpenTask(ctx context.Context, r OpenTaskRequestObject) (OpenTaskResponseObject, error) {
	body, tag, err := jobAnswer(s.app.OpenTask(ctx, actorOf(ctx), r.Job, r.Task, r.Params.IdempotencyKey, r.Body.Reason))
	if err != nil {
		return nil, err
	}
	return OpenTask200JSONResponse{Body: body, Headers: OpenTask200ResponseHeaders{ETag: tag}}, nil
}

// ExplainPrice shows how one priced line was computed.
func (s *Server) ExplainPrice(ctx context.Context, r ExplainPriceRequestObject) (ExplainPriceResponseObject, error) {
	e, err := s.app.ExplainPrice(ctx, actorOf(ctx), r.Job, r.Line)
	if err != nil {
		return nil, err
	}
	return ExplainPrice200JSONResponse(priceExplanation(e)), nil
}

// ListJobHours lists who did what on a job.
func (s *Server) ListJobHours(ctx context.Context, r ListJobHoursRequestObject) (ListJobHoursResponseObject, error) {
	entries, next, err := s.app.JobHours(ctx, actorOf(ctx), r.Job, pageOf(r.Params.Limit, r.Params.Cursor))
	if err != nil {
		return nil, err
	}
	return ListJobHours200JSONResponse{Items: each(entries, hoursEntry), NextCursor: next}, nil
}

// GetScheduleHealth looks a job's schedule over.
func (s *Server) GetScheduleHealth(ctx context.Context, r GetScheduleHealthRequestObject) (GetScheduleHealthResponseObject, error) {
	h, err := s.app.ScheduleHealth(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetScheduleHealth200JSONResponse(scheduleHealth(h)), nil
}

// ListTrail lists every change to a job.
func (s *Server) ListTrail(ctx context.Context, r ListTrailRequestObject) (ListTrailResponseObject, error) {
	entries, next, err := s.app.Trail(ctx, actorOf(ctx), r.Job, pageOf(r.Params.Limit, r.Params.Cursor))
	if err != nil {
		return nil, err
	}
	return ListTrail200JSONResponse{Items: each(entries, trailEntry), NextCursor: next}, nil
}
