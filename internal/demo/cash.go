package demo

import (
	"context"
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// rulesSeed is what the demo shop chose about consent and stopping.
type rulesSeed struct {
	RuleSet         string          `json:"rule_set"`
	WarnPercent     decimal.Decimal `json:"warn_percent"`
	Teardown        decimal.Decimal `json:"teardown"`
	Reassembly      decimal.Decimal `json:"reassembly"`
	StoragePerDay   decimal.Decimal `json:"storage_per_day"`
	StorageFreeDays int             `json:"storage_free_days"`
}

func (r rulesSeed) rules() domain.ShopRules {
	return domain.ShopRules{RuleSet: r.RuleSet, WarnPercent: r.WarnPercent, Stopping: domain.StopTerms{Teardown: r.Teardown, Reassembly: r.Reassembly,
		StoragePerDay: r.StoragePerDay, StorageFreeDays: r.StorageFreeDays}}
}

// cashSeed is a job's deposit, supplies and letter.
type cashSeed struct {
	DepositDay int `json:"deposit_day"` // the first draw of the accepted quote comes in; 0: not
	Supplies   []struct {
		Line          string             `json:"line"` // its description
		WorkDay       int                `json:"work_day"`
		State         domain.SupplyState `json:"state"`
		Returnable    bool               `json:"returnable"`
		RestockingFee decimal.Decimal    `json:"restocking_fee"`
		Note          string             `json:"note"`
	} `json:"supplies"`
	LetterWorkDay int `json:"letter_work_day"` // the draft of that day is sent; 0: none
}

// planCash has money come in, things ordered and fitted, and a letter go out.
func (s *story) planCash(t *told) {
	c := t.Cash
	if c == nil {
		return
	}
	if c.DepositDay != 0 {
		day := s.day(c.DepositDay)
		s.then(at(day, "09:30"), t.Key+": deposit", func(ctx context.Context) error {
			if len(t.quote.Offer.Draws) == 0 {
				return fmt.Errorf("quote %s asks for no deposit", t.quote.Number)
			}
			amount, err := decimal.NewFromString(t.quote.Offer.Draws[0].Amount)
			if err != nil {
				return err
			}
			_, err = s.app.AddPayment(ctx, s.owner, t.id, "demo-deposit-"+t.Key, domain.Payment{Amount: amount, PaidOn: domain.DayOf(day, s.zone),
				How: domain.ByTransfer, Note: "Deposit"})
			return err
		})
	}
	for i, note := range c.Supplies {
		s.then(at(s.workDay(note.WorkDay), "08:10"), fmt.Sprintf("%s: %s %s", t.Key, note.Line, note.State), func(ctx context.Context) error {
			line, err := s.lineCalled(ctx, t, note.Line)
			if err != nil {
				return err
			}
			_, err = s.app.NoteSupply(ctx, s.owner, t.id, line, fmt.Sprintf("demo-supply-%s-%d", t.Key, i), domain.Supply{State: note.State,
				Returnable: note.Returnable, RestockingFee: note.RestockingFee, Note: note.Note})
			return err
		})
	}
	if c.LetterWorkDay != 0 {
		s.then(at(s.workDay(c.LetterWorkDay), "16:20"), t.Key+": letter", func(ctx context.Context) error {
			letters, err := s.app.Letters(ctx, s.owner, t.id)
			if err != nil {
				return err
			}
			_, err = s.app.SendLetter(ctx, s.owner, t.id, "demo-letter-"+t.Key, app.LetterDraft(letters.Draft))
			return err
		})
	}
}

func (s *story) lineCalled(ctx context.Context, t *told, description string) (domain.ID, error) {
	page, err := s.app.JobPage(ctx, s.owner, t.id)
	if err != nil {
		return "", err
	}
	for _, l := range page.Estimate.Lines {
		if l.Description == description {
			return l.ID, nil
		}
	}
	return "", fmt.Errorf("there is no line %q", description)
}
