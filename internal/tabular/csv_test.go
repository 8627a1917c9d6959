package tabular

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"bareframe/internal/fault"
)

// told writes a table for comparing: its delimiter, its head row, and each row
// with its number.
func told(t Table) string {
	var out strings.Builder
	fmt.Fprintf(&out, "%c %d:%s", t.Delimiter, t.HeadRow, strings.Join(t.Head, "|"))
	for _, row := range t.Rows {
		texts := make([]string, len(row.Cells))
		for i, c := range row.Cells {
			texts[i] = c.Text
		}
		fmt.Fprintf(&out, " %d:%s", row.Number, strings.Join(texts, "|"))
	}
	return out.String()
}

func utf16File(text string, bigEndian bool) string {
	var out []byte
	for _, u := range utf16.Encode([]rune("\uFEFF" + text)) {
		if bigEndian {
			out = append(out, byte(u>>8), byte(u))
		} else {
			out = append(out, byte(u), byte(u>>8))
		}
	}
	return string(out)
}

func TestReadCSV(t *testing.T) {
	for _, c := range []struct{ name, file, want string }{
		// RFC 4180, section 2: the examples of rules 1 to 7, below a head row.
		{"line break at the end", "h1,h2,h3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", ", 1:h1|h2|h3 2:aaa|bbb|ccc 3:zzz|yyy|xxx"},
		{"no line break at the end", "h1,h2,h3\r\naaa,bbb,ccc", ", 1:h1|h2|h3 2:aaa|bbb|ccc"},
		{"quotation marks", "h1,h2,h3\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", ", 1:h1|h2|h3 2:aaa|bbb|ccc 3:zzz|yyy|xxx"},
		{"a line break in a cell", "h1,h2,h3\r\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", ", 1:h1|h2|h3 2:aaa|b\nbb|ccc 3:zzz|yyy|xxx"},
		{"a quotation mark in a cell", "h1,h2,h3\r\n\"aaa\",\"b\"\"bb\",\"ccc\"", ", 1:h1|h2|h3 2:aaa|b\"bb|ccc"},

		{"rows are counted over blank lines and line breaks in cells", "\n\na,b\n\n\"1\n1\",2\n\n\n3,4\n", ", 3:a|b 5:1\n1|2 8:3|4"},
		{"rows of delimiters are blank", "a,b\n,\n1,2\n,,\n", ", 1:a|b 3:1|2"},
		{"blank cells at the end", "a,b,,\n1,2,,,,\n3,,\n", ", 1:a|b 2:1|2 3:3|"},
		{"UTF-8 with a mark", "\xef\xbb\xbf\"a\",b\nä,語\n", ", 1:a|b 2:ä|語"},
		{"UTF-16, low byte first", utf16File("a\tb\nä\t😀\n", false), "\t 1:a|b 2:ä|😀"},
		{"UTF-16, high byte first", utf16File("a,b\nä,😀\n", true), ", 1:a|b 2:ä|😀"},
		{"line ends of old", "a,b\r1,2\r3,4", ", 1:a|b 2:1|2 3:3|4"},
		{"semicolons", "a;b;c\n1,5;2;\"x;y\"\n", "; 1:a|b|c 2:1,5|2|x;y"},
		{"tabs", "a\tb\n1,5\t2;3\n", "\t 1:a|b 2:1,5|2;3"},
		{"commas with a semicolon in the head row", "a,b; or c,d\n1,2,3\n", ", 1:a|b; or c|d 2:1|2|3"},
		{"a delimiter that is stated", "sep=;\r\na;b\r\n1,5;2\r\n", "; 1:a|b 2:1,5|2"},
		{"a stated delimiter that leaves one column", "sep=,\na;b\n1;2\n", ", 1:a;b 2:1;2"},
		{"one column", "a\n1\n2\n", ", 1:a 2:1 3:2"},
		{"an apostrophe against formulas goes", "a,b\n'=1+1,'''-x\n'tis,'\n", ", 1:a|b 2:=1+1|''-x 3:'tis|'"},
		{"formulas are text", "a,b\n=1+1,@x\n", ", 1:a|b 2:=1+1|@x"},
		{"titles lose blanks", " a  b ,\"c\nd\"\n1,2\n", ", 1:a b|c d 2:1|2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			table, err := Read(strings.NewReader(c.file), "list", DefaultLimits())
			if err != nil {
				t.Fatalf("%v\ninput: %q", err, c.file)
			}
			if got := told(table); got != c.want {
				t.Errorf("got  %q\nwant %q\ninput: %q", got, c.want, c.file)
			}
		})
	}
}

