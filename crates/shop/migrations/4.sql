-- What makes an item the magnet that it is: another shape, size, direction or grade is another magnet.
CREATE VIEW magnet AS
SELECT code,
       concat_ws('|', shape, ifnull(diameter, ''), ifnull(inner_diameter, ''), ifnull(length, ''), ifnull(width, ''),
                 ifnull(thickness, ''), magnetised, grade) AS identity
FROM item;

-- A certificate belongs to the magnet that it was entered for, not to whatever carries its code later. Those of items that
-- are not on the shelf belong to none that can be known.
ALTER TABLE lot ADD COLUMN magnet TEXT NOT NULL DEFAULT '';
UPDATE lot SET magnet = ifnull((SELECT identity FROM magnet WHERE magnet.code = lot.code), '');
