-- Change orders with what was sent of them, what was asked and answered, and the
-- exact documents. A draft may be edited; what was sent stands, and so does a
-- decision.

-- +goose Up
CREATE TABLE change_orders (
    shop_id       TEXT NOT NULL,
    id            TEXT NOT NULL,
    job_id        TEXT NOT NULL,
    number        INTEGER NOT NULL,
    version       INTEGER NOT NULL,
    kind          TEXT NOT NULL CONSTRAINT change_orders_kind CHECK (kind IN
        ('finding', 'client_wish', 'price_change', 'correction', 'inspection')),
    title         TEXT NOT NULL,
    reason        TEXT NOT NULL,
    note          TEXT NOT NULL,
    items         TEXT NOT NULL,
    state         TEXT NOT NULL CONSTRAINT change_orders_state CHECK (state IN
        ('draft', 'sent', 'approved', 'declined', 'withdrawn')),
    revision      INTEGER NOT NULL,
    created_at    TIMESTAMP NOT NULL,
    created_by    TEXT NOT NULL,
    sent_at       TIMESTAMP,
    sent_by       TEXT NOT NULL,
    expires_at    TIMESTAMP,
    document_hash TEXT NOT NULL,
    effect        TEXT NOT NULL,
    decision      TEXT,
    decided_at    TIMESTAMP,
    withdrawn     TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT change_orders_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE UNIQUE INDEX change_orders_number ON change_orders (shop_id, job_id, number);

CREATE TABLE order_messages (
    shop_id  TEXT NOT NULL,
    id       TEXT NOT NULL,
    order_id TEXT NOT NULL,
    by_name  TEXT NOT NULL,
    role     TEXT NOT NULL CONSTRAINT order_messages_role CHECK (role IN ('owner', 'client')),
    at       TIMESTAMP NOT NULL,
    text     TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT order_messages_order FOREIGN KEY (shop_id, order_id) REFERENCES change_orders (shop_id, id)
);
CREATE INDEX order_messages_of_order ON order_messages (shop_id, order_id, at, id);

CREATE TABLE order_documents (
    shop_id      TEXT NOT NULL,
    order_id     TEXT NOT NULL,
    revision     INTEGER NOT NULL,
    decided      BOOLEAN NOT NULL,
    content_type TEXT NOT NULL,
    hash         TEXT NOT NULL,
    body         BLOB NOT NULL,
    PRIMARY KEY (shop_id, order_id, revision, decided),
    CONSTRAINT order_documents_order FOREIGN KEY (shop_id, order_id) REFERENCES change_orders (shop_id, id)
);

ALTER TABLE tasks ADD COLUMN order_id TEXT NOT NULL DEFAULT '';
ALTER TABLE tasks ADD COLUMN strip_gate BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE tasks ADD COLUMN allowance_line_id TEXT NOT NULL DEFAULT '';
ALTER TABLE lines ADD COLUMN order_id TEXT NOT NULL DEFAULT '';

-- +goose StatementBegin
CREATE TRIGGER change_orders_numbered BEFORE UPDATE OF shop_id, id, job_id, number, created_at, created_by ON change_orders
BEGIN
    SELECT RAISE(ABORT, 'append-only: an order stays the order it is');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_orders_sent BEFORE UPDATE OF kind, title, reason, note, items, revision, sent_at, sent_by, expires_at, document_hash ON change_orders
WHEN OLD.state <> 'draft' AND (NEW.kind IS NOT OLD.kind OR NEW.title IS NOT OLD.title OR NEW.reason IS NOT OLD.reason OR NEW.note IS NOT OLD.note OR NEW.items IS NOT OLD.items OR NEW.revision IS NOT OLD.revision OR NEW.sent_at IS NOT OLD.sent_at OR NEW.sent_by IS NOT OLD.sent_by OR NEW.expires_at IS NOT OLD.expires_at OR NEW.document_hash IS NOT OLD.document_hash)
BEGIN
    SELECT RAISE(ABORT, 'append-only: an order that was sent is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_orders_ended BEFORE UPDATE OF state, effect, decision, decided_at, withdrawn ON change_orders
WHEN OLD.state NOT IN ('draft', 'sent') AND (NEW.state IS NOT OLD.state OR NEW.effect IS NOT OLD.effect OR NEW.decision IS NOT OLD.decision OR NEW.decided_at IS NOT OLD.decided_at OR NEW.withdrawn IS NOT OLD.withdrawn)
BEGIN
    SELECT RAISE(ABORT, 'append-only: an order that is over is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_orders_kept BEFORE DELETE ON change_orders
BEGIN
    SELECT RAISE(ABORT, 'append-only: an order is not deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER order_messages_said BEFORE UPDATE ON order_messages
BEGIN
    SELECT RAISE(ABORT, 'append-only: a message is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER order_messages_kept BEFORE DELETE ON order_messages
BEGIN
    SELECT RAISE(ABORT, 'append-only: a message is not deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER order_documents_issued BEFORE UPDATE ON order_documents
BEGIN
    SELECT RAISE(ABORT, 'append-only: a document is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER order_documents_kept BEFORE DELETE ON order_documents
BEGIN
    SELECT RAISE(ABORT, 'append-only: a document is not deleted');
END;
-- +goose StatementEnd
