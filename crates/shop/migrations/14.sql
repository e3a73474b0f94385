-- What a pull tester pulled from, as JSON: thickness, across and paint in m, and the steel. NULL is a thick, wide and bare plate of
-- mild steel.
ALTER TABLE bench_reading ADD COLUMN plate TEXT CHECK (plate IS NULL OR json_valid(plate));
