-- 0x4C445753: tells a shop apart from other databases.
PRAGMA application_id = 1279547219;

CREATE TABLE setting (
    key   TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- One row a change of the shelf or of the shop's grades; the newest number is the revision.
CREATE TABLE revision (
    number INTEGER PRIMARY KEY,
    kind   TEXT NOT NULL CHECK (kind IN ('fill', 'import', 'undo', 'grades')),
    label  TEXT NOT NULL,
    -- The revision of the undo that took this change back.
    undone INTEGER REFERENCES revision (number)
) STRICT;

-- Lengths in m, mass in kg. Sizes that a shape does not have are null.
CREATE TABLE item (
    code           TEXT PRIMARY KEY CHECK (code <> ''),
    name           TEXT NOT NULL,
    shape          TEXT NOT NULL CHECK (shape IN ('disc', 'ring', 'block', 'sphere')),
    diameter       REAL,
    inner_diameter REAL,
    length         REAL,
    width          REAL,
    thickness      REAL,
    magnetised     TEXT NOT NULL CHECK (magnetised IN ('thickness', 'width', 'length')),
    grade          TEXT NOT NULL,
    coating        TEXT NOT NULL,
    tolerance      REAL NOT NULL,
    mass           REAL,
    stock          INTEGER CHECK (stock >= 0),
    link           TEXT,
    note           TEXT,
    -- Lower-case words that a search looks through.
    words          TEXT NOT NULL
) STRICT;

-- Price of one piece in 1/10000 of the currency unit.
CREATE TABLE price (
    code        TEXT NOT NULL REFERENCES item (code) ON DELETE CASCADE,
    from_pieces INTEGER NOT NULL CHECK (from_pieces >= 1),
    each        INTEGER NOT NULL CHECK (each >= 0),
    PRIMARY KEY (code, from_pieces)
) STRICT, WITHOUT ROWID;

-- What an item was before a revision changed it; null where it was not on the shelf.
CREATE TABLE journal (
    revision INTEGER NOT NULL REFERENCES revision (number),
    code     TEXT NOT NULL,
    before   TEXT,
    PRIMARY KEY (revision, code)
) STRICT, WITHOUT ROWID;

CREATE TABLE grade (
    name TEXT PRIMARY KEY,
    row  TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- asked_at in seconds since 1970-01-01 UTC.
CREATE TABLE desk (
    id       TEXT PRIMARY KEY,
    asked_at INTEGER NOT NULL,
    words    TEXT NOT NULL,
    lead     TEXT NOT NULL,
    pieces   INTEGER NOT NULL,
    revision INTEGER NOT NULL,
    version  TEXT NOT NULL,
    answer   TEXT NOT NULL,
    deleted  INTEGER NOT NULL DEFAULT 0 CHECK (deleted IN (0, 1))
) STRICT;

CREATE INDEX desk_newest ON desk (deleted, asked_at DESC);
