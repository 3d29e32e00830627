"""Drawings to DXF and back.

One layer per pen and face; 1 drawing unit = 1 mm. Lines are full in the file whatever the pen's dashes:
a front end that obeys line types would cut perforations. Fills are for the eye and are left out.
Bytes depend on the drawing, the styles and the libraries' versions only.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from foldwright.geometry.lettering import one_line
from foldwright.make.drawing import Align, Drawing, Face, Path, Pen, Point, Text
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyles, layers, parse_layer, rounded

if TYPE_CHECKING:
    import ezdxf.document
    import ezdxf.layouts
    from ezdxf.entities import DXFEntity
    from ezdxf.entities import Text as TextEntity

    from foldwright.base.types import FloatArray

Version = Literal["R2010", "R12"]

_DIGITS = 6
_MILLIMETRES = 4  # of $INSUNITS
# Two lines on one another by more than this are one line drawn twice.
_OVERLAP_MM = 0.01
_NEAR_MM = 1e-3
# Doubling these burns or presses the board twice.
_ONCE_ONLY = frozenset({"cut", "to_paper", "crush"})
# Line weights that DXF knows, in 1/100 mm.
_WEIGHTS = (5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211)


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two lines of one layer on one another, from `start` to `end` [mm]."""

    layer: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class DxfHeader:
    """What a file says of itself.

    version: "R2010" or "R12" (or whatever the file has).
    units: $INSUNITS, 4 = mm; R12 has no units (0).
    metric: $MEASUREMENT is 1.
    extents: lower left and upper right corner [mm].
    """

    version: str
    units: int
    metric: bool
    extents: tuple[Point, Point]


def to_dxf(drawing: Drawing, styles: PenStyles = DEFAULT_STYLES, *, version: Version = "R2010") -> bytes:
    """A drawing as a DXF file at true scale.

    Closed paths become closed LWPOLYLINE (R12: POLYLINE), texts TEXT with the height of capitals. A path
    that repeats another of its layer is left out. R12 carries no units: give such a sheet a square of
    100 mm to check by.

    Raises:
        ValueError: lines of a pen that cuts or presses lie on one another without being one path.
    """
    import ezdxf
    import ezdxf.document

    _refuse_overlaps(drawing)
    kept = without_repeats(drawing)
    # Dates and identifiers are fixed by this option of the library; it is put back as it was.
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        document = ezdxf.document.Drawing.new(version)
        _fill_document(document, kept, styles, version)
        # The library adds the classes in use in the order of a set, which differs from run to run.
        for name in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(name)
        stream = io.StringIO(newline="\n")
        document.write(stream)
        return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def read_dxf(data: bytes) -> list[Path | Text]:
    """Paths and texts of a DXF file, pen and face from the layer alone, in the file's order.

    Raises:
        ValueError: the file is damaged, or holds a layer or kind of entity that `to_dxf` never writes.
    """
    import ezdxf

    try:
        return [_item(entity) for entity in _load(data).modelspace()]
    except ezdxf.DXFError as fault:
        raise ValueError(f"not a DXF file that can be read: {fault}") from fault


def read_header(data: bytes) -> DxfHeader:
    """Version, units and extents of a DXF file. Raises ValueError for a damaged file."""
    document = _load(data)
    header = document.header
    low, high = header["$EXTMIN"], header["$EXTMAX"]
    return DxfHeader(
        document.acad_release,
        int(header.get("$INSUNITS", 0)),
        int(header.get("$MEASUREMENT", 0)) == 1,
        ((float(low[0]), float(low[1])), (float(high[0]), float(high[1]))),
    )


def without_repeats(drawing: Drawing) -> Drawing:
    """The drawing less each path that repeats an earlier one of its layer, whatever its start."""
    seen: set[object] = set()
    items = []
    for item in drawing.items:
        if isinstance(item, Path) and item.points:
            key = (item.pen, item.face, item.closed, _canonical(item))
            if key in seen:
                continue
            seen.add(key)
        items.append(item)
    return Drawing(drawing.title, drawing.width_mm, drawing.height_mm, tuple(items))


def duplicate_lines(drawing: Drawing) -> tuple[Overlap, ...]:
    """Every stretch over 0.01 mm that is drawn twice on one layer, whole or in part; sorted by layer."""
    found: list[Overlap] = []
    for name, items in layers(drawing).items():
        segments = _segments([item for item in items if isinstance(item, Path)])
        found.extend(Overlap(name, start, end) for start, end in _overlaps(segments))
    return tuple(sorted(found, key=lambda o: (o.layer, o.start, o.end)))


