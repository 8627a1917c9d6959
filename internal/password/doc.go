// Package password hashes passwords with argon2id and judges how easily they
// are guessed.
//
// Parameters: 19 MiB, two passes, one lane, the first choice of the OWASP
// password storage cheat sheet (read November 2026). At most as many hashes
// run at once as there are processors, so that a crowd at the door cannot eat
// the memory. Strength is the zxcvbn estimate: 3 of 4 or better, at least
// twelve characters, and none of a short list of what people always choose.
package password
