-- What follows the takeoff, how jobs and zones are worked, what moved and why, and
-- what jobs take of each other's whole packs.

-- +goose Up
ALTER TABLE jobs ADD COLUMN finish TEXT NOT NULL DEFAULT 'show' CONSTRAINT jobs_finish CHECK (finish IN ('driver', 'show', 'concours', 'as_found'));
ALTER TABLE jobs ADD COLUMN ways TEXT NOT NULL DEFAULT '{}';
ALTER TABLE zones ADD COLUMN finish TEXT NOT NULL DEFAULT '' CONSTRAINT zones_finish CHECK (finish IN ('', 'driver', 'show', 'concours', 'as_found'));
ALTER TABLE zones ADD COLUMN ways TEXT NOT NULL DEFAULT '{}';
ALTER TABLE tasks ADD COLUMN follows BOOLEAN NOT NULL DEFAULT FALSE;
ALTER TABLE lines ADD COLUMN follows BOOLEAN NOT NULL DEFAULT FALSE;

CREATE TABLE takeoff_moves (
    shop_id  TEXT COLLATE "C" NOT NULL,
    id       TEXT COLLATE "C" NOT NULL,
    job_id   TEXT COLLATE "C" NOT NULL,
    moved_at TIMESTAMPTZ NOT NULL,
    by_id    TEXT NOT NULL,
    by_name  TEXT NOT NULL,
    cause    TEXT NOT NULL,
    moved    TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT takeoff_moves_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE UNIQUE INDEX takeoff_moves_of_job ON takeoff_moves (shop_id, job_id, id);

CREATE TABLE stock_moves (
    shop_id     TEXT COLLATE "C" NOT NULL,
    id          TEXT COLLATE "C" NOT NULL,
    material    TEXT NOT NULL,
    unit        TEXT NOT NULL,
    quantity    NUMERIC(24, 6) NOT NULL,
    from_job_id TEXT COLLATE "C" NOT NULL,
    to_job_id   TEXT COLLATE "C" NOT NULL,
    by_id       TEXT NOT NULL,
    by_name     TEXT NOT NULL,
    moved_at    TIMESTAMPTZ NOT NULL,
    voided_at   TIMESTAMPTZ,
    voided_by   TEXT NOT NULL,
    void_reason TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT stock_moves_from FOREIGN KEY (shop_id, from_job_id) REFERENCES jobs (shop_id, id),
    CONSTRAINT stock_moves_to FOREIGN KEY (shop_id, to_job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX stock_moves_in_order ON stock_moves (shop_id, moved_at, id);

CREATE TRIGGER takeoff_moves_made BEFORE UPDATE ON takeoff_moves
FOR EACH ROW
EXECUTE FUNCTION refuse_change('what moved is not changed');
CREATE TRIGGER takeoff_moves_kept BEFORE DELETE ON takeoff_moves
FOR EACH ROW
EXECUTE FUNCTION refuse_change('what moved is not deleted');
CREATE TRIGGER stock_moves_made BEFORE UPDATE OF shop_id, id, material, unit, quantity, from_job_id, to_job_id, by_id, by_name, moved_at ON stock_moves
FOR EACH ROW
EXECUTE FUNCTION refuse_change('what was taken is not changed');
CREATE TRIGGER stock_moves_voided BEFORE UPDATE OF voided_at, voided_by, void_reason ON stock_moves
FOR EACH ROW WHEN (OLD.voided_at IS NOT NULL)
EXECUTE FUNCTION refuse_change('what was taken is voided once');
CREATE TRIGGER stock_moves_kept BEFORE DELETE ON stock_moves
FOR EACH ROW
EXECUTE FUNCTION refuse_change('what was taken is not deleted');
CREATE TRIGGER takeoff_moves_not_emptied BEFORE TRUNCATE ON takeoff_moves
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('what moved is not deleted');
CREATE TRIGGER stock_moves_not_emptied BEFORE TRUNCATE ON stock_moves
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('what was taken is not deleted');
