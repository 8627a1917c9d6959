-- Jobs and the work they consist of. What is removed stays, marked with the instant.

-- +goose Up
CREATE TABLE jobs (
    shop_id           TEXT NOT NULL REFERENCES shops (shop_id),
    id                TEXT NOT NULL,
    version           INTEGER NOT NULL,
    number            INTEGER NOT NULL,
    title             TEXT NOT NULL,
    state             TEXT NOT NULL CONSTRAINT jobs_state CHECK (state IN
        ('enquiry', 'surveyed', 'quoted', 'accepted', 'in_work', 'finished', 'closed', 'declined', 'cancelled')),
    client_id         TEXT NOT NULL,
    template_name     TEXT NOT NULL,
    vehicle_options   TEXT NOT NULL,
    cautions          TEXT NOT NULL,
    vehicle           TEXT NOT NULL,
    not_before        TEXT NOT NULL,
    promise           TEXT NOT NULL,
    created_at        TIMESTAMP NOT NULL,
    accepted_quote_id TEXT,
    authorised_amount TEXT NOT NULL,
    currency          TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT jobs_client FOREIGN KEY (shop_id, client_id) REFERENCES people (shop_id, id),
    CONSTRAINT jobs_accepted_quote FOREIGN KEY (shop_id, id, accepted_quote_id) REFERENCES quotes (shop_id, job_id, id)
);
CREATE UNIQUE INDEX jobs_number ON jobs (shop_id, number);
CREATE INDEX jobs_by_client ON jobs (shop_id, client_id, number);

CREATE TABLE phases (
    shop_id    TEXT NOT NULL,
    id         TEXT NOT NULL,
    job_id     TEXT NOT NULL,
    key        TEXT NOT NULL,
    name       TEXT NOT NULL,
    position   INTEGER NOT NULL,
    removed_at TIMESTAMP,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT phases_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE UNIQUE INDEX phases_of_job ON phases (shop_id, job_id, id);

CREATE TABLE tasks (
    shop_id       TEXT NOT NULL,
    id            TEXT NOT NULL,
    job_id        TEXT NOT NULL,
    phase_id      TEXT NOT NULL,
    code          TEXT NOT NULL,
    name          TEXT NOT NULL,
    note          TEXT NOT NULL,
    kind          TEXT NOT NULL CONSTRAINT tasks_kind CHECK (kind IN ('work', 'cure', 'sublet', 'hold')),
    hours_low     TEXT NOT NULL,
    hours_likely  TEXT NOT NULL,
    hours_high    TEXT NOT NULL,
    elapsed_hours TEXT NOT NULL,
    lead_days     INTEGER NOT NULL,
    skill         TEXT NOT NULL,
    crew          INTEGER NOT NULL,
    station       TEXT NOT NULL,
    zone          TEXT NOT NULL,
    cautions      TEXT NOT NULL,
    hold_point    TEXT NOT NULL,
    tax_class     TEXT NOT NULL,
    not_before    TEXT NOT NULL,
    finish_by     TEXT NOT NULL,
    position      INTEGER NOT NULL,
    scope         TEXT NOT NULL CONSTRAINT tasks_scope CHECK (scope IN ('estimate', 'authorised', 'opened', 'outside')),
    opened_by     TEXT NOT NULL,
    opened_at     TIMESTAMP,
    opened_as     TEXT NOT NULL,
    released_by   TEXT NOT NULL,
    released_at   TIMESTAMP,
    release_note  TEXT NOT NULL,
    removed_at    TIMESTAMP,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT tasks_phase FOREIGN KEY (shop_id, job_id, phase_id) REFERENCES phases (shop_id, job_id, id)
);
CREATE UNIQUE INDEX tasks_of_job ON tasks (shop_id, job_id, id);

CREATE TABLE task_links (
    shop_id    TEXT NOT NULL,
    id         TEXT NOT NULL,
    job_id     TEXT NOT NULL,
    from_id    TEXT NOT NULL,
    to_id      TEXT NOT NULL,
    type       TEXT NOT NULL CONSTRAINT task_links_type CHECK (type IN ('FS', 'SS', 'FF', 'SF')),
    lag_hours  TEXT NOT NULL,
    lag_kind   TEXT NOT NULL CONSTRAINT task_links_lag_kind CHECK (lag_kind IN ('working', 'elapsed')),
    removed_at TIMESTAMP,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT task_links_from FOREIGN KEY (shop_id, job_id, from_id) REFERENCES tasks (shop_id, job_id, id),
    CONSTRAINT task_links_to FOREIGN KEY (shop_id, job_id, to_id) REFERENCES tasks (shop_id, job_id, id)
);
CREATE INDEX task_links_of_job ON task_links (shop_id, job_id, id);

CREATE TABLE lines (
    shop_id          TEXT NOT NULL,
    id               TEXT NOT NULL,
    job_id           TEXT NOT NULL,
    phase_id         TEXT NOT NULL,
    task_id          TEXT,
    kind             TEXT NOT NULL CONSTRAINT lines_kind CHECK (kind IN
        ('material', 'sublet', 'fee', 'allowance', 'credit', 'reserve')),
    description      TEXT NOT NULL,
    quantity         TEXT NOT NULL,
    unit             TEXT NOT NULL,
    unit_cost        TEXT NOT NULL,
    markup_percent   TEXT NOT NULL,
    waste_percent    TEXT NOT NULL,
    discount_percent TEXT NOT NULL,
    tax_class        TEXT NOT NULL,
    scope            TEXT NOT NULL CONSTRAINT lines_scope CHECK (scope IN ('estimate', 'authorised', 'opened', 'outside')),
    position         INTEGER NOT NULL,
    removed_at       TIMESTAMP,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT lines_phase FOREIGN KEY (shop_id, job_id, phase_id) REFERENCES phases (shop_id, job_id, id),
    CONSTRAINT lines_task FOREIGN KEY (shop_id, job_id, task_id) REFERENCES tasks (shop_id, job_id, id)
);
CREATE INDEX lines_of_job ON lines (shop_id, job_id, id);
