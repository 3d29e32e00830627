"""Where each blank lies on its sheet, as a TOML file, format 1.

To find a point of a blank on its board: mirror it (v changes sign) where face b is up, turn it
counter-clockwise by turn_deg about the blank's origin, then move it by x_mm and y_mm. A sheet's file begins
at from_x_mm and from_y_mm of its board. The file of the side underneath is the sheet turned over about its
upper long edge.
"""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.model import Face
from foldwright.layout.from_airframe import Laid
from foldwright.layout.model import turned
from foldwright.make.sheet_sums import Sums
from foldwright.make.sheets import Sheet, Sheets, lengths

FORMAT = 1


@dataclass(frozen=True, slots=True)
class Spot:
    """A blank on a sheet."""

    name: str
    copy: int
    up: Face
    x: float
    y: float
    turn_deg: int

    def to_blank(self, points: FloatArray) -> FloatArray:
        """Points (n, 2) of the board in the blank's frame."""
        flat = turned(points - np.array([self.x, self.y]), -self.turn_deg % 360)
        return flat if self.up == "a" else flat * np.array([1.0, -1.0])


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A sheet as the file lists it."""

    name: str
    from_x: float
    from_y: float
    width: float
    height: float
    both: bool
    spots: tuple[Spot, ...]


def layout_toml(laid: Laid, sheets: Sheets, workshop: Workshop, total: Sums) -> bytes:
    """The file's bytes."""
    cutter = workshop.cutter
    lines = [
        "# Where each blank lies; written with the sheets, not to be edited.",
        f"format = {FORMAT}",
        f"kits = {laid.kits}",
        f"boards = {total.boards}",
        f"used_share = {total.used_share:.4f}",
        f"cut_mm = {total.cut_mm:.1f}",
        f"to_paper_mm = {total.to_paper_mm:.1f}",
        f"crush_mm = {total.crush_mm:.1f}",
        f"cutter_minutes = {total.minutes:.1f}",
        *([] if total.cost is None else [f"board_cost = {total.cost:.2f}"]),
        f"spacing_mm = {laid.layout.spacing_mm - cutter.kerf_mm:.4f}",
        f"kerf_mm = {cutter.kerf_mm:.4f}",
    ]
    for sheet in sheets.sheets:
        lines += _sheet(sheet, laid)
    return ("\n".join(lines) + "\n").encode()


def _sheet(sheet: Sheet, laid: Laid) -> list[str]:
    piece, length = sheet.piece, lengths(sheet)
    lines = [
        "",
        "[[sheet]]",
        f"name = {_word(sheet.name)}",
        f"board = {piece.board}",
        f"stock = {_word(piece.stock)}",
        f"from_x_mm = {piece.x0:.4f}",
        f"from_y_mm = {piece.y0:.4f}",
        f"width_mm = {piece.width:.4f}",
        f"height_mm = {piece.height:.4f}",
        f"turned_over = {'true' if sheet.down else 'false'}",
        f"cut_mm = {length.get('cut', 0.0):.1f}",
        f"to_paper_mm = {length.get('to_paper', 0.0):.1f}",
    ]
    for spot in piece.placements:
        lying = laid.of(spot.part)
        lines += [
            "",
            "[[sheet.blank]]",
            f"name = {_word(spot.part)}",
            f"copy = {spot.copy}",
            f"face_up = {_word(lying.up)}",
            f"x_mm = {spot.x_mm:.4f}",
            f"y_mm = {spot.y_mm:.4f}",
            f"turn_deg = {(spot.turn_deg + lying.pre_turn) % 360}",
        ]
    return lines


def _word(text: str) -> str:
    """A TOML basic string; JSON's escapes are among TOML's."""
    return json.dumps(text, ensure_ascii=False)


def read_layout(data: bytes) -> tuple[SheetRow, ...]:
    """Sheets and spots of the file. Raises ValueError, KeyError or TypeError if it is damaged."""
    table = tomllib.loads(data.decode("utf-8"))
    if table["format"] != FORMAT:
        raise ValueError(f"format {table['format']}")
    return tuple(
        SheetRow(
            str(row["name"]), float(row["from_x_mm"]), float(row["from_y_mm"]), float(row["width_mm"]),
            float(row["height_mm"]), bool(row["turned_over"]),
            tuple(
                Spot(
                    str(b["name"]), int(b["copy"]), "a" if b["face_up"] == "a" else "b",
                    float(b["x_mm"]), float(b["y_mm"]), int(b["turn_deg"]),
                )
                for b in row["blank"]
            ),
        )
        for row in table["sheet"]
    )  # fmt: skip
