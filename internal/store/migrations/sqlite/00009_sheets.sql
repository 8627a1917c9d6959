-- What an issued document was drawn from, beside its exact text, so that the
-- PDF of it can be drawn from the same. Empty for what was issued before.

-- +goose Up
ALTER TABLE documents ADD COLUMN sheet TEXT NOT NULL DEFAULT '';
ALTER TABLE order_documents ADD COLUMN sheet TEXT NOT NULL DEFAULT '';
