-- Options of an estimate: ways to do a piece of work, of which one is taken, and
-- extras. A quote keeps what any combination of them is computed from, and what
-- was accepted with its document.

-- +goose Up
CREATE TABLE options (
    shop_id    TEXT NOT NULL,
    id         TEXT NOT NULL,
    job_id     TEXT NOT NULL,
    grouped_as TEXT NOT NULL,
    name       TEXT NOT NULL,
    note       TEXT NOT NULL,
    taken      BOOLEAN NOT NULL,
    position   INTEGER NOT NULL,
    points     TEXT NOT NULL,
    removed_at TIMESTAMP,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT options_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX options_of_job ON options (shop_id, job_id, id);

ALTER TABLE tasks ADD COLUMN option_id TEXT NOT NULL DEFAULT '';
ALTER TABLE lines ADD COLUMN option_id TEXT NOT NULL DEFAULT '';
ALTER TABLE quotes ADD COLUMN agreed TEXT;

CREATE TABLE quote_snapshots (
    shop_id  TEXT NOT NULL,
    quote_id TEXT NOT NULL,
    body     TEXT NOT NULL,
    PRIMARY KEY (shop_id, quote_id),
    CONSTRAINT quote_snapshots_quote FOREIGN KEY (shop_id, quote_id) REFERENCES quotes (shop_id, id)
);

CREATE TABLE agreed_documents (
    shop_id      TEXT NOT NULL,
    quote_id     TEXT NOT NULL,
    content_type TEXT NOT NULL,
    hash         TEXT NOT NULL,
    body         BLOB NOT NULL,
    sheet        TEXT NOT NULL,
    PRIMARY KEY (shop_id, quote_id),
    CONSTRAINT agreed_documents_quote FOREIGN KEY (shop_id, quote_id) REFERENCES quotes (shop_id, id)
);

-- +goose StatementBegin
CREATE TRIGGER quotes_agreed BEFORE UPDATE OF agreed ON quotes
WHEN OLD.agreed IS NOT NULL AND NEW.agreed IS NOT OLD.agreed
BEGIN
    SELECT RAISE(ABORT, 'append-only: what was agreed is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quote_snapshots_issued BEFORE UPDATE ON quote_snapshots
BEGIN
    SELECT RAISE(ABORT, 'append-only: an issued quote is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quote_snapshots_kept BEFORE DELETE ON quote_snapshots
BEGIN
    SELECT RAISE(ABORT, 'append-only: a quote is not deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER agreed_documents_issued BEFORE UPDATE ON agreed_documents
BEGIN
    SELECT RAISE(ABORT, 'append-only: a document is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER agreed_documents_kept BEFORE DELETE ON agreed_documents
BEGIN
    SELECT RAISE(ABORT, 'append-only: a document is not deleted');
END;
-- +goose StatementEnd
