package api

import (
	"context"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// GetTakeoff shows what the steel of a job comes to.
func (s *Server) GetTakeoff(ctx context.Context, r GetTakeoffRequestObject) (GetTakeoffResponseObject, error) {
	page, err := s.app.Takeoff(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetTakeoff200JSONResponse{Body: takeoffView(page), Headers: GetTakeoff200ResponseHeaders{ETag: etag(page.Page.Job.Version)}}, nil
}

// ListTakeoffMoves lists what moved with the takeoff.
func (s *Server) ListTakeoffMoves(ctx context.Context, r ListTakeoffMovesRequestObject) (ListTakeoffMovesResponseObject, error) {
	moves, currency, next, err := s.app.TakeoffMoves(ctx, actorOf(ctx), r.Job, pageOf(r.Params.Limit, r.Params.Cursor))
	if err != nil {
		return nil, err
	}
	return ListTakeoffMoves200JSONResponse{Items: each(moves, moveView(currency)), NextCursor: next}, nil
}

// ChangeMethods chooses finish and methods of a job.
func (s *Server) ChangeMethods(ctx context.Context, r ChangeMethodsRequestObject) (ChangeMethodsResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.ChangeWays(ctx, actorOf(ctx), r.Job, made, domain.Finish(r.Body.Finish), waysFrom(r.Body.Methods)))
	if err != nil {
		return nil, err
	}
	return ChangeMethods200JSONResponse{Body: body, Headers: ChangeMethods200ResponseHeaders{ETag: tag}}, nil
}

// FollowTakeoff has tasks and lines follow the takeoff, or no longer.
func (s *Server) FollowTakeoff(ctx context.Context, r FollowTakeoffRequestObject) (FollowTakeoffResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	f := app.Following{TaskIDs: r.Body.TaskIds, LineIDs: r.Body.LineIds, Follows: r.Body.Follows}
	body, tag, err := jobAnswer(s.app.FollowTakeoff(ctx, actorOf(ctx), r.Job, made, f))
	if err != nil {
		return nil, err
	}
	return FollowTakeoff200JSONResponse{Body: body, Headers: FollowTakeoff200ResponseHeaders{ETag: tag}}, nil
}

// ListRemainders lists what jobs in work leave over.
func (s *Server) ListRemainders(ctx context.Context, _ ListRemaindersRequestObject) (ListRemaindersResponseObject, error) {
	all, err := s.app.Remainders(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListRemainders200JSONResponse{Items: each(all, remainderView)}, nil
}

// UseRemainder has a job use what another leaves over.
func (s *Server) UseRemainder(ctx context.Context, r UseRemainderRequestObject) (UseRemainderResponseObject, error) {
	use, err := remainderUseFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	page, err := s.app.UseRemainder(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, use)
	if err != nil {
		return nil, err
	}
	return UseRemainder201JSONResponse(takeoffView(page)), nil
}

// VoidRemainder says that what was taken went back.
func (s *Server) VoidRemainder(ctx context.Context, r VoidRemainderRequestObject) (VoidRemainderResponseObject, error) {
	page, err := s.app.VoidRemainder(ctx, actorOf(ctx), r.Remainder, r.Params.IdempotencyKey, r.Body.Reason)
	if err != nil {
		return nil, err
	}
	return VoidRemainder200JSONResponse(takeoffView(page)), nil
}
