package tabular

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"
)

// tenColumns is the shape of a price book.
func tenColumns() Schema {
	return Schema{Name: "Prices", Columns: []Column{
		{Key: "key", Title: "Key", Required: true, MaxLength: 60},
		{Key: "name", Title: "Name", Required: true, MaxLength: 200},
		{Key: "kind", Title: "Kind", Kind: ChoiceColumn, Choices: []string{"material", "sublet", "consumable"}},
		{Key: "unit", Title: "Unit", MaxLength: 10},
		{Key: "cost", Title: "Unit cost", Kind: DecimalColumn, NotNegative: true},
		{Key: "price", Title: "Unit price", Kind: DecimalColumn},
		{Key: "base", Title: "Price for", Kind: IntegerColumn},
		{Key: "since", Title: "Valid from", Kind: DateColumn},
		{Key: "supplier", Title: "Supplier"},
		{Key: "note", Title: "Note"},
	}}
}

func someRecords(n int) []Record {
	out := make([]Record, n)
	for i := range out {
		out[i] = Record{Row: i + 2, Values: []Value{
			TextValue(fmt.Sprintf("M-%05d", i)), TextValue(fmt.Sprintf("Sheet steel, %d mm, drawn quality", i%40)),
			ChoiceValue([]string{"material", "sublet", "consumable"}[i%3]), TextValue("m2"),
			DecimalValue(decimal.New(int64(i*37+5), -2)), DecimalValue(decimal.New(int64(i*51+7), -3)),
			IntegerValue(int64(i%9 + 1)), DayValue(fmt.Sprintf("20%02d-%02d-%02d", 20+i%30, 1+i%12, 1+i%28)),
			TextValue(fmt.Sprintf("Supplier %d", i%17)), TextValue(fmt.Sprintf("Shelf %d, bay %d", i%23, i%7)),
		}}
	}
	return out
}

func BenchmarkRead5000RowsCSV(b *testing.B) {
	var file bytes.Buffer
	if err := WriteCSV(&file, tenColumns(), someRecords(5000)); err != nil {
		b.Fatal(err)
	}
	benchmarkRead(b, file.Bytes(), 50)
}

func BenchmarkRead5000RowsXLSX(b *testing.B) {
	benchmarkRead(b, book(b, 5000), 200)
}

func book(b *testing.B, rows int) []byte {
	b.Helper()
	var file bytes.Buffer
	if err := WriteXLSX(&file, tenColumns(), someRecords(rows)); err != nil {
		b.Fatal(err)
	}
	return file.Bytes()
}

// benchmarkRead reads and checks a file of 5,000 rows.
func benchmarkRead(b *testing.B, file []byte, budget float64) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		t, err := Read(bytes.NewReader(file), "prices", DefaultLimits())
		if err != nil {
			b.Fatal(err)
		}
		if c := tenColumns().Check(t); c.Problems.Count > 0 || len(c.Records) != 5000 {
			b.Fatalf("%d records, problems %+v", len(c.Records), c.Problems.List)
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N), "ms/file")
	b.ReportMetric(budget, "ms-budget")
}

// BenchmarkBareXLSX reads the same file with the library that writes it, as text
// and without any check, to compare with in the same run.
func BenchmarkBareXLSX(b *testing.B) {
	file := book(b, 5000)
	for b.Loop() {
		f, err := excelize.OpenReader(bytes.NewReader(file))
		if err != nil {
			b.Fatal(err)
		}
		rows, err := f.GetRows("Prices", excelize.Options{RawCellValue: true})
		if err != nil || len(rows) != 5001 {
			b.Fatal(len(rows), err)
		}
		_ = f.Close()
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N), "ms/file")
}

func BenchmarkWrite5000RowsXLSX(b *testing.B) {
	for b.Loop() {
		book(b, 5000)
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N), "ms/file")
}
