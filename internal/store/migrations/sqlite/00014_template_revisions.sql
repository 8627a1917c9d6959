-- Revisions of a template: an edit is a further row of the same key. A stored row
-- never changes, because jobs read their repair list from it.

-- +goose Up
ALTER TABLE templates ADD COLUMN saved_at TIMESTAMP;
ALTER TABLE templates ADD COLUMN saved_by TEXT NOT NULL DEFAULT '';
ALTER TABLE templates ADD COLUMN note TEXT NOT NULL DEFAULT '';
ALTER TABLE templates ADD COLUMN retired BOOLEAN NOT NULL DEFAULT FALSE;
CREATE UNIQUE INDEX templates_revision ON templates (shop_id, key, version);

-- +goose StatementBegin
CREATE TRIGGER templates_saved BEFORE UPDATE ON templates
BEGIN
    SELECT RAISE(ABORT, 'append-only: a template is followed by a further revision');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER templates_kept BEFORE DELETE ON templates
BEGIN
    SELECT RAISE(ABORT, 'append-only: a template is not deleted');
END;
-- +goose StatementEnd
