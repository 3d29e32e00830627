"""What a readback says: a table of comparisons, and a finding for each that fails."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from foldwright.base.finding import Finding

SENTENCE = "files agree; flight not verified"

OUTLINE_MM = 0.05
FOLD_MM = 0.05
MARK_MM = 0.1
MASS_G = 0.1
BALANCE_MM = 0.1
SCALE_MM = 0.05


@dataclass(frozen=True, slots=True)
class Row:
    """One comparison.

    difference, tolerance: in `unit`; None where words are compared. code: of the finding if it fails.
    notable: it holds, and is worth a watch all the same.
    """

    what: str
    expected: str
    got: str
    difference: float | None
    tolerance: float | None
    unit: str
    holds: bool
    code: str
    notable: bool = False


@dataclass(frozen=True, slots=True)
class ReadbackReport:
    """All rows. `sentence` is what may be claimed."""

    rows: tuple[Row, ...]

    @property
    def holds(self) -> bool:
        """True where every row holds, and there is at least one."""
        return bool(self.rows) and all(row.holds for row in self.rows)

    @property
    def sentence(self) -> str:
        """What the readback says as a whole."""
        failed = sum(not row.holds for row in self.rows)
        return (
            SENTENCE if self.holds else f"files do not agree: {failed} of {len(self.rows)} comparisons fail"
        )

    @property
    def findings(self) -> tuple[Finding, ...]:
        """A no-go for every row that fails, a watch for what is worth saying besides."""
        return tuple(
            Finding(
                row.code, "watch" if row.holds else "no-go", row.what,
                {"expected": row.expected, "got": row.got}, row.difference, row.tolerance, row.unit,
            )
            for row in self.rows
            if row.notable or not row.holds
        )  # fmt: skip


def some_of(names: Sequence[str], most: int = 4, between: str = ", ") -> str:
    """The first names of a list, and how many there are besides."""
    more = len(names) - most
    return between.join(names[:most]) + (f" and {more} more" if more > 0 else "")


@dataclass(slots=True)
class Table:
    """Rows while they are gathered."""

    rows: list[Row] = field(default_factory=list)

    def near(
        self, code: str, what: str, expected: float, got: float, tolerance: float, unit: str, digits: int = 3
    ) -> None:
        """Compare two numbers."""
        off = abs(got - expected)
        # `not >` would let a number that is none pass
        holds = off <= tolerance
        self.rows.append(
            Row(
                what,
                f"{expected:.{digits}f}",
                f"{got:.{digits}f}",
                round(off, 6),
                tolerance,
                unit,
                holds,
                code,
            )
        )

    def off(self, code: str, what: str, difference: float, tolerance: float, got: str = "") -> None:
        """A greatest distance in mm against its tolerance."""
        shown = got or f"{difference:.3f} mm off"
        holds = difference <= tolerance
        self.rows.append(Row(what, "as designed", shown, round(difference, 6), tolerance, "mm", holds, code))

    def same(self, code: str, what: str, expected: str, got: str) -> None:
        """Compare two words."""
        self.rows.append(Row(what, expected, got, None, None, "", expected == got, code))

    def wrong(self, code: str, what: str, expected: str, got: str) -> None:
        """Something that is not as it should be, whatever its size."""
        self.rows.append(Row(what, expected, got, None, None, "", False, code))

    def note(self, code: str, what: str, expected: str, got: str) -> None:
        """Something that is no fault, to be told all the same."""
        self.rows.append(Row(what, expected, got, None, None, "", True, code, notable=True))

    def extend(self, rows: Iterable[Row]) -> None:
        """Take rows gathered elsewhere."""
        self.rows.extend(rows)
