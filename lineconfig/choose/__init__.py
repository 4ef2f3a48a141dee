"""Choosing: which equipment classes may serve each function, and which of them go together."""
