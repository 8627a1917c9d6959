package app

import (
	"context"
	"crypto/subtle"
	"fmt"
	"sync"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
	"bareframe/internal/pricing"
)

// setupToken is the one-time secret that the console shows while no shop
// exists. It lives in memory: a restart makes a new one.
type setupToken struct {
	mu    sync.Mutex
	value string
}

// SetupToken returns the token to print on the console, or "" when a shop exists.
func (a *App) SetupToken(ctx context.Context) (string, error) {
	any, err := a.store.AnyShop(ctx)
	if err != nil || any {
		return "", err
	}
	a.setup.mu.Lock()
	defer a.setup.mu.Unlock()
	if a.setup.value == "" {
		a.setup.value = a.secret()
	}
	return a.setup.value, nil
}

// SetupNeeded reports whether no shop exists yet.
func (a *App) SetupNeeded(ctx context.Context) (bool, error) {
	any, err := a.store.AnyShop(ctx)
	return !any, err
}

// NewShop is what opening a shop needs.
type NewShop struct {
	Settings  domain.ShopSettings
	Calendar  calendar.Spec
	PriceBook domain.PriceBook
	Templates []domain.TemplatePlan
	Demo      bool
	OwnerName string
	Email     string
	Password  string
}

// SetUp opens the first shop with the console's token and signs its owner in.
func (a *App) SetUp(ctx context.Context, token string, n NewShop, from Place) (SignedIn, error) {
	if err := a.attempts.take("setup "+from.Address, 10, 10*time.Second, a.now()); err != nil {
		return SignedIn{}, err
	}
	a.setup.mu.Lock()
	right := a.setup.value != "" && subtle.ConstantTimeCompare([]byte(a.setup.value), []byte(token)) == 1
	a.setup.mu.Unlock()
	if !right {
		return SignedIn{}, fault.InvalidField("setup-token-wrong", "/token", "That is not the token on the console.")
	}
	shopID, personID, err := a.OpenShop(ctx, n, true)
	if err != nil {
		return SignedIn{}, err
	}
	a.setup.mu.Lock()
	a.setup.value = ""
	a.setup.mu.Unlock()
	return a.openSession(ctx, shopID, personID, domain.PrivateLink{}, "setUpShop", from)
}

// OpenShop makes a shop with its owner and templates. With only it is refused
// when a shop exists. It is for set-up, the console and the demo.
func (a *App) OpenShop(ctx context.Context, n NewShop, only bool) (shopID, ownerID domain.ID, err error) {
	n.Calendar.TimeZone = n.Settings.TimeZone
	if err := n.Settings.Validate(); err != nil {
		return "", "", err
	}
	if err := n.PriceBook.Validate(); err != nil {
		return "", "", err
	}
	if _, err := calendar.New(n.Calendar); err != nil {
		return "", "", err
	}
	if err := n.Settings.ValidateStations(n.Calendar); err != nil {
		return "", "", err
	}
	for i, plan := range n.Templates {
		if err := a.checkCraft(fmt.Sprintf("/templates/%d", i), plan, n.PriceBook); err != nil {
			return "", "", err
		}
	}
	shop := domain.Shop{ID: a.newID(), Version: 1, CreatedAt: a.now(), Demo: n.Demo, Settings: n.Settings,
		CalendarVersion: 1, Calendar: n.Calendar, PriceBookVersion: 1, PriceBook: n.PriceBook, RulesVersion: 1, Rules: domain.DefaultRules()}
	boss := domain.Person{ID: a.newID(), Version: 1, Name: n.OwnerName, Email: n.Email, Role: domain.Owner, Skills: []string{}, Active: true, CreatedAt: a.now()}
	if err := boss.Validate(n.PriceBook); err != nil {
		return "", "", err
	}
	if boss.PasswordHash, err = a.newPassword(ctx, "/password", n.Password, boss, shop); err != nil {
		return "", "", err
	}
	err = a.store.CreateShop(ctx, shop, only, func(tx Tx) error {
		if err := tx.AddPerson(boss); err != nil {
			return err
		}
		for _, plan := range n.Templates {
			if err := tx.AddTemplate(domain.Template{ID: a.newID(), Revision: 1, SavedAt: &shop.CreatedAt, SavedBy: boss.Name, Plan: plan}); err != nil {
				return err
			}
		}
		if len(a.sheet.Items) > 0 {
			if err := tx.AddSheet(domain.Sheet{ID: a.newID(), Version: 1, Plan: a.sheet, MadeAt: shop.CreatedAt, MadeBy: boss.Name}); err != nil {
				return err
			}
		}
		w := &work{Tx: tx, app: a, action: policy.Action("setUpShop"), now: a.now(),
			actor: domain.Actor{ShopID: shop.ID, PersonID: boss.ID, Name: boss.Name, Role: domain.Owner, From: "console"}}
		return w.trail("shop "+shop.ID, "", nil, shop.Settings)
	})
	return shop.ID, boss.ID, err
}

// StartingSettings returns the settings of a new shop: no tax, a fifth as
// deposit, and a tolerance of nothing until the owner has read local law.
func StartingSettings(name, currency, zone, locale, units string) domain.ShopSettings {
	rates := make([]domain.TaxRate, 0, 9)
	for _, class := range pricing.TaxClasses() {
		rates = append(rates, domain.TaxRate{Class: class, Percent: decimal.Zero})
	}
	return domain.ShopSettings{
		Name: name, Currency: currency, TimeZone: zone, Locale: locale, Units: units,
		TaxBasis: pricing.PerDocument, TaxRates: rates, QuoteValidDays: 30,
		DepositPercent:   decimal.NewFromInt(20),
		Draws:            []domain.DrawRule{{Name: "At hand-over", Percent: decimal.NewFromInt(80)}},
		TolerancePercent: decimal.Zero,
		Stations: []domain.Station{{Key: "frame_stand", Name: "Frame stand", Capacity: 1}, {Key: "blast_cabinet", Name: "Blast cabinet", Capacity: 1},
			{Key: "paint_booth", Name: "Paint booth", Capacity: 1}, {Key: "lift", Name: "Lift", Capacity: 1}},
	}
}

// StartingCalendar is Monday to Friday, 08:00 to 12:00 and 12:30 to 16:30.
func StartingCalendar() calendar.Spec {
	day := []calendar.Interval{{From: "08:00", To: "12:00"}, {From: "12:30", To: "16:30"}}
	return calendar.Spec{Week: map[string][]calendar.Interval{"monday": day, "tuesday": day, "wednesday": day, "thursday": day, "friday": day}}
}
