package api

import (
	"context"

	"bareframe/internal/domain"
)

// ListRuleSets lists the rule sets on consent.
func (s *Server) ListRuleSets(ctx context.Context, _ ListRuleSetsRequestObject) (ListRuleSetsResponseObject, error) {
	rules, err := s.app.RuleSets(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListRuleSets200JSONResponse{Items: each(rules, ruleSetView)}, nil
}

// GetShopRules shows what the shop goes by.
func (s *Server) GetShopRules(ctx context.Context, _ GetShopRulesRequestObject) (GetShopRulesResponseObject, error) {
	rules, err := s.app.ShopRules(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return GetShopRules200JSONResponse{Body: shopRulesView(rules), Headers: GetShopRules200ResponseHeaders{ETag: etag(rules.Version)}}, nil
}

// ChangeShopRules chooses a rule set and own figures.
func (s *Server) ChangeShopRules(ctx context.Context, r ChangeShopRulesRequestObject) (ChangeShopRulesResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	chosen, err := shopRulesFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	rules, err := s.app.ChangeShopRules(ctx, actorOf(ctx), made, chosen)
	if err != nil {
		return nil, err
	}
	return ChangeShopRules200JSONResponse{Body: shopRulesView(rules), Headers: ChangeShopRules200ResponseHeaders{ETag: etag(rules.Version)}}, nil
}

// ListAuthorisers lists who can authorise on a job.
func (s *Server) ListAuthorisers(ctx context.Context, r ListAuthorisersRequestObject) (ListAuthorisersResponseObject, error) {
	all, err := s.app.Authorisers(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return ListAuthorisers200JSONResponse(authorisersView(all)), nil
}

// NameAuthoriser names a second person who can authorise.
func (s *Server) NameAuthoriser(ctx context.Context, r NameAuthoriserRequestObject) (NameAuthoriserResponseObject, error) {
	b := r.Body
	all, err := s.app.NameAuthoriser(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, domain.Authoriser{Name: b.Name, Contact: b.Contact, Note: b.Note})
	if err != nil {
		return nil, err
	}
	return NameAuthoriser201JSONResponse(authorisersView(all)), nil
}

// EndAuthoriser ends an authority.
func (s *Server) EndAuthoriser(ctx context.Context, r EndAuthoriserRequestObject) (EndAuthoriserResponseObject, error) {
	all, err := s.app.EndAuthoriser(ctx, actorOf(ctx), r.Authoriser, r.Params.IdempotencyKey, r.Body.Reason)
	if err != nil {
		return nil, err
	}
	return EndAuthoriser200JSONResponse(authorisersView(all)), nil
}
