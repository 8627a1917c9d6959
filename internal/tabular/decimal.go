package tabular

import (
	"fmt"
	"strings"
	"unicode"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// style is how a number is written.
type style uint8

const (
	notNumber style = iota
	plain           // digits alone
	pointed         // a decimal point beyond doubt: 12.50, 1,234.5
	comma           // a decimal comma beyond doubt: 12,50, 1.234,5
	onePoint        // 1.234: a decimal point, or grouped thousands
	oneComma        // 1,234: the same with a comma
	grouped         // 1,234,567 or 1.234.567 or 1 234: thousands beyond doubt
)

// pointStyle reports whether a lone point in the decimals of a table is surely
// a decimal point. Cells of XLSX that are numbers say nothing about text.
func (s Schema) pointStyle(t Table, at []int) bool {
	if t.Delimiter != ',' {
		return false
	}
	for i, c := range s.Columns {
		if c.Kind != DecimalColumn || at[i] < 0 {
			continue
		}
		for _, row := range t.Rows {
			text := row.Cells[at[i]].Text
			if strings.IndexByte(text, ',') < 0 && strings.Count(text, ".") < 2 {
				continue
			}
			if _, how := numeral(trimmed(text)); how == comma || how == grouped && strings.Contains(text, ".") {
				return false
			}
		}
	}
	return true
}

// decimal reads a decimal, exactly.
func (r reading) decimal(c *Column, kind CellKind, text string) (Value, string) {
	number, how := text, plain
	if kind != Number {
		number, how = numeral(text)
	}
	switch {
	case how == notNumber:
		return Value{}, shown(text) + " is not a number; write digits and one decimal point, such as 12.5"
	case how == oneComma, how == onePoint && !r.points:
		whole, fraction, _ := strings.Cut(strings.Replace(text, ",", ".", 1), ".")
		return Value{}, fmt.Sprintf("%s can be read in two ways; write %s%s or %s.%s0", text, whole, fraction, whole, fraction)
	}
	maxInteger, maxPlaces := c.MaxInteger, c.MaxPlaces
	if maxInteger == 0 {
		maxInteger = defaultInteger
	}
	if maxPlaces == 0 {
		maxPlaces = defaultPlaces
	}
	d, err := money.ParseDecimal(economical(number, int(maxPlaces)), maxInteger, maxPlaces)
	if f := fault.As(err); f != nil {
		return Value{}, f.Detail
	}
	if c.NotNegative && d.IsNegative() {
		return Value{}, "the number cannot be negative"
	}
	return DecimalValue(d), ""
}

// economical drops zeros that say nothing: at the start, and at the end beyond
// the places that a column has.
func economical(number string, places int) string {
	sign := ""
	if strings.HasPrefix(number, "-") {
		sign, number = "-", number[1:]
	}
	for len(number) > 1 && number[0] == '0' && number[1] != '.' {
		number = number[1:]
	}
	if point := strings.IndexByte(number, '.'); point >= 0 {
		for len(number)-point-1 > places && strings.HasSuffix(number, "0") {
			number = number[:len(number)-1]
		}
		number = strings.TrimSuffix(number, ".")
	}
	return sign + number
}

// numeral reads a number as people write it into plain digits with a point, and
// says how it was written. Thousands may be grouped by points, commas, blanks
// or apostrophes; one kind in a number.
func numeral(text string) (string, style) {
	sign, digits := "", text
	if strings.HasPrefix(digits, "-") || strings.HasPrefix(digits, "\u2212") {
		sign, digits = "-", strings.TrimPrefix(strings.TrimPrefix(digits, "-"), "\u2212")
	}
	digits = strings.Map(func(r rune) rune {
		if isSpace(r) && r != '\n' && r != '\t' || r == '\'' || r == '’' {
			return ' '
		}
		return r
	}, digits)
	if digits == "" || strings.Trim(digits, "0123456789., ") != "" {
		return "", notNumber
	}
	whole, fraction, how := parted(digits)
	if how == notNumber || fraction != "" && strings.Trim(fraction, "0123456789") != "" {
		return "", notNumber
	}
	if strings.Contains(whole, " ") {
		if whole = ungrouped(whole, " "); how == plain || how == onePoint || how == oneComma {
			how = map[style]style{plain: grouped, onePoint: pointed, oneComma: comma}[how]
		}
	}
	if whole == "" || strings.Trim(whole, "0123456789") != "" {
		return "", notNumber
	}
	if fraction != "" {
		return sign + whole + "." + fraction, how
	}
	return sign + whole, how
}

// parted cuts a number at its decimal sign, if it has one, and takes points or
// commas out of its thousands.
func parted(digits string) (whole, fraction string, how style) {
	points, commas := strings.Count(digits, "."), strings.Count(digits, ",")
	point, comma1 := strings.LastIndexByte(digits, '.'), strings.LastIndexByte(digits, ',')
	switch {
	case points+commas == 0:
		return digits, "", plain
	case points == 1 && commas == 0:
		return alone(digits, point, pointed, onePoint)
	case commas == 1 && points == 0:
		return alone(digits, comma1, comma, oneComma)
	case points == 0:
		return ungrouped(digits, ","), "", grouped
	case commas == 0:
		return ungrouped(digits, "."), "", grouped
	case points == 1 && point > comma1:
		return filled(ungrouped(digits[:point], ","), digits[point+1:], pointed)
	case commas == 1 && comma1 > point:
		return filled(ungrouped(digits[:comma1], "."), digits[comma1+1:], comma)
	}
	return "", "", notNumber
}

// alone reads a number with one sign in it. Only with one to three digits
// before it, no leading zero, and three digits after it can it group thousands.
func alone(digits string, at int, sure, doubtful style) (whole, fraction string, how style) {
	whole, fraction = digits[:at], digits[at+1:]
	if len(fraction) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0' {
		return whole, fraction, doubtful
	}
	return filled(whole, fraction, sure)
}

// filled refuses a decimal sign with nothing on one of its sides.
func filled(whole, fraction string, how style) (string, string, style) {
	if whole == "" || fraction == "" {
		return "", "", notNumber
	}
	return whole, fraction, how
}

// ungrouped takes the signs out of well-grouped thousands; "" when a group has
// not three digits.
func ungrouped(whole, sign string) string {
	groups := strings.Split(whole, sign)
	for i, g := range groups {
		if i == 0 && (len(g) < 1 || len(g) > 3 || g[0] == '0') || i > 0 && len(g) != 3 {
			return ""
		}
	}
	return strings.Join(groups, "")
}

// isSpace reports whether a character is a blank of any width.
func isSpace(r rune) bool { return unicode.IsSpace(r) || r == '\u200b' }
