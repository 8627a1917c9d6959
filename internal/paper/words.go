package paper

import (
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// fixed renders a total with the places of its currency.
func fixed(v decimal.Decimal, c money.Currency) string { return v.StringFixed(c.Places()) }

// amount renders a total for reading: grouped, with the places of its currency.
func amount(v decimal.Decimal, c money.Currency) string { return grouped(fixed(v, c)) }

// grouped groups the digits of a fixed-place amount by thousands.
func grouped(amount string) string {
	sign, rest := "", amount
	if strings.HasPrefix(rest, "-") {
		sign, rest = "−", rest[1:]
	}
	whole, fraction, _ := strings.Cut(rest, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if fraction != "" {
		whole += "." + fraction
	}
	return sign + whole
}

func day(d domain.Day) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return ""
	}
	return longDay(t)
}

func longDay(t time.Time) string { return t.Format("2 January 2006") }

func longInstant(t time.Time) string { return t.Format("2 January 2006, 15:04 MST") }

func percentage(p string) string { return p + " %" }

// forWhom says whose job and which car a document is about.
func forWhom(client domain.Person, job domain.Job) string {
	text := "For " + client.Name + ": " + job.Title + ", " + job.Vehicle.Label()
	if job.Vehicle.Serial != "" {
		text += ", serial " + job.Vehicle.Serial
	}
	return text + "."
}

// words turns a key of a list into what is read.
func words(key string) string { return strings.ReplaceAll(key, "_", " ") }

// together writes figures with their units so that no line ends between them.
func together(format string, figures ...any) string {
	return strings.ReplaceAll(fmt.Sprintf(format, figures...), " ", "\u00a0")
}

func signed(d decimal.Decimal) string {
	switch {
	case d.IsPositive():
		return "+" + d.String()
	case d.IsNegative():
		return "−" + d.Abs().String()
	}
	return "0"
}

var raised = strings.NewReplacer("m2", "m²", "ft2", "ft²", "in2", "in²")

// measured is a quantity with its unit as it is printed: square measures raised.
func measured(quantity, unit string) string { return quantity + " " + raised.Replace(unit) }
