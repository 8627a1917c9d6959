// Package paper writes the documents that leave the shop or go to the bench:
// quote, change order, inspection report, job card, and the bill if the work
// stopped now.
//
// A document is described once, as a Sheet of parts, and drawn twice: HTML writes
// it as a page that stands by itself (no script, no outside resource, one style
// sheet inside), so that the exact bytes can be kept, hashed and shown again
// years later; PDF draws it for printing and keeping. The same data always gives
// the same bytes, in both.
//
// Terms. The frame is the heavy line round a page, the title block the table in
// its lower right corner, which stands on every page. A piece is what is never
// divided between pages: a line of text, a row of a table, a drawing. Ink is what
// is drawn. A strip is a row of photos that goes into the PDF as one image.
//
// Method and source. Sheets have a filing edge of 20 mm and borders of 10 mm (ISO
// 5457:1999), a title block in the lower right corner (ISO 7200:2004), lines of
// two widths in the ratio 1 to 2 and dashed and chain lines (ISO 128-2:2020), all
// three from memory. Lines are broken greedily, at spaces; no hyphen is added. Pages are
// filled in one pass: pieces that are kept together move on together. A table
// repeats its head after a page break, a row is never split unless it is higher
// than a page, a sum stays with the row above it, neither the first nor the last
// line of a paragraph stands alone.
//
// Type is Liberation Sans (SIL Open Font License 1.1, kept in the folder fonts):
// figures of one width; Latin, Greek and Cyrillic. A PDF embeds of it only what it
// uses. A character that the font does not have, or that is written from right to
// left, is shown as a square, and the PDF says so; nothing is dropped.
//
// Units: millimetres on paper, points for type.
//
// It leaves out: PDF/A and tagged PDF (the HTML is the accessible form), scripts
// that need shaping, hyphenation, and page numbers in printed HTML where the
// browser cannot count pages.
package paper
