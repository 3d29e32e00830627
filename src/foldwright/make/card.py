"""The setup card: one page for the field, as PDF and as data."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from foldwright.evaluate import Evaluation, Results
from foldwright.make.card_data import card
from foldwright.make.card_picture import balance_picture, side_picture
from foldwright.make.card_words import sheet_words
from foldwright.make.drawing import Drawing
from foldwright.make.formats.pdf import TYPST_DRAWING, page_data
from foldwright.make.formats.typeface import FAMILY, printable, typst_fonts
from foldwright.make.views import Paper, page_size

PICTURES_MM = 116.0
SIDE_SHARE = 0.19
TEMPLATE = "card.typ"


def card_json(evaluation: Evaluation) -> bytes:
    """`setup-card.json`: keys sorted, no number that is none. Raises ValueError without results."""
    text = json.dumps(card(evaluation), indent=2, sort_keys=True, allow_nan=False, ensure_ascii=False)
    return f"{text}\n".encode()


def card_pdf(evaluation: Evaluation) -> bytes:
    """`setup-card.pdf`: one page of the workshop's paper (A4 for A3). Raises ValueError without results."""
    import typst

    source = TYPST_DRAWING + files("foldwright.make").joinpath(TEMPLATE).read_bytes()
    data = json.dumps(page(evaluation), ensure_ascii=True, sort_keys=True, allow_nan=False)
    return typst.compile(
        source,
        font_paths=typst_fonts(),
        ignore_system_fonts=True,
        pdf_standards=["ua-1"],
        sys_inputs={"data": data},
    )


def page(evaluation: Evaluation) -> dict[str, Any]:
    """What the template draws: words and pictures in characters that the typeface holds."""
    content, results = card(evaluation), evaluation.results
    if results is None:
        raise ValueError("a setup card needs complete results")
    width, height = page_size(_paper(evaluation))
    words = {key: _printable(value) for key, value in sheet_words(content).items()}
    title = str(words["title"]).strip() or "Setup card"
    return words | {
        "document": f"{title}, setup card",
        "family": FAMILY,
        "width": width,
        "height": height,
        "pictures": [page_data(drawing) for drawing in _pictures(results, content, height)],
    }


def _pictures(results: Results, content: dict[str, Any], height_mm: float) -> tuple[Drawing, ...]:
    return (
        balance_picture(results, content, PICTURES_MM),
        side_picture(results, content, PICTURES_MM, SIDE_SHARE * height_mm),
    )


def _paper(evaluation: Evaluation) -> Paper:
    return "Letter" if evaluation.workshop.paper == "Letter" else "A4"


def _printable(value: object) -> object:
    """All texts of nested lists and tables in characters that the typeface holds."""
    if isinstance(value, str):
        return printable(value).text
    if isinstance(value, list):
        return [_printable(each) for each in value]
    if isinstance(value, dict):
        return {key: _printable(each) for key, each in value.items()}
    return value
