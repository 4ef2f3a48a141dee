"""Turns a client's brief for a beverage canning line into ranked, explained layouts."""

__version__ = "0.1.0"
