package store

import (
	"errors"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

func material(key, from, cost string) domain.Material {
	return domain.Material{Key: key, Name: "Material " + key, Unit: "l", UnitCost: dec(cost), MarkupPercent: dec("0"), WastePercent: dec("0"), TaxClass: "material",
		Held: domain.Held{ValidFrom: domain.Day(from)}}
}

func rowsOf(materials ...domain.Material) []domain.PriceRow {
	var out []domain.PriceRow
	for _, m := range materials {
		out = append(out, domain.PriceRow{Material: &m})
	}
	return out
}

func bookNow(t *testing.T, s *Store, shop domain.ID) (book domain.PriceBook) {
	t.Helper()
	view(t, s, shop, func(r app.Reader) {
		x, err := r.Shop()
		if err != nil {
			t.Fatal(err)
		}
		book = x.PriceBook
	})
	return book
}

func TestPricesAreSetRowByRow(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		furnish(t, s, "a")
		furnish(t, s, "b")
		other := bookNow(t, s, "b")
		set := func(rows []domain.PriceRow, removed []domain.PriceRef, fail error) error {
			return s.Update(t.Context(), "a", func(tx app.Tx) error {
				shop, err := tx.Shop()
				if err != nil {
					return err
				}
				shop.PriceBookVersion++
				if err := must(tx.SetPrices(rows, removed), tx.SaveShop(shop)); err != nil {
					return err
				}
				seen, err := tx.Shop() // what this transaction wrote, though the version is not committed
				same(t, "within the transaction", seen.PriceBook, shop.PriceBook.With(rows, removed), err)
				return fail
			})
		}
		bookNow(t, s, "a") // now kept
		same(t, "set", set(rowsOf(material("tar", "", "3"), material("lead", "", "9"), material("tar", "2027-01-01", "3.5")), nil, nil), nil, nil)
		want := []domain.Material{material("tar", "", "3"), material("tar", "2027-01-01", "3.5"), material("lead", "", "9")}
		same(t, "materials", bookNow(t, s, "a").Materials, want, nil)

		failed := errors.New("no")
		if err := set(rowsOf(material("tar", "", "4")), nil, failed); !errors.Is(err, failed) {
			t.Fatalf("got %v, want the failure", err)
		}
		same(t, "after a change that was undone", bookNow(t, s, "a").Materials, want, nil)

		err := set(rowsOf(material("tar", "2027-01-01", "5"), material("zinc", "", "1")), []domain.PriceRef{{Kind: domain.PricedMaterial, Key: "lead"}}, nil)
		want = []domain.Material{material("tar", "", "3"), material("tar", "2027-01-01", "5"), material("zinc", "", "1")}
		same(t, "after the second change", bookNow(t, s, "a").Materials, want, err)
		if err := set(nil, []domain.PriceRef{{Kind: domain.PricedMaterial, Key: "lead"}}, nil); err == nil {
			t.Error("a row that is not there was taken out")
		}
		same(t, "the other shop's", bookNow(t, s, "b"), other, nil)
	})
}
