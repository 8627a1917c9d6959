package wording

import (
	"fmt"
	"slices"
	"strings"
)

// Bounds of a text.
const (
	MostVariables = 40 // in one text, so that it cannot grow without end
	longestName   = 40 // in characters, between the tildes
)

// piece of a text: words as they are, or a variable by its name.
type piece struct {
	words    string
	variable string // empty: words
	open     bool   // words that are a tilde without its partner
}

// Problems says in sentences what cannot stand in a text: a variable that is not
// among the known ones, a tilde without its partner, too many variables. O(n).
func Problems(text string, known []string) []string {
	var out []string
	variables := 0
	for _, p := range pieces(text) {
		switch {
		case p.open:
			out = append(out, "A ~ begins a variable that does not end in its line; write ~~ where the sign itself is meant.")
		case p.variable != "":
			variables++
			if !slices.Contains(known, p.variable) {
				out = append(out, fmt.Sprintf("There is no variable ~%s~ here; there are %s.", p.variable, Listed(known)))
			}
		}
	}
	if variables > MostVariables {
		out = append(out, fmt.Sprintf("At most %d variables stand in one text.", MostVariables))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Fill puts values in for variables. What has no value stays as it was written,
// so a text from before a variable had its name is still readable. O(n).
func Fill(text string, values map[string]string) string {
	var out strings.Builder
	for _, p := range pieces(text) {
		value, ok := values[p.variable]
		switch {
		case p.variable == "" || !ok:
			out.WriteString(p.words)
		default:
			out.WriteString(value)
		}
	}
	return out.String()
}

// Listed writes names as variables in one line.
func Listed(names []string) string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = "~" + n + "~"
	}
	return strings.Join(out, ", ")
}

// pieces cuts a text into words and variables.
func pieces(text string) []piece {
	var out []piece
	for text != "" {
		at := strings.IndexByte(text, '~')
		if at < 0 {
			return append(out, piece{words: text})
		}
		if at > 0 {
			out = append(out, piece{words: text[:at]})
		}
		text = text[at+1:]
		name, rest, ends := strings.Cut(text, "~")
		switch {
		case ends && name == "":
			out, text = append(out, piece{words: "~"}), rest
		case ends && named(name):
			out, text = append(out, piece{words: "~" + name + "~", variable: normal(name)}), rest
		default:
			out = append(out, piece{words: "~", open: true})
		}
	}
	return out
}

// named reports whether what stands between two tildes can be a name.
func named(name string) bool {
	return strings.TrimSpace(name) != "" && !strings.ContainsAny(name, "\r\n") && len([]rune(name)) <= longestName
}

func normal(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }
