package jobfile

import (
	"regexp"
	"strings"
	"time"
	"unicode/utf8"
)

// form is how a text may look.
type form struct {
	holds func(string) bool
	words string
}

// shaped is a form by a pattern; patterns are anchored here.
func shaped(pattern, words string) form {
	return form{regexp.MustCompile(`^(?:` + pattern + `)$`).MatchString, words}
}

// decimalOf is plain decimal text without exponent.
func decimalOf(whole, places, words string) form {
	return shaped(`[0-9]{1,`+whole+`}(\.[0-9]{1,`+places+`})?`, words)
}

// line is a text on one line, of at most so many characters.
func line(least, most int, words string) form {
	return form{func(s string) bool {
		n := utf8.RuneCountInString(s)
		return n <= most && (least == 0 || strings.TrimSpace(s) != "") && !strings.ContainsAny(s, "\n\t")
	}, words}
}

// forms are those of the API's contract, so that what is read here can be edited there.
var forms = map[string]form{
	"any":       {func(string) bool { return true }, "text"},
	"id":        shaped(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}`, "an identifier"),
	"sum":       shaped(`[0-9a-f]{64}`, "a SHA-256 sum of 64 small hex digits"),
	"label":     line(1, 160, "one line of 1 to 160 characters"),
	"optlabel":  line(0, 160, "one line of at most 160 characters"),
	"group":     line(0, 80, "one line of at most 80 characters"),
	"text":      {func(s string) bool { return utf8.RuneCountInString(s) <= 4000 }, "text of at most 4000 characters"},
	"key":       shaped(`[a-z0-9_]{1,40}`, "a key of 1 to 40 small letters, digits and underscores"),
	"optkey":    shaped(`[a-z0-9_]{0,40}`, "a key of small letters, digits and underscores, or empty"),
	"ref":       shaped(`[a-z0-9]{1,12}`, "a key of this file: 1 to 12 small letters and digits"),
	"code":      shaped(`[A-Za-z0-9.-]{1,12}`, "a code of 1 to 12 letters, digits, points and hyphens"),
	"zone":      shaped(`[a-z0-9-]{1,40}`, "a code of 1 to 40 small letters, digits and hyphens"),
	"item":      shaped(`[A-Za-z0-9_.-]{1,60}`, "the key of an item of a judging sheet"),
	"word":      shaped(`[A-Za-z0-9_]{1,40}`, "one word"),
	"currency":  shaped(`[A-Z]{3}`, "a currency of three capitals (ISO 4217)"),
	"hours":     decimalOf("5", "2", "hours as text, with at most two places"),
	"lag":       shaped(`-?[0-9]{1,6}(\.[0-9]{1,2})?`, "hours as text, with at most two places"),
	"quantity":  decimalOf("8", "4", "a quantity as text, with at most four places"),
	"unit_cost": decimalOf("9", "4", "an amount as text, with at most four places"),
	"percent":   decimalOf("3", "4", "a percentage as text, with at most four places"),
	"points":    shaped(`-?[0-9]{1,4}(\.[0-9]{1,2})?`, "judged points as text, with at most two places"),
	"amount":    shaped(`-?[0-9]{1,12}(\.[0-9]{1,4})?`, "an amount as text"),
	"day":       {aDay, "a day like 2027-03-31, from 1970 to 2189"},
	"optday":    {func(s string) bool { return s == "" || aDay(s) }, "a day like 2027-03-31, or empty"},
	"instant":   {anInstant, "an instant in UTC like 2027-03-31T09:30:00Z"},
}

func aDay(s string) bool {
	t, err := time.Parse(time.DateOnly, s)
	return err == nil && t.Format(time.DateOnly) == s && t.Year() >= 1970 && t.Year() <= 2189
}

func anInstant(s string) bool {
	t, err := time.Parse("2006-01-02T15:04:05Z", s)
	return err == nil && t.Format("2006-01-02T15:04:05Z") == s && t.Year() >= 1970 && t.Year() <= 2189
}
