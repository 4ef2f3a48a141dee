"""Drawings of one layout: plan and elevation as SVG, as DXF, and in the terminal.

A drawing begins with figures in real millimetres (`plan_figure`, `elevation`), is set out on paper
with its dimensions, numbers and lists (`sheet`), and is then written down (`svg`, `dxf`,
`terminal`). Symbols and colours are the project's own.
"""
