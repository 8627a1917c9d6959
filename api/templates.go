package api

import "context"

// ListTemplates lists the shop's templates.
func (s *Server) ListTemplates(ctx context.Context, _ ListTemplatesRequestObject) (ListTemplatesResponseObject, error) {
	all, err := s.app.Templates(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListTemplates200JSONResponse{Items: each(all, templateSummary)}, nil
}

// GetTemplate shows one template with its phases, tasks and links.
func (s *Server) GetTemplate(ctx context.Context, r GetTemplateRequestObject) (GetTemplateResponseObject, error) {
	t, err := s.app.Template(ctx, actorOf(ctx), r.Template)
	if err != nil {
		return nil, err
	}
	return GetTemplate200JSONResponse(templateDetail(t)), nil
}
