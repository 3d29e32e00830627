"""The workshop taken where none is named: typical 5 mm board, a knife, A4 paper."""

from __future__ import annotations

PLAIN_WORKSHOP = """\
# Taken where no workshop file is named. Measure your own board: batches differ by several tenths.
format = 1
name = "plain workshop"
id = "plain"
paper = "A4"

[board]
thickness_mm = [5.0]
areal_density_g_m2 = 400.0   # typical light to middling board
areal_density_sd_pct = 8.0   # batches differ by 5-10 %
paper_g_m2 = 100.0

[[board.sheet]]
length_mm = 1000.0
width_mm = 700.0

[cutter]
kind = "knife"
kerf_mm = 0.0
engraves = false
to_paper = true
"""
