// Package wording fills the shop's own texts with what they speak of.
//
// A variable is a name between two tildes in one line, as in "Your ~vehicle~ is
// ready". Names are words with blanks; capitals and the number of blanks do not
// matter. Two tildes side by side are one tilde that is meant as such. There is
// nothing else: no condition, no loop, no arithmetic, no markup. What a variable
// stands for is put in as it is and not read again, so a value that holds a tilde
// starts no variable.
//
// The notation is this program's own. Texts are plain; who
// shows them escapes them for where they are shown.
package wording
