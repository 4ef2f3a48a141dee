"""Findings: what follows from a layout's figures for the people at it and for the product.

Each module puts one layout to pure formulas of `assess`. Nothing here clears a layout.
"""
