"""Versions of the libraries that show in the bytes of a plan set."""

from __future__ import annotations

import zlib
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

_NAMES = (
    "ezdxf", "font-source-sans-pro", "fonttools", "hershey-fonts", "manifold3d", "numpy", "scipy", "shapely",
    "typst",
)  # fmt: skip


@cache
def libraries() -> Mapping[str, str]:
    """Version of every library that geometry, letters and files are made with, by name; zlib among them."""
    return MappingProxyType({**{name: _version(name) for name in _NAMES}, "zlib": zlib.ZLIB_RUNTIME_VERSION})


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "unknown"
