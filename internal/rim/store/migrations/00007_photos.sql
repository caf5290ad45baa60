-- Photos of a job as they were taken in. Nothing here is changed or taken out: what is said of a photo stands in the job.

-- +goose Up
CREATE TABLE photos (
    job       TEXT NOT NULL REFERENCES jobs (id) ON DELETE CASCADE,
    name      TEXT NOT NULL,
    bytes     BYTEA NOT NULL,
    small     BYTEA NOT NULL,
    version   TEXT NOT NULL,
    width     BIGINT NOT NULL,
    height    BIGINT NOT NULL,
    taken     TEXT NOT NULL,
    place     TEXT NOT NULL,
    said_by   TEXT NOT NULL,
    received  BIGINT NOT NULL,
    PRIMARY KEY (job, name)
);

-- +goose Down
DROP TABLE photos;
