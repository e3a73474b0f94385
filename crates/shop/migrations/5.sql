-- Settings, restored backups and changes done again are changes too; which kinds there are is the program's own list.
CREATE TABLE revision_of_any_kind (
    number INTEGER PRIMARY KEY,
    kind   TEXT NOT NULL CHECK (kind <> ''),
    label  TEXT NOT NULL,
    -- The revision of the undo that took this change back.
    undone INTEGER REFERENCES revision (number)
) STRICT;
INSERT INTO revision_of_any_kind (number, kind, label, undone) SELECT number, kind, label, undone FROM revision;
DROP TABLE revision;
ALTER TABLE revision_of_any_kind RENAME TO revision;

-- What the settings were before a revision changed them; null where none had been made.
CREATE TABLE setting_journal (
    revision INTEGER PRIMARY KEY REFERENCES revision (number),
    before   TEXT
) STRICT;
