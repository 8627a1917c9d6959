-- Hours entries, corrected by further entries, and the audit trail.

-- +goose Up
CREATE TABLE entries (
    shop_id      TEXT COLLATE "C" NOT NULL,
    id           TEXT COLLATE "C" NOT NULL,
    job_id       TEXT COLLATE "C" NOT NULL,
    task_id      TEXT COLLATE "C",
    person_id    TEXT COLLATE "C" NOT NULL,
    kind         TEXT NOT NULL CONSTRAINT entries_kind CHECK (kind IN ('work', 'waiting')),
    waiting_code TEXT NOT NULL CONSTRAINT entries_waiting_code CHECK (waiting_code IN
        ('', 'parts', 'client_decision', 'station', 'weather')),
    started_at   TIMESTAMPTZ NOT NULL,
    finished_at  TIMESTAMPTZ,
    hours_to_go  NUMERIC(24, 6),
    done         BOOLEAN NOT NULL,
    note         TEXT NOT NULL,
    corrects_id  TEXT COLLATE "C",
    corrected_by TEXT,
    void         BOOLEAN NOT NULL,
    reason       TEXT NOT NULL,
    logged_at    TIMESTAMPTZ NOT NULL,
    logged_by    TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT entries_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id),
    CONSTRAINT entries_task FOREIGN KEY (shop_id, job_id, task_id) REFERENCES tasks (shop_id, job_id, id),
    CONSTRAINT entries_person FOREIGN KEY (shop_id, person_id) REFERENCES people (shop_id, id),
    CONSTRAINT entries_corrects FOREIGN KEY (shop_id, corrects_id) REFERENCES entries (shop_id, id),
    -- Deferred: an entry that runs must be marked before the one that takes its
    -- place may run.
    CONSTRAINT entries_corrected_by FOREIGN KEY (shop_id, corrected_by) REFERENCES entries (shop_id, id)
        DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT entries_times CHECK (finished_at IS NULL OR finished_at > started_at OR void)
);
CREATE UNIQUE INDEX entries_one_running ON entries (shop_id, person_id)
    WHERE finished_at IS NULL AND corrected_by IS NULL AND NOT void;
CREATE UNIQUE INDEX entries_one_correction ON entries (shop_id, corrects_id) WHERE corrects_id IS NOT NULL;
CREATE INDEX entries_of_job ON entries (shop_id, job_id, logged_at, id);
CREATE INDEX entries_of_person ON entries (shop_id, person_id, logged_at, id);
CREATE INDEX entries_by_finish ON entries (shop_id, person_id, finished_at);
CREATE INDEX entries_of_task ON entries (shop_id, task_id) WHERE task_id IS NOT NULL;

CREATE TABLE trail_entries (
    shop_id      TEXT COLLATE "C" NOT NULL REFERENCES shops (shop_id),
    seq          BIGINT NOT NULL CONSTRAINT trail_entries_seq CHECK (seq > 0),
    at           TIMESTAMPTZ NOT NULL,
    actor_id     TEXT COLLATE "C" NOT NULL,
    actor_name   TEXT NOT NULL,
    from_address TEXT NOT NULL,
    action       TEXT NOT NULL,
    subject      TEXT NOT NULL,
    job_id       TEXT COLLATE "C",
    before       TEXT NOT NULL,
    after        TEXT NOT NULL,
    prev_hash    TEXT NOT NULL,
    hash         TEXT NOT NULL,
    PRIMARY KEY (shop_id, seq),
    CONSTRAINT trail_entries_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
        DEFERRABLE INITIALLY DEFERRED
);
CREATE INDEX trail_entries_of_job ON trail_entries (shop_id, job_id, seq) WHERE job_id IS NOT NULL;

CREATE TRIGGER entries_logged BEFORE UPDATE OF shop_id, id, job_id, task_id, person_id, kind, waiting_code,
    started_at, corrects_id, void, reason, logged_at, logged_by ON entries
FOR EACH ROW EXECUTE FUNCTION refuse_change('an hours entry is corrected by a further entry');
CREATE TRIGGER entries_finished BEFORE UPDATE OF finished_at, hours_to_go, done, note ON entries
FOR EACH ROW WHEN (OLD.finished_at IS NOT NULL)
EXECUTE FUNCTION refuse_change('a finished hours entry is corrected by a further entry');
CREATE TRIGGER entries_corrected BEFORE UPDATE OF corrected_by ON entries
FOR EACH ROW WHEN (OLD.corrected_by IS NOT NULL)
EXECUTE FUNCTION refuse_change('an hours entry is corrected once');
CREATE TRIGGER entries_kept BEFORE DELETE ON entries
FOR EACH ROW EXECUTE FUNCTION refuse_change('an hours entry is not deleted');
CREATE TRIGGER trail_entries_written BEFORE UPDATE ON trail_entries
FOR EACH ROW EXECUTE FUNCTION refuse_change('the trail is not changed');
CREATE TRIGGER trail_entries_kept BEFORE DELETE ON trail_entries
FOR EACH ROW EXECUTE FUNCTION refuse_change('the trail is not deleted');
CREATE TRIGGER entries_not_emptied BEFORE TRUNCATE ON entries
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('an hours entry is not deleted');
CREATE TRIGGER trail_entries_not_emptied BEFORE TRUNCATE ON trail_entries
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('the trail is not deleted');
