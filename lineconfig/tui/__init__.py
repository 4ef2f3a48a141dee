"""The terminal UI: the questionnaire, the workbench, and one layout in full.

It holds no knowledge of the trade: it edits a brief's text, puts it to `Study` and shows what comes
back. Only this package imports Textual.
"""
