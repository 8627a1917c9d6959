package tabular

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDecimalsInText(t *testing.T) {
	one := Schema{Columns: []Column{{Key: "p", Title: "Price", Kind: DecimalColumn}}}
	for _, c := range []struct{ name, text, inCommas, inSemicolons string }{
		{"whole", "12", "12", "12"},
		{"zeros in front", "007", "7", "7"},
		{"negative", "-12.50", "-12.5", "-12.5"},
		{"minus sign of type", "\u221212.5", "-12.5", "-12.5"},
		{"decimal point", "12.50", "12.5", "12.5"},
		{"decimal comma", "12,50", "12.5", "12.5"},
		{"one place", "1,5", "1.5", "1.5"},
		{"zeros beyond the places", "1.500000000", "1.5", "1.5"},
		{"comma and three digits", "1,234", "1,234 can be read in two ways; write 1234 or 1.2340", "1,234 can be read in two ways; write 1234 or 1.2340"},
		{"the same, negative", "-123,456", "-123,456 can be read in two ways; write -123456 or -123.4560", "-123,456 can be read in two ways; write -123456 or -123.4560"},
		{"point and three digits", "1.234", "1.234", "1.234 can be read in two ways; write 1234 or 1.2340"},
		{"what the reason asks for", "1.2340", "1.234", "1.234"},
		{"nothing before the comma", "0,234", "0.234", "0.234"},
		{"nothing before the point", "0.234", "0.234", "0.234"},
		{"four digits before the comma", "1234,567", "1234.567", "1234.567"},
		{"four digits before the point", "1234.567", "1234.567", "1234.567"},
		{"both, comma last", "1.234,56", "1234.56", "1234.56"},
		{"both, point last", "1,234.56", "1234.56", "1234.56"},
		{"both, three digits last", "1.234,567", "1234.567", "1234.567"},
		{"millions", "1.234.567", "1234567", "1234567"},
		{"millions with commas", "1,234,567", "1234567", "1234567"},
		{"millions and a fraction", "1.234.567,8", "1234567.8", "1234567.8"},
		{"blanks", "1 234 567,8", "1234567.8", "1234567.8"},
		{"no-break blank", "1\u00a0234", "1234", "1234"},
		{"narrow no-break blank", "1\u202f234.567", "1234.567", "1234.567"},
		{"apostrophes", "1'234.50", "1234.5", "1234.5"},
		{"blanks at the ends", "\u00a0 12.5 ", "12.5", "12.5"},
		{"groups of two", "12,34,567", "no", "no"},
		{"group of four", "1,2345.6", "no", "no"},
		{"two points and two commas", "1.2,3.4", "no", "no"},
		{"a comma at the end", "12,", "no", "no"},
		{"a point in front", ".5", "no", "no"},
		{"exponent", "1e5", "no", "no"},
		{"currency", "€ 12", "no", "no"},
		{"unit", "12 m", "no", "no"},
		{"word", "none", "no", "no"},
		{"a sign alone", "-", "no", "no"},
		{"two signs", "--1", "no", "no"},
		{"a blank inside a fraction", "1.5 5", "no", "no"},
		{"percent", "19 %", "write 19 for 19 %", "write 19 for 19 %"},
		{"formula", "=A1*2", "a formula stands here (=A1*2), not a number", "a formula stands here (=A1*2), not a number"},
		{"too many places", "0.1234567", "at most 12 digits before the point and 6 after", "at most 12 digits before the point and 6 after"},
		{"too many digits", "1234567890123", "at most 12 digits before the point and 6 after", "at most 12 digits before the point and 6 after"},
	} {
		for delimiter, want := range map[rune]string{',': c.inCommas, ';': c.inSemicolons} {
			if want == "no" {
				want = "is not a number; write digits and one decimal point"
			}
			table := Table{Format: CSV, Head: []string{"price"}, HeadRow: 1, Delimiter: delimiter, Rows: []Row{{Number: 7, Cells: []Cell{{Text: c.text}}}}}
			got := one.Check(table)
			if got.Problems.Count == 1 {
				if p := got.Problems.List[0]; p.Row != 7 || p.Column != "Price" || !strings.Contains(p.Reason, want) {
					t.Errorf("%s: %q between %q is refused with %+v, want %q in row 7", c.name, c.text, delimiter, p, want)
				}
			} else if text := got.Records[0].Values[0].Decimal.String(); text != want {
				t.Errorf("%s: %q between %q is %s, want %s", c.name, c.text, delimiter, text, want)
			}
		}
	}
}

// One decimal comma in a file makes every lone point with three digits doubtful.
func TestADecimalCommaElsewhereMakesAPointDoubtful(t *testing.T) {
	schema := Schema{Columns: []Column{{Key: "p", Title: "Price", Kind: DecimalColumn}, {Key: "n", Title: "Note"}}}
	for _, c := range []struct {
		file  string
		count int
	}{
		{"price,note\n1.234,a\n2.5,\"1,5\"\n", 0}, // the comma stands in a text
		{"price,note\n1.234,a\n\"2,5\",b\n", 1},
		{"price,note\n1.234,a\n1.234.567,b\n", 1},
		{"price,note\n1.234,a\n\"1,234.5\",b\n", 0},
	} {
		table, err := Read(strings.NewReader(c.file), "list", DefaultLimits())
		if err != nil {
			t.Fatal(err)
		}
		if got := schema.Check(table); got.Problems.Count != c.count {
			t.Errorf("%q: problems %+v, want %d", c.file, got.Problems.List, c.count)
		}
	}
}

