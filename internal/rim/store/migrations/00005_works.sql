-- Long works. A task is worked out once for all who asked for the same; a work is one person's asking. What was found stands
-- under the hash of what it was asked with. How far a task is stands in parts of ten thousand. Workers count their beats: one whose count stands still is gone.

-- +goose Up
CREATE TABLE tasks (
    id        TEXT PRIMARY KEY,
    key       TEXT NOT NULL,
    job       TEXT REFERENCES jobs (id) ON DELETE CASCADE,
    question  TEXT NOT NULL,
    day       TEXT NOT NULL,
    revision  BIGINT NOT NULL,
    edition   TEXT NOT NULL,
    state     TEXT NOT NULL,
    permyriad BIGINT NOT NULL,
    says      TEXT NOT NULL,
    wanted    BIGINT NOT NULL,
    queued    BIGINT NOT NULL,
    attempt   BIGINT NOT NULL,
    taken     BIGINT NOT NULL,
    worker    TEXT NOT NULL,
    asked     BIGINT NOT NULL,
    began     BIGINT,
    ended     BIGINT,
    result    TEXT NOT NULL
);
CREATE INDEX tasks_by_key ON tasks (key);
CREATE INDEX tasks_by_state ON tasks (state, ended);
CREATE INDEX tasks_by_job ON tasks (job);

CREATE TABLE works (
    place     TEXT NOT NULL,
    id        TEXT NOT NULL,
    task      TEXT NOT NULL REFERENCES tasks (id) ON DELETE CASCADE,
    asked     BIGINT NOT NULL,
    asked_by  TEXT NOT NULL,
    cancelled BIGINT,
    PRIMARY KEY (place, id)
);
CREATE INDEX works_by_task ON works (task);

CREATE TABLE results (
    key       TEXT PRIMARY KEY,
    job       TEXT REFERENCES jobs (id) ON DELETE CASCADE,
    question  TEXT NOT NULL,
    name      TEXT NOT NULL,
    media     TEXT NOT NULL,
    bytes     BYTEA NOT NULL,
    made      BIGINT NOT NULL,
    until     BIGINT NOT NULL
);
CREATE INDEX results_by_until ON results (until);
CREATE INDEX results_by_job ON results (job);

CREATE TABLE workers (
    id        TEXT PRIMARY KEY,
    host      TEXT NOT NULL,
    pid       BIGINT NOT NULL,
    edition   TEXT NOT NULL,
    places    BIGINT NOT NULL,
    began     BIGINT NOT NULL,
    seen      BIGINT NOT NULL,
    beats     BIGINT NOT NULL
);

-- +goose Down
DROP TABLE workers;
DROP TABLE results;
DROP TABLE works;
DROP TABLE tasks;
