package tabular

// CellKind says what a cell of a file is.
type CellKind uint8

// The kinds of cell. All cells of CSV are Text.
const (
	Text    CellKind = iota
	Number           // Text is a plain decimal
	Percent          // a number in percent format: 19 % has the text 0.19
	Date             // Text is ISO 8601, a day, or a day or nothing with T and a time
	Bool             // Text is TRUE or FALSE
	Formula          // Text begins with =
	Fault            // Text is the fault, such as #DIV/0!
)

// Cell is one cell; its zero value is an empty one.
type Cell struct {
	Text string
	Kind CellKind
}

// Row is a row below the head row that is not empty. Cells has as many cells as
// the table's head.
type Row struct {
	Number int // as a spreadsheet program counts, the first row of a file is 1
	Cells  []Cell
}

// Format is a file format.
type Format string

// The formats.
const (
	CSV  Format = "csv"
	XLSX Format = "xlsx"
)

// Table is what a file says.
type Table struct {
	Format  Format
	Head    []string // titles as they stand there, without blanks at the ends; "" is no title
	HeadRow int      // number of the head row
	Rows    []Row
	// Delimiter is what divides the cells of CSV: a comma, a semicolon or a tab.
	Delimiter rune
	// Sheet is the sheet that was read from XLSX; OtherSheets were not read.
	Sheet       string
	OtherSheets []string
}

// Limits bounds what is read. A file beyond a limit is refused as
// fault.TooLarge before the excess is kept.
type Limits struct {
	Bytes      int64 // of the file
	Rows       int   // highest row number
	Columns    int
	Cells      int // cells present in the file, empty ones too
	CellLength int // bytes of text in one cell

	// For XLSX, which is a zip archive of XML files.
	Entries  int   // files in the archive
	Unpacked int64 // bytes that they say to have, and that those have which are read
	// Ratio is how many times larger a file above 1 MiB may be unpacked than packed.
	Ratio   int64
	Strings int // shared strings
	Depth   int // elements inside each other
}

// DefaultLimits suit a list kept by hand: some thousands of rows. The cell
// length is four bytes for each of the 32,767 characters that XLSX allows.
func DefaultLimits() Limits {
	return Limits{Bytes: 8 << 20, Rows: 20_000, Columns: 100, Cells: 600_000, CellLength: 4 * 32_767,
		Entries: 1_000, Unpacked: 64 << 20, Ratio: 200, Strings: 300_000, Depth: 32}
}
