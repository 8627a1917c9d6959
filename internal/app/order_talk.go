package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// mostMessages bounds what is said about one order.
const mostMessages = 200

// AskAboutOrder keeps a question of the client about an order that waits.
func (a *App) AskAboutOrder(ctx context.Context, actor domain.Actor, id domain.ID, key, text string) (OrderPage, error) {
	if err := a.say(ctx, actor, "askAboutOrder", id, key, text); err != nil {
		return OrderPage{}, err
	}
	return a.ClientOrder(ctx, actor, id)
}

// AnswerAboutOrder keeps the shop's answer.
func (a *App) AnswerAboutOrder(ctx context.Context, actor domain.Actor, id domain.ID, key, text string) (OrderPage, error) {
	if err := a.say(ctx, actor, "answerAboutOrder", id, key, text); err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

func (a *App) say(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, key, text string) error {
	_, err := once(ctx, a, actor, action, key, []string{id, text}, func(w *work) (domain.ID, error) {
		o, job, err := w.orderOf(action, id)
		if err != nil {
			return "", err
		}
		if err := o.MayTalk(w.now); err != nil {
			return "", err
		}
		said, err := w.OrderMessages([]domain.ID{id})
		if err != nil {
			return "", err
		}
		if len(said[id]) >= mostMessages {
			return "", fault.New(fault.Conflict, "too-many-messages", "An order takes at most %d questions and answers; call each other.", mostMessages)
		}
		m := domain.OrderMessage{ID: w.app.newID(), OrderID: id, By: actor.Name, Role: actor.Role, At: w.now, Text: text}
		if err := w.AddOrderMessage(m); err != nil {
			return "", err
		}
		if actor.Role == domain.Owner {
			if err := w.postAnswer(job, o, text); err != nil {
				return "", err
			}
		}
		w.tell(job, "order")
		return m.ID, w.trail("order "+id, job.ID, nil, map[string]string{"said": text})
	})
	return err
}
