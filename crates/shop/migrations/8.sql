-- The day's work: an entry for every enquiry that was kept, answered or not, in the customer's own words. Times in seconds since
-- 1970-01-01 UTC, days as 2026-05-21.
CREATE TABLE entry (
    number    INTEGER PRIMARY KEY,
    id        TEXT NOT NULL UNIQUE,
    made_at   INTEGER NOT NULL,
    kind      TEXT NOT NULL CHECK (kind IN ('choose', 'tell', 'compare', 'explain', 'refuse')),
    -- The customer's own words, and what they were read as.
    message   TEXT NOT NULL,
    read_as   TEXT NOT NULL,
    -- The first sentence of the answer, and the answer on the desk where there is one.
    lead      TEXT NOT NULL,
    answer    TEXT REFERENCES desk (id),
    -- What the shelf lacked; null where something surely did.
    missed    TEXT,
    pieces    INTEGER NOT NULL,
    customer  TEXT NOT NULL DEFAULT '',
    note      TEXT NOT NULL DEFAULT '',
    status    TEXT NOT NULL DEFAULT 'open' CHECK (status IN ('open', 'sent', 'ordered', 'returned')),
    follow_up TEXT,
    star      INTEGER NOT NULL DEFAULT 0 CHECK (star IN (0, 1)),
    -- What went out.
    sent      TEXT,
    sent_at   INTEGER,
    deleted   INTEGER NOT NULL DEFAULT 0 CHECK (deleted IN (0, 1))
) STRICT;

CREATE INDEX entry_newest ON entry (deleted, made_at DESC);
CREATE INDEX entry_due ON entry (follow_up) WHERE follow_up IS NOT NULL;
CREATE INDEX entry_missed ON entry (missed, made_at) WHERE missed IS NOT NULL;
CREATE INDEX entry_answer ON entry (answer);

-- What a search looks through.
CREATE VIRTUAL TABLE entry_words USING fts5 (customer, message, read_as, lead, note, content = 'entry', content_rowid = 'number',
                                             tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3');
CREATE TRIGGER entry_added AFTER INSERT ON entry BEGIN
    INSERT INTO entry_words (rowid, customer, message, read_as, lead, note)
    VALUES (new.number, new.customer, new.message, new.read_as, new.lead, new.note);
END;
CREATE TRIGGER entry_gone AFTER DELETE ON entry BEGIN
    INSERT INTO entry_words (entry_words, rowid, customer, message, read_as, lead, note)
    VALUES ('delete', old.number, old.customer, old.message, old.read_as, old.lead, old.note);
END;
CREATE TRIGGER entry_changed AFTER UPDATE OF customer, message, read_as, lead, note ON entry BEGIN
    INSERT INTO entry_words (entry_words, rowid, customer, message, read_as, lead, note)
    VALUES ('delete', old.number, old.customer, old.message, old.read_as, old.lead, old.note);
    INSERT INTO entry_words (rowid, customer, message, read_as, lead, note)
    VALUES (new.number, new.customer, new.message, new.read_as, new.lead, new.note);
END;

-- Every answer so far becomes an entry, so that none is lost from the desk.
INSERT INTO entry (id, made_at, kind, message, read_as, lead, answer, pieces, deleted)
SELECT id, asked_at, 'choose', '', words, lead, id, pieces, deleted FROM desk;
