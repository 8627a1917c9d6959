-- Revisions of a template: an edit is a further row of the same key. A stored row
-- never changes, because jobs read their repair list from it.

-- +goose Up
ALTER TABLE templates ADD COLUMN saved_at TIMESTAMPTZ;
ALTER TABLE templates ADD COLUMN saved_by TEXT NOT NULL DEFAULT '';
ALTER TABLE templates ADD COLUMN note TEXT NOT NULL DEFAULT '';
ALTER TABLE templates ADD COLUMN retired BOOLEAN NOT NULL DEFAULT FALSE;
CREATE UNIQUE INDEX templates_revision ON templates (shop_id, key, version);

CREATE TRIGGER templates_saved BEFORE UPDATE ON templates
FOR EACH ROW EXECUTE FUNCTION refuse_change('a template is followed by a further revision');
CREATE TRIGGER templates_kept BEFORE DELETE ON templates
FOR EACH ROW EXECUTE FUNCTION refuse_change('a template is not deleted');
CREATE TRIGGER templates_not_emptied BEFORE TRUNCATE ON templates
FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a template is not deleted');
