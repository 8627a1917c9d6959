package password

import (
	"context"
	"strings"
	"testing"
)

func TestHashMatchesOnlyItsPassword(t *testing.T) {
	k, ctx := NewKeeper(), context.Background()
	hash, err := k.Hash(ctx, "seven copper rivets hold")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(hash, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Fatalf("parameters are not the stated ones: %s", hash)
	}
	for _, row := range []struct {
		name, password, hash string
		want                 bool
	}{
		{"right", "seven copper rivets hold", hash, true},
		{"wrong", "seven copper rivets held", hash, false},
		{"empty", "", hash, false},
		{"no hash", "seven copper rivets hold", "", false},
	} {
		got, err := k.Matches(ctx, row.password, row.hash)
		if err != nil || got != row.want {
			t.Errorf("%s: Matches = %v, %v; want %v", row.name, got, err, row.want)
		}
	}
}

func TestWeakness(t *testing.T) {
	k := NewKeeper()
	for _, row := range []struct {
		name, password string
		weak           bool
	}{
		{"short", "Tr0ub4dor&3", true},
		{"common with digits", "password1234", true},
		{"repeated", "aaaaaaaaaaaaaaaa", true},
		{"own name and year", "Ilse Varga 1967", true},
		{"unrelated words", "seven copper rivets hold", false},
	} {
		if got := k.Weakness(row.password, "Ilse Varga", "ilse@example.org") != ""; got != row.weak {
			t.Errorf("%s: weak = %v, want %v", row.name, got, row.weak)
		}
	}
	if k.Weakness(strings.Repeat("gh7K ", 41)) == "" {
		t.Error("205 characters must be refused")
	}
}
