-- Form 1 of the record. Rows are only ever added; the triggers refuse everything else.
CREATE TABLE entry (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uid TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL CHECK (kind IN ('application', 'observation', 'seeding', 'withdrawal')),
    day TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    lawn TEXT NOT NULL,
    recorded_on TEXT NOT NULL,
    corrects INTEGER UNIQUE REFERENCES entry (id) CHECK (corrects < id),
    about INTEGER REFERENCES entry (id) CHECK (about < id),
    why TEXT,
    -- Actives and their pounds per acre, `id=0.75 id=`, so that limits need not read every body.
    uses TEXT NOT NULL,
    suspected INTEGER NOT NULL CHECK (suspected IN (0, 1)),
    body TEXT NOT NULL,
    checksum INTEGER NOT NULL
) STRICT;

CREATE INDEX entry_by_day ON entry (day, lawn);
CREATE INDEX entry_suspected ON entry (lawn) WHERE suspected = 1;
CREATE INDEX entry_seeded ON entry (day, lawn) WHERE kind = 'seeding';
CREATE INDEX entry_uses ON entry (day, lawn, uses) WHERE uses <> '';

CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'a record is never overwritten'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'a record is never deleted'); END;