def refused_lines(drawing: Drawing) -> tuple[Overlap, ...]:
    """Stretches for which `to_dxf` refuses a drawing: lines that cut or press, on one another without being
    one path.
    """
    kept = without_repeats(drawing)
    once = tuple(item for item in kept.items if isinstance(item, Path) and item.pen in _ONCE_ONLY)
    return duplicate_lines(Drawing(drawing.title, drawing.width_mm, drawing.height_mm, once))


def _refuse_overlaps(drawing: Drawing) -> None:
    overlaps = refused_lines(drawing)
    if overlaps:
        first = overlaps[0]
        raise ValueError(
            f"{len(overlaps)} stretches are drawn twice; the first on layer {first.layer} "
            f"from {first.start} to {first.end} mm"
        )


def _canonical(path: Path) -> tuple[Point, ...]:
    points = [(rounded(x, _DIGITS), rounded(y, _DIGITS)) for x, y in path.points]
    if not path.closed:
        return min(tuple(points), tuple(reversed(points)))
    turns = []
    for ring in (points, points[::-1]):
        first = min(range(len(ring)), key=ring.__getitem__)
        turns.append(tuple(ring[first:] + ring[:first]))
    return min(turns)


def _segments(paths: list[Path]) -> FloatArray:
    """Shape (n, 2, 2): start and end of each segment that has a length."""
    rows: list[tuple[Point, Point]] = []
    for path in paths:
        points = [*path.points, path.points[0]] if path.closed and path.points else list(path.points)
        rows.extend((a, b) for a, b in pairwise(points) if a != b)
    return np.array(rows, dtype=np.float64).reshape(-1, 2, 2)


def _overlaps(segments: FloatArray) -> list[tuple[Point, Point]]:
    import shapely

    if len(segments) < 2:
        return []
    lines = np.asarray(shapely.linestrings(segments))
    i, j = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=_NEAR_MM)
    i, j = i[i < j], j[i < j]
    length = np.hypot(*(segments[:, 1] - segments[:, 0]).T)
    swap = length[i] < length[j]
    long, short = np.where(swap, j, i), np.where(swap, i, j)
    origin = segments[long, 0]
    along = (segments[long, 1] - origin) / length[long][:, None]
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    ends = segments[short] - origin[:, None, :]
    off = np.abs(np.einsum("nkx,nx->nk", ends, across)).max(axis=1)
    reach = np.sort(np.einsum("nkx,nx->nk", ends, along), axis=1)
    low, high = np.maximum(reach[:, 0], 0.0), np.minimum(reach[:, 1], length[long])
    hits = np.flatnonzero((off < _NEAR_MM) & (high - low > _OVERLAP_MM))
    starts, stops = origin + low[:, None] * along, origin + high[:, None] * along
    return [(_point(starts[k]), _point(stops[k])) for k in hits]


def _point(xy: FloatArray) -> Point:
    return rounded(float(xy[0]), 4), rounded(float(xy[1]), 4)


def _fill_document(
    document: ezdxf.document.Drawing, drawing: Drawing, styles: PenStyles, version: Version
) -> None:
    space = document.modelspace()
    if version != "R12":
        document.units = _MILLIMETRES
        document.header["$MEASUREMENT"] = 1
    corner = (rounded(drawing.width_mm, _DIGITS), rounded(drawing.height_mm, _DIGITS))
    space.reset_extents((0, 0, 0), (*corner, 0))
    space.reset_limits((0, 0), corner)
    # The library takes a corner at the origin for none.
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (0, 0, 0), (*corner, 0)
    for name, items in layers(drawing).items():
        _add_layer(document, name, styles)
        for item in items:
            if isinstance(item, Path):
                _add_path(space, name, item, version)
            else:
                _add_text(space, name, item)


def _add_layer(document: ezdxf.document.Drawing, name: str, styles: PenStyles) -> None:
    style = styles.of(*parse_layer(name))
    layer = document.layers.add(name, color=_indexed_colour(style.rgb))
    if document.dxfversion > "AC1009":
        layer.rgb = style.rgb
        layer.dxf.lineweight = min(_WEIGHTS, key=lambda weight: abs(weight - 100 * style.width_mm))


