package app

import (
	"bareframe/internal/domain"
)

// OrderReader reads change orders.
type OrderReader interface {
	// Orders lists the orders of several jobs by number, highest first.
	Orders(jobIDs []domain.ID) (map[domain.ID][]domain.ChangeOrder, error)
	Order(id domain.ID) (domain.ChangeOrder, error)
	// OrderNumbers gives the numbers of a job's orders by their ID.
	OrderNumbers(jobID domain.ID) (map[domain.ID]int, error)
	// OrderMessages lists what was asked and answered, oldest first.
	OrderMessages(orderIDs []domain.ID) (map[domain.ID][]domain.OrderMessage, error)
	// OrderDocument returns the document of one sending, or with decided the one
	// that was decided on.
	OrderDocument(orderID domain.ID, revision int, decided bool) (domain.Document, error)
}

// OrderWriter writes them.
type OrderWriter interface {
	NextOrderNumber(jobID domain.ID) (int, error)
	AddOrder(o domain.ChangeOrder) error
	// SaveOrder saves a draft as edited, or the next state of a sent order.
	SaveOrder(o domain.ChangeOrder) error
	AddOrderMessage(m domain.OrderMessage) error
	AddOrderDocument(orderID domain.ID, revision int, decided bool, doc domain.Document) error
}
