package app_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// changed saves settings as they stand, with a change.
func (b *bench) changed(change func(s *domain.ShopSettings)) error {
	b.t.Helper()
	shop, err := b.app.Shop(b.t.Context(), b.owner)
	b.ok("shop", err)
	change(&shop.Settings)
	_, err = b.app.ChangeShop(b.t.Context(), b.owner, app.Precondition{Given: true, Version: shop.Version}, shop.Settings)
	return err
}

func (b *bench) jobIn(currency string) (app.JobPage, error) {
	b.t.Helper()
	return b.app.CreateJob(b.t.Context(), b.owner, b.key(), app.NewJob{Title: "Body off", TemplateID: b.template, ClientID: b.client.PersonID, Currency: currency,
		Vehicle: domain.Vehicle{Make: "Halvorn", Model: "Solvane", Year: 1966, Serial: "HS66", Options: map[string]string{}}})
}

func (b *bench) abroad() {
	b.t.Helper()
	b.ok("currencies", b.changed(func(s *domain.ShopSettings) {
		s.Currencies = []domain.ShopCurrency{{Code: "USD", Rate: dec("1.085"), On: "2031-03-01"}, {Code: "JPY", Rate: dec("163.25"), On: "2031-03-02"}, {Code: "KWD", Rate: dec("0.3312"), On: "2031-03-03"}}
	}))
}

// Worked by hand from 104.00 EUR an hour and 17.891 EUR a metre. The hours are the
// means 4.17, 8.50, 2.00 and 3.17, the tube 3.3333 m with 5 % waste at 15 % markup,
// tax 7.25 %, draws 33.3, 16.65 and 50.05 % by largest remainder. In dollars at
// 1.085 an hour is 112.84, so 470.54 + 959.14 + 225.68 + 357.70, and the tube at
// 19.4117 comes to 78.13. In yen at 163.25 an hour is 16978, so 70798 + 144313 +
// 33956 + 53820, and the tube at 2920.7058 comes to 11756. In dinars at 0.3312 an
// hour is 34.4448, so 143.635 + 292.781 + 68.890 + 109.190, and the tube at 5.9255
// comes to 23.850. The places of the minor units are those of ISO 4217.
func TestAJobIsPricedInItsCurrencyByHand(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	b.rates(dec("104"))
	b.abroad()
	for _, r := range []struct {
		currency, rate       string
		on                   domain.Day
		hour, net, tax, paid string
		draws                []string
	}{
		{"USD", "1.085", "2031-03-01", "112.84", "2091.19", "151.61", "2242.80", []string{"746.85", "373.43", "1122.52"}},
		{"JPY", "163.25", "2031-03-02", "16978", "314643", "22812", "337455", []string{"112373", "56186", "168896"}},
		{"KWD", "0.3312", "2031-03-03", "34.4448", "638.346", "46.280", "684.626", []string{"227.981", "113.990", "342.655"}},
	} {
		p, err := b.jobIn(r.currency)
		b.ok(r.currency, err)
		if p.Job.Currency != r.currency || !p.Job.ExchangeRate.Equal(dec(r.rate)) || p.Job.RateOn != r.on {
			t.Errorf("%s: the job is in %s at %s of %s", r.currency, p.Job.Currency, p.Job.ExchangeRate, p.Job.RateOn)
		}
		check := func(what string, p app.JobPage) {
			t.Helper()
			totals := p.Price.Totals
			if totals.TaxBasisTotal.String() != r.net || totals.TaxTotal.String() != r.tax || totals.GrandTotal.String() != r.paid {
				t.Errorf("%s, %s: net %s, tax %s, total %s; want %s, %s, %s", r.currency, what, totals.TaxBasisTotal, totals.TaxTotal, totals.GrandTotal, r.net, r.tax, r.paid)
			}
			var got []string
			for _, d := range p.Draws {
				got = append(got, d.Amount)
			}
			if !slices.Equal(got, r.draws) {
				t.Errorf("%s, %s: draws %v, want %v", r.currency, what, got, r.draws)
			}
		}
		check("as made", p)
		q := b.issue(p)
		if q.Currency != r.currency || q.Total.StringFixed(3) != dec(r.paid).StringFixed(3) || !q.Basis.Labour[0].SellRate.Equal(dec(r.hour)) {
			t.Errorf("%s: the quote is %s %s, its basis %s an hour; want %s and %s", r.currency, q.Total, q.Currency, q.Basis.Labour[0].SellRate, r.paid, r.hour)
		}
		b.ok("another rate", b.changed(func(s *domain.ShopSettings) {
			i := slices.IndexFunc(s.Currencies, func(c domain.ShopCurrency) bool { return c.Code == r.currency })
			s.Currencies[i].Rate, s.Currencies[i].On = dec("7"), "2031-03-03"
		}))
		check("at another rate of the shop", b.page(p.Job.ID))
		b.accept(q)
		m, err := b.app.JobMoney(t.Context(), b.owner, p.Job.ID)
		b.ok("money", err)
		if m.Currency.Code() != r.currency || m.Watch.Authorised.String() != r.paid || len(m.Draws) != 3 {
			t.Errorf("%s: the ledger says %s %s with %d draws", r.currency, m.Watch.Authorised, m.Currency, len(m.Draws))
		}
		moved, err := b.app.MovedPrices(t.Context(), b.owner, p.Job.ID)
		b.ok("moved prices", err)
		if !moved.Difference.IsZero() || moved.Difference.Currency().Code() != r.currency {
			t.Errorf("%s: prices moved by %s %s though the price book did not", r.currency, moved.Difference, moved.Difference.Currency())
		}
	}
}

