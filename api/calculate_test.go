package api

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

func calculating() (*Server, context.Context) {
	return &Server{app: app.New(app.Options{})}, context.WithValue(context.Background(), actorKey, domain.Actor{Role: domain.Owner})
}

// Each example goes out over HTTP and comes back as input: the answer must be
// the engine's own, number for number.
func TestCalculationExamplesRun(t *testing.T) {
	server, ctx := calculating()
	out, err := server.ListCalculations(ctx, ListCalculationsRequestObject{})
	if err != nil {
		t.Fatal(err)
	}
	list := out.(ListCalculations200JSONResponse)
	fitsContract(t, "CalculationList", list)
	if len(list.Items) != len(app.Calculations()) {
		t.Fatalf("%d calculations, want %d", len(list.Items), len(app.Calculations()))
	}
	for _, c := range list.Items {
		t.Run(string(c.Name), func(t *testing.T) {
			body := CalculateJSONRequestBody{}
			for key, value := range decoded(t, c.Example).(map[string]any) {
				body[key] = value
			}
			got, err := server.Calculate(ctx, CalculateRequestObject{Calculation: c.Name, Body: &body})
			if err != nil {
				t.Fatal(err)
			}
			input, err := json.Marshal(c.Example)
			if err != nil {
				t.Fatal(err)
			}
			want, err := app.Calculate(string(c.Name), input)
			if err != nil {
				t.Fatal(err)
			}
			wantObject, err := jsonObject(want)
			if err != nil {
				t.Fatal(err)
			}
			sameJSON(t, got, wantObject)
		})
	}
}

func TestCalculateRefusesWhatTheEngineDoesNotKnow(t *testing.T) {
	server, ctx := calculating()
	body := CalculateJSONRequestBody{"currency": "EUR", "surprise": 1}
	_, err := server.Calculate(ctx, CalculateRequestObject{Calculation: CalculationPricing, Body: &body})
	if fault.KindOf(err) != fault.Invalid {
		t.Errorf("an unknown field gave %v, want Invalid", err)
	}
}

func TestNumbersPassDigitForDigit(t *testing.T) {
	given := map[string]any{"minutes": json.Number("9007199254740993"), "share": json.Number("0.10")}
	object, err := jsonObject(given)
	if err != nil {
		t.Fatal(err)
	}
	sameJSON(t, object, given)
	raw := json.RawMessage(`{"minutes":9007199254740993,"share":0.10}`)
	text, err := json.Marshal(trailEntry(domain.TrailEntry{After: raw}))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(text, raw) || bytes.Contains(text, []byte(`"before"`)) {
		t.Errorf("trail entry %s, want %s after and nothing before", text, raw)
	}
}

func TestExplanationEndsInTheFigure(t *testing.T) {
	got := priceExplanation(pricing.Explanation{Title: "Bracket", Formula: "quantity times price", Source: "a rule",
		Inputs: []pricing.Given{{Name: "quantity", Value: "2", Unit: "pc"}, {Name: "lot", Value: "1"}},
		Steps:  []pricing.Step{{Words: "gross: quantity times unit price, rounded", Value: "21.00"}, {Words: "net of the line", Value: "20.00"}}})
	sameJSON(t, got, PriceExplanation{Title: "Bracket", Steps: []ExplainedStep{
		{Name: "quantity", Words: "as given", Value: "2 pc"}, {Name: "lot", Words: "as given", Value: "1"},
		{Name: "gross", Words: "quantity times unit price, rounded", Value: "21.00"},
		{Name: "net of the line", Words: "quantity times price. Rule: a rule.", Value: "20.00"},
	}})
}
