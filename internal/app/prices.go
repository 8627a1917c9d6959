package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// PriceChange is what an owner writes into the price book: rows that are set
// and rows that are taken out.
type PriceChange struct {
	Set     []domain.PriceRow
	Removed []domain.PriceRef
}

// SetPrices writes dated rows. What was a price on a day that is over stays as
// it was: a new price is a new row from a day on. A skill that somebody has or
// an open job's task needs stays.
func (a *App) SetPrices(ctx context.Context, actor domain.Actor, made Precondition, c PriceChange) (shop domain.Shop, err error) {
	return a.changePrices(ctx, actor, "setPrices", made, func(w *work, before domain.Shop) (PriceChange, error) {
		return c, w.checkPrices(before, c)
	})
}

// changePrices writes what decide gives, in one transaction with the check of
// the version.
func (a *App) changePrices(ctx context.Context, actor domain.Actor, action policy.Action, made Precondition, decide func(*work, domain.Shop) (PriceChange, error)) (shop domain.Shop, err error) {
	err = a.change(ctx, actor, action, func(w *work) error {
		before, err := w.Shop()
		if err != nil {
			return err
		}
		today := domain.DayOf(w.now, before.Zone())
		if err := made.check(before.PriceBookVersion, PriceBookNow{before.PriceBook.On(today), before.PriceBookVersion, today}); err != nil {
			return err
		}
		c, err := decide(w, before)
		if err != nil {
			return err
		}
		shop, err = w.storePrices(before, c)
		return err
	})
	return shop, err
}

func (w *work) storePrices(before domain.Shop, c PriceChange) (domain.Shop, error) {
	shop := before
	shop.PriceBook = before.PriceBook.With(c.Set, c.Removed)
	if err := w.skillsStay(shop.PriceBook); err != nil {
		return shop, err
	}
	shop.PriceBookVersion++
	if err := w.SetPrices(c.Set, c.Removed); err != nil {
		return shop, err
	}
	if err := w.SaveShop(shop); err != nil {
		return shop, err
	}
	w.events = append(w.events, Event{ShopID: shop.ID, What: "shop"})
	was := []domain.PriceRow{}
	touched := map[domain.PriceRef]bool{}
	for _, r := range c.Set {
		touched[r.Ref()] = true
	}
	for _, ref := range c.Removed {
		touched[ref] = true
	}
	for _, r := range before.PriceBook.Rows() {
		if touched[r.Ref()] {
			was = append(was, r)
		}
	}
	return shop, w.trail("price book "+shop.ID, "", was, c)
}

// priceFault is what is wrong with one row of a change: the place of the row
// among those that are set, or among those taken out.
type priceFault struct {
	removed bool
	at      int // -1: the change as a whole
	column  string
	reason  string
}

func (f priceFault) pointer() string {
	list := "/set"
	if f.removed {
		list = "/removed"
	}
	if f.at >= 0 {
		list += fmt.Sprintf("/%d", f.at)
	}
	if f.column != "" {
		list += "/" + f.column
	}
	return list
}

// checkPrices refuses a change and names what is wrong with it, by the place of
// its row.
func (w *work) checkPrices(shop domain.Shop, c PriceChange) error {
	var found fault.Collector
	for _, f := range priceFaults(shop.PriceBook, c, domain.DayOf(w.now, shop.Zone())) {
		found.Add(f.pointer(), "%s", f.reason)
	}
	return found.Err("price-book-invalid")
}

// priceFaults holds a change against the book: each row by itself, rows that
// stand twice, days that are over, and rows of a key that hold at once.
func priceFaults(book domain.PriceBook, c PriceChange, today domain.Day) []priceFault {
	var out []priceFault
	stored := map[domain.PriceRef]domain.PriceRow{}
	for _, r := range book.Rows() {
		stored[r.Ref()] = r
	}
	at := map[domain.PriceRef]int{}
	for i, r := range c.Set {
		for _, f := range r.Faults() {
			out = append(out, priceFault{at: i, column: f.Column, reason: f.Reason})
		}
		if _, twice := at[r.Ref()]; twice {
			out = append(out, priceFault{at: i, column: "key", reason: fmt.Sprintf("%s stands twice with the same first day.", r.Ref().Key)})
			continue
		}
		at[r.Ref()] = i
		if was, ok := stored[r.Ref()]; ok && rewritesPast(was, r, today) {
			out = append(out, priceFault{at: i, column: "valid_from", reason: fmt.Sprintf("%s has held since %s, and what was a price stays readable; give the new price a first day, %s or later.", was.Name(), since(was.Ref().From), today)})
		}
	}
	out = append(out, removalFaults(book, stored, c.Removed, today)...)
	if len(out) > 0 {
		return out
	}
	after := book.With(c.Set, c.Removed)
	for _, o := range after.Overlaps() {
		i, ok := at[o.Ref]
		if !ok {
			i = -1
		}
		out = append(out, priceFault{at: i, column: "valid_from", reason: o.Reason})
	}
	if len(after.Rows()) > domain.MostPrices {
		out = append(out, priceFault{at: -1, reason: fmt.Sprintf("A price book has at most %d rows.", domain.MostPrices)})
	}
	return out
}

