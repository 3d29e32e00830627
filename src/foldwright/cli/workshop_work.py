"""The work of `workshop`: one key changed and the file written whole, or not at all; coupons as files."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import Finding
from foldwright.cli.show import cannot_write

if TYPE_CHECKING:
    from foldwright.cli.progress import Say
    from foldwright.design.reading import Source
    from foldwright.design.save import Value
    from foldwright.design.stock import Stock
    from foldwright.design.workshop import Workshop

LEFT_OUT = "left out"
_KINDS = ("string", "number", "integer", "boolean", "array")


@dataclass(frozen=True, slots=True)
class Change:
    """What became of one key. before: None for a key that the file left out. default: what holds for it then.

    written: the file, "" where nothing was written. refused: nothing could be.
    """

    key: str
    before: object = None
    after: object = None
    default: object = None
    written: str = ""
    findings: tuple[Finding, ...] = ()
    refused: bool = False

    @property
    def told_before(self) -> str:
        """The old value in words."""
        if self.before is not None:
            return _told(self.before)
        return LEFT_OUT if self.default is None else f"{LEFT_OUT} ({_told(self.default)})"

    @property
    def told_after(self) -> str:
        """The new value in words."""
        return _told(self.after)


def _told(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_told(one) for one in value)}]"
    return f"{value:g}" if isinstance(value, float) else str(value)


def plain_value(key: str, text: str) -> Value:
    """A value as it is written in the file; what is no number, truth value or list is words."""
    from foldwright.design.schema import schema_at

    steps = tuple(key.split("."))
    if schema_at("workshop", steps, {}).get("type") == "string":
        return text
    try:
        value = tomllib.loads(f"value = {text}")["value"]
    except (tomllib.TOMLDecodeError, KeyError):
        return text
    if isinstance(value, float) and not isfinite(value):
        return text
    return value if isinstance(value, str | bool | int | float | list) else text


def change(
    file: Path, key: str, value: Callable[[Workshop], Value | Finding], own_stock: Path | None
) -> Change:
    """One key of a workshop file changed. value: given the workshop as it is read.

    Refused, and nothing written: a file that cannot be read, a key that is none, a value that the file then
    could not be used with, a file that was changed meanwhile or that cannot be written.
    """
    from foldwright.design.load import load_stock, load_text, load_workshop
    from foldwright.design.save import set_value

    stock = load_stock(own_stock)
    old = load_workshop(file, stock=stock.value)
    found = (*_of_file(stock.findings, own_stock), *_of_file(old.findings, file))
    if stock.value is None or old.value is None or old.source is None:
        return Change(key, findings=found, refused=True)
    wanted = value(old.value)
    if isinstance(wanted, Finding):
        return Change(key, findings=(wanted,), refused=True)
    text = set_value(old.source.text, key, wanted, "workshop")
    if isinstance(text, Finding):
        return Change(key, findings=_of_file((_unknown(key, text),), file), refused=True)
    before, after = _at(old.source.text, key), _at(text, key)
    new = load_text(text, "workshop", str(file), stock.value)
    done = Change(key, before, after, _default(old.value, key), "", _of_file(new.findings, file))
    if new.value is None:
        return replace(done, refused=True)
    if before == after and before is not None:
        return done
    return _saved(file, old.source, text, done)


def _saved(file: Path, source: Source, text: str, done: Change) -> Change:
    """The text in the file, in one step, unless somebody else has changed it."""
    from foldwright.base.atomic import write_text
    from foldwright.design.save import changed_since

    problem = changed_since(file, source.sha256)
    if problem is None:
        try:
            write_text(file, text)
        except OSError as error:
            problem = cannot_write(file, error)
    if problem is not None:
        return replace(done, findings=(problem,), refused=True)
    return replace(done, written=str(file))


def _of_file(findings: tuple[Finding, ...], file: Path | None) -> tuple[Finding, ...]:
    if file is None:
        return findings
    return tuple(replace(one, params={"file": str(file), **one.params}) for one in findings)


def _unknown(key: str, finding: Finding) -> Finding:
    """P83 with the nearest key in place of F36; other faults as they are."""
    from foldwright.design.words import nearest, shorten

    if finding.code != "F36":
        return finding
    near = nearest(key, keys(), 1)
    params = {"got": shorten(key), "nearest": near[0] if near else "cutter.kerf_mm"}
    return Finding("P83", "no-go", shorten(key), params)


def keys() -> tuple[str, ...]:
    """Every key of a workshop file that holds a value, lists of tables left out."""
    from foldwright.design.schema import json_schema

    root = json_schema("workshop")

    def inside(table: Mapping[str, Any], before: str) -> list[str]:
        """Keys of one table and of those in it, each with the path `before` it."""
        found = []
        for name, raw in table.get("properties", {}).items():
            node = _plain_node(root, raw)
            if "properties" in node:
                found += inside(node, f"{before}{name}.")
            elif "properties" in _plain_node(root, node.get("items", {})):
                continue
            elif node.get("type") in _KINDS or "enum" in node or "const" in node:
                found.append(f"{before}{name}")
        return found

    return tuple(inside(root, ""))


def _plain_node(root: Mapping[str, Any], node: Mapping[str, Any]) -> Mapping[str, Any]:
    """A schema's reference or optional value followed to what it is."""
    for _ in range(8):
        if "$ref" in node:
            node = root["$defs"][node["$ref"].rsplit("/", 1)[-1]]
        elif "anyOf" in node:
            node = next(one for one in node["anyOf"] if one.get("type") != "null")
        elif "allOf" in node:
            node = node["allOf"][0]
        else:
            return node
    return node


