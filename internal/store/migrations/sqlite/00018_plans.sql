-- The floor: plans of all jobs together, what somebody decided by hand, what was
-- tried, and the plan that is being made. A plan is kept as it was; only whether it
-- was agreed to is added, once.

-- +goose Up
CREATE TABLE shop_plans (
    shop_id    TEXT NOT NULL,
    id         TEXT NOT NULL,
    revision   INTEGER NOT NULL,
    made_at    TIMESTAMP NOT NULL,
    made_by    TEXT NOT NULL,
    cause      TEXT NOT NULL,
    facts      TEXT NOT NULL,
    seed       BIGINT NOT NULL,
    schedules  INTEGER NOT NULL,
    status     TEXT NOT NULL,
    late       BIGINT NOT NULL,
    bound      BIGINT NOT NULL,
    body       TEXT NOT NULL,
    state      TEXT NOT NULL CONSTRAINT shop_plans_state CHECK (state IN ('proposed', 'agreed', 'dropped')),
    decided_at TIMESTAMP,
    decided_by TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT shop_plans_shop FOREIGN KEY (shop_id) REFERENCES shops (shop_id)
);
CREATE UNIQUE INDEX shop_plans_in_order ON shop_plans (shop_id, revision);

CREATE TABLE floor_pins (
    shop_id TEXT NOT NULL,
    task_id TEXT NOT NULL,
    job_id  TEXT NOT NULL,
    start   TIMESTAMP NOT NULL,
    people  TEXT NOT NULL,
    by_name TEXT NOT NULL,
    at      TIMESTAMP NOT NULL,
    PRIMARY KEY (shop_id, task_id),
    CONSTRAINT floor_pins_task FOREIGN KEY (shop_id, task_id) REFERENCES tasks (shop_id, id)
);

CREATE TABLE floor_trials (
    shop_id TEXT NOT NULL,
    id      TEXT NOT NULL,
    name    TEXT NOT NULL,
    plan_id TEXT NOT NULL,
    facts   TEXT NOT NULL,
    changes TEXT NOT NULL,
    body    TEXT NOT NULL,
    made_at TIMESTAMP NOT NULL,
    made_by TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT floor_trials_plan FOREIGN KEY (shop_id, plan_id) REFERENCES shop_plans (shop_id, id)
);
CREATE INDEX floor_trials_in_order ON floor_trials (shop_id, made_at);

CREATE TABLE floor_runs (
    shop_id       TEXT NOT NULL,
    state         TEXT NOT NULL CONSTRAINT floor_runs_state CHECK (state IN ('waiting', 'running', 'done', 'cancelled', 'failed')),
    number        INTEGER NOT NULL,
    cause         TEXT NOT NULL,
    by_id         TEXT NOT NULL,
    by_name       TEXT NOT NULL,
    asked_at      TIMESTAMP NOT NULL,
    claimed_until TIMESTAMP,
    ended_at      TIMESTAMP,
    cancel        BOOLEAN NOT NULL,
    schedules     INTEGER NOT NULL,
    of_schedules  INTEGER NOT NULL,
    late          BIGINT NOT NULL,
    facts         TEXT NOT NULL,
    note          TEXT NOT NULL,
    PRIMARY KEY (shop_id),
    CONSTRAINT floor_runs_shop FOREIGN KEY (shop_id) REFERENCES shops (shop_id)
);

-- +goose StatementBegin
CREATE TRIGGER shop_plans_made BEFORE UPDATE OF shop_id, id, revision, made_at, made_by, cause, facts, seed, schedules, status, late, bound, body ON shop_plans
BEGIN
    SELECT RAISE(ABORT, 'append-only: a plan is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER shop_plans_decided BEFORE UPDATE OF state, decided_at, decided_by ON shop_plans
WHEN OLD.state <> 'proposed'
BEGIN
    SELECT RAISE(ABORT, 'append-only: a plan is decided on once');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER shop_plans_kept BEFORE DELETE ON shop_plans
BEGIN
    SELECT RAISE(ABORT, 'append-only: a plan is not deleted');
END;
-- +goose StatementEnd