// In its own currency nothing is converted, and amounts of two jobs do not add.
func TestCurrenciesStayApart(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	b.abroad()
	own, err := b.jobIn("")
	b.ok("own", err)
	named, err := b.jobIn("EUR")
	b.ok("own, named", err)
	yen, err := b.jobIn("JPY")
	b.ok("yen", err)
	if own.Job.Currency != "EUR" || !own.Job.ExchangeRate.Equal(dec("1")) || own.Job.RateOn != "" || !own.Price.Totals.GrandTotal.Equal(named.Price.Totals.GrandTotal) {
		t.Errorf("own currency: %+v", own.Job)
	}
	_, err = own.Price.Totals.GrandTotal.Add(yen.Price.Totals.GrandTotal)
	refused(t, "euros and yen", err, "mixed-currencies")
	_, err = b.jobIn("CHF")
	refused(t, "a currency without a rate", err, "currency-not-listed")
	refused(t, "another currency for the shop", b.changed(func(s *domain.ShopSettings) { s.Currency, s.Currencies = "CHF", []domain.ShopCurrency{} }), "currency-fixed")
	book, _, _, err := b.app.PricesOn(t.Context(), b.owner, "", yen.Job.ID)
	b.ok("prices for the job", err)
	if tube, _ := book.Material("tube"); !tube.UnitCost.Equal(dec("2920.7058")) { // 17.891 × 163.25 = 2920.70575
		t.Errorf("a metre of tube costs %s yen, want 2920.7058", tube.UnitCost)
	}
}

func TestCurrenciesThatAreRefused(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	for _, r := range []struct {
		name, pointer string
		list          []domain.ShopCurrency
	}{
		{"rate 0", "/currencies/0/rate", []domain.ShopCurrency{{Code: "USD", Rate: dec("0"), On: "2031-03-01"}}},
		{"negative", "/currencies/0/rate", []domain.ShopCurrency{{Code: "USD", Rate: dec("-1"), On: "2031-03-01"}}},
		{"too fine", "/currencies/0/rate", []domain.ShopCurrency{{Code: "USD", Rate: dec("1.0000001"), On: "2031-03-01"}}},
		{"above a million", "/currencies/0/rate", []domain.ShopCurrency{{Code: "USD", Rate: dec("1000000.1"), On: "2031-03-01"}}},
		{"code twice", "/currencies/1/code", []domain.ShopCurrency{{Code: "USD", Rate: dec("1"), On: "2031-03-01"}, {Code: "USD", Rate: dec("2"), On: "2031-03-01"}}},
		{"unknown code", "/currencies/0/code", []domain.ShopCurrency{{Code: "ZZZ", Rate: dec("1"), On: "2031-03-01"}}},
		{"the shop's own", "/currencies/0/code", []domain.ShopCurrency{{Code: "EUR", Rate: dec("1"), On: "2031-03-01"}}},
		{"no day", "/currencies/0/on", []domain.ShopCurrency{{Code: "USD", Rate: dec("1")}}},
		{"a day to come", "/currencies/0/on", []domain.ShopCurrency{{Code: "USD", Rate: dec("1"), On: "2031-03-04"}}},
		{"too many", "/currencies", slices.Repeat([]domain.ShopCurrency{{Code: "USD", Rate: dec("1"), On: "2031-03-01"}}, 21)},
	} {
		err := b.changed(func(s *domain.ShopSettings) { s.Currencies = r.list })
		if e := fault.As(err); e == nil || !slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == r.pointer }) {
			t.Errorf("%s: %v, want it refused at %s", r.name, err, r.pointer)
		}
	}
	b.abroad()
	err := b.changed(func(s *domain.ShopSettings) { s.Currency = "CHF" })
	if e := fault.As(err); e == nil || e.Fields[0].Pointer != "/currencies/0/rate" {
		t.Errorf("rates against another currency: %v", err)
	}
}

