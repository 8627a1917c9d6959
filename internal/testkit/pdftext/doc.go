// Package pdftext reads PDFs in tests with an independent reader: that they are
// valid, and what their pages say. It reads text that is coded in two bytes a
// character, which is UTF-16 where the fonts' ToUnicode maps say so (ISO 32000-1,
// 9.10.3), as the documents of package paper have it.
package pdftext
