"""Raw data of a file, read with care: what is missing or of the wrong kind is simply not there.

The checks between keys run on raw data, so that they run whether or not the model could be built, and
their findings come in the same run as the others.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from foldwright.base.finding import Finding, Param, Verdict
from foldwright.design import words
from foldwright.design.keypath import Path, Step, render
from foldwright.design.mistakes import is_number
from foldwright.design.schema import Kind, schema_at


@dataclass(frozen=True, slots=True)
class Raw:
    """One file's outermost table, with ways to look into it that never fail."""

    kind: Kind
    file: str
    data: Any

    def at(self, path: Path) -> Any:
        """The value at a path, or None."""
        here = self.data
        for step in path:
            if isinstance(step, str) and isinstance(here, dict):
                here = here.get(step)
            elif isinstance(step, int) and isinstance(here, tuple) and step < len(here):
                here = here[step]
            else:
                return None
        return here

    def number(self, path: Path) -> float | None:
        """A finite number, or the model's default where the key is left out, or None."""
        value = self.at(path)
        if value is None:
            value = schema_at(self.kind, path, self.data).get("default")
        return float(value) if is_number(value) else None

    def text(self, path: Path) -> str | None:
        """A text, or the model's default where the key is left out, or None."""
        value = self.at(path)
        if value is None:
            value = schema_at(self.kind, path, self.data).get("default")
        return value if isinstance(value, str) else None

    def has(self, path: Path) -> bool:
        """Whether the key is written at all."""
        return self.at(path) is not None

    def rows(self, path: Path) -> Iterator[tuple[Path, dict[str, Any]]]:
        """Tables of a list of tables, each with its path."""
        entries = self.at(path)
        if isinstance(entries, tuple):
            for index, entry in enumerate(entries):
                if isinstance(entry, dict):
                    yield (*path, index), entry

    def parts(self, kind: str) -> Iterator[Path]:
        """Paths of the parts of a kind."""
        for path, row in self.rows(("part",)):
            if row.get("kind") == kind:
                yield path

    def where(self, path: Path) -> str:
        """A path in words."""
        return render(path, self.data) or self.file

    def finding(self, code: str, path: Path, verdict: Verdict = "no-go", **params: Param) -> Finding:
        """A finding about a place of this file."""
        return Finding(code, verdict, self.where(path), {"file": self.file, **params})

    def missing(self, path: Path, because: Path) -> Iterator[Finding]:
        """F30 where a key is left out that the setting of another asks for."""
        if not self.has(path):
            key = str(path[-1])
            expected = words.expected(schema_at(self.kind, path, self.data), key)
            setting = self._setting(because)
            yield self.finding("F30", path, expected=expected, condition=self.where(because), setting=setting)

    def idle(self, path: Path, because: Path, wanted: str) -> Iterator[Finding]:
        """F32 where a key is written that the setting of another leaves without effect."""
        if self.has(path):
            setting, condition = self._setting(because), self.where(because)
            yield self.finding("F32", path, "watch", wanted=wanted, condition=condition, setting=setting)

    def _setting(self, path: Path) -> str:
        """What a key is set to, in words; its default where it is left out."""
        value = self.at(path)
        if value is None:
            value = schema_at(self.kind, path, self.data).get("default")
        return "left out" if value is None else words.got(value).removeprefix("the text ")

    def order(self, path: Path, relation: str, other: Path, share: float = 1.0) -> Iterator[Finding]:
        """F29 where a number does not stand in `relation` to `share` times another.

        relation: "less than", "more than", "at most" or "at least".
        """
        value, than = self.number(path), self.number(other)
        if value is None or than is None or _HOLDS[relation](value, than * share):
            return
        unit = words.unit_of(str(path[-1]))
        name = self.where(other) if share == 1.0 else f"{words.number(share)} × {self.where(other)}"
        yield self.finding(
            "F29", path, relation=relation, other=name,
            got=f"{words.number(value)} {unit}".strip(), than=f"{words.number(than * share)} {unit}".strip(),
        )  # fmt: skip

    def inside(self, path: Path, low: float | None, high: float | None, between: str) -> Iterator[Finding]:
        """F42 where a number lies outside the stretch that something else reaches over, mm."""
        value = self.number(path)
        if value is None or low is None or high is None or low > high or low <= value <= high:
            return
        unit = words.unit_of(str(path[-1])) or "mm"
        low_text, high_text = (f"{words.number(v)} {unit}" for v in (low, high))
        got = f"{words.number(value)} {unit}"
        yield self.finding("F42", path, got=got, between=between, low=low_text, high=high_text)


_HOLDS = {
    "less than": lambda a, b: a < b,
    "more than": lambda a, b: a > b,
    "at most": lambda a, b: a <= b,
    "at least": lambda a, b: a >= b,
}


def join(path: Path, *steps: Step) -> Path:
    """A path with more steps."""
    return (*path, *steps)
