"""`docs/findings.md`: every finding by its code, from the rules and the catalogue of sentences (`make docs`)."""

from __future__ import annotations

from pathlib import Path

from foldwright.base.messages import catalogue
from foldwright.review.rules import RULES

FILE = Path(__file__).resolve().parents[1] / "docs" / "findings.md"

FAMILIES = {
    "F": ("Files", "what is written in the design, workshop and stock files, and saving them"),
    "G": ("Geometry", "whether the board can be folded, joined and filled as drawn"),
    "B": ("Balance", "weight, balance point, the battery's place"),
    "T": ("Trim", "elevon trim, power, stability"),
    "S": ("Sheets", "whether this workshop can cut it"),
    "R": ("Readback", "whether the files of a plan set agree with the card"),
}

HEAD = """# Findings by code

A code never changes its meaning, so it can be searched for and talked about. This list is written by `make docs`
from the rules themselves. *Rule* marks a check that gives a finding wherever it applies, a clear one where all is
well (`foldwright check --all` shows those too); the others speak only when something is wrong.
How to read a finding: [guide.md](guide.md#reading-foldwright-check).
"""


def text() -> str:
    """The whole file."""
    rules = {rule.code: (rule.judge.__doc__ or "").partition(": ")[2].strip() for rule in RULES}
    parts = [HEAD]
    for letter, (title, what) in FAMILIES.items():
        parts.append(f"\n## {letter}: {title}\n\nOn {what}.\n\n| code | | what it is about |\n|---|---|---|\n")
        for code in sorted(code for code in catalogue() if code.startswith(letter)):
            about = rules.get(code, catalogue()[code].title)
            kind = "rule" if code in rules else ""
            parts.append(f"| {code} | {kind} | {about[:1].upper()}{about[1:].rstrip('.')} |\n")
    return "".join(parts)


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
