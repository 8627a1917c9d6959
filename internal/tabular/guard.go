package tabular

import "strings"

// runs reports whether a spreadsheet program may take text for a formula. The
// signs are those of OWASP, "CSV Injection", with their full-width forms.
func runs(text string) bool {
	if text == "" {
		return false
	}
	if strings.IndexByte("=+-@\t\r\n", text[0]) >= 0 {
		return true
	}
	return strings.HasPrefix(text, "＝") || strings.HasPrefix(text, "＋") || strings.HasPrefix(text, "－") || strings.HasPrefix(text, "＠")
}

// guarded makes text harmless in CSV: an apostrophe in front of what would run.
// Text that has apostrophes before such a sign gets one more, so that unguarded
// gives back any text.
func guarded(text string) string {
	if runs(strings.TrimLeft(text, "'")) {
		return "'" + text
	}
	return text
}

// unguarded takes the apostrophe of guarded off again.
func unguarded(text string) string {
	if len(text) > 1 && text[0] == '\'' && runs(strings.TrimLeft(text, "'")) {
		return text[1:]
	}
	return text
}
