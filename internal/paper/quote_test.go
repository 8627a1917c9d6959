package paper

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// nasty is text that means something to a browser.
const nasty = `<script>alert("x")</script>'&`

// someQuote is a quote whose every text field begins with its own name. Cost
// and margin are odd figures that occur nowhere else.
func someQuote(rest string) QuoteData {
	text := func(name string) string { return name + rest }
	d := QuoteData{}
	d.Shop.Settings = domain.ShopSettings{Name: text("SHOP"), Address: text("ADDRESS"), TimeZone: "Europe/Vienna", Currency: "EUR"}
	d.Shop.PriceBook.Labour = []domain.LabourRate{{Skill: "welder", CostRate: dec("31.1717"), SellRate: dec("68.3535")}}
	d.Client = domain.Person{Name: text("CLIENT"), CostRate: dec("77.1919"), PasswordHash: "HASH"}
	d.Job = domain.Job{Number: 12, Title: text("TITLE"), Vehicle: domain.Vehicle{Make: text("MAKE"), Model: text("MODEL"), Year: 1961, Serial: text("SERIAL"), Options: map[string]string{"body": "open"}},
		VehicleOptions: []domain.VehicleOption{{Key: "body", Name: text("OPTION"), Choices: []domain.OptionChoice{{Key: "open", Name: text("CHOICE")}, {Key: "closed", Name: "NOT CHOSEN"}}}}}
	d.Quote = domain.Quote{Number: "12-3", Revision: 3, Currency: "EUR", IssuedBy: text("ISSUER"), Note: text("NOTE"), Terms: text("TERM1") + "\n" + text("TERM2"),
		IssuedAt: time.Date(2031, 3, 3, 23, 30, 0, 0, time.UTC), ExpiresAt: time.Date(2031, 4, 1, 22, 0, 0, 0, time.UTC),
		Net: dec("1234567.5"), Tax: dec("246913.5"), Total: dec("1481481"), Cost: dec("987654.32"),
		Basis: domain.PriceBasis{Labour: d.Shop.PriceBook.Labour}}
	d.Quote.Offer = domain.Offer{Start: "2031-05-05", Finish: "2031-09-30",
		Phases: []domain.OfferPhase{
			{Name: text("PHASE1"), Net: "1234568.00", Start: "2031-05-05", Finish: "2031-06-06", Lines: []domain.OfferLine{
				{Description: text("LINE1"), Kind: pricing.Labour, Quantity: "8.50", Unit: "h", Net: "1234567.00"},
				{Description: text("LINE2"), Kind: pricing.Allowance, Quantity: "1", Unit: text("UNIT"), Net: "1.00"}}},
			{Name: text("PHASE2"), Net: "-0.50", Lines: []domain.OfferLine{
				{Description: text("LINE3"), Kind: pricing.Credit, Quantity: "1", Unit: "lot", Net: "-0.50"},
				{Description: text("LINE4"), Kind: pricing.Reserve, Quantity: "1", Unit: "lot", Net: "0.00"}}},
			{Name: text("PHASE3"), Net: "0.00"}},
		Taxes: []domain.OfferTax{{Percent: "20", Base: "1234567.50", Tax: "246913.50"}},
		Draws: []domain.OfferDraw{{Name: text("DRAW1"), Percent: "20", Amount: "296296.20"}, {Name: text("DRAW2"), Percent: "80", Amount: "1185184.80"}}}
	return d
}

func written(t *testing.T, d QuoteData) string {
	t.Helper()
	sheet, err := Quote(d)
	if err != nil {
		t.Fatal(err)
	}
	body, err := HTML(sheet)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

func TestTheSameDataGivesTheSameBytes(t *testing.T) {
	d := someQuote("")
	first := written(t, d)
	for range 20 {
		if again := written(t, d); again != first {
			t.Fatal("the document differs from one writing to the next")
		}
	}
	d.Quote.Offer.Phases[0].Lines[0].Net = "1234567.01"
	if written(t, d) == first {
		t.Error("another figure gives the same document")
	}
}

func TestTheDocumentSaysWhatIsOffered(t *testing.T) {
	text := written(t, someQuote(""))
	for _, want := range []string{
		"SHOP", "ADDRESS", "CLIENT", "TITLE", "1961 MAKE MODEL", "serial SERIAL", "OPTION: CHOICE", "ISSUER", "NOTE", "TERM1", "TERM2",
		"Quote 12-3", "LINE1", "8.50 h", "LINE2 (allowance)", "1 UNIT", "LINE3", "LINE4 (reserve for hidden damage)", "PHASE3", "No charge in this phase.",
		"1,234,567.00", "1,234,568.00", "−0.50", "1,234,567.50", "246,913.50", "1,481,481.00 EUR", "DRAW1", "296,296.20", "DRAW2", "1,185,184.80", "20 %", "80 %",
		"5 May 2031", "6 June 2031", "30 September 2031",
		// in the shop's zone: issued after midnight, and good through the day
		// before the instant it expires
		"4 March 2031", "until 1 April 2031",
		"not yet computed",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the document does not say %q", want)
		}
	}
	if strings.Contains(text, "NOT CHOSEN") {
		t.Error("a choice that this car does not have is printed")
	}
}

