package api

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/domain"
)

// walk visits every key and every value of decoded JSON.
func walk(v any, key func(string), value func(any)) {
	switch x := v.(type) {
	case map[string]any:
		for k, inner := range x {
			key(k)
			walk(inner, key, value)
		}
	case []any:
		for _, inner := range x {
			walk(inner, key, value)
		}
	default:
		value(x)
	}
}

// innerKeys are parts of names that only the shop's own figures bear.
var innerKeys = []string{"cost", "margin", "markup", "waste", "wage", "rate", "hours", "sold", "baseline", "skill", "crew", "_net"}

// shopsOwn collects every figure of the owner's view that a client must not see.
func shopsOwn(t *testing.T, s *shelf) map[string]string {
	t.Helper()
	p := ownersPage(t, s)
	own := map[string]string{}
	add := func(what, figure string) {
		if d := dec(figure); !d.IsZero() {
			own[figure], own[d.String()] = what, what
		}
	}
	add("cost", p.Price.Cost)
	add("margin", p.Price.Margin)
	add("margin percent", p.Price.MarginPercent)
	for _, ph := range p.Phases {
		add("phase cost", ph.Cost)
		add("phase margin", ph.Margin)
		add("phase hours sold", ph.Progress.SoldHours)
	}
	for _, x := range p.Tasks {
		add("task cost", x.Cost)
		add("hours sold", x.MeanHours)
		add("likely hours", x.Hours.Likely)
	}
	for _, l := range p.Lines {
		add("line cost", l.Cost)
		add("unit cost", l.UnitCost)
		add("markup", l.MarkupPercent)
		add("waste", l.WastePercent)
	}
	for _, r := range s.shop.PriceBook.Labour {
		add("wage", r.CostRate.String())
	}
	for _, q := range s.quotes {
		add("quote cost", q.Cost.String())
		add("quote margin", q.Net.Sub(q.Cost).String())
	}
	return own
}

// leaks names what of the shop's own figures stands in a value.
func leaks(t *testing.T, v any, own map[string]string) []string {
	t.Helper()
	var found []string
	walk(decoded(t, v), func(key string) {
		for _, part := range innerKeys {
			if strings.Contains(key, part) {
				found = append(found, "key "+key)
			}
		}
	}, func(value any) {
		if text, ok := value.(string); ok && own[text] != "" {
			found = append(found, own[text]+" "+text)
		}
	})
	return found
}

func TestClientsViewHoldsNoCost(t *testing.T) {
	for name, s := range states() {
		t.Run(name, func(t *testing.T) {
			own := shopsOwn(t, s)
			if len(own) < 10 {
				t.Fatalf("only %d figures of the shop's own; the job is too poor to show anything", len(own))
			}
			if found := leaks(t, clientsPage(t, s), own); found != nil {
				t.Errorf("the client's page shows %q", found)
			}
			if len(s.quotes) > 0 {
				if found := leaks(t, clientsQuote(t, s), own); found != nil {
					t.Errorf("the client's quote shows %q", found)
				}
			}
			if found := leaks(t, ownersPage(t, s), own); len(found) < 20 {
				t.Errorf("the owner's page shows only %q: this test could not fail", found)
			}
		})
	}
}

// states are jobs at different points of their lives.
func states() map[string]*shelf {
	draft, open, over := onShelf(), onShelf(), onShelf()
	for _, s := range []*shelf{draft, open, over} {
		s.job.AcceptedQuoteID, s.job.AuthorisedAmount, s.baseline, s.entries = "", dec("0"), nil, nil
		for i := range s.estimate.Tasks {
			s.estimate.Tasks[i].Scope, s.estimate.Tasks[i].OpenedAt = domain.Estimated, nil
		}
		s.quotes[0].State, s.quotes[0].Decision, s.job.State = domain.QuoteOpen, nil, domain.Quoted
	}
	draft.quotes, draft.job.State = nil, domain.Surveyed
	over.quotes[0].ExpiresAt = today.Add(-time.Hour)
	late, handed := onShelf(), onShelf()
	late.job.Promise = "2027-01-08"
	handed.job.State = domain.Closed
	return map[string]*shelf{"draft": draft, "open quote": open, "expired quote": over, "in work": onShelf(), "late": late, "handed over": handed}
}

// A draft may have its promise set already; it is the shop's own until it is
// offered.
func TestClientSeesDatesOnceTheyAreOffered(t *testing.T) {
	for name, want := range map[string]struct {
		promise, finish, phase string // "" is none, "?" any
		draws, next, opened    int
		late, agreed           bool
	}{
		"draft":         {},
		"expired quote": {},
		"open quote":    {promise: "2027-03-31", finish: "2027-03-31", phase: "2027-01-08", draws: 2},
		"in work":       {promise: "2027-03-31", finish: "?", phase: "?", draws: 2, next: 3, opened: 1, agreed: true},
		"late":          {promise: "2027-01-08", finish: "?", phase: "?", draws: 2, next: 3, opened: 1, agreed: true, late: true},
		"handed over":   {promise: "2027-03-31", finish: "?", phase: "?", draws: 2, opened: 1, agreed: true},
	} {
		t.Run(name, func(t *testing.T) {
			s := states()[name]
			got := clientsPage(t, s)
			fitsContract(t, "ClientJob", got)
			wantDay(t, "promise", got.Promise, want.promise)
			wantDay(t, "finish", got.Finish, want.finish)
			wantDay(t, "start of removal", got.Phases[0].Start, want.phase)
			if len(got.Draws) != want.draws || len(got.Next) != want.next || len(got.Opened) != want.opened || got.LateDays > 0 != want.late || (got.AgreedAmount == "2000.00") != want.agreed {
				t.Errorf("got %+v, want %+v", got, want)
			}
			if len(got.Quotes) != len(s.quotes) || len(got.Phases) != 3 || got.Phases[2].State != TaskStateOpen {
				t.Errorf("quotes %+v, phases %+v", got.Quotes, got.Phases)
			}
		})
	}
}

func wantDay(t *testing.T, what string, got *Day, want string) {
	t.Helper()
	switch {
	case want == "" && got != nil:
		t.Errorf("%s is %s, want none", what, *got)
	case want != "" && got == nil:
		t.Errorf("%s is left out, want %s", what, want)
	case want != "" && want != "?" && *got != want:
		t.Errorf("%s is %s, want %s", what, *got, want)
	}
}

func TestExpiredQuoteReadsAsExpired(t *testing.T) {
	got := clientsPage(t, states()["expired quote"]).Quotes[0].State
	if got != QuoteStateExpired {
		t.Errorf("the quote reads %s, want expired", got)
	}
	if got := clientQuote(states()["open quote"].quotes[0], today).State; got != QuoteStateOpen {
		t.Errorf("the quote reads %s, want open", got)
	}
}

func TestBilledQuantityIsShownToFourPlaces(t *testing.T) {
	for given, want := range map[string]string{"3.74996250": "3.75", "1.38881250": "1.3888", "12": "12", "-2.50000": "-2.5", "0.00005": "0.0001"} {
		if got := shownQuantity(given); got != want {
			t.Errorf("shownQuantity(%s) = %s, want %s", given, got, want)
		}
	}
}
