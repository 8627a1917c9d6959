// Package jobfile is the file by which a job is taken from one shop to another:
// what the car needs, in what order and at what price, as JSON (RFC 8259).
//
// # What is in it
//
//	{ "format": "bareframe-job-file", "version": 1, "sha256": "...", "content": {
//	    "source":   where it comes from: read, shown and never stored,
//	    "job":      title, currency, vehicle with the options that change the work, cautions, template,
//	    "frame":    zones, and what was seen on them; findings are written as what was seen,
//	    "estimate": phases, options, tasks, links, lines,
//	    "skills", "stations": the names behind the keys that tasks use } }
//
// A task is referred to by its code, a zone by its code, phases, options and
// lines by keys that hold inside the file alone. There are no identifiers of
// rows, no people, no hours worked, no payments and no photos in it.
//
// # How it is read
//
// Strictly, because it may come from anywhere: UTF-8 without a mark, no field
// that is not known, none twice and none missing, no null, no text with control
// characters, numbers only whole and only where something is counted. Money,
// hours and quantities are decimal text, so that no program puts them through
// binary fractions. Size, depth, length of lists and of texts are bounded before
// anything is made of them. All faults of structure are named at once by JSON
// pointer (RFC 6901) into what was sent.
//
// The sum is SHA-256 over the canonical form of "content" (RFC 8785: keys sorted
// by UTF-16 units, no blanks), so that a file that was only laid out anew still
// is the same. It shows damage and careless edits; it proves no sender.
//
// # Versions
//
// A version is a whole number. What reads up to a version refuses any later, and says
// whether the file is newer. Who adds a field raises the version and reads the
// versions before it too.
//
// Bounds of values by trade (a link's lag, a zone's section, circles among
// links) are left to who makes a job of the content.
package jobfile