// removalFaults refuses to take out a row that holds or held, but for a skill
// that nobody uses and that never had another rate.
func removalFaults(book domain.PriceBook, stored map[domain.PriceRef]domain.PriceRow, refs []domain.PriceRef, today domain.Day) []priceFault {
	var out []priceFault
	for i, ref := range refs {
		switch was, ok := stored[ref]; {
		case !ok:
			out = append(out, priceFault{removed: true, at: i, reason: "There is no such row."})
		case ref.From <= today && was.Labour == nil:
			out = append(out, priceFault{removed: true, at: i, reason: fmt.Sprintf("%s holds since %s; give it a last day instead of taking it out.", was.Name(), since(ref.From))})
		case ref.From <= today && len(rowsOf(book, ref)) > 1:
			out = append(out, priceFault{removed: true, at: i, reason: fmt.Sprintf("%s has held; set a new rate from a day on.", was.Name())})
		}
	}
	return out
}

// rewritesPast reports whether a row that holds already would say something
// else for days that are over. Its last day may still be set or moved, as long
// as that day is not over; a row that begins today or later is free.
func rewritesPast(was, is domain.PriceRow, today domain.Day) bool {
	if was.Ref().From >= today || was.Equal(is) {
		return false
	}
	if to := is.Held().ValidTo; !to.IsZero() && to < today {
		return true
	}
	return !was.Equal(is.Until(was.Held().ValidTo))
}

func since(d domain.Day) string {
	if d.IsZero() {
		return "the beginning"
	}
	return string(d)
}

func rowsOf(b domain.PriceBook, ref domain.PriceRef) []domain.PriceRow {
	return slices.DeleteFunc(b.Rows(), func(r domain.PriceRow) bool { x := r.Ref(); return x.Kind != ref.Kind || x.Key != ref.Key })
}

// PriceList is one page of the price book: a key with all its dated rows.
type PriceList struct {
	Version int
	Items   []PricedKey
	Next    string // the key after which the next page begins; empty on the last
	Found   int    // keys that the search finds
	Today   domain.Day
}

// PricedKey is one thing that has prices: its rows by day, and which holds now.
type PricedKey struct {
	Kind domain.PriceKind
	Key  string
	Name string
	Now  *domain.PriceRow // nil: none holds today
	Rows []domain.PriceRow
}

// Prices lists the price book by kind, of names and keys that hold a text.
func (a *App) Prices(ctx context.Context, actor domain.Actor, kind domain.PriceKind, text string, page Page) (out PriceList, err error) {
	err = a.view(ctx, actor, "listPrices", func(r Reader) error {
		shop, err := r.Shop()
		if err != nil {
			return err
		}
		out.Version, out.Today = shop.PriceBookVersion, domain.DayOf(a.now(), shop.Zone())
		keys := pricedKeys(shop.PriceBook, out.Today)
		text = strings.ToLower(strings.TrimSpace(text))
		keys = slices.DeleteFunc(keys, func(k PricedKey) bool {
			return kind != "" && k.Kind != kind || text != "" && !strings.Contains(strings.ToLower(k.Name+" "+k.Key), text)
		})
		out.Found = len(keys)
		if page.After != "" {
			from := slices.IndexFunc(keys, func(k PricedKey) bool { return string(k.Kind)+":"+k.Key == page.After })
			keys = keys[from+1:]
		}
		out.Items = keys[:min(page.Limit, len(keys))]
		if len(keys) > page.Limit {
			last := out.Items[len(out.Items)-1]
			out.Next = string(last.Kind) + ":" + last.Key
		}
		return nil
	})
	return out, err
}

func pricedKeys(book domain.PriceBook, today domain.Day) []PricedKey {
	out := []PricedKey{}
	for _, r := range book.Rows() {
		ref := r.Ref()
		if n := len(out); n == 0 || out[n-1].Kind != ref.Kind || out[n-1].Key != ref.Key {
			out = append(out, PricedKey{Kind: ref.Kind, Key: ref.Key})
		}
		k := &out[len(out)-1]
		k.Rows, k.Name = append(k.Rows, r), r.Name()
		if h := r.Held(); h.On(today) {
			k.Now = &r
		} else if h.ValidFrom <= today {
			k.Now = nil // ended; what held before it does not come back
		}
	}
	return out
}

// PricesOn returns the price book as it holds on a day, today when none is
// given.
//
// With a job they are in its currency, at the rate that was fixed when it was made.
func (a *App) PricesOn(ctx context.Context, actor domain.Actor, day domain.Day, jobID domain.ID) (book domain.PriceBook, version int, on domain.Day, err error) {
	err = a.view(ctx, actor, "getPriceBook", func(r Reader) error {
		shop, err := r.Shop()
		if err != nil {
			return err
		}
		if err := checkDay("/on", day); err != nil {
			return err
		}
		if on = day; on.IsZero() {
			on = domain.DayOf(a.now(), shop.Zone())
		}
		book, version = shop.PriceBook.On(on), shop.PriceBookVersion
		if jobID == "" {
			return nil
		}
		job, err := r.Job(jobID)
		book = book.At(job.Rate())
		return err
	})
	return book, version, on, err
}
