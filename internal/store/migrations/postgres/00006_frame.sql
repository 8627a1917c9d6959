-- The frame of a job by zones, what was seen on them, photos, and what was found.

-- +goose Up
ALTER TABLE jobs ADD COLUMN template_id TEXT COLLATE "C";
ALTER TABLE jobs ADD COLUMN frame_name TEXT NOT NULL DEFAULT '';

CREATE TABLE zones (
    shop_id         TEXT COLLATE "C" NOT NULL,
    id              TEXT COLLATE "C" NOT NULL,
    job_id          TEXT COLLATE "C" NOT NULL,
    code            TEXT NOT NULL,
    name            TEXT NOT NULL,
    kind            TEXT NOT NULL CONSTRAINT zones_kind CHECK (kind IN
        ('rail', 'kick_up', 'crossmember', 'mount', 'bracket', 'opening')),
    side            TEXT NOT NULL CONSTRAINT zones_side CHECK (side IN ('left', 'centre', 'right')),
    section         TEXT NOT NULL,
    length_mm       INTEGER NOT NULL,
    area_m2         NUMERIC(24, 6) NOT NULL,
    visible_percent INTEGER NOT NULL CONSTRAINT zones_visible CHECK (visible_percent BETWEEN 0 AND 100),
    plan            TEXT NOT NULL,
    position        INTEGER NOT NULL,
    removed_at      TIMESTAMPTZ,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT zones_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE UNIQUE INDEX zones_of_job ON zones (shop_id, job_id, id);
CREATE UNIQUE INDEX zones_code ON zones (shop_id, job_id, code) WHERE removed_at IS NULL;

CREATE TABLE observations (
    shop_id     TEXT COLLATE "C" NOT NULL,
    id          TEXT COLLATE "C" NOT NULL,
    job_id      TEXT COLLATE "C" NOT NULL,
    zone_id     TEXT COLLATE "C" NOT NULL,
    moment      TEXT NOT NULL CONSTRAINT observations_moment CHECK (moment IN ('arrival', 'body_off', 'stripped', 'repaired')),
    condition   TEXT NOT NULL CONSTRAINT observations_condition CHECK (condition IN
        ('a', 'b', 'c', 'd', 'pitted', 'patched', 'perforated', 'hidden')),
    length_mm   INTEGER NOT NULL,
    width_mm    INTEGER NOT NULL,
    note        TEXT NOT NULL,
    photo_ids   TEXT NOT NULL,
    by_id       TEXT NOT NULL,
    by_name     TEXT NOT NULL,
    seen_at     TIMESTAMPTZ NOT NULL,
    voided_at   TIMESTAMPTZ,
    voided_by   TEXT NOT NULL,
    void_reason TEXT NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT observations_zone FOREIGN KEY (shop_id, job_id, zone_id) REFERENCES zones (shop_id, job_id, id)
);
CREATE INDEX observations_of_job ON observations (shop_id, job_id, seen_at, id);

CREATE TABLE photos (
    shop_id  TEXT COLLATE "C" NOT NULL,
    id       TEXT COLLATE "C" NOT NULL,
    job_id   TEXT COLLATE "C" NOT NULL,
    blob     TEXT NOT NULL,
    thumb    TEXT NOT NULL,
    hash     TEXT NOT NULL,
    width    INTEGER NOT NULL,
    height   INTEGER NOT NULL,
    bytes    INTEGER NOT NULL,
    by_id    TEXT NOT NULL,
    by_name  TEXT NOT NULL,
    taken_at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT photos_job FOREIGN KEY (shop_id, job_id) REFERENCES jobs (shop_id, id)
);
CREATE INDEX photos_of_job ON photos (shop_id, job_id, taken_at, id);
CREATE INDEX photos_blob ON photos (shop_id, blob);
CREATE INDEX photos_thumb ON photos (shop_id, thumb);

CREATE TABLE findings (
    shop_id          TEXT COLLATE "C" NOT NULL,
    id               TEXT COLLATE "C" NOT NULL,
    job_id           TEXT COLLATE "C" NOT NULL,
    number           INTEGER NOT NULL,
    version          INTEGER NOT NULL,
    zone_id          TEXT COLLATE "C" NOT NULL,
    task_id          TEXT COLLATE "C",
    what             TEXT NOT NULL CONSTRAINT findings_what CHECK (what IN ('rust', 'perforation', 'patch_over_rot', 'crack',
        'broken_bolt', 'spun_nut', 'missing_opening', 'missing_bracket', 'bent', 'other')),
    condition        TEXT NOT NULL CONSTRAINT findings_condition CHECK (condition IN
        ('', 'a', 'b', 'c', 'd', 'pitted', 'patched', 'perforated', 'hidden')),
    length_mm        INTEGER NOT NULL,
    width_mm         INTEGER NOT NULL,
    count            INTEGER NOT NULL CONSTRAINT findings_count CHECK (count > 0),
    note             TEXT NOT NULL,
    photo_ids        TEXT NOT NULL,
    repairs          TEXT NOT NULL,
    originality      NUMERIC(24, 6) NOT NULL,
    condition_points NUMERIC(24, 6) NOT NULL,
    state            TEXT NOT NULL CONSTRAINT findings_state CHECK (state IN
        ('reported', 'gathered', 'sent', 'approved', 'declined', 'dismissed')),
    state_reason     TEXT NOT NULL,
    dismissed_at     TIMESTAMPTZ,
    order_id         TEXT COLLATE "C",
    by_id            TEXT NOT NULL,
    by_name          TEXT NOT NULL,
    reported_at      TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (shop_id, id),
    CONSTRAINT findings_zone FOREIGN KEY (shop_id, job_id, zone_id) REFERENCES zones (shop_id, job_id, id),
    CONSTRAINT findings_task FOREIGN KEY (shop_id, job_id, task_id) REFERENCES tasks (shop_id, job_id, id)
);
CREATE UNIQUE INDEX findings_number ON findings (shop_id, job_id, number);

CREATE TRIGGER observations_seen BEFORE UPDATE OF shop_id, id, job_id, zone_id, moment, condition, length_mm, width_mm,
    note, photo_ids, by_id, by_name, seen_at ON observations
FOR EACH ROW
EXECUTE FUNCTION refuse_change('an observation is not changed');
CREATE TRIGGER observations_voided BEFORE UPDATE OF voided_at, voided_by, void_reason ON observations
FOR EACH ROW WHEN (OLD.voided_at IS NOT NULL)
EXECUTE FUNCTION refuse_change('an observation is voided once');
CREATE TRIGGER observations_kept BEFORE DELETE ON observations
FOR EACH ROW
EXECUTE FUNCTION refuse_change('an observation is not deleted');
CREATE TRIGGER photos_taken BEFORE UPDATE ON photos
FOR EACH ROW
EXECUTE FUNCTION refuse_change('a photo is not changed');
CREATE TRIGGER photos_kept BEFORE DELETE ON photos
FOR EACH ROW
EXECUTE FUNCTION refuse_change('a photo is not deleted');
CREATE TRIGGER findings_reported BEFORE UPDATE OF shop_id, id, job_id, number, by_id, by_name, reported_at ON findings
FOR EACH ROW
EXECUTE FUNCTION refuse_change('who found something, when and under which number stays');
CREATE TRIGGER findings_kept BEFORE DELETE ON findings
FOR EACH ROW
EXECUTE FUNCTION refuse_change('a finding is not deleted');
CREATE TRIGGER observations_not_emptied BEFORE TRUNCATE ON observations
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('an observation is not deleted');
CREATE TRIGGER photos_not_emptied BEFORE TRUNCATE ON photos
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a photo is not deleted');
CREATE TRIGGER findings_not_emptied BEFORE TRUNCATE ON findings
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a finding is not deleted');
