package coating

import (
	"encoding/json"
	"testing"

	"bareframe/internal/testkit/figures"
)

func TestPublishedAndWorkedChecks(t *testing.T) {
	for _, c := range figures.Read(t, "../../testdata/coating", 11) {
		t.Run(c.Name, func(t *testing.T) {
			var in Input
			if err := json.Unmarshal(c.Input, &in); err != nil {
				t.Fatal(err)
			}
			got, err := Compute(in)
			if err != nil {
				t.Fatal(err)
			}
			c.Hold(t, got)
		})
	}
}
