-- Certificates of lots. A change of them is a change of the shelf, so the kinds of revision grow by one.
CREATE TABLE revision_with_lots (
    number INTEGER PRIMARY KEY,
    kind   TEXT NOT NULL CHECK (kind IN ('fill', 'import', 'undo', 'grades', 'lots')),
    label  TEXT NOT NULL,
    -- The revision of the undo that took this change back.
    undone INTEGER REFERENCES revision (number)
) STRICT;
INSERT INTO revision_with_lots (number, kind, label, undone) SELECT number, kind, label, undone FROM revision;
DROP TABLE revision;
ALTER TABLE revision_with_lots RENAME TO revision;

-- Remanence in T and intrinsic coercivity in A/m, both at 20 °C. The code is that of an item, which may leave the shelf and come back.
CREATE TABLE lot (
    code   TEXT NOT NULL,
    lot    TEXT NOT NULL CHECK (lot <> ''),
    br     REAL NOT NULL,
    hcj    REAL,
    note   TEXT NOT NULL,
    in_use INTEGER NOT NULL CHECK (in_use IN (0, 1)),
    PRIMARY KEY (code, lot)
) STRICT, WITHOUT ROWID;

-- An item is reckoned with one lot at most.
CREATE UNIQUE INDEX lot_in_use ON lot (code) WHERE in_use = 1;
