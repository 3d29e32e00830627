"""Charts of one evaluation: the same figures as drawings, as words and as data."""

from __future__ import annotations

import json
import textwrap

from foldwright.evaluate import SAMPLES, Evaluation, Results
from foldwright.flight.lift import Samples
from foldwright.flight.shares import Shares, predictions, shares
from foldwright.make.chart_bars import balance_chart, contributors_chart, drag_chart
from foldwright.make.chart_flight import launch_chart, load_chart
from foldwright.make.chart_frame import CHART_STYLES
from foldwright.make.chart_model import HEIGHT_MM, WIDTH_MM, Chart, Source
from foldwright.make.chart_speeds import current_chart, power_chart, trim_chart
from foldwright.make.chart_steps import steps_chart
from foldwright.make.dimension import text_width
from foldwright.make.drawing import Drawing, Item, Text
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.svg import to_svg
from foldwright.make.views import Paper, moved, page_size

FORMAT = 1
_EDGE = 11.0
_HEAD = 9.0
_WORDS = 2.0
_LINE = 3.5
_PER_PAGE = 3


def charts(evaluation: Evaluation) -> tuple[Chart, ...]:
    """All charts; the throw only where one was flown, the contributors only where samples suffice.

    Raises ValueError for an evaluation without results.
    """
    results = evaluation.results
    if results is None:
        raise ValueError("charts need complete results")
    samples = evaluation.assumptions.samples(SAMPLES[evaluation.detail])
    source = Source(results, samples, evaluation.design)
    found = [
        balance_chart(source),
        trim_chart(source),
        power_chart(source),
        current_chart(source),
        drag_chart(source),
    ]
    if results.flown.throw is not None:
        found.append(launch_chart(results.flown.throw))
    found.append(load_chart(source))
    if results.flown.handling.steps.told:
        found.append(steps_chart(results.flown.handling.steps))
    rows = contributors(evaluation, results, samples)
    return (*found, contributors_chart(rows)) if rows else tuple(found)


def contributors(evaluation: Evaluation, results: Results, samples: Samples) -> tuple[Shares, ...]:
    """Which assumptions the band of each prediction comes from; none where the samples are too few."""
    predicted = predictions(results.lift, results.balance, results.trims, results.flown)
    return shares(predicted, evaluation.assumptions, samples)


def chart_files(evaluation: Evaluation, paper: Paper) -> dict[str, bytes]:
    """`charts.pdf`, `charts.json` and a picture of each chart, by path in the plan set."""
    drawn, about = charts(evaluation), evaluation.design.design
    title = f"{about.name} {about.revision}"
    files = {"charts.json": charts_json(drawn), "charts.pdf": charts_pdf(drawn, title, paper)}
    return files | {f"charts/{each.name}.svg": to_svg(each.drawing, CHART_STYLES) for each in drawn}


def charts_json(drawn: tuple[Chart, ...]) -> bytes:
    """Figures of all charts with what each shows in words; keys carry their units."""
    data = {
        "format": FORMAT,
        "charts": [
            {"name": each.name, "title": each.title, "about": each.about, "data": each.data} for each in drawn
        ],
    }
    return f"{json.dumps(data, sort_keys=True, allow_nan=False, ensure_ascii=False, indent=1)}\n".encode()


def charts_pdf(drawn: tuple[Chart, ...], title: str, paper: Paper) -> bytes:
    """All charts, three to a page, each with what it shows in words below it."""
    width, height = page_size(paper)
    room = (height - 2.0 * _EDGE - _HEAD) / _PER_PAGE
    pages = []
    for first in range(0, len(drawn), _PER_PAGE):
        number = first // _PER_PAGE + 1
        heading = f"{title}, charts, page {number}"
        items: list[Item] = [Text("letter", "", (_EDGE, height - _EDGE - 4.0), 3.6, heading)]
        for k, each in enumerate(drawn[first : first + _PER_PAGE]):
            top = height - _EDGE - _HEAD - k * room
            items += [moved(item, 0.5 * (width - WIDTH_MM), top - HEIGHT_MM) for item in each.drawing.items]
            items += _caption(each.about, _EDGE + 3.0, top - HEIGHT_MM - 1.5)
        pages.append(Drawing(f"{title}, charts", width, height, tuple(items)))
    return to_pdf(pages, CHART_STYLES, f"{title}, charts")


def _caption(words: str, left: float, top: float) -> list[Item]:
    """Words in lines as wide as a chart."""
    # text_width reckons on the wide side; a line of running text takes some three quarters of it
    most = int(0.97 * WIDTH_MM / (0.75 * text_width("n", _WORDS)))
    lines = textwrap.wrap(words, most)
    return [Text("letter", "", (left, top - _LINE * (k + 0.6)), _WORDS, line) for k, line in enumerate(lines)]
