// Package spreadsheet runs LibreOffice Calc without a screen, as the
// independent reader, writer and reckoner that tests compare tables and
// workbooks with. Each run has a profile of its own, so that nothing of the
// machine's user is read or written.
//
// Where there is no LibreOffice the test is skipped and says so; with
// BAREFRAME_NO_SKIP=1 that is a failure.
package spreadsheet
