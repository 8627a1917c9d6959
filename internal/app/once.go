package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// once runs a use case that a caller may retry. The answer is kept in the same
// transaction as what it reports: the same key with the same request is
// answered again without being done again, with another request it is refused.
// T must survive a round trip through JSON.
func once[T any](ctx context.Context, a *App, actor domain.Actor, action policy.Action, key string, request any, do func(w *work) (T, error)) (T, error) {
	var out T
	if key == "" {
		return out, fault.New(fault.Invalid, "idempotency-key-missing", "Send an Idempotency-Key, so that a retry is not done twice.")
	}
	hash, err := requestHash(action, request)
	if err != nil {
		return out, err
	}
	err = a.change(ctx, actor, action, func(w *work) error {
		kept, done, err := w.Answer(actor.PersonID, key)
		if err != nil {
			return err
		}
		if done {
			if kept.RequestHash != hash {
				return fault.New(fault.Conflict, "idempotency-key-reused", "This Idempotency-Key was used for another request; take a new one.")
			}
			return json.Unmarshal(kept.Body, &out)
		}
		if out, err = do(w); err != nil {
			return err
		}
		body, err := json.Marshal(out)
		if err != nil {
			return err
		}
		return w.KeepAnswer(actor.PersonID, key, Answer{Operation: string(action), RequestHash: hash, Body: body, At: w.now})
	})
	return out, err
}

func requestHash(action policy.Action, request any) (string, error) {
	body, err := json.Marshal(request)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(append([]byte(string(action)+"\n"), body...))
	return hex.EncodeToString(sum[:]), nil
}
