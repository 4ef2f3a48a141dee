"""The client's document: one study as sections of words, tables and pictures, then HTML or PDF.

    study, answer -> subject -> sections -> report -> HTML -> PDF

`gather` collects a `Report` (`document`) from the figures that the other rooms have worked out;
every heading and word of its own stands in `en.yaml`. The template lays out what it is given and
works out nothing.
"""
