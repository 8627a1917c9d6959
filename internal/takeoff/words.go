package takeoff

import (
	"strconv"
	"strings"
)

// how is the formula of a quantity: a text with a place "{}" for each figure. It
// is put into words only when somebody asks, because a price does not need them.
type how struct {
	text    string
	figures []float64
	tail    string
	source  string
}

// inWords is how many places a figure shows that was itself worked out, so that
// whoever works it out again from the words arrives at the value.
const inWords = 6

func by(source, text string, figures ...float64) how {
	return how{text: text, figures: figures, source: source}
}

// and returns h with more of the formula behind it.
func (h how) and(text string, figures ...float64) how {
	h.text += text
	h.figures = append(h.figures[:len(h.figures):len(h.figures)], figures...)
	return h
}

func (h how) filled() string {
	var b strings.Builder
	rest := h.text
	for _, f := range h.figures {
		before, after, ok := strings.Cut(rest, "{}")
		if !ok {
			break
		}
		b.WriteString(before)
		b.WriteString(figure(f))
		rest = after
	}
	b.WriteString(rest)
	b.WriteString(h.tail)
	return b.String()
}

// figure writes a number without trailing zeros.
func figure(f float64) string {
	return strconv.FormatFloat(float64(rounded(f, inWords))/powers[inWords], 'f', -1, 64)
}

// spoken is the condition as it is said: grade C, pitted.
func (c Condition) spoken() string {
	switch c {
	case "":
		return "ungraded"
	case GradeA, GradeB, GradeC, GradeD:
		return "grade " + string(c[0]-'a'+'A')
	}
	return string(c)
}
