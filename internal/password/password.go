package password

import (
	"context"
	"runtime"
	"strings"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"github.com/trustelem/zxcvbn"
)

// Keeper hashes and checks. It is safe for concurrent use.
type Keeper struct {
	slots  chan struct{}
	params *argon2id.Params
	decoy  string // a hash that nothing matches, so that unknown accounts cost the same
}

// NewKeeper returns a keeper with the package's parameters.
func NewKeeper() *Keeper {
	return &Keeper{
		slots:  make(chan struct{}, runtime.GOMAXPROCS(0)),
		params: &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32},
		// a hash of random bytes nobody kept, with the same parameters
		decoy: "$argon2id$v=19$m=19456,t=2,p=1$c29tZSBzYWx0IGhlcmUhIQ$q9k3p5dVZm0m8p0B1yq0V2u4yFZB0i3n0d0lq4Q5w2E",
	}
}

func (k *Keeper) take(ctx context.Context) error {
	select {
	case k.slots <- struct{}{}:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Hash returns the encoded hash of a password. About a tenth of a second.
func (k *Keeper) Hash(ctx context.Context, password string) (string, error) {
	if err := k.take(ctx); err != nil {
		return "", err
	}
	defer func() { <-k.slots }()
	return argon2id.CreateHash(password, k.params)
}

// Matches compares a password with an encoded hash. An empty hash takes as
// long and never matches.
func (k *Keeper) Matches(ctx context.Context, password, hash string) (bool, error) {
	if err := k.take(ctx); err != nil {
		return false, err
	}
	defer func() { <-k.slots }()
	if hash == "" {
		_, err := argon2id.ComparePasswordAndHash(password, k.decoy)
		return false, err
	}
	return argon2id.ComparePasswordAndHash(password, hash)
}

// Shortest and longest password in characters; the latter bounds the work.
const (
	shortest = 12
	longest  = 200
)

var common = []string{"password", "passwort", "123456", "qwerty", "letmein", "restoration", "bareframe", "welcome", "iloveyou", "abcdef"}

// Weakness says in a sentence why a password is too easy to guess, or "". The
// personal words, such as name and address, count as known to who guesses.
func (k *Keeper) Weakness(password string, personal ...string) string {
	switch n := utf8.RuneCountInString(password); {
	case n < shortest:
		return "Take at least twelve characters; four or five unrelated words do well."
	case n > longest:
		return "A password has at most 200 characters."
	}
	lower := strings.ToLower(password)
	for _, word := range common {
		if strings.Contains(lower, word) && len(lower)-len(word) < 8 {
			return "This is close to what everybody chooses; four or five unrelated words do well."
		}
	}
	if zxcvbn.PasswordStrength(password, personal).Score < 3 {
		return "This is too easy to guess; four or five unrelated words do well."
	}
	return ""
}
