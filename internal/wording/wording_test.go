package wording

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestVariablesAreFilledAndNothingElseIsTouched(t *testing.T) {
	values := map[string]string{"client": "Mirel Dance", "vehicle": "1962 Aldra <b>Courser</b>", "sign": "~client~"}
	for _, r := range []struct{ name, text, want string }{
		{"plain", "No variable.", "No variable."},
		{"one", "Dear ~client~,", "Dear Mirel Dance,"},
		{"side by side", "~client~~vehicle~", "Mirel Dance1962 Aldra <b>Courser</b>"},
		{"capitals and blanks", "~ CLIENT ~", "Mirel Dance"},
		{"a value is not read again", "~sign~", "~client~"},
		{"the sign itself", "about 30 ~~ 40 days", "about 30 ~ 40 days"},
		{"unknown stays", "~nobody~ and ~client~", "~nobody~ and Mirel Dance"},
		{"a tilde alone stays", "about ~30 days", "about ~30 days"},
		{"not over a line's end", "~cli\nent~", "~cli\nent~"},
		{"markup is text", "<script>~client~</script>", "<script>Mirel Dance</script>"},
		{"empty", "", ""},
	} {
		if got := Fill(r.text, values); got != r.want {
			t.Errorf("%s: %q became %q, want %q", r.name, r.text, got, r.want)
		}
	}
}

func TestWhatCannotStandIsSaidWithWhatCan(t *testing.T) {
	known := []string{"client", "job number"}
	for _, r := range []struct {
		name, text string
		want       []string // a part of each sentence
	}{
		{"known", "~client~, job ~job number~", nil},
		{"unknown", "~clint~", []string{"no variable ~clint~ here; there are ~client~, ~job number~"}},
		{"the same unknown twice is said once", "~x~ ~x~", []string{"~x~"}},
		{"a tilde alone", "~30 days", []string{"write ~~"}},
		{"a name too long", "~" + strings.Repeat("x", 41) + "~", []string{"write ~~"}},
		{"blank", "~  ~", []string{"write ~~"}},
		{"too many", strings.Repeat("~client~", MostVariables+1), []string{"At most 40"}},
	} {
		got := Problems(r.text, known)
		if len(got) != len(r.want) {
			t.Errorf("%s: %q is refused with %q, want %d sentences", r.name, r.text, got, len(r.want))
			continue
		}
		for i, part := range r.want {
			if !strings.Contains(got[i], part) {
				t.Errorf("%s: got %q, want %q in it", r.name, got[i], part)
			}
		}
	}
}

// What is written with the sign doubled comes out as it was meant, whatever it is.
func TestAnyTextCanBeMeantAsItIs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		meant := strings.ReplaceAll(text, "~", "~~")
		if got := Fill(meant, map[string]string{"client": "x"}); got != text {
			t.Fatalf("%q became %q", meant, got)
		}
		if p := Problems(meant, nil); p != nil {
			t.Fatalf("%q is refused with %q", meant, p)
		}
	})
}

func FuzzFill(f *testing.F) {
	for _, s := range []string{"~", "~~~", "~a~", "\xff~a~", "~a\n~"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(Problems(text, []string{"a"})) == 0 && !strings.Contains(text, "~") && Fill(text, nil) != text {
			t.Errorf("%q without a variable became %q", text, Fill(text, nil))
		}
	})
}
