package app

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
	"bareframe/internal/tabular"
)

// PriceImport is what a price list does to the price book.
type PriceImport struct {
	Rows      int
	Added     int
	Changed   int
	Unchanged int
	Version   int
	Faults    tabular.Problems
	Moves     []PriceMove // the first 200
}

// PriceMove is what one row of a list does.
type PriceMove struct {
	Row int
	Ref domain.PriceRef
	Name,
	Was, Is string
}

// mostMoves bounds the moves that are told one by one.
const mostMoves = 200

// PreviewPrices reads a price list and tells what each row would do. Nothing is
// written.
func (a *App) PreviewPrices(ctx context.Context, actor domain.Actor, from domain.Day, file io.Reader) (out PriceImport, err error) {
	table, err := readPrices(actor, "previewPrices", from, file)
	if err != nil {
		return out, err
	}
	err = a.view(ctx, actor, "previewPrices", func(r Reader) error {
		shop, err := r.Shop()
		if err != nil {
			return err
		}
		out, _ = planImport(table, shop, from, domain.DayOf(a.now(), shop.Zone()))
		return nil
	})
	return out, err
}

// ImportPrices reads a price list and writes it, all rows or none. Rows that
// give no first day hold from the day given, or from today. A row that says
// what holds on its first day already changes nothing.
func (a *App) ImportPrices(ctx context.Context, actor domain.Actor, made Precondition, from domain.Day, file io.Reader) (out PriceImport, err error) {
	table, err := readPrices(actor, "importPrices", from, file)
	if err != nil {
		return out, err
	}
	shop, err := a.changePrices(ctx, actor, "importPrices", made, func(w *work, shop domain.Shop) (PriceChange, error) {
		var change PriceChange
		out, change = planImport(table, shop, from, domain.DayOf(w.now, shop.Zone()))
		return change, out.refusal(len(change.Set))
	})
	out.Version = shop.PriceBookVersion
	return out, err
}

// readPrices reads the file outside the transaction, for those who may.
func readPrices(actor domain.Actor, action policy.Action, from domain.Day, file io.Reader) (tabular.Table, error) {
	if err := policy.Allow(actor, action); err != nil {
		return tabular.Table{}, err
	}
	if err := checkDay("/query/valid_from", from); err != nil {
		return tabular.Table{}, err
	}
	return tabular.Read(file, "price list", tabular.DefaultLimits())
}

func (o PriceImport) refusal(writes int) error {
	if o.Faults.Count > 0 {
		var found fault.Collector
		for _, p := range o.Faults.List {
			found.Add(fmt.Sprintf("/rows/%d/%s", p.Row, p.Column), "Row %d, %s: %s", p.Row, p.Column, p.Reason)
		}
		return found.Err("price-list-invalid")
	}
	if writes == 0 {
		return fault.New(fault.Conflict, "prices-stand", "Every row says what the price book holds already; nothing is written.")
	}
	return nil
}

// planImport holds a list against the book: what each row does, and everything
// that is wrong.
func planImport(table tabular.Table, shop domain.Shop, from, today domain.Day) (PriceImport, PriceChange) {
	schema := priceTable()
	checked := schema.Check(table)
	out := PriceImport{Rows: len(table.Rows), Version: shop.PriceBookVersion, Faults: checked.Problems, Moves: []PriceMove{}}
	if from.IsZero() {
		from = today
	}
	title := func(key string) string {
		if i := schema.Column(key); i >= 0 {
			return schema.Columns[i].Title
		}
		return ""
	}
	var change PriceChange
	var rowOf []int
	at := newHeldIndex(shop.PriceBook)
	for _, rec := range checked.Records {
		row := tableRow(schema, rec, func(column, reason string) { out.Faults.Add(rec.Row, title(column), reason) })
		dated := row
		if row.Held().ValidFrom.IsZero() && !at.stands(row) {
			dated = row.From(from)
		}
		was, had := at.on(dated.Ref().Kind, dated.Ref().Key, dated.Ref().From)
		if had && saysTheSame(was, row) {
			out.Unchanged++
			continue
		}
		move := PriceMove{Row: rec.Row, Ref: dated.Ref(), Name: dated.Name(), Is: priceWords(dated)}
		if had {
			move.Was = priceWords(was)
			out.Changed++
		} else {
			out.Added++
		}
		if len(out.Moves) < mostMoves {
			out.Moves = append(out.Moves, move)
		}
		change.Set, rowOf = append(change.Set, dated), append(rowOf, rec.Row)
	}
	for _, f := range priceFaults(shop.PriceBook, change, today) {
		row := 0
		if f.at >= 0 {
			row = rowOf[f.at]
		}
		out.Faults.Add(row, title(f.column), f.reason)
	}
	return out, change
}

