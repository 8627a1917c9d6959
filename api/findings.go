package api

import (
	"context"

	"bareframe/internal/fault"
)

// ChangeFinding is not built yet.
func (s *Server) ChangeFinding(_ context.Context, _ ChangeFindingRequestObject) (ChangeFindingResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// DismissFinding is not built yet.
func (s *Server) DismissFinding(_ context.Context, _ DismissFindingRequestObject) (DismissFindingResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ListFindings is not built yet.
func (s *Server) ListFindings(_ context.Context, _ ListFindingsRequestObject) (ListFindingsResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ReportFinding is not built yet.
func (s *Server) ReportFinding(_ context.Context, _ ReportFindingRequestObject) (ReportFindingResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// SuggestRepairs is not built yet.
func (s *Server) SuggestRepairs(_ context.Context, _ SuggestRepairsRequestObject) (SuggestRepairsResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
