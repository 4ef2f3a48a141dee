"""Connecting: section choices become stations, stations a connection graph, paths become
layouts."""