func TestCheckNamesEverything(t *testing.T) {
	schema := Schema{Name: "Prices", Columns: []Column{
		{Key: "key", Title: "Key", Required: true, MaxLength: 5},
		{Key: "kind", Title: "Kind", Kind: ChoiceColumn, Choices: []string{"material", "sublet"}},
		{Key: "n", Title: "Pieces", Kind: IntegerColumn, NotNegative: true},
		{Key: "since", Title: "Valid from", Kind: DateColumn},
		{Key: "price", Title: "Price", Kind: DecimalColumn, MaxInteger: 3, MaxPlaces: 2, NotNegative: true},
	}}
	file := "Price,KEY,kind,pieces,valid  FROM\n" +
		"1.25,abc,Material,3,2031-02-28\n" +
		"-1,toolong,wood,-2,2031-02-29\n" +
		"1234,,sublet,1.5,31.12.2031\n" +
		"1.255,a\x07b,,12345678901234567,2031-01-01T10:00\n"
	table, err := Read(strings.NewReader(file), "list", DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	got := schema.Check(table)
	reasons := []struct {
		row            int
		column, reason string
	}{
		{3, "Key", "the text has 7 characters; use at most 5"}, {3, "Kind", "wood is not one of material, sublet"}, {3, "Pieces", "cannot be negative"},
		{3, "Valid from", "2031-02-29 is no day of the calendar"}, {3, "Price", "cannot be negative"},
		{4, "Key", "a value is needed"}, {4, "Pieces", "1.5 is not a whole number"}, {4, "Valid from", "31.12.2031 is not a day as year-month-day"}, {4, "Price", "at most 3 digits before the point and 2"},
		{5, "Key", "cannot be seen stands here (U+0007)"}, {5, "Pieces", "more than 15 digits"}, {5, "Valid from", "a time of day"}, {5, "Price", "at most 3 digits before the point and 2"},
	}
	if got.Problems.Count != len(reasons) || len(got.Problems.List) != len(reasons) {
		t.Fatalf("got %d problems, want %d:\n%+v", got.Problems.Count, len(reasons), got.Problems.List)
	}
	for i, want := range reasons {
		if p := got.Problems.List[i]; p.Row != want.row || p.Column != want.column || !strings.Contains(p.Reason, want.reason) {
			t.Errorf("problem %d is %+v, want %+v", i, p, want)
		}
	}
	if len(got.Records) != 1 || got.Records[0].Row != 2 || got.Records[0].Values[schema.Column("kind")].Text != "material" {
		t.Errorf("records %+v, want row 2 alone, with the choice as it is known", got.Records)
	}
}

func TestColumnsThatDoNotFitAreNamed(t *testing.T) {
	schema := Schema{Columns: []Column{{Key: "key", Title: "Key", Required: true}, {Key: "price", Title: "Price", Required: true}, {Key: "note", Title: "Note"}}}
	for _, c := range []struct {
		name, file string
		want       []Problem
		absent     []string
	}{
		{"all there", "note,price,key\n1,2,3\n", nil, nil},
		{"an optional one absent", "price,key\n1,2\n", nil, []string{"note"}},
		{"one missing", "key,note\n1,2\n", []Problem{{1, "Price", "the column is missing"}}, nil},
		{"one twice, once by its key", "\nKey,Price,PRICE,key\n1,2,3,4\n", []Problem{{2, "Key", "the column is there twice, in A and D"}, {2, "Price", "the column is there twice, in B and C"}}, []string{"note"}},
		{"one unknown", "key,price,prize\n1,2,3\n", []Problem{{1, "prize", "this column is not known; the columns are Key, Price, Note"}}, []string{"note"}},
		{"an empty column", ",key,,price\n,1,,2\n", nil, []string{"note"}},
		{"one without title", "key,price,,note\n1,2,3,4\n", []Problem{{1, "C", "the column has no title"}}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			table, err := Read(strings.NewReader(c.file), "list", DefaultLimits())
			if err != nil {
				t.Fatal(err)
			}
			got := schema.Check(table)
			if d := cmp.Diff(c.want, got.Problems.List); d != "" {
				t.Errorf("want(-) got(+): %s\ninput: %q", d, c.file)
			}
			if c.want == nil {
				if d := cmp.Diff(c.absent, got.Absent); d != "" {
					t.Errorf("absent, want(-) got(+): %s", d)
				}
			}
		})
	}
}

func TestTheFirst200ProblemsAreKeptAndAllCounted(t *testing.T) {
	table, err := Read(strings.NewReader("p\n"+strings.Repeat("x\n", 1000)), "list", DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	got := Schema{Columns: []Column{{Key: "p", Title: "P", Kind: DecimalColumn}}}.Check(table)
	if got.Problems.Count != 1000 || len(got.Problems.List) != 200 || got.Problems.List[199].Row != 201 {
		t.Errorf("%d problems, %d of them kept, want 1000 and 200 to row 201", got.Problems.Count, len(got.Problems.List))
	}
}
