-- Change orders with what was sent of them, what was asked and answered, and the
-- exact documents. A draft may be edited; what was sent stands, and so does a
-- decision.

-- +goose Up
CREATE TABLE change_orders (
    shop_id       TEXT COLLATE "C" NOT NULL,
    id            TEXT COLLATE "C" NOT NULL,
    job_id        TEXT COLLATE "C" NOT NULL,
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
    created_at    TIMESTAMPTZ NOT NULL,
    created_by    TEXT NOT NULL,
    sent_at       TIMESTAMPTZ,
    sent_by       TEXT NOT NULL,
    expires_at    TIMESTAMPTZ,
    document_hash TEXT NOT NULL,
    effect        TEXT NOT NULL,
    decision      TEXT,
    decided_at    TIMESTAMPTZ,
    withdrawn     TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT change_orders_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE UNIQUE INDEX change_orders_number ON change_orders (shop_id, job_id, number);

CREATE TABLE order_messages (
    shop_id  TEXT COLLATE "C" NOT NULL,
    id       TEXT COLLATE "C" NOT NULL,
    order_id TEXT COLLATE "C" NOT NULL,
    by_name  TEXT NOT NULL,
    role     TEXT NOT NULL CONSTRAINT order_messages_role CHECK (role IN ('owner', 'client')),
    at       TIMESTAMPTZ NOT NULL,
    text     TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT order_messages_order FOREIGN KEY (shop_id, order_id) REFERENCES change_orders (shop_id, id)
);
CREATE INDEX order_messages_of_order ON order_messages (shop_id, order_id, at, id);

CREATE TABLE order_documents (
    shop_id      TEXT COLLATE "C" NOT NULL,
    order_id     TEXT COLLATE "C" NOT NULL,
    revision     INTEGER NOT NULL,
    decided      BOOLEAN NOT NULL,
    content_type TEXT NOT NULL,
    hash         TEXT NOT NULL,
    body         BYTEA NOT NULL,
    PRIMARY KEY (shop_id, order_id, revision, decided),
    CONSTRAINT order_documents_order FOREIGN KEY (shop_id, order_id) REFERENCES change_orders (shop_id, id)
);

ALTER TABLE tasks ADD COLUMN order_id TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE tasks ADD COLUMN strip_gate BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE tasks ADD COLUMN allowance_line_id TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE lines ADD COLUMN order_id TEXT COLLATE "C" NOT NULL DEFAULT '';

CREATE TRIGGER change_orders_numbered BEFORE UPDATE OF shop_id, id, job_id, number, created_at, created_by ON change_orders
FOR EACH ROW EXECUTE FUNCTION refuse_change('an order stays the order it is');
CREATE TRIGGER change_orders_sent BEFORE UPDATE OF kind, title, reason, note, items, revision, sent_at, sent_by, expires_at, document_hash ON change_orders
FOR EACH ROW WHEN (OLD.state <> 'draft' AND (NEW.kind IS DISTINCT FROM OLD.kind OR NEW.title IS DISTINCT FROM OLD.title OR NEW.reason IS DISTINCT FROM OLD.reason OR NEW.note IS DISTINCT FROM OLD.note OR NEW.items IS DISTINCT FROM OLD.items OR NEW.revision IS DISTINCT FROM OLD.revision OR NEW.sent_at IS DISTINCT FROM OLD.sent_at OR NEW.sent_by IS DISTINCT FROM OLD.sent_by OR NEW.expires_at IS DISTINCT FROM OLD.expires_at OR NEW.document_hash IS DISTINCT FROM OLD.document_hash))
EXECUTE FUNCTION refuse_change('an order that was sent is not changed');
CREATE TRIGGER change_orders_ended BEFORE UPDATE OF state, effect, decision, decided_at, withdrawn ON change_orders
FOR EACH ROW WHEN (OLD.state NOT IN ('draft', 'sent') AND (NEW.state IS DISTINCT FROM OLD.state OR NEW.effect IS DISTINCT FROM OLD.effect OR NEW.decision IS DISTINCT FROM OLD.decision OR NEW.decided_at IS DISTINCT FROM OLD.decided_at OR NEW.withdrawn IS DISTINCT FROM OLD.withdrawn))
EXECUTE FUNCTION refuse_change('an order that is over is not changed');
CREATE TRIGGER change_orders_kept BEFORE DELETE ON change_orders
FOR EACH ROW EXECUTE FUNCTION refuse_change('an order is not deleted');
CREATE TRIGGER order_messages_said BEFORE UPDATE ON order_messages
FOR EACH ROW EXECUTE FUNCTION refuse_change('a message is not changed');
CREATE TRIGGER order_messages_kept BEFORE DELETE ON order_messages
FOR EACH ROW EXECUTE FUNCTION refuse_change('a message is not deleted');
CREATE TRIGGER order_documents_issued BEFORE UPDATE ON order_documents
FOR EACH ROW EXECUTE FUNCTION refuse_change('a document is not changed');
CREATE TRIGGER order_documents_kept BEFORE DELETE ON order_documents
FOR EACH ROW EXECUTE FUNCTION refuse_change('a document is not deleted');
CREATE TRIGGER change_orders_not_emptied BEFORE TRUNCATE ON change_orders
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('an order is not deleted');
CREATE TRIGGER order_messages_not_emptied BEFORE TRUNCATE ON order_messages
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a message is not deleted');
CREATE TRIGGER order_documents_not_emptied BEFORE TRUNCATE ON order_documents
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a document is not deleted');
