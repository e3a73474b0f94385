-- Answers are packed from now on, since their text takes many times the room; those kept before stay as they are. Where `packed`
-- is there, `answer` is empty.
ALTER TABLE desk ADD COLUMN packed BLOB;

-- Whether a customer asked by themselves on the public side.
ALTER TABLE entry ADD COLUMN by_themselves INTEGER NOT NULL DEFAULT 0 CHECK (by_themselves IN (0, 1));

-- Words of deleted entries leave the index for good.
INSERT INTO entry_words (entry_words, rank) VALUES ('secure-delete', 1);
