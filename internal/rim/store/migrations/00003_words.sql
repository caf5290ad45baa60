-- What lists are searched by: the title, number and address in small letters, in every alphabet, and cut to what an index holds.
-- Rows from before get it by the database's own small letters; the next change of the job puts it right.

-- +goose Up
ALTER TABLE jobs ADD COLUMN words TEXT NOT NULL DEFAULT '';
UPDATE jobs SET words = substr(lower(title || ' ' || number || ' ' || address), 1, 300);
DROP INDEX jobs_by_change;
CREATE INDEX jobs_by_change ON jobs (changed, id, binned, words);

-- +goose Down
DROP INDEX jobs_by_change;
CREATE INDEX jobs_by_change ON jobs (changed, id);
ALTER TABLE jobs DROP COLUMN words;
