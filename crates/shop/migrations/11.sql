-- Lots that were inspected at the bench: with which plan, and how many bad pieces were found. One row a session; what is taken
-- away stays and is replaced when the lot is noted again.
CREATE TABLE bench_inspection (
    session  TEXT PRIMARY KEY REFERENCES bench_session (id),
    lot_size INTEGER NOT NULL CHECK (lot_size >= 2),
    level    TEXT NOT NULL,
    -- Per cent nonconforming.
    aql      REAL NOT NULL CHECK (aql > 0),
    severity TEXT NOT NULL CHECK (severity IN ('normal', 'tightened', 'reduced')),
    bad      INTEGER NOT NULL CHECK (bad >= 0),
    noted_at INTEGER NOT NULL,
    removed  INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1))
) STRICT;