func TestCSVThatIsRefused(t *testing.T) {
	for _, c := range []struct{ name, file, code, words string }{
		// 0xfc is u with diaeresis in Windows-1252 and Latin-1, 0x80 the euro sign in Windows-1252 only.
		{"Latin-1", "a,b\n1,2\nx,K\xfchler\n", "table-encoding", `row 3 is not in UTF-8; as Latin-1 (Windows-1252) it would read "Kühler"`},
		{"Windows-1252", "a,b\n5 \x80,K\xfchler\n", "table-encoding", `row 2 is not in UTF-8; as Windows-1252 it would read "5 €"`},
		{"UTF-8 cut off", "a,b\n1,\xc3", "table-encoding", "row 2"},
		{"UTF-8 of a surrogate", "a,b\n\"x\ny\",1\n1,\xed\xa0\x80\n", "table-encoding", "row 3"},
		{"UTF-16 cut off", utf16File("a,b\n1,2", false) + "x", "table-encoding", "UTF-16"},
		{"UTF-16 with half a pair", "\xff\xfea\x00,\x00b\x00\n\x00\x00\xd8x\x00", "table-encoding", "row 2"},
		{"semicolons and tabs", "a;b\tc\n", "table-delimiter", "1 columns by commas, 2 by semicolons and 2 by tabs"},
		{"semicolons, and commas in the titles", "key;name;price, net\nx;y;1,5\n", "table-delimiter", "2 columns by commas, 3 by semicolons"},
		{"a short row", "a,b,c\n1,2,3\n1,2\n\n3\n", "table-ragged", "row 3 has 2 cells and the head row 3; so are rows 5"},
		{"a long row", "a,b\n1,2\n1,2,3\n", "table-ragged", `row 3, column C, stands beyond the 2 columns of the head row: "3"; it is the only such row`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(c.file), "list", DefaultLimits())
			wantRefusal(t, c.file, err, c.code, c.words, `"list": `)
		})
	}
}

// All ragged rows are named, the first ones in words and 200 as evidence.
func TestRaggedRowsAreAllNamed(t *testing.T) {
	_, err := Read(strings.NewReader("a,b\n"+strings.Repeat("1\n", 300)), "list", DefaultLimits())
	wantRefusal(t, "300 short rows", err, "table-ragged", "row 2 has", "rows 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 289 more")
	p, ok := fault.As(err).Evidence.(Problems)
	if !ok || p.Count != 300 || len(p.List) != 200 || p.List[199].Row != 201 {
		t.Errorf("evidence %+v, want 300 problems of which the first 200 are named", p)
	}
}

// What OWASP, "CSV Injection", names as dangerous beginnings, and its example.
func TestWhatRunsIsGuarded(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"=1+2\";=1+2", "'=1+2\";=1+2"}, {"+1", "'+1"}, {"-1", "'-1"}, {"@SUM(A1)", "'@SUM(A1)"}, {"\t=1", "'\t=1"}, {"\r=1", "'\r=1"}, {"\n=1", "'\n=1"},
		{"＝1", "'＝1"}, {"a=1", "a=1"}, {"'tis", "'tis"}, {"'=1", "''=1"}, {"", ""}, {"'", "'"},
	} {
		if got := guarded(c.text); got != c.want {
			t.Errorf("guarded(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}

func TestColumnNames(t *testing.T) {
	got := map[int]string{}
	for _, i := range []int{0, 25, 26, 701, 702, 16_383} {
		got[i] = columnName(i)
	}
	// ECMA-376 18.18.7: columns are A to XFD, 16,384 in all.
	if d := cmp.Diff(map[int]string{0: "A", 25: "Z", 26: "AA", 701: "ZZ", 702: "AAA", 16_383: "XFD"}, got); d != "" {
		t.Error(d)
	}
}
