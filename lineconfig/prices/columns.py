"""Columns of a price sheet, by their names: what is written and what is read back."""

from __future__ import annotations

ID, FIELD, NAME, FUNCTION, WHAT, UNIT = "id", "field", "name", "function", "for what", "unit"
WAS_LOW, WAS_TYPICAL, WAS_HIGH = "catalogue low", "catalogue typical", "catalogue high"
WAS_BASIS = "catalogue basis"
LOW, TYPICAL, HIGH = "low", "typical", "high"
BASIS, VALID_UNTIL = "basis", "valid until"

FIXED = (ID, FIELD, NAME, FUNCTION, WHAT, UNIT, WAS_LOW, WAS_TYPICAL, WAS_HIGH, WAS_BASIS)
"""What the catalogue says: not to be changed."""
AMOUNTS = (LOW, TYPICAL, HIGH)
FILLED = (*AMOUNTS, BASIS, VALID_UNTIL)
"""What is filled in; an empty cell leaves things as they are."""
COLUMNS = (*FIXED, *FILLED)
NEEDED = (ID, FIELD)
"""A row that names these is the row of column names."""

SHEET = "Prices"
WORKBOOKS = (".xlsx", ".xlsm")
TEXTS = (".csv", ".tsv", ".txt")
