package api_test

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"sync"
	"testing"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/testkit"
)

const (
	acceptIt  = `{"outcome":"accepted","name":"Mirel Dance","signature":"Mirel Dance","document_hash":"{document}","reason":""}`
	declineIt = `{"outcome":"declined","name":"Mirel Dance","signature":"","document_hash":"{document}","reason":"Too dear this year."}`
	toDecide  = "POST /api/client/quotes/{quote}/decision"
)

func TestAQuoteIsDecidedOnce(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	w.Run(t, []testkit.Step{
		{Name: "an acceptance without a signature is refused", Who: w.ClientOf.Client, Do: toDecide, Status: 422, Code: "decision-invalid", Field: "/signature",
			Body: `{"outcome":"accepted","name":"Mirel Dance","signature":"","document_hash":"{document}","reason":""}`},
		{Name: "a refusal without a reason is refused", Who: w.ClientOf.Client, Do: toDecide, Status: 422, Code: "decision-invalid", Field: "/reason",
			Body: `{"outcome":"declined","name":"Mirel Dance","signature":"","document_hash":"{document}","reason":" "}`},
		{Name: "an acceptance of another document is refused", Who: w.ClientOf.Client, Do: toDecide, Status: 409, Code: "another-document",
			Body: `{"outcome":"accepted","name":"Mirel Dance","signature":"Mirel Dance","document_hash":"ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff","reason":""}`},
		{Name: "the quote is still open", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200, Want: map[string]any{"/state": "open", "/decision": testkit.Absent}},
		{Name: "while it is open the estimate stands still", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200},
		{Name: "so an edit is refused", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/phases", IfMatch: "{etag}", Body: `{"name":"Extra","position":1}`, Status: 409, Code: "quote-open"},
		{Name: "and the job cannot be cancelled", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/state", IfMatch: "{etag}", Body: `{"to":"cancelled","reason":"No time."}`, Status: 409, Code: "quote-open"},
		{Name: "the client accepts", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Key: "accept-once", Status: 200, Want: map[string]any{"/state": "accepted"}},
		{Name: "the same request again is answered the same", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Key: "accept-once", Status: 200, Want: map[string]any{"/state": "accepted"}},
		{Name: "the same key with another body is refused", Who: w.ClientOf.Client, Do: toDecide, Body: declineIt, Key: "accept-once", Status: 409, Code: "idempotency-key-reused"},
		{Name: "a second acceptance is refused", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Status: 409, Code: "quote-decided"},
		{Name: "a change of mind is refused", Who: w.ClientOf.Client, Do: toDecide, Body: declineIt, Status: 409, Code: "quote-decided"},
		{Name: "the owner cannot withdraw it any more", Who: w.Owner.Client, Do: "POST /api/quotes/{quote}/withdraw", Body: `{"reason":"Read wrong."}`, Status: 409, Code: "quote-decided"},
		{Name: "the owner reads the job", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200, Want: map[string]any{"/job/state": "accepted", "/job/authorised_amount": "{total}"}},
		{Name: "no further revision is issued", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/quotes", IfMatch: "{etag}", Body: `{"valid_days":30,"note":""}`, Status: 409, Code: "job-not-quotable"},
		{Name: "what was sold stays as it was sold", Who: w.Owner.Client, Do: "DELETE /api/jobs/{job}/tasks/{A20}", IfMatch: "{etag}", Status: 409, Code: "already-sold"},
		{Name: "and so does a line", Who: w.Owner.Client, Do: "DELETE /api/jobs/{job}/lines/{line}", IfMatch: "{etag}", Status: 409, Code: "already-sold"},
	})
}

func TestAQuoteThatIsNoLongerOpenCannotBeAccepted(t *testing.T) {
	t.Run("expired", func(t *testing.T) {
		w := testkit.NewWorld(t, testkit.AtQuoted)
		w.Clock.Set(w.Quote.ExpiresAt.Add(-time.Minute))
		w.OpenLink(t, w.ClientOf.Client, w.LinkFor(t, w.Owner, w.ClientOf.ID, ""))
		w.Run(t, []testkit.Step{
			{Name: "a minute before its end it is open", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200, Want: map[string]any{"/state": "open"}},
			{Name: "at its end it reads as expired", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200, Want: map[string]any{"/state": "expired"}, Before: func() { w.Clock.Set(w.Quote.ExpiresAt) }},
			{Name: "and an acceptance is refused", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Status: 409, Code: "quote-expired"},
		})
		if page := w.Page(t); page.Job.Sold() || !page.Job.AuthorisedAmount.IsZero() {
			t.Errorf("the job is sold (%v) for %s, want neither", page.Job.Sold(), page.Job.AuthorisedAmount)
		}
	})
	t.Run("superseded", func(t *testing.T) {
		w := testkit.NewWorld(t, testkit.AtQuoted)
		w.Run(t, []testkit.Step{
			{Name: "the owner looks", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200},
			{Name: "and issues revision 2", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/quotes", IfMatch: "{etag}", Body: `{"valid_days":10,"note":""}`, Status: 201,
				Want: map[string]any{"/summary/revision": 2, "/summary/state": "open"}, Keep: map[string]string{"second": "/summary/id"}},
			{Name: "revision 1 reads as superseded and is still readable", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200, Want: map[string]any{"/state": "superseded", "/total": "{total}"}},
			{Name: "its acceptance is refused", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Status: 409, Code: "quote-superseded"},
			{Name: "revision 2 is open", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{second}", Status: 200, Want: map[string]any{"/state": "open"}},
		})
	})
	t.Run("withdrawn", func(t *testing.T) {
		w := testkit.NewWorld(t, testkit.AtQuoted)
		w.Run(t, []testkit.Step{
			{Name: "the owner withdraws", Who: w.Owner.Client, Do: "POST /api/quotes/{quote}/withdraw", Body: `{"reason":"A price was read wrong."}`, Status: 200, Want: map[string]any{"/summary/state": "withdrawn"}},
			{Name: "an acceptance is refused", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Status: 409, Code: "quote-decided"},
			{Name: "the owner looks", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200},
			{Name: "and may edit again", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/phases", IfMatch: "{etag}", Body: `{"name":"Extra","position":1}`, Status: 201},
		})
	})
	t.Run("declined", func(t *testing.T) {
		w := testkit.NewWorld(t, testkit.AtQuoted)
		w.Run(t, []testkit.Step{
			{Name: "the client declines with a reason", Who: w.ClientOf.Client, Do: toDecide, Body: declineIt, Status: 200, Want: map[string]any{"/state": "declined", "/decision/reason": "Too dear this year.", "/decision/amount": "0.00"}},
			{Name: "an acceptance afterwards is refused", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Status: 409, Code: "quote-decided"},
			{Name: "the owner reads the reason", Who: w.Owner.Client, Do: "GET /api/quotes/{quote}", Status: 200, Want: map[string]any{"/summary/decision/reason": "Too dear this year."}},
		})
	})
}

func TestADecisionGivenByTelephoneIsRecorded(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	said := func(amount, at, contact string) string {
		return fmt.Sprintf(`{"outcome":"accepted","how":"telephone","name":"Mirel Dance","contact":%q,"said":"Go ahead.","decided_at":%q,"amount":%q}`, contact, at, amount)
	}
	record := "POST /api/quotes/{quote}/decision"
	w.Run(t, []testkit.Step{
		{Name: "a wrong amount is refused", Who: w.Owner.Client, Do: record, Body: said("1.00", "2026-11-24T10:15:00Z", "+00 555"), Status: 422, Code: "decision-invalid", Field: "/amount"},
		{Name: "an amount a cent off is refused", Who: w.Owner.Client, Do: record, Body: said("{off}", "2026-11-24T10:15:00Z", "+00 555"), Status: 422, Code: "decision-invalid", Field: "/amount",
			Before: func() { w.Set("off", w.Quote.Total.Add(dec(t, "0.01")).StringFixed(2)) }},
		{Name: "a decision before the quote is refused", Who: w.Owner.Client, Do: record, Body: said("{total}", "2026-11-20T10:15:00Z", "+00 555"), Status: 422, Code: "decision-invalid", Field: "/decided_at"},
		{Name: "a decision in the future is refused", Who: w.Owner.Client, Do: record, Body: said("{total}", "2026-11-26T10:15:00Z", "+00 555"), Status: 422, Code: "decision-invalid", Field: "/decided_at"},
		{Name: "a call without a number is refused", Who: w.Owner.Client, Do: record, Body: said("{total}", "2026-11-24T10:15:00Z", " "), Status: 422, Code: "decision-invalid", Field: "/contact"},
		{Name: "nothing of this touched the quote", Who: w.Owner.Client, Do: "GET /api/quotes/{quote}", Status: 200, Want: map[string]any{"/summary/state": "open"}},
		{Name: "the right amount is recorded", Who: w.Owner.Client, Do: record, Body: said("{total}", "2026-11-24T10:15:00Z", "+00 555"), Status: 200,
			Want: map[string]any{"/summary/state": "accepted", "/summary/decision/how": "telephone", "/summary/decision/recorded_by": "Ilse Varga", "/summary/decision/amount": "{total}"}},
		{Name: "and the amount is agreed", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200, Want: map[string]any{"/job/state": "accepted", "/job/authorised_amount": "{total}"}},
	})
}

func TestTheDocumentIsTheOneThatWasIssuedWhateverChangesLater(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtAccepted)
	read := func(who *testkit.Client, path string) string {
		return string(who.Do(t, "GET", w.Fill(path), nil).Want(t, 200).Body)
	}
	issued := read(w.Owner.Client, "/api/quotes/{quote}/document")
	digest := sha256.Sum256([]byte(issued)) // the client can check this with any tool
	if got := hex.EncodeToString(digest[:]); got != w.Quote.DocumentHash {
		t.Errorf("the document's SHA-256 is %s, want the %s that was accepted", got, w.Quote.DocumentHash)
	}
	total := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200).Text("/price/total")
	tag := versionFor(t, w.Owner.Client, "/api/shop/price-book")
	from := string(domain.DayOf(w.App.Now(), time.UTC))
	dearer := `{"set":[{"kind":"labour","key":"fitter","name":"Fitter","cost_rate":"68","sell_rate":"190","valid_from":"` + from + `"},{"kind":"labour","key":"welder","name":"Welder","cost_rate":"70","sell_rate":"210","valid_from":"` + from + `"}],"removed":[]}`
	w.Owner.Do(t, "POST", "/api/shop/prices", dearer, testkit.IfMatch(tag)).Want(t, 200)
	if got := read(w.ClientOf.Client, "/api/client/quotes/{quote}/document"); got != issued {
		t.Error("the client's document differs from the one that was issued")
	}
	if got := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200).Text("/price/total"); got != total {
		t.Errorf("after a dearer price book the accepted job's total is %s, want the %s that was sold", got, total)
	}
	other := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{other_job}"), nil).Want(t, 200).Text("/price/total")
	if !dec(t, other).GreaterThan(dec(t, total)) {
		t.Errorf("the unaccepted job's total is %s, want it to follow the price book past %s", other, total)
	}
}

// together runs n things at once and waits for all.
func together(n int, do func(i int)) {
	var start, done sync.WaitGroup
	start.Add(1)
	for i := range n {
		done.Go(func() { start.Wait(); do(i) })
	}
	start.Done()
	done.Wait()
}

func TestAnAcceptanceThatRacesANewRevisionMeetsTheOneOrTheOther(t *testing.T) {
	race(t, testkit.NewWorld(t, testkit.AtEnquiry), 20)
}

func TestAnAcceptanceRacesANewRevisionOnPostgreSQL(t *testing.T) {
	race(t, testkit.NewWorldOnPostgres(t, testkit.AtEnquiry), 20)
}

func race(t *testing.T, w *testkit.World, times int) {
	won := map[string]int{}
	for i := range times {
		made := w.Owner.Do(t, "POST", "/api/jobs", w.Fill(`{"title":"Race","template_id":"{template}","client_id":"{client}","vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":{"crossmember":"bolted"}}}`)).Want(t, 201)
		job := "/api/jobs/" + made.Text("/job/id")
		q := w.Owner.Do(t, "POST", job+"/quotes", `{"valid_days":30,"note":""}`, testkit.IfMatch(made.ETag())).Want(t, 201)
		tag := w.Owner.Do(t, "GET", job, nil).Want(t, 200).ETag()
		w.Set("document", q.Text("/document_hash"))
		quote, body := "/api/client/quotes/"+q.Text("/summary/id"), w.Fill(acceptIt)
		var accepted, issued *testkit.Answer
		together(2, func(side int) {
			if (side+i)%2 == 0 {
				accepted = w.ClientOf.Do(t, "POST", quote+"/decision", body)
			} else {
				issued = w.Owner.Do(t, "POST", job+"/quotes", `{"valid_days":20,"note":"Again."}`, testkit.IfMatch(tag))
			}
		})
		page := w.Owner.Do(t, "GET", job, nil).Want(t, 200)
		tie(t, page)
		got := fmt.Sprintf("accept %d %s, issue %d %s; job %s for %s, first %s, newest %s of %d", accepted.Status, accepted.Code(), issued.Status, issued.Code(),
			page.Text("/job/state"), page.Text("/job/authorised_amount"), w.ClientOf.Do(t, "GET", quote, nil).Text("/state"), page.Text("/quotes/0/state"), page.Len("/quotes"))
		total := q.Text("/summary/total")
		one := fmt.Sprintf("accept 200 , issue 412 stale-edit; job accepted for %s, first accepted, newest accepted of 1", total)
		other := "accept 409 quote-superseded, issue 201 ; job quoted for 0.00, first superseded, newest open of 2"
		if got != one && got != other {
			t.Errorf("race %d:\n got %s\nwant %s\n  or %s", i, got, one, other)
		}
		won[got]++
	}
	t.Logf("outcomes: %v", won)
	w.TrailLength(t, w.ShopA)
}

func TestEightAcceptancesAtOnceAreOne(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	body := w.Fill(acceptIt)
	answers := make([]*testkit.Answer, 8)
	together(8, func(i int) { answers[i] = w.ClientOf.Do(t, "POST", "/api/client/quotes/"+w.Quote.ID+"/decision", body) })
	got := map[string]int{}
	for _, a := range answers {
		got[fmt.Sprint(a.Status, " ", a.Code())]++
	}
	if got["200 "] != 1 || got["409 quote-decided"] != 7 {
		t.Errorf("got %v, want one 200 and seven 409 quote-decided", got)
	}
}
