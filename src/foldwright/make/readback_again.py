"""A plan set made again from its own design, workshop and stock files, and held against what it holds.

The card and the airframe are compared figure by figure, the drawn files byte by byte. Bytes are the same only
where the versions of the tool and of its libraries are; where they are not, a row says so and nothing fails.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from foldwright import __version__
from foldwright.base.finding import Finding, worst
from foldwright.design.load import load_design, load_stock, load_workshop
from foldwright.evaluate import evaluate
from foldwright.make.bundle import Bundle, Say, Texts, make_bundle
from foldwright.make.libraries import libraries
from foldwright.make.manifest import NAME as MANIFEST
from foldwright.make.manifest import made_by
from foldwright.make.readback_rows import Row, Table, some_of

CARD, AIRFRAME = "setup-card.json", "airframe.json"
_SOURCES = ("design.toml", "workshop.toml", "stock.toml")
_WHOLE = "the plan set"
# of lengths in mm, angles in degrees and masses in g of the airframe, which are written to 1e-6
_AIRFRAME = 1e-4
_MOST_KEYS = 3
_LONGEST = 60

Near = Callable[[float, float], bool]


def made_again(files: Mapping[str, bytes], say: Say = lambda _text: None) -> tuple[Row, ...]:
    """Rows of what a plan set's files hold against the same set made again; files by their path in it.

    say: told what is being made. No rows for a set without a manifest, which is a fault of its own.
    """
    table = Table()
    try:
        maker = made_by(files[MANIFEST])
    except (KeyError, ValueError):
        return ()
    if maker.version != __version__:
        table.note("R18", _WHOLE, f"version {__version__}", f"made by version {maker.version or 'unknown'}")
        return tuple(table.rows)
    bundle = _bundle(table, files, say)
    if bundle is None:
        return tuple(table.rows)
    ours = libraries()
    others = tuple(f"{k} {v}" for k, v in sorted(maker.libraries.items()) if ours.get(k, v) != v)
    return compared(bundle.files, files, others)


def compared(
    made: Mapping[str, bytes], files: Mapping[str, bytes], others: tuple[str, ...] = ()
) -> tuple[Row, ...]:
    """Rows of a plan set's files against the same set made again.

    others: names and versions of the libraries that the set was made with and that are not those at hand;
    with any, only the card's figures are compared, to one in their last place.
    """
    table = Table()
    _same_figures(table, CARD, made, files, _last_place if others else _equal)
    if others:
        table.note("R18", "drawn files", "the same libraries", f"made with {some_of(others)}")
    else:
        _same_figures(table, AIRFRAME, made, files, _close)
        _same_bytes(table, made, files)
    return tuple(table.rows)


def _bundle(table: Table, files: Mapping[str, bytes], say: Say) -> Bundle | None:
    """The plan set made again, or a row that says why there is none."""
    missing = [name for name in _SOURCES if name not in files]
    for name in missing:
        table.wrong("R17", name, "there, to make the plan set again", "missing")
    if missing:
        return None
    stock = load_stock(files["stock.toml"], "stock.toml")
    design = load_design(files["design.toml"], "design.toml", stock.value, drawings=files)
    workshop = load_workshop(files["workshop.toml"], "workshop.toml", stock.value)
    found = (*stock.findings, *design.findings, *workshop.findings)
    if stock.value is None or design.value is None or workshop.value is None:
        _refused(table, found)
        return None
    say("making the plan set again")
    result = evaluate(design.value, workshop.value, stock.value)
    if result.results is None:
        _refused(table, result.findings)
        return None
    texts = ["" if read.source is None else read.source.text for read in (design, workshop)]
    drawings = () if design.source is None else design.source.drawings
    bundle = make_bundle(result, Texts(texts[0], texts[1], found, drawings), say)
    if not bundle.files:
        _refused(table, bundle.evaluation.findings)
        return None
    return bundle


def _refused(table: Table, found: tuple[Finding, ...]) -> None:
    """A row for files that no plan set would be written from."""
    codes = sorted({one.code for one in found if one.verdict == worst(found)})
    table.wrong("R17", " and ".join(_SOURCES[:2]), "a design without a no-go", f"no-go {some_of(codes)}")


def _same_figures(
    table: Table, name: str, made: Mapping[str, bytes], files: Mapping[str, bytes], near: Near
) -> None:
    """One row for all figures and words of a JSON file. A file that cannot be read has its row already."""
    try:
        got = dict(_leaves(json.loads(files[name])))
    except (KeyError, ValueError, RecursionError):
        return
    want = dict(_leaves(json.loads(made[name])))
    wrong = [key for key in sorted({*want, *got}) if not _agree(want.get(key), got.get(key), near)]
    wrong += sorted(key for key in {*want} ^ {*got} if key not in wrong)
    if not wrong:
        table.same("R15", f"{name}: {len(want)} figures and words", "as made again", "as made again")
        return
    pairs = [f"{key} is {_shown(got, key)}, made again {_shown(want, key)}" for key in wrong]
    table.wrong("R15", name, "as made again", some_of(pairs, _MOST_KEYS, "; "))


def _shown(leaves: Mapping[str, Any], key: str) -> str:
    text = json.dumps(leaves[key], ensure_ascii=False) if key in leaves else "not there"
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"


def _leaves(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:  # noqa: ANN401 - whatever stands in a file
    """Every figure and word by its key path; empty lists and tables count as one."""
    if isinstance(value, dict) and value:
        for name, inner in value.items():
            yield from _leaves(inner, f"{key}.{name}" if key else str(name))
    elif isinstance(value, list) and value:
        for index, inner in enumerate(value):
            yield from _leaves(inner, f"{key}[{index}]")
    else:
        yield key, value


def _agree(want: Any, got: Any, near: Near) -> bool:  # noqa: ANN401 - whatever stands in a file
    plain = [isinstance(value, int | float) and not isinstance(value, bool) for value in (want, got)]
    return near(float(want), float(got)) if all(plain) else bool(want == got and type(want) is type(got))


def _equal(want: float, got: float) -> bool:
    return want == got


def _close(want: float, got: float) -> bool:
    return abs(want - got) <= _AIRFRAME


def _last_place(want: float, got: float) -> bool:
    """Apart by no more than one in the last of the places that the first is written with."""
    places = len(f"{want:.9g}".partition(".")[2])
    return abs(want - got) <= 1.001 * 10.0**-places


def _same_bytes(table: Table, made: Mapping[str, bytes], files: Mapping[str, bytes]) -> None:
    """One row for all files but those compared by their figures. Files that are missing have theirs."""
    names = [name for name in sorted(made) if name not in {CARD, AIRFRAME}]
    missing = [name for name in names if name not in files]
    wrong = [name for name in names if name in files and files[name] != made[name]]
    if missing:
        table.wrong("R17", some_of(missing), "in the plan set", "missing")
    if wrong:
        table.wrong(
            "R16", some_of(wrong), "the same bytes as drawn again", f"{len(wrong)} of {len(names)} differ"
        )
    else:
        table.same("R16", f"{len(names)} drawn files and data", "as made again", "as made again")
