package paper

import (
	"testing"

	"bareframe/internal/testkit/pdftext"
)

// printed returns what each page of a document shows.
func printed(t testing.TB, s Sheet, hash string) [][]string {
	t.Helper()
	body, err := PDF(s, hash)
	if err != nil {
		t.Fatal(err)
	}
	return pdftext.Pages(t, body)
}

// tight is text without its spaces, for comparing where lines were broken.
func tight(text string) string { return pdftext.Tight(text) }
