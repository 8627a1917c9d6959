package seeds_test

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/pricing"
	"bareframe/internal/repair"
)

// The starting list reads, has every kind of work, answers every condition, and
// names only what the shop and its price book have.
func TestRepairs(t *testing.T) {
	text, err := os.ReadFile("repairs.json")
	if err != nil {
		t.Fatal(err)
	}
	list, err := repair.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(list.Note, "Starting values") {
		t.Errorf("the note does not say that these are starting values: %q", list.Note)
	}
	shop := namesOfShop(t)
	works, conditions := map[repair.Work]bool{}, map[repair.Condition]bool{}
	for _, r := range list.Repairs {
		works[r.Work] = true
		for _, c := range r.Conditions {
			conditions[c] = true
		}
		if !shop.skills[r.Skill] || r.Station != "" && !shop.stations[r.Station] {
			t.Errorf("%s: nobody is a %q or there is no station %q", r.Code, r.Skill, r.Station)
		}
		if !slices.Contains(pricing.TaxClasses(), pricing.TaxClass(r.TaxClass)) {
			t.Errorf("%s: tax class %q", r.Code, r.TaxClass)
		}
		if len(r.Cautions) == 0 || len(r.Note) < 80 {
			t.Errorf("%s has no cautions or hardly a note", r.Code)
		}
		for _, m := range r.Materials {
			if m.PriceItem == "" {
				if !slices.Contains(pricing.TaxClasses(), pricing.TaxClass(m.TaxClass)) {
					t.Errorf("%s, %s: tax class %q", r.Code, m.Item, m.TaxClass)
				}
				continue
			}
			row, ok := shop.materials[m.PriceItem]
			if !ok || row.Unit != m.Unit || row.TaxClass != m.TaxClass {
				t.Errorf("%s, %s: the price book's %s is %+v", r.Code, m.Item, m.PriceItem, row)
			}
		}
	}
	for _, w := range repair.Works() {
		if !works[w] {
			t.Errorf("no repair is of the kind %s", w)
		}
	}
	for _, c := range repair.Conditions() {
		if !conditions[c] {
			t.Errorf("no repair answers %s", c)
		}
	}
}

type materialRow struct {
	Key      string `json:"key"`
	Unit     string `json:"unit"`
	TaxClass string `json:"tax_class"`
}

type shopNames struct {
	skills, stations map[string]bool
	materials        map[string]materialRow
}

func namesOfShop(t *testing.T) shopNames {
	t.Helper()
	var book struct {
		Labour []struct {
			Skill string `json:"skill"`
		} `json:"labour"`
		Materials []materialRow `json:"materials"`
	}
	var shop struct {
		Stations []struct {
			Key string `json:"key"`
		} `json:"stations"`
	}
	for file, into := range map[string]any{"price-book.json": &book, "shop.json": &shop} {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(text, into); err != nil {
			t.Fatal(err)
		}
	}
	names := shopNames{map[string]bool{}, map[string]bool{}, map[string]materialRow{}}
	for _, l := range book.Labour {
		names.skills[l.Skill] = true
	}
	for _, s := range shop.Stations {
		names.stations[s.Key] = true
	}
	for _, m := range book.Materials {
		names.materials[m.Key] = m
	}
	return names
}
