package store

import (
	"encoding/json"
	"slices"
	"sync"

	"gorm.io/gorm/clause"

	"bareframe/internal/domain"
)

type priceRecord struct {
	ShopID    string
	Kind      string
	Key       string
	ValidFrom string
	Position  int
	Body      string
}

// TableName names the table.
func (priceRecord) TableName() string { return "prices" }

func priceToRecord(shop string, row domain.PriceRow, position int) (priceRecord, error) {
	ref := row.Ref()
	var part any = row.Vendor
	switch ref.Kind {
	case domain.PricedLabour:
		part = row.Labour
	case domain.PricedMaterial:
		part = row.Material
	}
	body, err := json.Marshal(part)
	return priceRecord{ShopID: shop, Kind: string(ref.Kind), Key: ref.Key, ValidFrom: string(ref.From), Position: position, Body: string(body)}, err
}

func (r priceRecord) toDomain() (row domain.PriceRow, err error) {
	switch domain.PriceKind(r.Kind) {
	case domain.PricedLabour:
		row.Labour = new(domain.LabourRate)
		err = json.Unmarshal([]byte(r.Body), row.Labour)
	case domain.PricedMaterial:
		row.Material = new(domain.Material)
		err = json.Unmarshal([]byte(r.Body), row.Material)
	default:
		row.Vendor = new(domain.Vendor)
		err = json.Unmarshal([]byte(r.Body), row.Vendor)
	}
	return row, err
}

// priceBooks keeps the newest price book of each shop that was read: every
// request needs it, and it may have thousands of rows.
type priceBooks struct {
	mu    sync.Mutex
	books map[domain.ID]keptBook
}

type keptBook struct {
	version int
	book    domain.PriceBook
}

const mostBooks = 200 // shops

func (k *priceBooks) of(shop domain.ID, version int) (domain.PriceBook, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	kept, ok := k.books[shop]
	return kept.book, ok && kept.version == version
}

func (k *priceBooks) keep(shop domain.ID, version int, book domain.PriceBook) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.books == nil || len(k.books) >= mostBooks {
		k.books = map[domain.ID]keptBook{}
	}
	if k.books[shop].version < version {
		k.books[shop] = keptBook{version, book}
	}
}

// priceBook returns the shop's price book at the version of its row. What this
// transaction wrote is read and not kept: its version stands only once it is
// committed.
func (r *reader) priceBook(version int) (domain.PriceBook, error) {
	if book, ok := r.books.of(r.shop, version); ok && !r.pricesSet {
		return book, nil
	}
	records, err := list[priceRecord](r, "kind, position, key, valid_from", 0, "1 = 1")
	if err != nil {
		return domain.PriceBook{}, err
	}
	rows := make([]domain.PriceRow, len(records))
	for i, rec := range records {
		if rows[i], err = rec.toDomain(); err != nil {
			return domain.PriceBook{}, err
		}
	}
	book := domain.BookOf(rows)
	if !r.pricesSet {
		r.books.keep(r.shop, version, book)
	}
	return book, nil
}

// SetPrices stores dated rows, in the place of those with the same key and day,
// and takes others out. A key keeps its place in reading order; a new one comes
// last of its kind.
func (w *writer) SetPrices(set []domain.PriceRow, removed []domain.PriceRef) error {
	stored, err := list[priceRecord](&w.reader, "kind, position, key, valid_from", 0, "1 = 1")
	if err != nil {
		return err
	}
	w.pricesSet = true
	for _, ref := range removed {
		if err := w.exec("price", "DELETE FROM prices WHERE shop_id = ? AND kind = ? AND key = ? AND valid_from = ?",
			w.shop, string(ref.Kind), ref.Key, string(ref.From)); err != nil {
			return err
		}
	}
	return w.addPrices(set, placesOf(stored))
}

// places is where each key of a kind stands, and how many places are taken.
type places struct {
	at   map[[2]string]int
	next map[string]int
}

func placesOf(stored []priceRecord) places {
	p := places{map[[2]string]int{}, map[string]int{}}
	for _, r := range stored {
		p.at[[2]string{r.Kind, r.Key}] = r.Position
		p.next[r.Kind] = max(p.next[r.Kind], r.Position+1)
	}
	return p
}

func (p places) of(ref domain.PriceRef) int {
	key := [2]string{string(ref.Kind), ref.Key}
	if _, ok := p.at[key]; !ok {
		p.at[key] = p.next[key[0]]
		p.next[key[0]]++
	}
	return p.at[key]
}

func (w *writer) addPrices(rows []domain.PriceRow, places places) error {
	records := make([]priceRecord, len(rows))
	for i, row := range rows {
		var err error
		if records[i], err = priceToRecord(w.shop, row, places.of(row.Ref())); err != nil {
			return err
		}
	}
	anew := clause.OnConflict{UpdateAll: true, Columns: []clause.Column{{Name: "shop_id"}, {Name: "kind"}, {Name: "key"}, {Name: "valid_from"}}}
	for part := range slices.Chunk(records, 200) {
		if err := w.ran(w.db.Clauses(anew).Create(&part)); err != nil {
			return err
		}
	}
	return nil
}
