// Package tabular reads and writes tables as CSV and XLSX, for lists that a
// person keeps in a spreadsheet program: a price book first.
//
// Terms. A Table is what a file says: a head row and the rows below it, each
// with its number as a spreadsheet program counts. A Schema says what a table
// should hold; Schema.Check turns a Table into records with typed values, or
// names everything that is wrong with it. A formula is shown as its text and
// never worked out. A serial is a day as a spreadsheet counts it.
//
// Reading. What a file is, is judged by its content and never by its name. A
// CSV file is UTF-8, with or without a byte order mark, or UTF-16 with one;
// other bytes are refused with the row and with how to save the file. Cells are
// divided by commas; by semicolons or tabs only where the head row leaves no
// doubt or a first line such as sep=; says so. From XLSX the first sheet that is not hidden is read, by a reader of
// its own that holds every count and size against Limits before it keeps
// anything: entries, unpacked bytes, their ratio to the packed ones, depth of
// the XML, shared strings, cells, rows, columns. Macros, drawings and links to
// other files are never opened.
//
// Numbers. A number of XLSX is the shortest decimal that reads back as the
// stored double, with at most 15 significant digits, which is what a person can
// type or see in a spreadsheet cell. A number that is text may use a decimal
// comma or grouped thousands where that can mean one thing only; where it could
// mean two (1,234) the cell is refused with both meanings. A cell in percent
// format is refused where a number is wanted, because 19 % is stored as 0.19.
//
// Formulas in CSV. Spreadsheet programs run cells that begin with = + - @, tab
// or carriage return. Text that does is written with an apostrophe in front,
// and one apostrophe is taken off again when such text is read, so that a table
// comes back as it was. In XLSX text is written as text cells.
//
// Text is trimmed of blanks at both ends when checked and written, and its line
// ends are line feeds.
//
// Sources. RFC 4180 (CSV); ECMA-376 part 1, SpreadsheetML: 18.2.5 and 18.17.4.1
// (both date systems), 18.3 (sheets), 18.4 (shared strings), 18.8.30 (number
// formats), 22.9.2.19 (escaped characters); OWASP, "CSV Injection"; IEEE 754
// (15 decimal digits survive a double).
//
// It leaves out: the older binary formats, OpenDocument, encrypted files, more
// than one sheet, merged cells (their first cell counts), and rich text, of which
// only the letters are read.
package tabular
