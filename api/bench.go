package api

import "context"

// GetToday shows a technician's day.
func (s *Server) GetToday(ctx context.Context, _ GetTodayRequestObject) (GetTodayResponseObject, error) {
	today, err := s.app.Today(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return GetToday200JSONResponse(todayView(today)), nil
}

// ListBenchTasks lists the tasks to log against.
func (s *Server) ListBenchTasks(ctx context.Context, r ListBenchTasksRequestObject) (ListBenchTasksResponseObject, error) {
	cards, err := s.app.BenchTasks(ctx, actorOf(ctx), orZero(r.Params.Job))
	if err != nil {
		return nil, err
	}
	return ListBenchTasks200JSONResponse{Items: each(cards, taskCard)}, nil
}

// StartClock starts the actor's clock.
func (s *Server) StartClock(ctx context.Context, r StartClockRequestObject) (StartClockResponseObject, error) {
	b := r.Body
	e, err := s.app.StartClock(ctx, actorOf(ctx), r.Params.IdempotencyKey, targetFrom(b.TaskID, b.JobID, b.Waiting), instantOrNil(b.At), orZero(b.Note))
	if err != nil {
		return nil, err
	}
	return StartClock201JSONResponse(hoursEntry(e)), nil
}

// SwitchClock stops what runs and starts the next, at one instant.
func (s *Server) SwitchClock(ctx context.Context, r SwitchClockRequestObject) (SwitchClockResponseObject, error) {
	stop, on, err := switchFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	e, err := s.app.SwitchClock(ctx, actorOf(ctx), r.Params.IdempotencyKey, stop, on, orZero(r.Body.Start.Note))
	if err != nil {
		return nil, err
	}
	return SwitchClock201JSONResponse(hoursEntry(e)), nil
}

// StopClock stops the actor's clock.
func (s *Server) StopClock(ctx context.Context, r StopClockRequestObject) (StopClockResponseObject, error) {
	stop, err := stopFrom(*r.Body, "")
	if err != nil {
		return nil, err
	}
	e, err := s.app.StopClock(ctx, actorOf(ctx), r.Params.IdempotencyKey, stop)
	if err != nil {
		return nil, err
	}
	return StopClock201JSONResponse(hoursEntry(e)), nil
}

// ListMyHours lists the actor's entries.
func (s *Server) ListMyHours(ctx context.Context, r ListMyHoursRequestObject) (ListMyHoursResponseObject, error) {
	entries, next, err := s.app.MyHours(ctx, actorOf(ctx), pageOf(r.Params.Limit, r.Params.Cursor))
	if err != nil {
		return nil, err
	}
	return ListMyHours200JSONResponse{Items: each(entries, hoursEntry), NextCursor: next}, nil
}

// LogHours keeps an entry that was typed in.
func (s *Server) LogHours(ctx context.Context, r LogHoursRequestObject) (LogHoursResponseObject, error) {
	l, err := logFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	e, err := s.app.LogHours(ctx, actorOf(ctx), r.Params.IdempotencyKey, l)
	if err != nil {
		return nil, err
	}
	return LogHours201JSONResponse(hoursEntry(e)), nil
}

// CorrectHours keeps a further entry that takes another's place.
func (s *Server) CorrectHours(ctx context.Context, r CorrectHoursRequestObject) (CorrectHoursResponseObject, error) {
	c, err := correctionFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	e, err := s.app.CorrectHours(ctx, actorOf(ctx), r.Entry, r.Params.IdempotencyKey, c)
	if err != nil {
		return nil, err
	}
	return CorrectHours201JSONResponse(hoursEntry(e)), nil
}
