"""`docs/findings.md` and `docs/assumptions.md`, from the code that they describe (`make docs`)."""

from __future__ import annotations

from pathlib import Path

from foldwright.base.messages import catalogue
from foldwright.design.assumptions import DEFAULTS
from foldwright.design.usual import USUAL
from foldwright.review.layouts import LAYOUTS
from foldwright.review.rules import RULES

DOCS = Path(__file__).resolve().parents[1] / "docs"
FINDINGS, ASSUMPTIONS = DOCS / "findings.md", DOCS / "assumptions.md"

FAMILIES = {
    "F": ("Files", "what is written in the design, workshop and stock files, and saving them"),
    "G": ("Geometry", "whether the board can be folded, joined and filled as drawn"),
    "B": ("Balance", "weight, balance point, the battery's place"),
    "T": ("Trim", "elevon trim, power, stability"),
    "I": ("Installation", "equipment wired, reached, cooled, clear of camera and radio"),
    "P": ("Printed work", "templates, fittings, tools and coupons on this workshop's printer"),
    "S": ("Sheets", "whether this workshop can cut it"),
    "R": ("Readback", "whether the files of a plan set agree with the card"),
}

FINDINGS_HEAD = """# Findings by code

A code never changes its meaning, so it can be searched for and talked about. This list is written by
`make docs` from the code. *Rule* marks a check that gives a finding wherever it applies, a clear one where
all is well (`foldwright check --all` shows those too); the others speak only when something is wrong.
How to read a finding: [guide.md](guide.md#reading-foldwright-check).
"""


ASSUMPTIONS_HEAD = """# Assumptions

Everything that is judged rather than computed, with its default. Each is a normal distribution, cut off at
the limits; *spread* is one standard deviation. A design file replaces single ones:

```toml
[assumptions.cm0_shift]
value = 0.004
sd = 0.006
source = "glide tests of three aeroplanes"
```

This list is written by `make docs` from the code. What they feed into: [model.md](model.md).

| name | value | spread | unit | limits | what it is | where it comes from |
|---|---|---|---|---|---|---|
"""


USUAL_HEAD = """
## What is usual

Ranges that rules hold an aeroplane against, by the layout that the design names. A design replaces single
ones, least and most:

```toml
[usual]
wing_loading_g_dm2 = [15.0, 32.0]
```
"""


def findings() -> str:
    """docs/findings.md."""
    rules = {rule.code: (rule.judge.__doc__ or "").partition(": ")[2].strip() for rule in RULES}
    parts = [FINDINGS_HEAD]
    for letter, (title, what) in FAMILIES.items():
        parts.append(
            f"\n## {letter}: {title}\n\nOn {what}.\n\n| code | | what it is about |\n|---|---|---|\n"
        )
        for code in sorted(code for code in catalogue() if code.startswith(letter)):
            about = rules.get(code, catalogue()[code].title)
            kind = "rule" if code in rules else ""
            parts.append(f"| {code} | {kind} | {about[:1].upper()}{about[1:].rstrip('.')} |\n")
    return "".join(parts)


def assumptions() -> str:
    """docs/assumptions.md."""
    rows = (
        f"| `{d.name}` | {d.value:g} | {d.sd:g} | {d.unit} | {d.least:g} to {d.most:g} |"
        f" {d.meaning} | {d.source} |\n"
        for d in DEFAULTS.values()
    )
    return ASSUMPTIONS_HEAD + "".join(rows) + _usual()


def _usual() -> str:
    """What is usual for each layout, as tables."""
    parts = [USUAL_HEAD]
    for layout, ranges in LAYOUTS.items():
        parts.append(
            f"\n### {layout[:1].upper()}{layout[1:]}\n\n| name | usual | unit | what it is | source |\n"
        )
        parts.append("|---|---|---|---|---|\n")
        parts.extend(
            f"| `{name}` | {one.says} | {USUAL[name].unit} | {USUAL[name].meaning} | {one.source} |\n"
            for name, one in ranges.items()
        )
    return "".join(parts)


if __name__ == "__main__":
    FINDINGS.write_text(findings(), encoding="utf-8")
    ASSUMPTIONS.write_text(assumptions(), encoding="utf-8")
