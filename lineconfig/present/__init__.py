"""Presenting: text, JSON and drawings from the same objects. No figure is computed here."""
