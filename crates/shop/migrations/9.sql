-- The bench: probes, sessions of readings, and what was kept of them. Times in seconds since 1970-01-01 UTC; ids are made by
-- whoever adds a row, so that adding it again adds nothing. What is taken away stays and can be brought back.
CREATE TABLE probe (
    id      TEXT PRIMARY KEY CHECK (id <> ''),
    -- What is known of it, as JSON.
    probe   TEXT NOT NULL,
    -- Whether it is the one that the shop usually reads with.
    usual   INTEGER NOT NULL DEFAULT 0 CHECK (usual IN (0, 1)),
    made_at INTEGER NOT NULL,
    deleted INTEGER NOT NULL DEFAULT 0 CHECK (deleted IN (0, 1))
) STRICT;

CREATE UNIQUE INDEX probe_usual ON probe (usual) WHERE usual = 1;

-- One lot of one magnet with one probe.
CREATE TABLE bench_session (
    id       TEXT PRIMARY KEY CHECK (id <> ''),
    probe    TEXT NOT NULL REFERENCES probe (id),
    -- The item of the shelf that it was, if it was one; the shelf may have changed since.
    code     TEXT,
    lot      TEXT NOT NULL,
    -- Sizes, grade and coating as they were then, as JSON.
    magnet   TEXT NOT NULL,
    begun_at INTEGER NOT NULL,
    deleted  INTEGER NOT NULL DEFAULT 0 CHECK (deleted IN (0, 1))
) STRICT;

CREATE INDEX bench_session_newest ON bench_session (deleted, begun_at DESC);

-- value in T, N or A m²; lengths in m; temperature in K.
CREATE TABLE bench_reading (
    id          TEXT PRIMARY KEY CHECK (id <> ''),
    session     TEXT NOT NULL REFERENCES bench_session (id),
    -- The order in which they came.
    number      INTEGER NOT NULL,
    taken_at    INTEGER NOT NULL,
    kind        TEXT NOT NULL CHECK (kind IN ('flux_density', 'pull', 'moment')),
    value       REAL NOT NULL,
    -- The unit that it was given in.
    unit        TEXT NOT NULL,
    pieces      INTEGER NOT NULL CHECK (pieces >= 1),
    spacer      REAL NOT NULL,
    along       REAL NOT NULL,
    across      REAL NOT NULL,
    pole        TEXT CHECK (pole IN ('north', 'south')),
    temperature REAL NOT NULL,
    note        TEXT NOT NULL,
    standing    TEXT NOT NULL CHECK (standing IN ('judged', 'counted', 'left_out')),
    taken_back  INTEGER NOT NULL DEFAULT 0 CHECK (taken_back IN (0, 1)),
    UNIQUE (session, number)
) STRICT;

-- A value of a probe, or of a lot of a magnet, that was found in a session and is used from then on; in SI.
CREATE TABLE bench_result (
    id        TEXT PRIMARY KEY CHECK (id <> ''),
    session   TEXT NOT NULL REFERENCES bench_session (id),
    -- The probe it is of, or the magnet and lot.
    probe     TEXT REFERENCES probe (id),
    magnet    TEXT,
    lot       TEXT,
    parameter TEXT NOT NULL CHECK (parameter IN ('depth', 'gain', 'fall_off', 'scale', 'thickness')),
    value     REAL NOT NULL,
    standard  REAL NOT NULL CHECK (standard > 0),
    -- Readings that it rests on.
    readings  INTEGER NOT NULL,
    kept_at   INTEGER NOT NULL,
    removed   INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),
    CHECK ((probe IS NULL) <> (magnet IS NULL) AND (magnet IS NULL) = (lot IS NULL))
) STRICT;
