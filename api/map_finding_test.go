package api

import (
	"testing"

	"bareframe/internal/repair"
)

// Whoever stands before the steel reads what to mind, not a key.
func TestSuggestedRepairsSayTheirCautions(t *testing.T) {
	view := suggestionView(repair.Suggestion{Code: "weld-patch", Cautions: []repair.Caution{{Key: "hot_work", Text: "Keep a fire watch."}}})
	sameJSON(t, view.Cautions, []Caution{{Key: "hot_work", Text: "Keep a fire watch."}})
}
