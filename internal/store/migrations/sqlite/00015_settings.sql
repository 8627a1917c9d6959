-- The rate of exchange that a job was made at, with its day, and the shop's opening
-- of an order as it was sent. Texts, currencies and the gates of draws are part of
-- the shop's settings.

-- +goose Up
ALTER TABLE jobs ADD COLUMN exchange_rate TEXT NOT NULL DEFAULT '1';
ALTER TABLE jobs ADD COLUMN rate_on TEXT NOT NULL DEFAULT '';
ALTER TABLE change_orders ADD COLUMN opening TEXT NOT NULL DEFAULT '';

-- +goose StatementBegin
CREATE TRIGGER change_orders_opening BEFORE UPDATE OF opening ON change_orders
WHEN OLD.state <> 'draft' AND NEW.opening IS NOT OLD.opening
BEGIN
    SELECT RAISE(ABORT, 'append-only: an order that was sent is not changed');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER jobs_rate BEFORE UPDATE OF currency, exchange_rate, rate_on ON jobs
WHEN NEW.currency IS NOT OLD.currency OR NEW.exchange_rate IS NOT OLD.exchange_rate OR NEW.rate_on IS NOT OLD.rate_on
BEGIN
    SELECT RAISE(ABORT, 'append-only: a job stays in its currency');
END;
-- +goose StatementEnd
