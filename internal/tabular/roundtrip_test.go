package tabular

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

var writers = map[Format]func(io.Writer, Schema, []Record) error{CSV: WriteCSV, XLSX: WriteXLSX}

// signs are characters that mean something to one of the formats.
var signs = []rune("=+-@'\"',;\t\n <>&_x0041_#%äßЖ語😀＝\u00a0$!/.")

func drawText(t *rapid.T, label string) string {
	return rapid.OneOf(
		rapid.StringOfN(rapid.SampledFrom(signs), 0, 12, -1),
		rapid.StringN(0, 20, -1).Filter(func(s string) bool { return unwritable(s) == "" && !strings.ContainsRune(s, '\uFFFD') }),
		rapid.SampledFrom([]string{"'=1+1", "''@x", "_x000D_", "_x005F_x000D_", "1,234", "007", "3-5", "1E5", "TRUE", "#N/A", "=cmd|' /C calc'!A0", "0.5", "sep=;"}),
	).Draw(t, label)
}

func drawDecimal(t *rapid.T, label string) decimal.Decimal {
	places := rapid.Int32Range(0, 6).Draw(t, label+" places")
	most := int64(999_999_999_999)
	for range places {
		most = min(most*10+9, 999_999_999_999_999_999)
	}
	return decimal.New(rapid.Int64Range(-most, most).Draw(t, label), -places)
}

func drawRecord(t *rapid.T, row int) Record {
	maybe := func(v Value) Value {
		if rapid.Bool().Draw(t, "given") {
			return v
		}
		return Value{}
	}
	day := fmt.Sprintf("%04d-%02d-%02d", rapid.IntRange(1, 9999).Draw(t, "year"), rapid.IntRange(1, 12).Draw(t, "month"), rapid.IntRange(1, 28).Draw(t, "day"))
	return Record{Row: row, Values: []Value{
		TextValue("k" + drawText(t, "key")), TextValue("n" + drawText(t, "name")),
		maybe(ChoiceValue(rapid.SampledFrom([]string{"material", "sublet", "consumable"}).Draw(t, "choice"))),
		maybe(TextValue(drawText(t, "unit"))), maybe(DecimalValue(drawDecimal(t, "cost").Abs())), maybe(DecimalValue(drawDecimal(t, "price"))),
		maybe(IntegerValue(rapid.Int64Range(-999_999_999_999_999, 999_999_999_999_999).Draw(t, "base"))), maybe(DayValue(day)),
		maybe(TextValue(drawText(t, "supplier"))), maybe(TextValue(drawText(t, "note"))),
	}}
}

// What is written comes back the same: every text, digit and day, in its row.
func TestWhatIsWrittenComesBack(t *testing.T) {
	schema := tenColumns()
	schema.Columns[0].MaxLength, schema.Columns[1].MaxLength, schema.Columns[3].MaxLength = 0, 0, 0
	for format, write := range writers {
		t.Run(string(format), rapid.MakeCheck(func(t *rapid.T) {
			var want []Record
			for i := range rapid.IntRange(0, 8).Draw(t, "rows") {
				want = append(want, drawRecord(t, i+2))
			}
			var file bytes.Buffer
			if err := write(&file, schema, want); err != nil {
				t.Fatalf("writing %+v: %v", want, err)
			}
			table, err := Read(bytes.NewReader(file.Bytes()), "list", DefaultLimits())
			if err != nil {
				t.Fatalf("reading back: %v\n%q", err, file.Bytes())
			}
			got := schema.Check(table)
			if got.Problems.Count > 0 {
				t.Fatalf("problems: %+v\n%+v", got.Problems.List, want)
			}
			if d := cmp.Diff(want, got.Records, cmp.Comparer(decimal.Decimal.Equal), cmpopts.EquateEmpty()); d != "" {
				t.Fatalf("want(-) got(+):\n%s", d)
			}
		}))
	}
}

// The guard against formulas is undone exactly, and nothing guarded runs.
func TestTheGuardIsUndoneExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.SampledFrom([]rune("'=+-@\tx")))).Draw(t, "text")
		if got := unguarded(guarded(text)); got != text {
			t.Fatalf("got %q, want %q by way of %q", got, text, guarded(text))
		}
		if runs(guarded(text)) {
			t.Fatalf("%q still runs as %q", text, guarded(text))
		}
	})
}

func TestEqualRecordsGiveEqualBytes(t *testing.T) {
	for format, write := range writers {
		var first []byte
		for i := range 20 {
			var file bytes.Buffer
			if err := write(&file, tenColumns(), someRecords(30)); err != nil {
				t.Fatal(err)
			}
			if i == 0 {
				first = file.Bytes()
			} else if !bytes.Equal(first, file.Bytes()) {
				t.Fatalf("%s: writing %d differs from the first", format, i+1)
			}
		}
		var other bytes.Buffer
		if err := write(&other, tenColumns(), someRecords(31)); err != nil || bytes.Equal(first, other.Bytes()) {
			t.Errorf("%s: other records give the same bytes (%v)", format, err)
		}
	}
}
