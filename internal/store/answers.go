package store

import (
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

type answerRecord struct {
	ShopID      string
	ActorID     string
	Key         string
	Operation   string
	RequestHash string
	Body        []byte
	AnsweredAt  time.Time
}

// TableName names the table.
func (answerRecord) TableName() string { return "answers" }

// Answer returns what an actor's idempotency key was answered with.
func (r *reader) Answer(actorID domain.ID, key string) (app.Answer, bool, error) {
	rows, err := list[answerRecord](r, "", 1, "actor_id = ? AND key = ?", actorID, key)
	if err != nil || len(rows) == 0 {
		return app.Answer{}, false, err
	}
	a := rows[0]
	return app.Answer{Operation: a.Operation, RequestHash: a.RequestHash, Body: a.Body, At: a.AnsweredAt.UTC()}, true, nil
}

// KeepAnswer stores an answer. It fails with Conflict "idempotency-key-used"
// when the actor's key has one.
func (w *writer) KeepAnswer(actorID domain.ID, key string, a app.Answer) error {
	body := a.Body
	if body == nil {
		body = []byte{}
	}
	return add(w, []answerRecord{{ShopID: w.shop, ActorID: actorID, Key: key, Operation: a.Operation,
		RequestHash: a.RequestHash, Body: body, AnsweredAt: instant(a.At)}})
}
