-- The most time that a link leaves between its two ends, in hours of its kind of lag:
-- steel is primed within so many hours of blasting. NULL is no limit.

-- +goose Up
ALTER TABLE task_links ADD COLUMN max_lag_hours NUMERIC(24, 6);
