-- What a schedule of all jobs together needs: when people work, what a task asks of
-- the floor, how much a job's lateness matters, and when what was ordered comes.
-- Hours of stations and the rules of the floor are part of the shop's settings.

-- +goose Up
ALTER TABLE people ADD COLUMN roster TEXT NOT NULL DEFAULT 'null';
ALTER TABLE tasks ADD COLUMN floor TEXT NOT NULL DEFAULT '{}';
ALTER TABLE jobs ADD COLUMN weight INTEGER NOT NULL DEFAULT 5 CONSTRAINT jobs_weight CHECK (weight BETWEEN 1 AND 9);
ALTER TABLE supplies ADD COLUMN expected_on TEXT NOT NULL DEFAULT '';
