"""Schedules: in which order many formats run, how long each, and whether the hours suffice."""
