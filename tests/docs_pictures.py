"""`docs/pictures/`, drawn by the tool itself from the demo design (`make docs`)."""

from __future__ import annotations

from pathlib import Path

import pypdfium2

from foldwright.make.bundle import Texts, make_bundle
from foldwright.make.views import picture_svg
from tests.world import EXAMPLES, evaluated

PICTURES = Path(__file__).resolve().parents[1] / "docs" / "pictures"


def write() -> None:
    """Three-quarter view as SVG; first sheet and setup card as PNG of their PDF pages."""
    PICTURES.mkdir(exist_ok=True)
    result = evaluated("school-laser")
    if result.results is None:
        raise ValueError("the demo has no results")
    picture = picture_svg(result.results.airframe, "three-quarter", 180.0)
    (PICTURES / "three-quarter.svg").write_bytes(picture)
    names = ("marram.toml", "workshops/school-laser.toml")
    design, bench = ((EXAMPLES / name).read_text(encoding="utf-8") for name in names)
    bundle = make_bundle(result, Texts(design, bench))
    for name, scale in (("setup-card.pdf", 1.5), ("sheet-1.pdf", 0.6)):
        page = pypdfium2.PdfDocument(bundle.files[name])[0]
        page.render(scale=scale).to_pil().convert("P").save(
            PICTURES / f"{Path(name).stem}.png", optimize=True
        )


if __name__ == "__main__":
    write()