def _at(text: str, key: str) -> object:
    """The value that stands at a key of a text, None where none does."""
    from foldwright.design.keypath import locate
    from foldwright.design.reading import parse

    table = parse(text, "workshop file")
    path = None if isinstance(table, Finding) else locate(key, table)
    here: Any = table
    for step in path or ("",):
        if isinstance(here, dict):
            here = here.get(step)
        elif isinstance(here, list) and isinstance(step, int):
            here = here[step]
        else:
            return None
    found: object = here
    return found


def _default(workshop: Workshop, key: str) -> object:
    """What holds for a key that the file leaves out, None for nothing."""
    here: object = workshop
    for name in key.split("."):
        here = getattr(here, name, None)
    return here if isinstance(here, str | bool | int | float | tuple) else None


@dataclass(frozen=True, slots=True)
class Made:
    """Coupons as files by name, and a line about each printed one."""

    findings: tuple[Finding, ...]
    usable: bool = False
    files: Mapping[str, bytes] = field(default_factory=dict)
    said: tuple[str, ...] = ()


def made_coupons(file: Path, own_stock: Path | None, say: Say) -> Made:
    """The coupons of a workshop file."""
    from foldwright.design.load import load_stock, load_workshop

    stock = load_stock(own_stock)
    read = load_workshop(file, stock=stock.value)
    found = (*_of_file(stock.findings, own_stock), *_of_file(read.findings, file))
    if stock.value is None or read.value is None:
        return Made(found)
    from foldwright.make.coupons.gather import coupons, drawing_files

    workshop = read.value
    made = coupons(workshop)
    files = drawing_files(made, workshop, say)
    printed, said, told = _printed(workshop, stock.value, say)
    return Made((*found, *made.findings, *told), True, {**files, **printed}, said)


def _printed(
    workshop: Workshop, stock: Stock, say: Say
) -> tuple[dict[str, bytes], tuple[str, ...], tuple[Finding, ...]]:
    from foldwright.make.coupons.gather import coupons
    from foldwright.make.coupons.prints import coupon_jobs, filament_of
    from foldwright.make.print_files import job_files

    printer = workshop.printer
    filament = None if printer is None else filament_of(printer, stock)
    if printer is None or filament is None:
        return {}, (), ()
    jobs, told = coupon_jobs(coupons(workshop), printer, filament)
    files: dict[str, bytes] = {}
    for job in jobs:
        say(f"meshing {job.name}")
        made = job_files(job, workshop.name)
        files |= {name.rpartition("/")[2]: data for name, data in made.items()}
    said = tuple(f"  {job.name}: about {job.minutes:.0f} min, {job.grams:.0f} g" for job in jobs)
    return files, said, told


def written(out: Path, files: Mapping[str, bytes]) -> Finding | None:
    """All files in a folder; F51 for the first that could not be."""
    from foldwright.base.atomic import write_bytes

    here = out
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name in sorted(files):
            here = out / name
            write_bytes(here, files[name])
    except OSError as error:
        return cannot_write(here, error)
    return None
