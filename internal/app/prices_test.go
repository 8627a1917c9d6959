package app_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
	"bareframe/internal/tabular"
)

// list imports a price list at the version that stands.
func (b *bench) list(text string) (app.PriceImport, error) {
	b.t.Helper()
	shop, err := b.app.Shop(b.t.Context(), b.owner)
	b.ok("shop", err)
	return b.app.ImportPrices(b.t.Context(), b.owner, app.Precondition{Given: true, Version: shop.PriceBookVersion}, "", strings.NewReader(text))
}

const listHead = "Kind,Key,Name,Valid from,Valid to,Cost an hour,Sells at an hour,Unit,Cost a unit,Markup percent,Waste percent,Tax class,Packs,Billed in whole packs,Lead days,Note\n"

func TestAPriceListIsWrittenWholeOrNotAtAll(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	rows := func(wrong int) string {
		var out strings.Builder
		out.WriteString(listHead)
		for i := range 5000 {
			cost := fmt.Sprintf("%d.%02d", i%97+1, i%100)
			if i == wrong {
				cost = "dear"
			}
			fmt.Fprintf(&out, "material,part_%04d,Part %d,2031-01-01,,,,pc,%s,20,0,part,,,,\n", i, i, cost)
		}
		return out.String()
	}
	before, err := b.app.Shop(ctx, b.owner)
	b.ok("shop", err)
	began := time.Now()
	report, err := b.app.PreviewPrices(ctx, b.owner, "", strings.NewReader(rows(4321)))
	b.ok("preview", err)
	t.Logf("a dry run of 5,000 rows took %v", time.Since(began).Round(time.Millisecond))
	if report.Rows != 5000 || report.Added != 4999 || report.Faults.Count != 1 || report.Faults.List[0].Row != 4323 || report.Faults.List[0].Column != "Cost a unit" {
		t.Errorf("got %d rows, %d new, faults %+v; want 5000, 4999 and one in row 4323", report.Rows, report.Added, report.Faults)
	}
	_, err = b.list(rows(4321))
	refused(t, "one bad row", err, "price-list-invalid")
	if at := fault.As(err).Fields[0].Pointer; at != "/rows/4323/Cost a unit" {
		t.Errorf("the fault is at %s, want /rows/4323/Cost a unit", at)
	}
	now, err := b.app.Shop(ctx, b.owner)
	b.ok("shop", err)
	if now.PriceBookVersion != before.PriceBookVersion || len(now.PriceBook.Rows()) != len(before.PriceBook.Rows()) {
		t.Errorf("one bad row left version %d and %d rows behind, was %d and %d", now.PriceBookVersion, len(now.PriceBook.Rows()), before.PriceBookVersion, len(before.PriceBook.Rows()))
	}
	report, err = b.list(rows(-1))
	b.ok("a good list", err)
	if report.Added != 5000 || report.Version != before.PriceBookVersion+1 {
		t.Errorf("got %d new, version %d", report.Added, report.Version)
	}
	_, err = b.list(rows(-1))
	refused(t, "the same list again", err, "prices-stand")
}

func TestAnExportedPriceBookComesBackUnchanged(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	_, err := b.list(listHead +
		"material,tar,\"Tar, \"\"black\"\"\",,,,,l,3.125,20,5,material,1 at 4.00; 20 at 61.5,yes,,\n" +
		"material,tar,=Tar,2031-05-01,,,,l,3.5,20,5,material,1 at 4.00,no,,\n" +
		"vendor,plater,Plater,2031-01-01,2031-12-31,,,,,15,,,,,12,Fetches on Mondays\n")
	b.ok("rows of every kind", err)
	for _, format := range []tabular.Format{tabular.CSV, tabular.XLSX} {
		body, name, err := b.app.ExportPrices(t.Context(), b.owner, format)
		b.ok(name, err)
		report, err := b.app.PreviewPrices(t.Context(), b.owner, "", bytes.NewReader(body))
		b.ok("reading "+name, err)
		if report.Unchanged != report.Rows || report.Rows < 5 || report.Faults.Count > 0 {
			t.Errorf("%s: %d of %d rows unchanged, faults %v, moves %v", name, report.Unchanged, report.Rows, report.Faults.List, report.Moves)
		}
	}
}

