package paper

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// readPDF validates a PDF with an independent reader and returns it opened.
func readPDF(t testing.TB, body []byte) *model.Context {
	t.Helper()
	api.DisableConfigDir()
	conf := model.NewDefaultConfiguration()
	conf.ValidationMode = model.ValidationStrict
	if err := api.Validate(bytes.NewReader(body), conf); err != nil {
		t.Fatalf("not a valid PDF: %v", err)
	}
	ctx, err := api.ReadContext(bytes.NewReader(body), conf)
	if err != nil {
		t.Fatal(err)
	}
	if err := api.ValidateContext(ctx); err != nil {
		t.Fatal(err)
	}
	return ctx
}

// shownOn returns the strings that a page shows, in the order of its content
// stream. Text is coded in two bytes a character, which the fonts' ToUnicode maps
// say are UTF-16 (ISO 32000-1, 9.10.3).
func shownOn(t testing.TB, ctx *model.Context, page int) []string {
	t.Helper()
	r, err := pdfcpu.ExtractPageContent(ctx, page)
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for rest := content; ; {
		at := bytes.IndexByte(rest, '(')
		if at < 0 {
			return out
		}
		text, n := literal(rest[at:])
		if rest = rest[at+n:]; bytes.HasPrefix(bytes.TrimSpace(rest), []byte("Tj")) {
			out = append(out, decoded(text))
		}
	}
}

// literal reads a literal string with its escapes (ISO 32000-1, 7.3.4.2) and says
// how long it is.
func literal(b []byte) ([]byte, int) {
	var out []byte
	for i, depth := 1, 1; i < len(b); i++ {
		switch b[i] {
		case '\\':
			i++
			if c := strings.IndexByte("nrtbf", b[i]); c >= 0 {
				out = append(out, "\n\r\t\b\f"[c])
			} else {
				out = append(out, b[i])
			}
		case '(':
			depth++
			out = append(out, '(')
		case ')':
			if depth--; depth == 0 {
				return out, i + 1
			}
			out = append(out, ')')
		default:
			out = append(out, b[i])
		}
	}
	return out, len(b)
}

func decoded(b []byte) string {
	units := make([]uint16, len(b)/2)
	for i := range units {
		units[i] = uint16(b[2*i])<<8 | uint16(b[2*i+1])
	}
	return string(utf16.Decode(units))
}

// printed returns what each page of a document shows.
func printed(t testing.TB, s Sheet, hash string) [][]string {
	t.Helper()
	body, err := PDF(s, hash)
	if err != nil {
		t.Fatal(err)
	}
	ctx := readPDF(t, body)
	out := make([][]string, ctx.PageCount)
	for i := range out {
		out[i] = shownOn(t, ctx, i+1)
	}
	return out
}

// tight is text without its spaces, for comparing where lines were broken.
func tight(text string) string { return strings.Join(strings.Fields(text), "") }
