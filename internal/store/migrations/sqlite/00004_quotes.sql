-- Issued quotes with their exact documents, and the plan that a sold job is held
-- against. Of a quote only state and decision move after issue.

-- +goose Up
CREATE TABLE quotes (
    shop_id       TEXT NOT NULL,
    id            TEXT NOT NULL,
    job_id        TEXT NOT NULL,
    number        TEXT NOT NULL,
    revision      INTEGER NOT NULL,
    state         TEXT NOT NULL CONSTRAINT quotes_state CHECK (state IN
        ('open', 'accepted', 'declined', 'superseded', 'withdrawn', 'expired')),
    issued_at     TIMESTAMP NOT NULL,
    issued_by     TEXT NOT NULL,
    expires_at    TIMESTAMP NOT NULL,
    currency      TEXT NOT NULL,
    net           TEXT NOT NULL,
    tax           TEXT NOT NULL,
    total         TEXT NOT NULL,
    cost          TEXT NOT NULL,
    note          TEXT NOT NULL,
    terms         TEXT NOT NULL,
    offer         TEXT NOT NULL,
    plan          TEXT NOT NULL,
    basis         TEXT NOT NULL,
    document_hash TEXT NOT NULL,
    decision      TEXT,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT quotes_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE UNIQUE INDEX quotes_of_job ON quotes (shop_id, job_id, id);
CREATE UNIQUE INDEX quotes_revision ON quotes (shop_id, job_id, revision);
CREATE UNIQUE INDEX quotes_one_open ON quotes (shop_id, job_id) WHERE state = 'open';
CREATE UNIQUE INDEX quotes_one_accepted ON quotes (shop_id, job_id, state) WHERE state = 'accepted';

CREATE TABLE documents (
    shop_id      TEXT NOT NULL,
    quote_id     TEXT NOT NULL,
    content_type TEXT NOT NULL,
    hash         TEXT NOT NULL,
    body         BLOB NOT NULL,
    PRIMARY KEY (shop_id, quote_id),
    CONSTRAINT documents_quote FOREIGN KEY (shop_id, quote_id) REFERENCES quotes (shop_id, id)
);

CREATE TABLE baselines (
    shop_id   TEXT NOT NULL,
    job_id    TEXT NOT NULL,
    task_id   TEXT NOT NULL,
    hours     TEXT NOT NULL,
    start_at  TIMESTAMP NOT NULL,
    finish_at TIMESTAMP NOT NULL,
    PRIMARY KEY (shop_id, job_id, task_id),
    CONSTRAINT baselines_task FOREIGN KEY (shop_id, job_id, task_id) REFERENCES tasks (shop_id, job_id, id)
);

-- +goose StatementBegin
CREATE TRIGGER quotes_issued BEFORE UPDATE OF shop_id, id, job_id, number, revision, issued_at, issued_by,
    expires_at, currency, net, tax, total, cost, note, terms, offer, plan, basis, document_hash ON quotes
BEGIN
    SELECT RAISE(ABORT, 'append-only: an issued quote is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quotes_decided BEFORE UPDATE OF decision ON quotes
WHEN OLD.decision IS NOT NULL AND NEW.decision IS NOT OLD.decision
BEGIN
    SELECT RAISE(ABORT, 'append-only: a decision is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quotes_kept BEFORE DELETE ON quotes
BEGIN
    SELECT RAISE(ABORT, 'append-only: a quote is not deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER documents_issued BEFORE UPDATE ON documents
BEGIN
    SELECT RAISE(ABORT, 'append-only: a document is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER documents_kept BEFORE DELETE ON documents
BEGIN
    SELECT RAISE(ABORT, 'append-only: a document is not deleted');
END;
-- +goose StatementEnd
