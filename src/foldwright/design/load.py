"""Read a design, workshop or stock file: a model and findings, never an exception for what a user wrote.

Every mistake of a file is found in one run; only a fault of syntax (and what stands before it: size,
encoding, nesting, format) hides the rest, since nothing behind it can be read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, TypeVar, cast

from pydantic import BaseModel, ValidationError

from foldwright.base.finding import Finding, severity, worst
from foldwright.base.messages import words
from foldwright.design.drawing import MOST_BYTES as MOST_DRAWING_BYTES
from foldwright.design.drawing import Fetch, with_drawings
from foldwright.design.formats import MIGRATIONS, NEWEST, bring_forward
from foldwright.design.mistakes import from_validation
from foldwright.design.reading import MOST_BYTES, Source, decode, digest, parse, read_bytes
from foldwright.design.schema import Kind, model_of
from foldwright.design.sense import senses
from foldwright.design.words import shorten

if TYPE_CHECKING:
    from foldwright.design.model import Design
    from foldwright.design.stock import Stock
    from foldwright.design.workshop import Workshop

T = TypeVar("T")
MOST_FINDINGS = 200


@dataclass(frozen=True, slots=True)
class Loaded(Generic[T]):
    """What came of reading: the value where the file can be used, and the findings either way.

    value: None exactly where a finding is a no-go. findings: in the order of the file's keys as the models
    list them, then the checks between keys. source: text and digest for saving; None where unread.
    """

    value: T | None
    findings: tuple[Finding, ...]
    source: Source | None = None


def _tuples(value: Any) -> Any:
    """Raw data with lists as tuples, which strict models ask for. Nesting has been limited before."""
    if isinstance(value, dict):
        return {key: _tuples(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return tuple(_tuples(inner) for inner in value)
    return value


def _within(findings: list[Finding], file: str) -> tuple[Finding, ...]:
    """The first `MOST_FINDINGS`, and one that says that there are more."""
    if len(findings) <= MOST_FINDINGS:
        return tuple(findings)
    more = Finding("F34", worst(findings), file, {"file": file, "count": MOST_FINDINGS})
    return (*findings[:MOST_FINDINGS], more)


def _no_drawings(_name: str) -> str:
    return "the design is not read from a folder"


def _beside(folder: Path) -> Fetch:
    """Drawings from the folder that the design file is in."""

    def fetch(name: str) -> bytes | str:
        data = read_bytes(folder / name, name, MOST_DRAWING_BYTES)
        return data if isinstance(data, bytes) else words(data).got

    return fetch


def _held(drawings: Mapping[str, bytes]) -> Fetch:
    """Drawings already in memory."""

    def fetch(name: str) -> bytes | str:
        return drawings.get(name, "nothing at that place")

    return fetch


def _read(
    data: bytes, kind: Kind, name: str, stock: Stock | None, fetch: Fetch = _no_drawings
) -> Loaded[BaseModel]:
    file = shorten(name, 200)
    if len(data) > MOST_BYTES:
        return Loaded(
            None, (Finding("F04", "no-go", file, {"file": file, "size": len(data), "most": MOST_BYTES}),)
        )
    text = decode(data, name)
    if isinstance(text, Finding):
        return Loaded(None, (text,))
    source = Source(name, text, digest(data))
    table = parse(text, name)
    if not isinstance(table, Finding):
        table = bring_forward(table, file, NEWEST[kind], MIGRATIONS[kind])
    if isinstance(table, Finding):
        return Loaded(None, (table,), source)
    value, found = None, list[Finding]()
    if kind == "design":
        taken = with_drawings(table, fetch)
        table, source = taken.table, replace(source, drawings=taken.files)
        found.extend(taken.findings)
    raw = _tuples(table)
    try:
        value = model_of(kind).model_validate(raw, strict=True)
    except ValidationError as error:
        found.extend(from_validation(error, kind, file, raw, MOST_FINDINGS + 1))
    found.extend(islice(senses(kind, file, raw, stock), MOST_FINDINGS + 1))
    usable = severity(worst(found)) < severity("no-go")
    return Loaded(value if usable else None, _within(found, file), source)


def _load(
    source: Path | str | bytes,
    kind: Kind,
    name: str,
    stock: Stock | None,
    drawings: Mapping[str, bytes] | None = None,
) -> Loaded[BaseModel]:
    fetch = _no_drawings if drawings is None else _held(drawings)
    if isinstance(source, bytes):
        return _read(source, kind, name or f"{kind} file", stock, fetch)
    label = name or str(source)
    data = read_bytes(Path(source), label)
    if isinstance(data, Finding):
        return Loaded(None, (data,))
    return _read(data, kind, label, stock, _beside(Path(source).parent) if drawings is None else fetch)


def load_design(
    source: Path | str | bytes,
    name: str = "",
    stock: Stock | None = None,
    drawings: Mapping[str, bytes] | None = None,
) -> Loaded[Design]:
    """Read a design file.

    source: a path, or the bytes of a file. name: what findings call it; the path where left out.
    stock: where given, the ids that the design takes from it are checked in the same run. drawings: those
    that the design may name, by file name; left out, they are read from the folder of the design file.
    """
    return cast("Loaded[Design]", _load(source, "design", name, stock, drawings))


def load_workshop(source: Path | str | bytes, name: str = "", stock: Stock | None = None) -> Loaded[Workshop]:
    """Read a workshop file; parameters as in `load_design`."""
    return cast("Loaded[Workshop]", _load(source, "workshop", name, stock))


def load_text(
    text: str,
    kind: Kind,
    name: str = "",
    stock: Stock | None = None,
    drawings: Mapping[str, bytes] | None = None,
) -> Loaded[BaseModel]:
    """Read a text already in memory as a design, workshop or stock file; drawings as in `load_design`."""
    return _load(text.encode("utf-8", "surrogatepass"), kind, name, stock, drawings)


@cache
def built_in_stock() -> Stock:
    """The entries that come with the program. Raises ValueError if its own file has a fault."""
    data = files("foldwright.design").joinpath("data/stock.toml").read_bytes()
    loaded = cast("Loaded[Stock]", _read(data, "stock", "stock.toml", None))
    if loaded.value is None:
        raise ValueError(f"the built-in stock has faults: {loaded.findings}")
    return loaded.value


def load_stock(source: Path | str | bytes | None = None, name: str = "") -> Loaded[Stock]:
    """The built-in stock, and a user's own file over it: an entry of theirs replaces ours of the same id.

    Two entries with one id in one file are a finding. The merged entries are sorted by id.
    """
    base = built_in_stock()
    if source is None:
        return Loaded(base, ())
    own = cast("Loaded[Stock]", _load(source, "stock", name, None))
    if own.value is None:
        return own
    return Loaded(base.merged(own.value), own.findings, own.source)


@cache
def starter(name: str = "marram") -> str:
    """Text of a starter design, for a new file. Raises FileNotFoundError for a name that is none."""
    return files("foldwright.design").joinpath(f"data/starters/{name}.toml").read_text(encoding="utf-8")


def rebuilt(data: dict[str, Any], stock: Stock | None = None) -> Design | None:
    """A design from raw data in memory, None where it would have a no-go on reading."""
    raw = _tuples(data)
    try:
        value = model_of("design").model_validate(raw, strict=True)
    except ValidationError:
        return None
    grave = any(finding.verdict == "no-go" for finding in senses("design", "design", raw, stock))
    return None if grave else cast("Design", value)
