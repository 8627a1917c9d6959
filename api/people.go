package api

import (
	"context"

	"bareframe/internal/domain"
)

// ListPeople lists the shop's people by name.
func (s *Server) ListPeople(ctx context.Context, r ListPeopleRequestObject) (ListPeopleResponseObject, error) {
	p := r.Params
	people, next, err := s.app.People(ctx, actorOf(ctx), domain.Role(orZero(p.Role)), pageOf(p.Limit, p.Cursor))
	if err != nil {
		return nil, err
	}
	return ListPeople200JSONResponse{Items: each(people, personView), NextCursor: next}, nil
}

// AddPerson adds a technician, client or owner.
func (s *Server) AddPerson(ctx context.Context, r AddPersonRequestObject) (AddPersonResponseObject, error) {
	draft, err := personFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	p, err := s.app.AddPerson(ctx, actorOf(ctx), r.Params.IdempotencyKey, draft)
	if err != nil {
		return nil, err
	}
	return AddPerson201JSONResponse{Body: personView(p), Headers: AddPerson201ResponseHeaders{ETag: etag(p.Version)}}, nil
}

// GetPerson shows one person.
func (s *Server) GetPerson(ctx context.Context, r GetPersonRequestObject) (GetPersonResponseObject, error) {
	p, err := s.app.Person(ctx, actorOf(ctx), r.Person)
	if err != nil {
		return nil, err
	}
	return GetPerson200JSONResponse{Body: personView(p), Headers: GetPerson200ResponseHeaders{ETag: etag(p.Version)}}, nil
}

// ChangePerson edits a person.
func (s *Server) ChangePerson(ctx context.Context, r ChangePersonRequestObject) (ChangePersonResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := personFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	p, err := s.app.ChangePerson(ctx, actorOf(ctx), r.Person, made, draft)
	if err != nil {
		return nil, err
	}
	return ChangePerson200JSONResponse{Body: personView(p), Headers: ChangePerson200ResponseHeaders{ETag: etag(p.Version)}}, nil
}

// InvitePerson makes a one-time invitation and shows its token, once.
func (s *Server) InvitePerson(ctx context.Context, r InvitePersonRequestObject) (InvitePersonResponseObject, error) {
	made, err := s.app.Invite(ctx, actorOf(ctx), r.Person)
	if err != nil {
		return nil, err
	}
	return InvitePerson201JSONResponse(privateLink(made)), nil
}

// ListClientLinks lists a client's private links without their tokens.
func (s *Server) ListClientLinks(ctx context.Context, r ListClientLinksRequestObject) (ListClientLinksResponseObject, error) {
	links, err := s.app.ClientLinks(ctx, actorOf(ctx), r.Person)
	if err != nil {
		return nil, err
	}
	return ListClientLinks200JSONResponse{Items: each(links, clientLink)}, nil
}

// MakeClientLink makes a client's private link and shows its token, once.
func (s *Server) MakeClientLink(ctx context.Context, r MakeClientLinkRequestObject) (MakeClientLinkResponseObject, error) {
	made, err := s.app.MakeClientLink(ctx, actorOf(ctx), r.Person, orZero(r.Body.JobID), r.Body.ValidDays)
	if err != nil {
		return nil, err
	}
	return MakeClientLink201JSONResponse(privateLink(made)), nil
}

// RevokeClientLink makes a private link worthless.
func (s *Server) RevokeClientLink(ctx context.Context, r RevokeClientLinkRequestObject) (RevokeClientLinkResponseObject, error) {
	if err := s.app.RevokeLink(ctx, actorOf(ctx), r.Link); err != nil {
		return nil, err
	}
	return RevokeClientLink204Response{}, nil
}