// The plan by hand from Monday 3 March 2031, eight hours a day: stripping takes
// 4.17 h and ends that Monday; welding 8.50 h until Tuesday; paint 2 h, the cure 24 h
// until Wednesday afternoon; fitting 3.17 h until Thursday 6 March. The small job
// has no inspection after stripping and no phase of upholstery.
func TestDrawsFallDueByGates(t *testing.T) {
	s := settings("EUR", "document")
	s.DepositPercent = dec("20")
	s.Draws = []domain.DrawRule{
		{Name: "By key", Percent: dec("20"), Due: domain.GatePhaseEnd, Phase: "strip", DaysToPay: 14},
		{Name: "By name", Percent: dec("10"), Due: domain.GatePhaseEnd, Phase: " COATING ", DaysToPay: 1},
		{Name: "No such phase", Percent: dec("10"), Due: domain.GatePhaseEnd, Phase: "Upholstery"},
		{Name: "No strip gate", Percent: dec("10"), Due: domain.GateStripGate, DaysToPay: 30},
		{Name: "At the end", Percent: dec("20"), Due: domain.GateHandOver},
		{Name: "When the owner says", Percent: dec("10")},
	}
	b := open(t, s)
	q := b.issue(b.job(b.template))
	want := []struct {
		when       string
		on, pay    domain.Day
		lack, then bool
	}{
		{"On acceptance", "", "", false, true},
		{"At the end of Stripping, expected on 3 March 2031; to be paid within 14 days", "2031-03-03", "2031-03-17", false, false},
		{"At the end of Coating, expected on 6 March 2031; to be paid within 1 day", "2031-03-06", "2031-03-07", false, false},
		{"At hand-over, expected on 6 March 2031. This job has no work in a phase Upholstery that it could wait for", "2031-03-06", "2031-03-06", true, false},
		{"At hand-over, expected on 6 March 2031; to be paid within 30 days. This job has no inspection after stripping that it could wait for", "2031-03-06", "2031-04-05", true, false},
		{"At hand-over, expected on 6 March 2031", "2031-03-06", "2031-03-06", false, false},
		{"", "", "", false, false},
	}
	doc, err := b.app.QuoteDocument(t.Context(), b.owner, q.ID, app.AsHTML)
	b.ok("document", err)
	for i, w := range want {
		d := q.Offer.Draws[i]
		if d.When() != w.when || d.On != w.on || d.PayBy() != w.pay || d.Lacking != w.lack || d.Reached {
			t.Errorf("%s: %q, on %s, pay by %s, lacking %v, reached %v; want %q, %s, %s, %v", d.Name, d.When(), d.On, d.PayBy(), d.Lacking, d.Reached, w.when, w.on, w.pay, w.lack)
		}
		if !strings.Contains(string(doc.Body), w.when) {
			t.Errorf("the document does not say %q", w.when)
		}
	}
	b.accept(q)
	b.ok("a phase that would do now", b.changed(func(s *domain.ShopSettings) { s.Draws = []domain.DrawRule{{Name: "All", Percent: dec("80")}} }))
	p := b.page(q.JobID)
	if len(p.Draws) != len(want) || p.Draws[0].When() != "On acceptance, reached on 3 March 2031" || !p.Draws[0].Reached {
		t.Errorf("once accepted: %d draws, the deposit %q", len(p.Draws), p.Draws[0].When())
	}
	strip := taskCalled(t, p, "A10")
	b.pass(5 * 60 * 60 * 1e9)
	_, err = b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: strip.ID}, StartedAt: monday, FinishedAt: b.now(), Done: true})
	b.ok("stripping", err)
	gate := taskCalled(t, b.page(q.JobID), "A20")
	_, err = b.app.ReleaseHold(t.Context(), b.owner, q.JobID, gate.ID, b.key(), "Looked at.")
	b.ok("releasing the gate", err)
	m, err := b.app.ClientMoney(t.Context(), b.client, q.JobID)
	b.ok("the client's money", err)
	if d := m.Draws[1]; !d.Reached || d.On != "2031-03-03" || d.When() != "At the end of Stripping, reached on 3 March 2031; to be paid within 14 days" {
		t.Errorf("stripping is done: %q", d.When())
	}
	if d := m.Draws[3]; !d.Lacking || d.Reached {
		t.Errorf("a draw that was agreed for hand-over: %+v", d)
	}
}

