-- Issued quotes with their exact documents, and the plan that a sold job is held
-- against. Of a quote only state and decision move after issue.

-- +goose Up
CREATE TABLE quotes (
    shop_id       TEXT COLLATE "C" NOT NULL,
    id            TEXT COLLATE "C" NOT NULL,
    job_id        TEXT COLLATE "C" NOT NULL,
    number        TEXT NOT NULL,
    revision      INTEGER NOT NULL,
    state         TEXT NOT NULL CONSTRAINT quotes_state CHECK (state IN
        ('open', 'accepted', 'declined', 'superseded', 'withdrawn', 'expired')),
    issued_at     TIMESTAMPTZ NOT NULL,
    issued_by     TEXT NOT NULL,
    expires_at    TIMESTAMPTZ NOT NULL,
    currency      TEXT NOT NULL,
    net           NUMERIC(24, 6) NOT NULL,
    tax           NUMERIC(24, 6) NOT NULL,
    total         NUMERIC(24, 6) NOT NULL,
    cost          NUMERIC(24, 6) NOT NULL,
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

ALTER TABLE jobs ADD CONSTRAINT jobs_accepted_quote
    FOREIGN KEY (shop_id, id, accepted_quote_id) REFERENCES quotes (shop_id, job_id, id);

CREATE TABLE documents (
    shop_id      TEXT COLLATE "C" NOT NULL,
    quote_id     TEXT COLLATE "C" NOT NULL,
    content_type TEXT NOT NULL,
    hash         TEXT NOT NULL,
    body         BYTEA NOT NULL,
    PRIMARY KEY (shop_id, quote_id),
    CONSTRAINT documents_quote FOREIGN KEY (shop_id, quote_id) REFERENCES quotes (shop_id, id)
);

CREATE TABLE baselines (
    shop_id   TEXT COLLATE "C" NOT NULL,
    job_id    TEXT COLLATE "C" NOT NULL,
    task_id   TEXT COLLATE "C" NOT NULL,
    hours     NUMERIC(24, 6) NOT NULL,
    start_at  TIMESTAMPTZ NOT NULL,
    finish_at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (shop_id, job_id, task_id),
    CONSTRAINT baselines_task FOREIGN KEY (shop_id, job_id, task_id) REFERENCES tasks (shop_id, job_id, id)
);

CREATE TRIGGER quotes_issued BEFORE UPDATE OF shop_id, id, job_id, number, revision, issued_at, issued_by,
    expires_at, currency, net, tax, total, cost, note, terms, offer, plan, basis, document_hash ON quotes
FOR EACH ROW EXECUTE FUNCTION refuse_change('an issued quote is not changed');
CREATE TRIGGER quotes_decided BEFORE UPDATE OF decision ON quotes
FOR EACH ROW WHEN (OLD.decision IS NOT NULL AND NEW.decision IS DISTINCT FROM OLD.decision)
EXECUTE FUNCTION refuse_change('a decision is not changed');
CREATE TRIGGER quotes_kept BEFORE DELETE ON quotes
FOR EACH ROW EXECUTE FUNCTION refuse_change('a quote is not deleted');
CREATE TRIGGER documents_issued BEFORE UPDATE ON documents
FOR EACH ROW EXECUTE FUNCTION refuse_change('a document is not changed');
CREATE TRIGGER documents_kept BEFORE DELETE ON documents
FOR EACH ROW EXECUTE FUNCTION refuse_change('a document is not deleted');
CREATE TRIGGER quotes_not_emptied BEFORE TRUNCATE ON quotes
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a quote is not deleted');
CREATE TRIGGER documents_not_emptied BEFORE TRUNCATE ON documents
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a document is not deleted');
