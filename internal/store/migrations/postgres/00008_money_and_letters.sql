-- The shop's rules, who can authorise, money that came in, what was ordered and
-- fitted, work past the stop, progress letters and the outgoing mail.

-- +goose Up
ALTER TABLE shops ADD COLUMN rules_version INTEGER NOT NULL DEFAULT 1;
ALTER TABLE shops ADD COLUMN rules TEXT NOT NULL DEFAULT '{}';

CREATE TABLE authorisers (
    shop_id    TEXT COLLATE "C" NOT NULL,
    id         TEXT COLLATE "C" NOT NULL,
    job_id     TEXT COLLATE "C" NOT NULL,
    name       TEXT NOT NULL,
    contact    TEXT NOT NULL,
    note       TEXT NOT NULL,
    added_at   TIMESTAMPTZ NOT NULL,
    added_by   TEXT NOT NULL,
    ended_at   TIMESTAMPTZ,
    ended_by   TEXT NOT NULL,
    end_reason TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT authorisers_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX authorisers_of_job ON authorisers (shop_id, job_id, id);

CREATE TABLE payments (
    shop_id     TEXT COLLATE "C" NOT NULL,
    id          TEXT COLLATE "C" NOT NULL,
    job_id      TEXT COLLATE "C" NOT NULL,
    amount      NUMERIC(24, 6) NOT NULL,
    paid_on     TEXT NOT NULL,
    how         TEXT NOT NULL CONSTRAINT payments_how CHECK (how IN ('transfer', 'card', 'cash', 'cheque', 'other')),
    note        TEXT NOT NULL,
    recorded_by TEXT NOT NULL,
    at          TIMESTAMPTZ NOT NULL,
    voided_at   TIMESTAMPTZ,
    voided_by   TEXT NOT NULL,
    void_reason TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT payments_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX payments_of_job ON payments (shop_id, job_id, at, id);

CREATE TABLE supplies (
    shop_id        TEXT COLLATE "C" NOT NULL,
    id             TEXT COLLATE "C" NOT NULL,
    job_id         TEXT COLLATE "C" NOT NULL,
    line_id        TEXT COLLATE "C" NOT NULL,
    state          TEXT NOT NULL CONSTRAINT supplies_state CHECK (state IN ('ordered', 'fitted', 'returned')),
    returnable     BOOLEAN NOT NULL,
    restocking_fee NUMERIC(24, 6) NOT NULL,
    note           TEXT NOT NULL,
    at             TIMESTAMPTZ NOT NULL,
    noted_by       TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT supplies_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id),
    CONSTRAINT supplies_line FOREIGN KEY (shop_id, line_id) REFERENCES lines (shop_id, id)
);
CREATE INDEX supplies_of_job ON supplies (shop_id, job_id, at, id);

CREATE TABLE watch_overrides (
    shop_id TEXT COLLATE "C" NOT NULL,
    id      TEXT COLLATE "C" NOT NULL,
    job_id  TEXT COLLATE "C" NOT NULL,
    up_to   NUMERIC(24, 6) NOT NULL,
    reason  TEXT NOT NULL,
    made_by TEXT NOT NULL,
    at      TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT watch_overrides_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX watch_overrides_of_job ON watch_overrides (shop_id, job_id, at, id);

CREATE TABLE mail (
    shop_id       TEXT COLLATE "C" NOT NULL,
    id            TEXT COLLATE "C" NOT NULL,
    job_id        TEXT COLLATE "C",
    to_address    TEXT NOT NULL,
    subject       TEXT NOT NULL,
    body          TEXT NOT NULL,
    state         TEXT NOT NULL CONSTRAINT mail_state CHECK (state IN ('waiting', 'sent', 'failed', 'off')),
    tries         INTEGER NOT NULL,
    created_at    TIMESTAMPTZ NOT NULL,
    sent_at       TIMESTAMPTZ,
    next_try_at   TIMESTAMPTZ,
    claimed_until TIMESTAMPTZ,
    last_error    TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT mail_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX mail_by_age ON mail (shop_id, created_at, id);
CREATE INDEX mail_due ON mail (shop_id, next_try_at, id) WHERE state = 'waiting';

CREATE TABLE letters (
    shop_id TEXT COLLATE "C" NOT NULL,
    id      TEXT COLLATE "C" NOT NULL,
    job_id  TEXT COLLATE "C" NOT NULL,
    number  INTEGER NOT NULL,
    subject TEXT NOT NULL,
    body    TEXT NOT NULL,
    sent_at TIMESTAMPTZ NOT NULL,
    sent_by TEXT NOT NULL,
    mail_id TEXT COLLATE "C",
    PRIMARY KEY (shop_id, id),
    CONSTRAINT letters_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id),
    CONSTRAINT letters_mail FOREIGN KEY (shop_id, mail_id) REFERENCES mail (shop_id, id)
);
CREATE UNIQUE INDEX letters_number ON letters (shop_id, job_id, number);

CREATE TRIGGER authorisers_named BEFORE UPDATE OF shop_id, id, job_id, name, contact, note, added_at, added_by ON authorisers
FOR EACH ROW EXECUTE FUNCTION refuse_change('who was named stays readable');
CREATE TRIGGER authorisers_ended BEFORE UPDATE OF ended_at, ended_by, end_reason ON authorisers
FOR EACH ROW WHEN (OLD.ended_at IS NOT NULL) EXECUTE FUNCTION refuse_change('an authority ends once');
CREATE TRIGGER authorisers_kept BEFORE DELETE ON authorisers
FOR EACH ROW EXECUTE FUNCTION refuse_change('who was named stays readable');
CREATE TRIGGER payments_recorded BEFORE UPDATE OF shop_id, id, job_id, amount, paid_on, how, note, recorded_by, at ON payments
FOR EACH ROW EXECUTE FUNCTION refuse_change('a payment is voided, not changed');
CREATE TRIGGER payments_voided BEFORE UPDATE OF voided_at, voided_by, void_reason ON payments
FOR EACH ROW WHEN (OLD.voided_at IS NOT NULL) EXECUTE FUNCTION refuse_change('a payment is voided once');
CREATE TRIGGER payments_kept BEFORE DELETE ON payments
FOR EACH ROW EXECUTE FUNCTION refuse_change('a payment is not deleted');
CREATE TRIGGER supplies_written BEFORE UPDATE ON supplies
FOR EACH ROW EXECUTE FUNCTION refuse_change('what was noted is followed by a further note');
CREATE TRIGGER supplies_kept BEFORE DELETE ON supplies
FOR EACH ROW EXECUTE FUNCTION refuse_change('what was noted is followed by a further note');
CREATE TRIGGER watch_overrides_written BEFORE UPDATE ON watch_overrides
FOR EACH ROW EXECUTE FUNCTION refuse_change('an override is followed by a further one');
CREATE TRIGGER watch_overrides_kept BEFORE DELETE ON watch_overrides
FOR EACH ROW EXECUTE FUNCTION refuse_change('an override is followed by a further one');
CREATE TRIGGER letters_written BEFORE UPDATE ON letters
FOR EACH ROW EXECUTE FUNCTION refuse_change('a letter that was sent is not changed');
CREATE TRIGGER letters_kept BEFORE DELETE ON letters
FOR EACH ROW EXECUTE FUNCTION refuse_change('a letter that was sent is not changed');
CREATE TRIGGER mail_written BEFORE UPDATE OF shop_id, id, job_id, to_address, subject, body, created_at ON mail
FOR EACH ROW EXECUTE FUNCTION refuse_change('a message is not rewritten');
CREATE TRIGGER mail_kept BEFORE DELETE ON mail
FOR EACH ROW EXECUTE FUNCTION refuse_change('a message is not deleted');
CREATE TRIGGER authorisers_not_emptied BEFORE TRUNCATE ON authorisers
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('who was named stays readable');
CREATE TRIGGER payments_not_emptied BEFORE TRUNCATE ON payments
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a payment is not deleted');
CREATE TRIGGER supplies_not_emptied BEFORE TRUNCATE ON supplies
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('what was noted is not deleted');
CREATE TRIGGER watch_overrides_not_emptied BEFORE TRUNCATE ON watch_overrides
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('an override is not deleted');
CREATE TRIGGER letters_not_emptied BEFORE TRUNCATE ON letters
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a letter is not deleted');
CREATE TRIGGER mail_not_emptied BEFORE TRUNCATE ON mail
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a message is not deleted');