// heldIndex finds the row of a key that holds on a day.
type heldIndex map[[2]string][]domain.PriceRow

func newHeldIndex(book domain.PriceBook) heldIndex {
	out := heldIndex{}
	for _, r := range book.Rows() {
		key := [2]string{string(r.Ref().Kind), r.Ref().Key}
		out[key] = append(out[key], r)
	}
	return out
}

func (x heldIndex) on(kind domain.PriceKind, key string, day domain.Day) (found domain.PriceRow, ok bool) {
	for _, r := range x[[2]string{string(kind), key}] {
		if h := r.Held(); h.ValidFrom <= day {
			found, ok = r, h.On(day)
		}
	}
	return found, ok
}

// stands reports whether a row without a first day is one that has none in the
// book either, as in a list that was exported.
func (x heldIndex) stands(row domain.PriceRow) bool {
	rows := x[[2]string{string(row.Ref().Kind), row.Ref().Key}]
	return len(rows) > 0 && rows[0].Equal(row)
}

// saysTheSame compares what a list says with the row that holds: days that the
// list leaves out are those of the row.
func saysTheSame(was, row domain.PriceRow) bool {
	if row.Held().ValidFrom.IsZero() {
		row = row.From(was.Held().ValidFrom)
	}
	if row.Held().ValidTo.IsZero() {
		row = row.Until(was.Held().ValidTo)
	}
	return was.Equal(row)
}

// priceWords says a row in one line.
func priceWords(r domain.PriceRow) string {
	days := ""
	if from := r.Held().ValidFrom; !from.IsZero() {
		days = ", from " + string(from)
	}
	if to := r.Held().ValidTo; !to.IsZero() {
		days += " to " + string(to)
	}
	switch {
	case r.Labour != nil:
		return fmt.Sprintf("costs %s, sells at %s an hour%s", r.Labour.CostRate, r.Labour.SellRate, days)
	case r.Material != nil:
		m := r.Material
		packs := ""
		if len(m.Packs) > 0 {
			packs = ", packs " + strings.ReplaceAll(packsText(m.Packs), packEnd, ",")
		}
		return fmt.Sprintf("%s a %s, markup %s %%, waste %s %%, %s%s%s", m.UnitCost, m.Unit, m.MarkupPercent, m.WastePercent, m.TaxClass, packs, days)
	}
	return fmt.Sprintf("lead time %d working days, markup %s %%%s", r.Vendor.LeadDays, r.Vendor.MarkupPercent, days)
}

// ExportPrices writes the whole price book as a file that can be imported again.
func (a *App) ExportPrices(ctx context.Context, actor domain.Actor, as tabular.Format) (body []byte, name string, err error) {
	err = a.view(ctx, actor, "exportPrices", func(r Reader) error {
		shop, err := r.Shop()
		if err != nil {
			return err
		}
		schema := priceTable()
		rows := shop.PriceBook.Rows()
		records := make([]tabular.Record, len(rows))
		for i, row := range rows {
			records[i] = tableRecord(schema, row)
		}
		name = fmt.Sprintf("price-book-%s.%s", domain.DayOf(a.now(), shop.Zone()), as)
		var out bytes.Buffer
		if as == tabular.XLSX {
			err = tabular.WriteXLSX(&out, schema, records)
		} else {
			err = tabular.WriteCSV(&out, schema, records)
		}
		body = out.Bytes()
		return err
	})
	return body, name, err
}
