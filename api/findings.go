package api

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/repair"
)

// ListFindings lists what was found on a job.
func (s *Server) ListFindings(ctx context.Context, r ListFindingsRequestObject) (ListFindingsResponseObject, error) {
	found, err := s.app.Findings(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return ListFindings200JSONResponse{Items: each(found, findingView)}, nil
}

// ReportFinding keeps what was uncovered.
func (s *Server) ReportFinding(ctx context.Context, r ReportFindingRequestObject) (ReportFindingResponseObject, error) {
	draft, err := findingFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	found, err := s.app.ReportFinding(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, draft)
	if err != nil {
		return nil, err
	}
	return ReportFinding201JSONResponse(findingView(found)), nil
}

// ChangeFinding edits a finding that is not with the client.
func (s *Server) ChangeFinding(ctx context.Context, r ChangeFindingRequestObject) (ChangeFindingResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := findingFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	found, err := s.app.ChangeFinding(ctx, actorOf(ctx), r.Finding, made, draft)
	if err != nil {
		return nil, err
	}
	return ChangeFinding200JSONResponse{Body: findingView(found), Headers: ChangeFinding200ResponseHeaders{ETag: etag(found.Finding.Version)}}, nil
}

// DismissFinding says that nothing need be done.
func (s *Server) DismissFinding(ctx context.Context, r DismissFindingRequestObject) (DismissFindingResponseObject, error) {
	found, err := s.app.DismissFinding(ctx, actorOf(ctx), r.Finding, r.Params.IdempotencyKey, r.Body.Reason)
	if err != nil {
		return nil, err
	}
	return DismissFinding200JSONResponse(findingView(found)), nil
}

// SuggestRepairs answers what was found from the job's repair list.
func (s *Server) SuggestRepairs(ctx context.Context, r SuggestRepairsRequestObject) (SuggestRepairsResponseObject, error) {
	b := r.Body
	result, err := s.app.SuggestRepairs(ctx, actorOf(ctx), r.Job, repair.Finding{What: string(orZero(b.What)), Condition: repair.Condition(orZero(b.Condition)),
		LengthMM: orZero(b.LengthMm), WidthMM: orZero(b.WidthMm), Count: b.Count})
	if err != nil {
		return nil, err
	}
	return SuggestRepairs200JSONResponse{Items: each(result.Suggestions, suggestionView), Unsized: each(result.Unsized, func(u repair.Unsized) RepairUnsized {
		return RepairUnsized{Code: u.Code, Name: u.Name, Why: u.Why}
	})}, nil
}

func suggestionView(s repair.Suggestion) RepairSuggestion {
	hours := domain.ThreePoint{Low: s.Hours.Low, Likely: s.Hours.Likely, High: s.Hours.High}
	return RepairSuggestion{Code: s.Code, Name: s.Name, Work: RepairWork(s.Work), Size: plainText(s.Size), Unit: string(s.Unit),
		Hours: threePointView(hours), MeanHours: hoursText(hours.Mean()), Skill: s.Skill, Crew: s.Crew, Station: s.Station, Words: texts(s.Words),
		Cautions: each(s.Cautions, func(c repair.Caution) Caution { return Caution{Key: c.Key, Text: c.Text} }),
		Materials: each(s.Materials, func(n repair.Need) RepairMaterial {
			return RepairMaterial{Description: n.Item, Quantity: plainText(n.Quantity), Unit: n.Unit}
		})}
}