func TestDrawsThatAreRefused(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	for _, r := range []struct {
		pointer string
		draw    domain.DrawRule
	}{
		{"/draws/0/phase", domain.DrawRule{Due: domain.GatePhaseEnd, Phase: " "}},
		{"/draws/0/phase", domain.DrawRule{Due: domain.GateHandOver, Phase: "strip"}},
		{"/draws/0/days_to_pay", domain.DrawRule{Due: domain.GateHandOver, DaysToPay: 121}},
		{"/draws/0/days_to_pay", domain.DrawRule{Due: domain.GateHandOver, DaysToPay: -1}},
	} {
		r.draw.Name, r.draw.Percent = "Draw", dec("66.7")
		err := b.changed(func(s *domain.ShopSettings) { s.Draws = []domain.DrawRule{r.draw} })
		if e := fault.As(err); e == nil || len(e.Fields) != 1 || e.Fields[0].Pointer != r.pointer {
			t.Errorf("%+v: %v, want it refused at %s alone", r.draw, err, r.pointer)
		}
	}
}

const hostile = `<script>alert(1)</script> & "~client~"`

func TestTextsAreFilledInOnceAndNeverMarkup(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	b.ok("texts", b.changed(func(s *domain.ShopSettings) {
		s.Terms = "~shop name~ holds to this until ~expiry~."
		s.Texts = []domain.ShopText{
			{Key: domain.QuoteOpening, Text: hostile + "\nYour ~vehicle~ for ~total~, job ~job number~."},
			{Key: domain.QuoteMailSubject, Text: "Your ~vehicle~: ~quote number~"}, {Key: domain.QuoteMailBody, Text: "Until ~expiry~, ~client~."}}
	}))
	q := b.issue(b.job(b.template))
	opening := `<script>alert(1)</script> & "Sorei Vantesse"` + "\nYour 1966 Halvorn Solvane for " + q.Total.StringFixed(2)
	if !strings.HasPrefix(strings.ReplaceAll(q.Offer.Opening, ",", ""), strings.ReplaceAll(opening, ",", "")) || !strings.HasSuffix(q.Offer.Opening, "EUR, job 1.") {
		t.Errorf("the opening reads %q, want %q", q.Offer.Opening, opening)
	}
	if want := "Selvane Frame & Body holds to this until 2 April 2031."; q.Terms != want {
		t.Errorf("the terms read %q, want %q", q.Terms, want)
	}
	read := func() (string, string) {
		t.Helper()
		html, err := b.app.ClientQuoteDocument(t.Context(), b.client, q.ID, app.AsHTML)
		b.ok("document", err)
		pdf, err := b.app.ClientQuoteDocument(t.Context(), b.client, q.ID, app.AsPDF)
		b.ok("PDF", err)
		return string(html.Body), string(pdf.Body)
	}
	html, pdf := read()
	if strings.Contains(html, "<script") || !strings.Contains(html, "&lt;script&gt;alert(1)&lt;/script&gt; &amp; &#34;Sorei Vantesse&#34;") {
		t.Errorf("the text is not escaped in the document: %s", html[strings.Index(html, "alert"):][:200])
	}
	if !strings.Contains(html, "This quote holds until 2 April 2031.") {
		t.Error("the document does not say until when it holds")
	}
	mail, err := b.app.Mail(t.Context(), b.owner, app.Page{Limit: 10})
	b.ok("mail", err)
	if m := mail.Items[0]; m.Subject != "Your 1966 Halvorn Solvane: 1-1" || !strings.HasPrefix(m.Text, "Until 2 April 2031, Sorei Vantesse.\n\n") {
		t.Errorf("the mail reads %q, %q", m.Subject, m.Text)
	}
	b.ok("other texts", b.changed(func(s *domain.ShopSettings) {
		s.Texts, s.Terms = []domain.ShopText{{Key: domain.QuoteOpening, Text: "Other words."}}, "Other terms."
	}))
	if again, pdfAgain := read(); again != html || pdfAgain != pdf {
		t.Error("a later text moved a document that was issued")
	}
}

