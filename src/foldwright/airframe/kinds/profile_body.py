"""Parts of kind "profile_body"."""

from __future__ import annotations

from foldwright.airframe.bench import Bench
from foldwright.airframe.model import PartBuild
from foldwright.airframe.profile_body import build_profile_body
from foldwright.design.parts import ProfileBody

MODEL = ProfileBody


def build(part: ProfileBody, bench: Bench) -> PartBuild:
    """Build one (see `airframe.profile_body`)."""
    return build_profile_body(part, bench)
