package pdftext

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

// Read validates a PDF strictly and returns it opened.
func Read(t testing.TB, body []byte) *model.Context {
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

// Pages returns what each page shows, in the order of its content stream.
func Pages(t testing.TB, body []byte) [][]string {
	t.Helper()
	ctx := Read(t, body)
	out := make([][]string, ctx.PageCount)
	for i := range out {
		out[i] = shownOn(t, ctx, i+1)
	}
	return out
}

// Text returns everything that a PDF shows, without spaces: where lines were
// broken does not matter.
func Text(t testing.TB, body []byte) string {
	t.Helper()
	var all strings.Builder
	for _, page := range Pages(t, body) {
		for _, words := range page {
			all.WriteString(Tight(words))
		}
	}
	return all.String()
}

// Tight is text without its spaces.
func Tight(text string) string { return strings.Join(strings.Fields(text), "") }

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