func TestTheClientReadsNoCost(t *testing.T) {
	text := written(t, someQuote(""))
	for _, secret := range []string{"987654", "987,654", "31.17", "68.35", "77.19", "HASH", "margin-", "Cost", "Margin", "markup"} {
		if strings.Contains(strings.ReplaceAll(text, StyleSheet(), ""), secret) {
			t.Errorf("the document says %q", secret)
		}
	}
}

func TestMarkupIsShownAsText(t *testing.T) {
	text := written(t, someQuote(nasty))
	escaped := `&lt;script&gt;alert(&#34;x&#34;)&lt;/script&gt;&#39;&amp;`
	for _, field := range []string{"SHOP", "ADDRESS", "CLIENT", "TITLE", "MODEL", "SERIAL", "OPTION", "CHOICE", "ISSUER", "NOTE", "TERM1", "TERM2",
		"PHASE1", "PHASE2", "PHASE3", "LINE1", "LINE2", "LINE3", "LINE4", "UNIT", "DRAW1", "DRAW2"} {
		if !strings.Contains(text, field+escaped) {
			t.Errorf("%s is not written as text", field)
		}
	}
	if strings.Contains(strings.ToLower(text), "<script") {
		t.Error("a script reaches the document")
	}
	if n := strings.Count(text, "alert("); n < 22 {
		t.Errorf("only %d of the texts are there at all", n)
	}
}

// The document stands by itself: it fetches nothing and runs nothing.
func TestNothingFromOutside(t *testing.T) {
	text := written(t, someQuote(""))
	for what, pattern := range map[string]string{
		"an address to fetch":  `(?i)\s(src|href|action|srcset|poster|data|background)\s*=`,
		"an address in text":   `(?i)https?:|//[a-z]`,
		"a style from outside": `(?i)@import|url\s*\(`,
		"a script or handler":  `(?i)<script|\son[a-z]+\s*=|javascript:`,
		"a frame or object":    `(?i)<(iframe|object|embed|link|base|form|img|svg)\b`,
	} {
		if found := regexp.MustCompile(pattern).FindString(text); found != "" {
			t.Errorf("%s: %q", what, found)
		}
	}
	if strings.Count(text, "<style>") != 1 || !strings.Contains(text, "<style>"+StyleSheet()+"</style>") {
		t.Error("the one style sheet is not the one whose hash the security policy allows")
	}
	if StyleSheet() == "" || bytes.Contains([]byte(StyleSheet()), []byte("<")) {
		t.Error("the style sheet is empty or holds markup")
	}
}

// Minor units of ISO 4217: none for JPY, two for EUR, three for KWD.
func TestTotalsHaveThePlacesOfTheirCurrency(t *testing.T) {
	for _, r := range []struct{ code, net, tax, total, want string }{
		{"JPY", "1234567", "89506", "1324073", "1,324,073 JPY</strong> including tax of 89,506 JPY"},
		{"EUR", "1000", "200.5", "1200.5", "1,200.50 EUR</strong> including tax of 200.50 EUR"},
		{"KWD", "999.9", "0.005", "999.905", "999.905 KWD</strong> including tax of 0.005 KWD"},
	} {
		d := someQuote("")
		d.Quote.Currency, d.Quote.Net, d.Quote.Tax, d.Quote.Total = r.code, dec(r.net), dec(r.tax), dec(r.total)
		for _, phases := range [][]domain.OfferPhase{d.Quote.Offer.Phases, nil} {
			d.Quote.Offer.Phases = phases
			if text := written(t, d); !strings.Contains(text, r.want) {
				t.Errorf("%s with %d phases: the document does not say %q", r.code, len(phases), r.want)
			}
		}
	}
	d := someQuote("")
	d.Quote.Currency = "XXX"
	if _, err := Quote(d); err == nil {
		t.Error("a currency that does not exist is printed")
	}
}

func TestGroupsOfThousands(t *testing.T) {
	for amount, want := range map[string]string{"0": "0", "0.00": "0.00", "12": "12", "999.99": "999.99", "1000": "1,000", "-1000.5": "−1,000.5",
		"123456": "123,456", "1234567.891": "1,234,567.891", "1000000000": "1,000,000,000", "-0.01": "−0.01"} {
		if got := grouped(amount); got != want {
			t.Errorf("%s is written %s, want %s", amount, got, want)
		}
	}
	if day("") != "" || day("2031-13-01") != "" || day("2031-03-01") != "1 March 2031" {
		t.Error(fmt.Sprint("days: ", day(""), day("2031-13-01"), day("2031-03-01")))
	}
}
