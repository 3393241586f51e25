"""A pattern in two pieces: what the program leaves of the sheet, held against the whole of the report. See README.md."""
SPLITS = {}
