"""Whether the words on a part say what is so: which face lies up, how far a fold is turned."""

from __future__ import annotations

import re

from foldwright.geometry.fold.model import Blank
from foldwright.make.fold_table import fold_words
from foldwright.make.readback_rows import Table
from foldwright.make.readback_sheet import ReadPart

_FACE_UP = re.compile(r", face ([AB]) up$")


def check_words(table: Table, part: ReadPart, record: Blank, where: str) -> None:
    """The face named on the part against the side it is drawn on; method and degrees beside each fold."""
    for said in part.words:
        if up := _FACE_UP.search(said.words):
            table.same("R06", f"{where}: face that lies up", said.face.upper(), up.group(1))
    folds = {fold.name: fold_words(fold) for fold in record.folds}
    for said in part.words:
        name = said.words.split(",")[0].strip()
        if name in folds and said.words not in folds[name]:
            table.same("R04", f"{where}: words beside fold {name}", folds[name][0], said.words)
