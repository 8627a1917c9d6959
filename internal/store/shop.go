package store

import (
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

type shopRecord struct {
	ShopID           string
	Version          int
	CreatedAt        time.Time `gorm:"autoCreateTime:false"`
	Demo             bool
	Settings         structured[domain.ShopSettings]
	CalendarVersion  int
	Calendar         structured[calendar.Spec]
	PriceBookVersion int
	RulesVersion     int
	Rules            structured[domain.ShopRules]
	LastJobNumber    int
}

// TableName names the table.
func (shopRecord) TableName() string { return "shops" }

func shopToRecord(s domain.Shop) shopRecord {
	return shopRecord{ShopID: s.ID, Version: s.Version, CreatedAt: instant(s.CreatedAt), Demo: s.Demo,
		Settings: asJSON(s.Settings), CalendarVersion: s.CalendarVersion, Calendar: asJSON(s.Calendar),
		PriceBookVersion: s.PriceBookVersion,
		RulesVersion:     s.RulesVersion, Rules: asJSON(s.Rules)}
}

func (r shopRecord) toDomain() domain.Shop {
	return domain.Shop{ID: r.ShopID, Version: r.Version, CreatedAt: r.CreatedAt.UTC(), Demo: r.Demo,
		Settings: r.Settings.v, CalendarVersion: r.CalendarVersion, Calendar: r.Calendar.v,
		PriceBookVersion: r.PriceBookVersion,
		RulesVersion:     r.RulesVersion, Rules: r.Rules.v}
}

// Shop returns the shop itself, with its price book, which is shared: not to be
// written to.
func (r *reader) Shop() (domain.Shop, error) {
	row, err := one[shopRecord](r, "shop", "1 = 1")
	if err != nil {
		return domain.Shop{}, err
	}
	shop := row.toDomain()
	shop.PriceBook, err = r.priceBook(shop.PriceBookVersion)
	return shop, err
}

// SaveShop stores settings, calendar and rules with their versions, and the
// version of the price book; its rows are stored by SetPrices.
func (w *writer) SaveShop(shop domain.Shop) error {
	row := shopToRecord(shop)
	row.ShopID = w.shop
	return save(w, "shop", &row, []string{"created_at", "last_job_number"}, "1 = 1")
}

func (w *writer) addShop(shop domain.Shop) error {
	if err := add(w, []shopRecord{shopToRecord(shop)}); err != nil {
		return err
	}
	w.pricesSet = true
	return w.addPrices(shop.PriceBook.Rows(), placesOf(nil))
}

// NextJobNumber counts up within the shop. A number whose transaction is undone
// is given again.
func (w *writer) NextJobNumber() (int, error) {
	numbers, err := column[int](&w.reader,
		"UPDATE shops SET last_job_number = last_job_number + 1 WHERE shop_id = ? RETURNING last_job_number", w.shop)
	if err != nil {
		return 0, err
	}
	if len(numbers) == 0 {
		return 0, notFound("shop")
	}
	return numbers[0], nil
}
