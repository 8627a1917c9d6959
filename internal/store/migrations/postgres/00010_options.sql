-- Options of an estimate: ways to do a piece of work, of which one is taken, and
-- extras. A quote keeps what any combination of them is computed from, and what
-- was accepted with its document.

-- +goose Up
CREATE TABLE options (
    shop_id    TEXT COLLATE "C" NOT NULL,
    id         TEXT COLLATE "C" NOT NULL,
    job_id     TEXT COLLATE "C" NOT NULL,
    grouped_as TEXT NOT NULL,
    name       TEXT NOT NULL,
    note       TEXT NOT NULL,
    taken      BOOLEAN NOT NULL,
    position   INTEGER NOT NULL,
    points     TEXT NOT NULL,
    removed_at TIMESTAMPTZ,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT options_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX options_of_job ON options (shop_id, job_id, id);

ALTER TABLE tasks ADD COLUMN option_id TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE lines ADD COLUMN option_id TEXT COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE quotes ADD COLUMN agreed TEXT;

CREATE TABLE quote_snapshots (
    shop_id  TEXT COLLATE "C" NOT NULL,
    quote_id TEXT COLLATE "C" NOT NULL,
    body     TEXT NOT NULL,
    PRIMARY KEY (shop_id, quote_id),
    CONSTRAINT quote_snapshots_quote FOREIGN KEY (shop_id, quote_id) REFERENCES quotes (shop_id, id)
);

CREATE TABLE agreed_documents (
    shop_id      TEXT COLLATE "C" NOT NULL,
    quote_id     TEXT COLLATE "C" NOT NULL,
    content_type TEXT NOT NULL,
    hash         TEXT NOT NULL,
    body         BYTEA NOT NULL,
    sheet        TEXT NOT NULL,
    PRIMARY KEY (shop_id, quote_id),
    CONSTRAINT agreed_documents_quote FOREIGN KEY (shop_id, quote_id) REFERENCES quotes (shop_id, id)
);

CREATE TRIGGER quotes_agreed BEFORE UPDATE OF agreed ON quotes
FOR EACH ROW WHEN (OLD.agreed IS NOT NULL AND NEW.agreed IS DISTINCT FROM OLD.agreed)
EXECUTE FUNCTION refuse_change('what was agreed is not changed');
CREATE TRIGGER quote_snapshots_issued BEFORE UPDATE ON quote_snapshots
FOR EACH ROW EXECUTE FUNCTION refuse_change('an issued quote is not changed');
CREATE TRIGGER quote_snapshots_kept BEFORE DELETE ON quote_snapshots
FOR EACH ROW EXECUTE FUNCTION refuse_change('a quote is not deleted');
CREATE TRIGGER agreed_documents_issued BEFORE UPDATE ON agreed_documents
FOR EACH ROW EXECUTE FUNCTION refuse_change('a document is not changed');
CREATE TRIGGER agreed_documents_kept BEFORE DELETE ON agreed_documents
FOR EACH ROW EXECUTE FUNCTION refuse_change('a document is not deleted');
CREATE TRIGGER quote_snapshots_not_emptied BEFORE TRUNCATE ON quote_snapshots
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a quote is not deleted');
CREATE TRIGGER agreed_documents_not_emptied BEFORE TRUNCATE ON agreed_documents
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a document is not deleted');
