-- Which file this is, and how far it has come: what lies in the file itself is compared with what the log beside it says, so that a
-- file that another program has written over is known. A copy has a token of its own.
CREATE TABLE life (
    id       INTEGER PRIMARY KEY CHECK (id = 1),
    token    BLOB NOT NULL,
    revision INTEGER NOT NULL,
    -- Those of what another program had written over the file, until what was made of that is in the file.
    over_token    BLOB,
    over_revision INTEGER
) STRICT;
INSERT INTO life (id, token, revision) SELECT 1, randomblob(16), coalesce(max(number), 0) FROM revision;
CREATE TRIGGER life_goes_on AFTER INSERT ON revision BEGIN
    UPDATE life SET revision = NEW.number;
END;

-- What the shop's own grades were before a revision changed them, as a JSON list.
CREATE TABLE grade_journal (
    revision INTEGER PRIMARY KEY REFERENCES revision (number),
    before   TEXT NOT NULL CHECK (json_valid(before))
) STRICT;

-- Of which item a revision changed the lots, and what they were before.
CREATE TABLE lot_journal (
    revision INTEGER PRIMARY KEY REFERENCES revision (number),
    code     TEXT NOT NULL
) STRICT;
CREATE TABLE lot_before (
    revision INTEGER NOT NULL REFERENCES lot_journal (revision),
    lot      TEXT NOT NULL,
    br       REAL NOT NULL,
    hcj      REAL,
    note     TEXT NOT NULL,
    magnet   TEXT NOT NULL,
    in_use   INTEGER NOT NULL,
    PRIMARY KEY (revision, lot)
) STRICT, WITHOUT ROWID;