func TestTextsThatAreRefused(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	for _, r := range []struct {
		name, pointer, says string
		text                domain.ShopText
	}{
		{"unknown variable", "/texts/0/text", "there are ~client~, ~vehicle~", domain.ShopText{Key: domain.QuoteOpening, Text: "~clint~"}},
		{"money in a mail", "/texts/0/text", "no variable ~total~", domain.ShopText{Key: domain.QuoteMailBody, Text: "~total~"}},
		{"a client on the bench's card", "/texts/0/text", "no variable ~client~", domain.ShopText{Key: domain.JobCardCaution, Text: "~client~"}},
		{"two megabytes", "/texts/0/text", "4000", domain.ShopText{Key: domain.QuoteOpening, Text: strings.Repeat("ab", 1<<20)}},
		{"a subject of two lines", "/texts/0/text", "one line", domain.ShopText{Key: domain.QuoteMailSubject, Text: "a\nBcc: everybody"}},
		{"a mail of nothing", "/texts/0/text", "A mail needs", domain.ShopText{Key: domain.OrderMailBody, Text: " \n"}},
		{"no such text", "/texts/0/key", "no text", domain.ShopText{Key: "motto", Text: "x"}},
		{"terms beside the terms", "/texts/0/key", "no text", domain.ShopText{Key: domain.TermsText, Text: "x"}},
	} {
		err := b.changed(func(s *domain.ShopSettings) { s.Texts = []domain.ShopText{r.text} })
		if e := fault.As(err); e == nil || e.Fields[0].Pointer != r.pointer || !strings.Contains(e.Fields[0].Detail, r.says) {
			t.Errorf("%s: %v, want it refused at %s with %q", r.name, err, r.pointer, r.says)
		}
		if r.pointer == "/texts/0/text" {
			_, err := b.app.PreviewText(t.Context(), b.owner, r.text.Key, r.text.Text)
			if e := fault.As(err); e == nil || e.Fields[0].Pointer != "/draft" {
				t.Errorf("%s: the preview says %v", r.name, err)
			}
		}
	}
	refused(t, "terms", b.changed(func(s *domain.ShopSettings) { s.Terms = "~nothing~" }), "shop-settings-invalid")
}

// Every variable that a text can name has a value where the text is filled in: a
// preview of all of them leaves none as it was written.
func TestEveryVariableHasAValue(t *testing.T) {
	b := open(t, settings("JPY", "document"))
	for _, kind := range domain.TextKinds() {
		for _, name := range kind.Names() {
			p, err := b.app.PreviewText(t.Context(), b.owner, kind.Key, fmt.Sprintf("[~%s~]", name))
			b.ok(string(kind.Key)+" "+name, err)
			if strings.Contains(p.Text, "~") || p.Text == "[]" && name != "shop address" {
				t.Errorf("%s: ~%s~ reads %q", kind.Key, name, p.Text)
			}
		}
		if _, err := b.app.PreviewText(t.Context(), b.owner, kind.Key, kind.Default+"x"); err != nil {
			t.Errorf("%s: the text it comes with is refused: %v", kind.Key, err)
		}
	}
}