func TestWhatAPriceListMustNotSay(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	for name, r := range map[string]struct{ row, column, reason string }{
		"a formula":                   {"material,tar,Tar,,,,,l,=1+1,0,0,material,,,,", "Cost a unit", "formula"},
		"a unit that is none":         {"material,tar,Tar,,,,,firkin,1,0,0,material,,,,", "Unit", "firkin"},
		"a negative cost":             {"material,tar,Tar,,,,,l,-1,0,0,material,,,,", "Cost a unit", ""},
		"a tax class that is none":    {"material,tar,Tar,,,,,l,1,0,0,booze,,,,", "Tax class", ""},
		"labour without its rate":     {"labour,welder,Welder,2031-01-01,,10,,,,,,,,,,", "Sells at an hour", "needs it"},
		"labour with a last day":      {"labour,welder,Welder,2031-01-01,2032-01-01,10,20,,,,,,,,,", "Valid to", "no last day"},
		"packs in other words":        {"material,tar,Tar,,,,,l,1,0,0,material,5=10,,,", "Packs", "size at cost"},
		"an end before the beginning": {"vendor,plater,Plater,2031-01-01,2030-01-01,,,,,1,,,,,1,", "Valid to", "before it begins"},
		"a day that is none":          {"vendor,plater,Plater,2031-02-30,,,,,,1,,,,,1,", "Valid from", ""},
		"a key with blanks":           {"vendor,the plater,Plater,,,,,,,1,,,,,1,", "Key", "small letters"},
		"a price of days gone by":     {"labour,welder,Welder,,,10,20,,,,,,,,,", "Valid from", "stays readable"},
	} {
		text := listHead + r.row + "\n"
		if name == "a price of days gone by" { // the row that holds from the beginning, with another price on purpose
			text = strings.Replace(text, "labour,welder,Welder,,", "labour,welder,Welder,1999-01-01,", 1)
			if _, err := b.list(strings.Replace(text, "10,20", "10,30", 1)); err != nil {
				t.Fatalf("a rate of old days could not be noted: %v", err)
			}
		}
		report, err := b.app.PreviewPrices(t.Context(), b.owner, "", strings.NewReader(text))
		if err != nil {
			t.Errorf("%s: got %v, want a report", name, err)
			continue
		}
		if !slices.ContainsFunc(report.Faults.List, func(p tabular.Problem) bool {
			return p.Row == 2 && p.Column == r.column && strings.Contains(p.Reason, r.reason)
		}) {
			t.Errorf("%s: got faults %v, want one in row 2, %s, that says %q", name, report.Faults.List, r.column, r.reason)
		}
		_, err = b.list(text)
		refused(t, name, err, "price-list-invalid")
	}
	for name, text := range map[string]string{
		"the wrong delimiter": "Kind|Key|Name\nvendor|plater|Plater\n",
		"the wrong encoding":  "Kind,Key,Name\nvendor,plater,Verz\xfcger\n",
		"two prices at once":  listHead + "vendor,plater,Plater,2031-01-01,2031-12-31,,,,,1,,,,,1,\nvendor,plater,Plater,2031-06-01,,,,,,2,,,,,1,\n",
	} {
		if _, err := b.list(text); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: got %v, want it refused", name, err)
		}
	}
}

