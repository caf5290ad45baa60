-- The day of the pour as the plan counts it, for the week: what a person typed may be a word like thu.

-- +goose Up
ALTER TABLE jobs ADD COLUMN pours_on TEXT NOT NULL DEFAULT '';
ALTER TABLE jobs ADD COLUMN first_truck TEXT NOT NULL DEFAULT '';
CREATE INDEX jobs_by_pour ON jobs (pours_on);

-- +goose Down
DROP INDEX jobs_by_pour;
ALTER TABLE jobs DROP COLUMN first_truck;
ALTER TABLE jobs DROP COLUMN pours_on;
