package domain

import (
	"encoding/json"
	"strings"
	"testing"
)

func asText(t *testing.T, v any) string {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

var contains = strings.Contains