// The words of an order are filled in when it is sent and stand in the document as
// decided; letters, reports and cards are worded when they are written.
func TestEveryPaperBearsTheShopsWords(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	p := b.soldJob()
	b.ok("texts", b.changed(func(s *domain.ShopSettings) {
		s.Texts = []domain.ShopText{{Key: domain.OrderOpening, Text: "Order ~order number~, <i>~order title~</i>, answer by ~expiry~."},
			{Key: domain.OrderMailSubject, Text: "~client~: order ~order number~"}, {Key: domain.LetterOpening, Text: "Hello ~client~, forecast ~forecast~."}, {Key: domain.LetterClosing, Text: ""},
			{Key: domain.InspectionOpening, Text: "Inspected: ~serial~."}, {Key: domain.JobCardCaution, Text: "Mind the ~phase~ of ~job number~."}}
	}))
	ctx := t.Context()
	sent := b.send(b.draft(p.Job.ID, patch(t, p)), 10)
	const opening = "Order 1, &lt;i&gt;Left rail is thin&lt;/i&gt;, answer by 13 March 2031."
	holds := func(what string, doc domain.Document, err error, text string) {
		t.Helper()
		b.ok(what, err)
		if !strings.Contains(string(doc.Body), text) {
			t.Errorf("the %s does not say %q", what, text)
		}
	}
	doc, err := b.app.ClientOrderDocument(ctx, b.client, sent.Order.ID, app.AsHTML)
	holds("order as sent", doc, err, opening)
	mail, err := b.app.Mail(ctx, b.owner, app.Page{Limit: 1})
	b.ok("mail", err)
	if got := mail.Items[0].Subject; got != "Sorei Vantesse: order 1" {
		t.Errorf("the subject reads %q", got)
	}
	letters, err := b.app.Letters(ctx, b.owner, p.Job.ID)
	b.ok("letters", err)
	if text := letters.Draft.Text; !strings.HasPrefix(text, "Hello Sorei Vantesse, forecast 6 March 2031.\n\n") || strings.Contains(text, "Kind regards") {
		t.Errorf("the letter reads %q", text)
	}
	report, err := b.app.InspectionReport(ctx, b.owner, p.Job.ID, app.AsHTML)
	holds("inspection", report, err, "Inspected: HS66.")
	card, err := b.app.JobCard(ctx, b.owner, p.Job.ID, p.Estimate.Phases[0].ID, app.AsHTML)
	holds("job card", card, err, "Mind the Stripping of 1.")
	holds("job card", card, nil, "Local codes, product data sheets and qualified persons come first.")
	b.ok("other words", b.changed(func(s *domain.ShopSettings) { s.Texts = []domain.ShopText{} }))
	_, err = b.app.DecideOrder(ctx, b.client, sent.Order.ID, b.key(), b.approval(sent, []domain.Choice{{ItemKey: "i1", OptionKey: "patch"}}))
	b.ok("approving", err)
	doc, err = b.app.ClientOrderDocument(ctx, b.client, sent.Order.ID, app.AsHTML)
	holds("order as decided", doc, err, opening)
}

// A quote with options is agreed to with its own total, and so its words say that one.
func TestWhatWasAgreedSaysItsOwnTotal(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	c := b.choices()
	b.ok("texts", b.changed(func(s *domain.ShopSettings) {
		s.Texts = []domain.ShopText{{Key: domain.QuoteOpening, Text: "It comes to ~total~."}}
	}))
	q := b.issue(b.page(c.page.Job.ID))
	b.ok("other words", b.changed(func(s *domain.ShopSettings) { s.Texts = []domain.ShopText{} }))
	ids := []domain.ID{c.bought, c.zinc}
	s, err := b.app.PreviewQuote(ctx, b.client, q.ID, ids)
	b.ok("previewing", err)
	_, err = b.app.DecideQuote(ctx, b.client, q.ID, b.key(), b.choose(q, s, ids))
	b.ok("accepting", err)
	says := func(total string) string {
		whole, cents, _ := strings.Cut(total, ".")
		if n := len(whole); n > 3 {
			whole = whole[:n-3] + "," + whole[n-3:]
		}
		return "It comes to " + whole + "." + cents + " EUR."
	}
	issued, err := b.app.ClientQuoteDocument(ctx, b.client, q.ID, app.AsHTML)
	b.ok("as issued", err)
	agreed, err := b.app.ClientAgreedDocument(ctx, b.client, q.ID, app.AsHTML)
	b.ok("as agreed", err)
	if q.Total.Equal(s.Total) || !strings.Contains(string(issued.Body), says(q.Total.StringFixed(2))) || !strings.Contains(string(agreed.Body), says(s.Total.StringFixed(2))) {
		t.Errorf("issued for %s and agreed for %s, the documents do not both say so", q.Total, s.Total)
	}
}

func TestSettingsThatAreLeftOutStay(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	b.abroad()
	closing, _ := domain.TextKindOf(domain.QuoteClosing)
	b.ok("texts", b.changed(func(s *domain.ShopSettings) {
		s.Texts = []domain.ShopText{{Key: domain.QuoteOpening, Text: "Ours."}, {Key: domain.QuoteClosing, Text: closing.Default}}
	}))
	b.ok("a name alone", b.changed(func(s *domain.ShopSettings) { s.Name, s.Texts, s.Currencies = "Another name", nil, nil }))
	shop, err := b.app.Shop(t.Context(), b.owner)
	b.ok("shop", err)
	if len(shop.Settings.Texts) != 1 || shop.Settings.Text(domain.QuoteOpening) != "Ours." || shop.Settings.Text(domain.QuoteClosing) != closing.Default || len(shop.Settings.Currencies) != 3 {
		t.Errorf("what stands: %+v, %+v; want the one text of the shop's own and three currencies", shop.Settings.Texts, shop.Settings.Currencies)
	}
}
