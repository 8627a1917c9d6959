package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

func personView(p domain.Person) Person {
	return Person{
		ID: p.ID, Version: p.Version, Name: p.Name, Email: p.Email, Phone: p.Phone, Role: Role(p.Role), Skills: texts(p.Skills),
		CostRate: unitMoneyText(p.CostRate), Active: p.Active, HasPassword: p.PasswordHash != "", CreatedAt: p.CreatedAt.UTC(),
		Roster: rosterView(p.Roster),
	}
}

func personFrom(d PersonDraft) (domain.Person, error) {
	var r reading
	p := domain.Person{Name: d.Name, Email: d.Email, Phone: d.Phone, Role: domain.Role(d.Role), Skills: d.Skills, Active: d.Active, Roster: rosterFrom(d.Roster)}
	if rate := r.optionalDecimal("/cost_rate", d.CostRate); rate != nil {
		p.CostRate = *rate
	}
	return p, r.err()
}

// Where a browser opens the two kinds of private link. The token stands in the
// fragment, which is not sent to any server.
const (
	clientPath     = "/c#"
	invitationPath = "/invitation#"
)

func privateLink(made app.MadeLink) PrivateLink {
	path := clientPath
	if made.Link.Purpose == domain.InvitationLink {
		path = invitationPath
	}
	return PrivateLink{ID: made.Link.ID, Path: path + made.Token, Token: made.Token, ExpiresAt: made.Link.ExpiresAt.UTC()}
}

func clientLink(l domain.PrivateLink) ClientLink {
	return ClientLink{ID: l.ID, JobID: textOrNil(l.OnlyJob), CreatedAt: l.CreatedAt.UTC(), ExpiresAt: l.ExpiresAt.UTC(),
		RevokedAt: instantOrNil(l.RevokedAt), LastUsedAt: instantOrNil(l.LastUsedAt)}
}
