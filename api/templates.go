package api

import (
	"context"
	"errors"

	"bareframe/internal/app"
	"bareframe/internal/fault"
)

// templateAnswer is a template with the version to send as If-Match.
func templateAnswer(p app.TemplatePage, err error) (TemplateDetail, *string, error) {
	if err != nil {
		return TemplateDetail{}, nil, err
	}
	return templateDetail(p), etag(p.Revision), nil
}

// ListTemplates lists the shop's templates.
func (s *Server) ListTemplates(ctx context.Context, r ListTemplatesRequestObject) (ListTemplatesResponseObject, error) {
	list := s.app.Templates
	if orZero(r.Params.Retired) {
		list = s.app.RetiredTemplates
	}
	all, err := list(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListTemplates200JSONResponse{Items: each(all, templateSummary)}, nil
}

// AddTemplate makes a template, empty or as a copy.
func (s *Server) AddTemplate(ctx context.Context, r AddTemplateRequestObject) (AddTemplateResponseObject, error) {
	n := app.NewTemplate{Name: r.Body.Name, CopyOf: orZero(r.Body.CopyOf)}
	body, tag, err := templateAnswer(s.app.AddTemplate(ctx, actorOf(ctx), r.Params.IdempotencyKey, n))
	if err != nil {
		return nil, err
	}
	return AddTemplate201JSONResponse{Body: body, Headers: AddTemplate201ResponseHeaders{ETag: tag}}, nil
}

// GetTemplate shows one revision with its whole plan.
func (s *Server) GetTemplate(ctx context.Context, r GetTemplateRequestObject) (GetTemplateResponseObject, error) {
	body, tag, err := templateAnswer(s.app.Template(ctx, actorOf(ctx), r.Template))
	if err != nil {
		return nil, err
	}
	return GetTemplate200JSONResponse{Body: body, Headers: GetTemplate200ResponseHeaders{ETag: tag}}, nil
}

// SaveTemplate stores an edited plan as the next revision.
func (s *Server) SaveTemplate(ctx context.Context, r SaveTemplateRequestObject) (SaveTemplateResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	plan, err := planFrom(r.Body.Plan)
	if err != nil {
		return nil, err
	}
	body, tag, err := templateAnswer(s.app.SaveTemplate(ctx, actorOf(ctx), r.Template, made, plan, r.Body.Note))
	if err != nil {
		return nil, inPlan(err)
	}
	return SaveTemplate200JSONResponse{Body: body, Headers: SaveTemplate200ResponseHeaders{ETag: tag}}, nil
}

// inPlan has what is wrong with a plan point into the request that holds it.
func inPlan(err error) error {
	var e *fault.Error
	if !errors.As(err, &e) || len(e.Fields) == 0 {
		return err
	}
	own := *e
	own.Fields = each(e.Fields, func(f fault.Field) fault.Field {
		return fault.Field{Pointer: rulePointer("/plan" + f.Pointer), Detail: f.Detail}
	})
	return &own
}

// RestoreTemplate stores the plan of an old revision as the next one.
func (s *Server) RestoreTemplate(ctx context.Context, r RestoreTemplateRequestObject) (RestoreTemplateResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := templateAnswer(s.app.RestoreTemplate(ctx, actorOf(ctx), r.Template, made, r.Body.Note))
	if err != nil {
		return nil, err
	}
	return RestoreTemplate200JSONResponse{Body: body, Headers: RestoreTemplate200ResponseHeaders{ETag: tag}}, nil
}

// RetireTemplate takes a template out of the list that jobs are made from.
func (s *Server) RetireTemplate(ctx context.Context, r RetireTemplateRequestObject) (RetireTemplateResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := templateAnswer(s.app.RetireTemplate(ctx, actorOf(ctx), r.Template, made, r.Body.Note))
	if err != nil {
		return nil, err
	}
	return RetireTemplate200JSONResponse{Body: body, Headers: RetireTemplate200ResponseHeaders{ETag: tag}}, nil
}

// ListTemplateRevisions lists who saved what and why, newest first.
func (s *Server) ListTemplateRevisions(ctx context.Context, r ListTemplateRevisionsRequestObject) (ListTemplateRevisionsResponseObject, error) {
	all, err := s.app.TemplateRevisions(ctx, actorOf(ctx), r.Template)
	if err != nil {
		return nil, err
	}
	return ListTemplateRevisions200JSONResponse{Items: each(all, templateRevision)}, nil
}

// PreviewTemplate computes a sample job of a plan without storing it.
func (s *Server) PreviewTemplate(ctx context.Context, r PreviewTemplateRequestObject) (PreviewTemplateResponseObject, error) {
	plan, err := planFrom(r.Body.Plan)
	if err != nil {
		return nil, err
	}
	trial, err := s.app.PreviewTemplate(ctx, actorOf(ctx), app.TrialJob{TemplateID: orZero(r.Body.TemplateID), Plan: plan, Options: r.Body.Options})
	if err != nil {
		return nil, err
	}
	return PreviewTemplate200JSONResponse(templateSample(trial)), nil
}
