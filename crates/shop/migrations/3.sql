-- Steel parts. Their codes and those of items are one set. Lengths in m, mass in kg; sizes that a kind does not have are null.
-- diameter: the outer one, or that at the magnet; inner_diameter: of a washer's hole or a cup's cavity; height: along the axis.
CREATE TABLE part (
    code           TEXT PRIMARY KEY CHECK (code <> ''),
    name           TEXT NOT NULL,
    kind           TEXT NOT NULL CHECK (kind IN ('steel disc', 'steel washer', 'steel cup', 'cone tip', 'dome tip')),
    diameter       REAL NOT NULL,
    inner_diameter REAL,
    height         REAL NOT NULL,
    cavity_depth   REAL,
    floor_hole     REAL,
    end_diameter   REAL,
    steel          TEXT NOT NULL,
    tolerance      REAL NOT NULL,
    mass           REAL,
    stock          INTEGER CHECK (stock >= 0),
    link           TEXT,
    note           TEXT,
    -- Lower-case words that a search looks through.
    words          TEXT NOT NULL
) STRICT;

-- Price of one piece in 1/10000 of the currency unit.
CREATE TABLE part_price (
    code        TEXT NOT NULL REFERENCES part (code) ON DELETE CASCADE,
    from_pieces INTEGER NOT NULL CHECK (from_pieces >= 1),
    each        INTEGER NOT NULL CHECK (each >= 0),
    PRIMARY KEY (code, from_pieces)
) STRICT, WITHOUT ROWID;