def _indexed_colour(rgb: tuple[int, int, int]) -> int:
    """Nearest of the 255 colours that every DXF reader knows."""
    from ezdxf.colors import DXF_DEFAULT_COLORS, int2rgb

    def distance(index: int) -> int:
        return sum((a - b) ** 2 for a, b in zip(int2rgb(DXF_DEFAULT_COLORS[index]), rgb, strict=True))

    return min(range(1, 256), key=distance)


def _add_path(space: ezdxf.layouts.Modelspace, layer: str, path: Path, version: Version) -> None:
    points = [(rounded(x, _DIGITS), rounded(y, _DIGITS)) for x, y in path.points]
    attributes = {"layer": layer}
    if version == "R12":
        space.add_polyline2d(points, close=path.closed, dxfattribs=attributes)
    else:
        space.add_lwpolyline(points, close=path.closed, dxfattribs=attributes)


def _add_text(space: ezdxf.layouts.Modelspace, layer: str, text: Text) -> None:
    from ezdxf.enums import TextEntityAlignment

    places = {
        "left": TextEntityAlignment.LEFT,
        "centre": TextEntityAlignment.CENTER,
        "right": TextEntityAlignment.RIGHT,
    }
    entity = space.add_text(
        _coded(text.text),
        height=rounded(text.height_mm, _DIGITS),
        rotation=rounded(text.angle_deg, _DIGITS),
        dxfattribs={"layer": layer},
    )
    entity.set_placement(
        (rounded(text.at[0], _DIGITS), rounded(text.at[1], _DIGITS)), align=places[text.align]
    )


def _coded(text: str) -> str:
    """Text with DXF's own signs (%% and ^) written so that a reader shows them as they are."""
    return re.sub(r"%%+", lambda run: "%%%" * len(run[0]), one_line(text)).replace("^", "^ ")


def _decoded(text: str) -> str:
    from ezdxf.lldxf.encoding import decode_dxf_unicode

    plain = re.sub(r"(?:%%%)+", lambda run: "%" * (len(run[0]) // 3), text).replace("^ ", "^")
    return decode_dxf_unicode(plain)


def _load(data: bytes) -> ezdxf.document.Drawing:
    import ezdxf
    from ezdxf.filemanagement import dxf_stream_info

    try:
        # Names and numbers in a DXF header are ASCII; the encoding of texts stands there.
        info = dxf_stream_info(io.StringIO(data.decode("ascii", errors="ignore")))
        return ezdxf.read(io.StringIO(data.decode(info.encoding)))
    except (
        ezdxf.DXFError, AttributeError, LookupError, OSError, StopIteration, TypeError, ValueError,
    ) as fault:  # fmt: skip
        raise ValueError(f"not a DXF file that can be read: {fault}") from fault


def _item(entity: DXFEntity) -> Path | Text:
    from ezdxf.entities import Line, LWPolyline, Polyline
    from ezdxf.entities import Text as TextEntity

    pen, face = parse_layer(entity.dxf.layer)
    match entity:
        case LWPolyline(has_arc=False):
            corners = [(float(x), float(y)) for x, y in entity.get_points("xy")]
            return Path(pen, face, tuple(corners), entity.closed)
        case Polyline(is_2d_polyline=True, has_arc=False):
            corners = [(point.x, point.y) for point in entity.points()]
            return Path(pen, face, tuple(corners), entity.is_closed)
        case Line():
            start, end = entity.dxf.start, entity.dxf.end
            return Path(pen, face, ((start.x, start.y), (end.x, end.y)))
        case TextEntity():
            return _text(entity, pen, face)
    raise ValueError(f"a {entity.dxftype()} on layer {entity.dxf.layer} is nothing that a sheet holds")


def _text(entity: TextEntity, pen: Pen, face: Face) -> Text:
    names: dict[str, Align] = {"LEFT": "left", "CENTER": "centre", "RIGHT": "right"}
    alignment, at, _ = entity.get_placement()
    if alignment.name not in names:
        raise ValueError(f"a TEXT on layer {entity.dxf.layer} is aligned {alignment.name}")
    return Text(
        pen,
        face,
        (at.x, at.y),
        float(entity.dxf.height),
        _decoded(entity.dxf.text),
        float(entity.dxf.rotation),
        names[alignment.name],
    )
