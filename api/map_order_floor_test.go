package api

import (
	"encoding/json"
	"strings"
	"testing"

	"bareframe/internal/domain"
)

// What an order does to other cars is the owner's own: the client reads where the
// dates come from, and nothing of anybody else's car.
func TestAClientReadsNothingOfOtherCars(t *testing.T) {
	e := domain.OrderEffect{Currency: "EUR", Dates: domain.DateEffect{Days: 2, Source: domain.FromFloor, Words: "The dates count 2 other cars in the shop."},
		Floor: &domain.OrderFloor{PlanID: "PLAN-SECRET", Revision: 4711, OwnDays: 1,
			Cars: []domain.CarMove{{JobID: "JOB-SECRET", Number: 4712, Car: "CAR-SECRET", Promise: "2031-05-01", Before: "2031-04-30", After: "2031-05-02", Days: 2, Late: true, Breaks: true}}}}
	text := func(v any) string {
		body, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		return string(body)
	}
	owner, client := text(effectView(e)), text(clientEffect(e))
	for _, inner := range []string{"PLAN-SECRET", "4711", "JOB-SECRET", "4712", "CAR-SECRET", "2031-05-02", `"breaks":true`} {
		if !strings.Contains(owner, inner) {
			t.Errorf("the owner does not read %s in %s", inner, owner)
		}
		if strings.Contains(client, inner) {
			t.Errorf("the client reads %s in %s", inner, client)
		}
	}
	for _, said := range []string{`"source":"floor"`, "2 other cars in the shop"} {
		if !strings.Contains(client, said) || !strings.Contains(owner, said) {
			t.Errorf("%s is not said to both", said)
		}
	}
}
