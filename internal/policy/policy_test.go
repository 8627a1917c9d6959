package policy

import (
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func TestConditions(t *testing.T) {
	client := domain.Actor{PersonID: "c1", Role: domain.Client}
	linked := domain.Actor{PersonID: "c1", Role: domain.Client, OnlyJob: "j1"}
	fitter := domain.Actor{PersonID: "t1", Role: domain.Technician}
	boss := domain.Actor{PersonID: "o1", Role: domain.Owner}
	rows := []struct {
		name   string
		actor  domain.Actor
		action Action
		on     Subject
		want   fault.Kind
	}{
		{"client, own job", client, "decideQuote", Subject{JobID: "j2", ClientID: "c1"}, ""},
		{"client, another's job", client, "decideQuote", Subject{JobID: "j2", ClientID: "c2"}, fault.NotFound},
		{"link for one job, that job", linked, "getClientJob", Subject{JobID: "j1", ClientID: "c1"}, ""},
		{"link for one job, another of the same client", linked, "getClientJob", Subject{JobID: "j2", ClientID: "c1"}, fault.NotFound},
		{"owner does not decide for a client in the portal", boss, "decideQuote", Subject{JobID: "j1", ClientID: "c1"}, fault.Forbidden},
		{"nobody", domain.Actor{}, "getJob", Subject{}, fault.Unauthenticated},
		{"technician corrects own", fitter, "correctHours", Subject{PersonID: "t1"}, ""},
		{"technician corrects another's", fitter, "correctHours", Subject{PersonID: "t2"}, fault.Forbidden},
		{"owner corrects another's", boss, "correctHours", Subject{PersonID: "t2"}, ""},
		{"technician and money", fitter, "getJob", Subject{}, fault.Forbidden},
		{"an action that is not in the table", boss, "burnTheFrame", Subject{}, fault.Forbidden},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			if got := fault.KindOf(AllowOn(row.actor, row.action, row.on)); got != row.want {
				t.Fatalf("AllowOn(%+v, %s, %+v) = %q, want %q", row.actor, row.action, row.on, got, row.want)
			}
		})
	}
}
