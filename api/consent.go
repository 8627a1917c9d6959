package api

import (
	"context"

	"bareframe/internal/fault"
)

// EndAuthoriser is not built yet.
func (s *Server) EndAuthoriser(_ context.Context, _ EndAuthoriserRequestObject) (EndAuthoriserResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ListAuthorisers is not built yet.
func (s *Server) ListAuthorisers(_ context.Context, _ ListAuthorisersRequestObject) (ListAuthorisersResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// NameAuthoriser is not built yet.
func (s *Server) NameAuthoriser(_ context.Context, _ NameAuthoriserRequestObject) (NameAuthoriserResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ListRuleSets is not built yet.
func (s *Server) ListRuleSets(_ context.Context, _ ListRuleSetsRequestObject) (ListRuleSetsResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetShopRules is not built yet.
func (s *Server) GetShopRules(_ context.Context, _ GetShopRulesRequestObject) (GetShopRulesResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ChangeShopRules is not built yet.
func (s *Server) ChangeShopRules(_ context.Context, _ ChangeShopRulesRequestObject) (ChangeShopRulesResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
