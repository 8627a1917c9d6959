package api

import (
	"context"

	"bareframe/internal/domain"
)

// AddPhase adds a phase of the shop's own.
func (s *Server) AddPhase(ctx context.Context, r AddPhaseRequestObject) (AddPhaseResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.AddPhase(ctx, actorOf(ctx), r.Job, made, r.Body.Name, r.Body.Position))
	if err != nil {
		return nil, err
	}
	return AddPhase201JSONResponse{Body: body, Headers: AddPhase201ResponseHeaders{ETag: tag}}, nil
}

// ChangePhase renames or moves a phase.
func (s *Server) ChangePhase(ctx context.Context, r ChangePhaseRequestObject) (ChangePhaseResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.ChangePhase(ctx, actorOf(ctx), r.Job, r.Phase, made, r.Body.Name, r.Body.Position))
	if err != nil {
		return nil, err
	}
	return ChangePhase200JSONResponse{Body: body, Headers: ChangePhase200ResponseHeaders{ETag: tag}}, nil
}

// RemovePhase removes an empty phase.
func (s *Server) RemovePhase(ctx context.Context, r RemovePhaseRequestObject) (RemovePhaseResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.RemovePhase(ctx, actorOf(ctx), r.Job, r.Phase, made))
	if err != nil {
		return nil, err
	}
	return RemovePhase200JSONResponse{Body: body, Headers: RemovePhase200ResponseHeaders{ETag: tag}}, nil
}

// AddTask adds a task, between others if it says so.
func (s *Server) AddTask(ctx context.Context, r AddTaskRequestObject) (AddTaskResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := taskFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.AddTask(ctx, actorOf(ctx), r.Job, made, draft, orZero(r.Body.After), orZero(r.Body.Before)))
	if err != nil {
		return nil, err
	}
	return AddTask201JSONResponse{Body: body, Headers: AddTask201ResponseHeaders{ETag: tag}}, nil
}

// ChangeTask edits a task.
func (s *Server) ChangeTask(ctx context.Context, r ChangeTaskRequestObject) (ChangeTaskResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := taskFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	var floor *domain.Floor
	if r.Body.Floor != nil {
		floor = &draft.Floor
	}
	body, tag, err := jobAnswer(s.app.ChangeTask(ctx, actorOf(ctx), r.Job, r.Task, made, draft, floor))
	if err != nil {
		return nil, err
	}
	return ChangeTask200JSONResponse{Body: body, Headers: ChangeTask200ResponseHeaders{ETag: tag}}, nil
}

// RemoveTask takes a task out of the estimate.
func (s *Server) RemoveTask(ctx context.Context, r RemoveTaskRequestObject) (RemoveTaskResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.RemoveTask(ctx, actorOf(ctx), r.Job, r.Task, made))
	if err != nil {
		return nil, err
	}
	return RemoveTask200JSONResponse{Body: body, Headers: RemoveTask200ResponseHeaders{ETag: tag}}, nil
}

// AddLink links two tasks.
func (s *Server) AddLink(ctx context.Context, r AddLinkRequestObject) (AddLinkResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := taskLinkFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.AddTaskLink(ctx, actorOf(ctx), r.Job, made, draft))
	if err != nil {
		return nil, err
	}
	return AddLink201JSONResponse{Body: body, Headers: AddLink201ResponseHeaders{ETag: tag}}, nil
}

// ChangeLink edits a link.
func (s *Server) ChangeLink(ctx context.Context, r ChangeLinkRequestObject) (ChangeLinkResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := taskLinkFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.ChangeTaskLink(ctx, actorOf(ctx), r.Job, r.Link, made, draft))
	if err != nil {
		return nil, err
	}
	return ChangeLink200JSONResponse{Body: body, Headers: ChangeLink200ResponseHeaders{ETag: tag}}, nil
}

// RemoveLink removes a link.
func (s *Server) RemoveLink(ctx context.Context, r RemoveLinkRequestObject) (RemoveLinkResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.RemoveTaskLink(ctx, actorOf(ctx), r.Job, r.Link, made))
	if err != nil {
		return nil, err
	}
	return RemoveLink200JSONResponse{Body: body, Headers: RemoveLink200ResponseHeaders{ETag: tag}}, nil
}

// AddLine adds a priced line that is not labour.
func (s *Server) AddLine(ctx context.Context, r AddLineRequestObject) (AddLineResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := lineFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.AddLine(ctx, actorOf(ctx), r.Job, made, draft))
	if err != nil {
		return nil, err
	}
	return AddLine201JSONResponse{Body: body, Headers: AddLine201ResponseHeaders{ETag: tag}}, nil
}

// ChangeLine edits a line.
func (s *Server) ChangeLine(ctx context.Context, r ChangeLineRequestObject) (ChangeLineResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := lineFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.ChangeLine(ctx, actorOf(ctx), r.Job, r.Line, made, draft))
	if err != nil {
		return nil, err
	}
	return ChangeLine200JSONResponse{Body: body, Headers: ChangeLine200ResponseHeaders{ETag: tag}}, nil
}

// RemoveLine takes a line out of the estimate.
func (s *Server) RemoveLine(ctx context.Context, r RemoveLineRequestObject) (RemoveLineResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.RemoveLine(ctx, actorOf(ctx), r.Job, r.Line, made))
	if err != nil {
		return nil, err
	}
	return RemoveLine200JSONResponse{Body: body, Headers: RemoveLine200ResponseHeaders{ETag: tag}}, nil
}
