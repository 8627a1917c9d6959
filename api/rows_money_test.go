package api_test

import (
	"maps"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/testkit"
)

// The rows of consent, money and letters in the grid and among the examples.
func init() {
	maps.Copy(grid, map[string]row{
		"listRuleSets": {"o", nothing}, "getShopRules": {"o", nothing}, "changeShopRules": {"o", nothing},
		"nameAuthoriser": {"o", shops}, "listAuthorisers": {"o", shops}, "endAuthoriser": {"o", shops},
		"getJobMoney": {"o", shops}, "overrideWatch": {"o", shops}, "addPayment": {"o", shops}, "voidPayment": {"o", shops},
		"noteSupply": {"o", shops}, "getStopNowDocument": {"o", shops},
		"listLetters": {"o", shops}, "sendLetter": {"o", shops}, "listMail": {"o", nothing}, "retryMail": {"o", shops},
		"getClientMoney": {"c", ownJob}, "listClientLetters": {"c", ownJob},
	})
	maps.Copy(readyFor, map[string]ready{
		"listRuleSets":       {testkit.AtClock, owner, nil},
		"getShopRules":       {testkit.AtClock, owner, nil},
		"changeShopRules":    {testkit.AtEnquiry, owner, nil},
		"nameAuthoriser":     {testkit.AtWork, owner, nil},
		"listAuthorisers":    {testkit.AtClock, owner, nil},
		"endAuthoriser":      {testkit.AtWork, owner, func(t *testing.T, w *testkit.World) { w.Set("authoriser", authoriser(t, w)) }},
		"getJobMoney":        {testkit.AtClock, owner, nil},
		"overrideWatch":      {testkit.AtWork, owner, nil},
		"addPayment":         {testkit.AtWork, owner, nil},
		"voidPayment":        {testkit.AtWork, owner, func(t *testing.T, w *testkit.World) { w.Set("payment", payment(t, w)) }},
		"noteSupply":         {testkit.AtWork, owner, nil},
		"getStopNowDocument": {testkit.AtClock, owner, nil},
		"getClientMoney":     {testkit.AtClock, clientOf, nil},
		"listLetters":        {testkit.AtClock, owner, nil},
		"sendLetter":         {testkit.AtWork, owner, nil},
		"listClientLetters":  {testkit.AtClock, clientOf, nil},
		"listMail":           {testkit.AtClock, owner, nil},
		"retryMail":          {testkit.AtWork, owner, func(t *testing.T, w *testkit.World) { w.Set("mail", message(t, w)) }},
	})
}

// prepareMoney puts in place what the paths of these operations reach for.
func prepareMoney(t testing.TB, w *testkit.World) {
	t.Helper()
	w.Set("authoriser", authoriser(t, w))
	w.Set("payment", payment(t, w))
	w.Set("mail", message(t, w))
}

// message sends a letter and returns the ID of its mail.
func message(t testing.TB, w *testkit.World) domain.ID {
	t.Helper()
	l, err := w.App.SendLetter(t.Context(), w.Owner.Actor, w.Job, testkit.FreshKey(), app.LetterDraft{Subject: "Your car", Text: "It is clean."})
	if err != nil {
		t.Fatal(err)
	}
	return l.MailID
}

// authoriser names somebody on the example job and returns the ID.
func authoriser(t testing.TB, w *testkit.World) domain.ID {
	t.Helper()
	all, err := w.App.NameAuthoriser(t.Context(), w.Owner.Actor, w.Job, testkit.FreshKey(), domain.Authoriser{Name: "Odra Dance", Contact: "+00 555 0118"})
	if err != nil {
		t.Fatal(err)
	}
	return all.Named[0].ID
}

// payment keeps one on the example job and returns the ID.
func payment(t testing.TB, w *testkit.World) domain.ID {
	t.Helper()
	m, err := w.App.AddPayment(t.Context(), w.Owner.Actor, w.Job, testkit.FreshKey(), domain.Payment{Amount: decimal.NewFromInt(500),
		PaidOn: domain.DayOf(w.Clock.Now(), time.UTC), How: domain.ByTransfer})
	if err != nil {
		t.Fatal(err)
	}
	return m.Payments[0].ID
}
