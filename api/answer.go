package api

import (
	"bytes"
	"sync"
)

// answer is the text of an answer before it is sent. A job page has 150 KB; made
// anew for each, they were a fifth of all the memory that a page went through.
type answer struct{ bytes.Buffer }

var answers = sync.Pool{New: func() any { return new(answer) }}

// mostKept bounds the text that is kept for the next answer, in bytes.
const mostKept = 1 << 20

func takeAnswer() *answer { return answers.Get().(*answer) }

// done gives the text back once it is sent.
func (a *answer) done() {
	if a.Cap() > mostKept {
		return
	}
	a.Reset()
	answers.Put(a)
}
