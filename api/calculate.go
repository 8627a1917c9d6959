package api

import (
	"bytes"
	"context"
	"encoding/json"
)

// ListCalculations lists the engines, each with an example input.
func (s *Server) ListCalculations(ctx context.Context, _ ListCalculationsRequestObject) (ListCalculationsResponseObject, error) {
	all, err := s.app.CalculationsFor(actorOf(ctx))
	if err != nil {
		return nil, err
	}
	out := ListCalculations200JSONResponse{Items: make([]CalculationInfo, 0, len(all))}
	for _, c := range all {
		example, err := jsonObject(c.Example)
		if err != nil {
			return nil, err
		}
		out.Items = append(out.Items, CalculationInfo{Name: Calculation(c.Name), Summary: c.Summary, Example: example})
	}
	return out, nil
}

// Calculate runs one engine on plain values.
func (s *Server) Calculate(ctx context.Context, r CalculateRequestObject) (CalculateResponseObject, error) {
	input, err := json.Marshal(*r.Body)
	if err != nil {
		return nil, err
	}
	result, err := s.app.CalculateFor(actorOf(ctx), string(r.Calculation), input)
	if err != nil {
		return nil, err
	}
	object, err := jsonObject(result)
	if err != nil {
		return nil, err
	}
	return Calculate200JSONResponse(object), nil
}

// jsonObject is a value as the JSON object that it marshals to, its numbers
// digit for digit.
func jsonObject(v any) (map[string]any, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	var object map[string]any
	if err := d.Decode(&object); err != nil {
		return nil, err
	}
	return object, nil
}
