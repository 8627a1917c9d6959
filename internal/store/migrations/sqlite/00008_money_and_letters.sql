-- The shop's rules, who can authorise, money that came in, what was ordered and
-- fitted, work past the stop, progress letters and the outgoing mail.

-- +goose Up
ALTER TABLE shops ADD COLUMN rules_version INTEGER NOT NULL DEFAULT 1;
ALTER TABLE shops ADD COLUMN rules TEXT NOT NULL DEFAULT '{}';

CREATE TABLE authorisers (
    shop_id    TEXT NOT NULL,
    id         TEXT NOT NULL,
    job_id     TEXT NOT NULL,
    name       TEXT NOT NULL,
    contact    TEXT NOT NULL,
    note       TEXT NOT NULL,
    added_at   TIMESTAMP NOT NULL,
    added_by   TEXT NOT NULL,
    ended_at   TIMESTAMP,
    ended_by   TEXT NOT NULL,
    end_reason TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT authorisers_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX authorisers_of_job ON authorisers (shop_id, job_id, id);

CREATE TABLE payments (
    shop_id     TEXT NOT NULL,
    id          TEXT NOT NULL,
    job_id      TEXT NOT NULL,
    amount      TEXT NOT NULL,
    paid_on     TEXT NOT NULL,
    how         TEXT NOT NULL CONSTRAINT payments_how CHECK (how IN ('transfer', 'card', 'cash', 'cheque', 'other')),
    note        TEXT NOT NULL,
    recorded_by TEXT NOT NULL,
    at          TIMESTAMP NOT NULL,
    voided_at   TIMESTAMP,
    voided_by   TEXT NOT NULL,
    void_reason TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT payments_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX payments_of_job ON payments (shop_id, job_id, at, id);

CREATE TABLE supplies (
    shop_id        TEXT NOT NULL,
    id             TEXT NOT NULL,
    job_id         TEXT NOT NULL,
    line_id        TEXT NOT NULL,
    state          TEXT NOT NULL CONSTRAINT supplies_state CHECK (state IN ('ordered', 'fitted', 'returned')),
    returnable     BOOLEAN NOT NULL,
    restocking_fee TEXT NOT NULL,
    note           TEXT NOT NULL,
    at             TIMESTAMP NOT NULL,
    noted_by       TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT supplies_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id),
    CONSTRAINT supplies_line FOREIGN KEY (shop_id, line_id) REFERENCES lines (shop_id, id)
);
CREATE INDEX supplies_of_job ON supplies (shop_id, job_id, at, id);

CREATE TABLE watch_overrides (
    shop_id TEXT NOT NULL,
    id      TEXT NOT NULL,
    job_id  TEXT NOT NULL,
    up_to   TEXT NOT NULL,
    reason  TEXT NOT NULL,
    made_by TEXT NOT NULL,
    at      TIMESTAMP NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT watch_overrides_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX watch_overrides_of_job ON watch_overrides (shop_id, job_id, at, id);

CREATE TABLE mail (
    shop_id       TEXT NOT NULL,
    id            TEXT NOT NULL,
    job_id        TEXT,
    to_address    TEXT NOT NULL,
    subject       TEXT NOT NULL,
    body          TEXT NOT NULL,
    state         TEXT NOT NULL CONSTRAINT mail_state CHECK (state IN ('waiting', 'sent', 'failed', 'off')),
    tries         INTEGER NOT NULL,
    created_at    TIMESTAMP NOT NULL,
    sent_at       TIMESTAMP,
    next_try_at   TIMESTAMP,
    claimed_until TIMESTAMP,
    last_error    TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT mail_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX mail_by_age ON mail (shop_id, created_at, id);
CREATE INDEX mail_due ON mail (shop_id, next_try_at, id) WHERE state = 'waiting';

CREATE TABLE letters (
    shop_id TEXT NOT NULL,
    id      TEXT NOT NULL,
    job_id  TEXT NOT NULL,
    number  INTEGER NOT NULL,
    subject TEXT NOT NULL,
    body    TEXT NOT NULL,
    sent_at TIMESTAMP NOT NULL,
    sent_by TEXT NOT NULL,
    mail_id TEXT,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT letters_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id),
    CONSTRAINT letters_mail FOREIGN KEY (shop_id, mail_id) REFERENCES mail (shop_id, id)
);
CREATE UNIQUE INDEX letters_number ON letters (shop_id, job_id, number);

-- +goose StatementBegin
CREATE TRIGGER authorisers_named BEFORE UPDATE OF shop_id, id, job_id, name, contact, note, added_at, added_by ON authorisers
BEGIN
    SELECT RAISE(ABORT, 'append-only: who was named stays readable');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER authorisers_ended BEFORE UPDATE OF ended_at, ended_by, end_reason ON authorisers
WHEN OLD.ended_at IS NOT NULL
BEGIN
    SELECT RAISE(ABORT, 'append-only: an authority ends once');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER authorisers_kept BEFORE DELETE ON authorisers
BEGIN
    SELECT RAISE(ABORT, 'append-only: who was named stays readable');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payments_recorded BEFORE UPDATE OF shop_id, id, job_id, amount, paid_on, how, note, recorded_by, at ON payments
BEGIN
    SELECT RAISE(ABORT, 'append-only: a payment is voided, not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payments_voided BEFORE UPDATE OF voided_at, voided_by, void_reason ON payments
WHEN OLD.voided_at IS NOT NULL
BEGIN
    SELECT RAISE(ABORT, 'append-only: a payment is voided once');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER payments_kept BEFORE DELETE ON payments
BEGIN
    SELECT RAISE(ABORT, 'append-only: a payment is not deleted');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER supplies_written BEFORE UPDATE ON supplies
BEGIN
    SELECT RAISE(ABORT, 'append-only: what was noted is followed by a further note');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER supplies_kept BEFORE DELETE ON supplies
BEGIN
    SELECT RAISE(ABORT, 'append-only: what was noted is followed by a further note');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER watch_overrides_written BEFORE UPDATE ON watch_overrides
BEGIN
    SELECT RAISE(ABORT, 'append-only: an override is followed by a further one');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER watch_overrides_kept BEFORE DELETE ON watch_overrides
BEGIN
    SELECT RAISE(ABORT, 'append-only: an override is followed by a further one');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER letters_written BEFORE UPDATE ON letters
BEGIN
    SELECT RAISE(ABORT, 'append-only: a letter that was sent is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER letters_kept BEFORE DELETE ON letters
BEGIN
    SELECT RAISE(ABORT, 'append-only: a letter that was sent is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER mail_written BEFORE UPDATE OF shop_id, id, job_id, to_address, subject, body, created_at ON mail
BEGIN
    SELECT RAISE(ABORT, 'append-only: a message is not rewritten');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER mail_kept BEFORE DELETE ON mail
BEGIN
    SELECT RAISE(ABORT, 'append-only: a message is not deleted');
END;
-- +goose StatementEnd
