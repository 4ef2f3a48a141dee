"""Prices as a sheet: written out for a consultant to fill in, and read back as an overlay."""
