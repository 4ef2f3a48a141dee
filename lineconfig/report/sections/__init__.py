"""The sections of the report, each a function of the subject; what has nothing to say is left out.

Figures are those of the records that `--json` prints and of the rooms behind them.
"""