// The price of a day that is over stays; a quote keeps what it was made with and
// the difference to today is the sum over what it uses, worked by hand.
func TestWhatHasMovedSinceAQuote(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	_, err := b.list(listHead + "material,tar,Tar,,,,,l,10.00,20,0,material,,,,\n")
	b.ok("tar", err)
	p := b.job(b.templateCalled("empty"))
	phase := p.Estimate.Phases[0].ID
	p, err = b.app.AddTask(ctx, b.owner, p.Job.ID, made(p), domain.Task{PhaseID: phase, Code: "T10", Name: "Weld", Kind: domain.Work,
		Hours: hours("10", "10", "10"), Skill: "welder", Crew: 1, TaxClass: pricing.RepairLabour, Cautions: []string{}}, nil, nil)
	b.ok("task", err)
	line := domain.Line{PhaseID: phase, Kind: pricing.Material, Description: "Tar", Quantity: dec("3"), Unit: "l", UnitCost: dec("10"), MarkupPercent: dec("20"),
		TaxClass: pricing.MaterialClass, PriceItem: "tar"}
	p, err = b.app.AddLine(ctx, b.owner, p.Job.ID, made(p), line)
	b.ok("line", err)
	line.PriceItem = "pitch"
	_, err = b.app.AddLine(ctx, b.owner, p.Job.ID, made(p), line)
	refused(t, "a line of a material that nobody has", err, "price-item-unknown")

	b.issue(p)
	p = b.page(p.Job.ID)
	rate := p.Price.Lines[0].UnitPrice
	if moved, err := b.app.MovedPrices(ctx, b.owner, p.Job.ID); err != nil || len(moved.Items) != 0 || !moved.Difference.IsZero() {
		t.Errorf("at once: %+v, %v; want nothing moved", moved, err)
	}
	b.rates(dec(rate).Add(dec("7.5")))
	_, err = b.list(listHead + "material,tar,Tar,,,,,l,12.00,25,0,material,,,,\n")
	b.ok("dearer tar", err)
	moved, err := b.app.MovedPrices(ctx, b.owner, p.Job.ID)
	b.ok("moved", err)
	// 10 h at 7.50 more is 75.00; 3 l at 15.00 instead of 12.00 is 9.00.
	if len(moved.Items) != 2 || moved.Items[0].Difference.String() != "75.00" || moved.Items[1].Difference.String() != "9.00" || moved.Difference.String() != "84.00" || moved.Items[1].Percent != "25" {
		t.Errorf("moved: %+v, difference %s; want 75.00 and 9.00 (25 percent a litre), together 84.00", moved.Items, moved.Difference)
	}
	q, _ := p.OpenQuote()
	_, err = b.app.WithdrawQuote(ctx, b.owner, q.ID, "withdraw-dearer", "Prices rose.")
	b.ok("withdraw", err)
	before := b.page(p.Job.ID)
	after, err := b.app.TakeTodaysPrices(ctx, b.owner, p.Job.ID, made(before))
	b.ok("today's prices", err)
	if d := after.Price.Totals.TaxBasisTotal.Decimal().Sub(before.Price.Totals.TaxBasisTotal.Decimal()); !d.Equal(dec("9")) {
		t.Errorf("taking today's prices moved the net by %s, want 9 (labour of an estimate follows by itself)", d)
	}
	_, err = b.app.TakeTodaysPrices(ctx, b.owner, p.Job.ID, made(after))
	refused(t, "prices that stand already", err, "prices-stand")
}

func TestAPriceHoldsFromItsDayOn(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	_, err := b.list(listHead + "material,tar,Tar,2031-01-01,,,,l,10.00,20,0,material,,,,\nmaterial,tar,Tar,2032-01-01,2032-06-30,,,l,11.00,20,0,material,,,,\nmaterial,tar,Tar,2033-01-01,,,,l,12.00,20,0,material,,,,\n")
	b.ok("three prices", err)
	for day, want := range map[domain.Day]string{"2030-12-31": "", "2031-01-01": "10", "2031-12-31": "10", "2032-01-01": "11", "2032-06-30": "11", "2032-07-01": "", "2033-01-01": "12", "2100-01-01": "12"} {
		book, _, _, err := b.app.PricesOn(t.Context(), b.owner, day, "")
		b.ok(string(day), err)
		got := ""
		if m, ok := book.Material("tar"); ok {
			got = m.UnitCost.String()
		}
		if got != want {
			t.Errorf("on %s tar costs %q, want %q", day, got, want)
		}
	}
}
