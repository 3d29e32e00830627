"""The one atomic writer: a file is there whole, as it was or as it shall be, never in between.

Used by the command line and the plan set; every other room returns bytes.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path


def write_bytes(path: Path, data: bytes) -> None:
    """Replace `path` by `data` in one step.

    The bytes go to a neighbouring file first, reach the disk, and take the name by one `os.replace`.
    A file that is already there keeps its permissions, and a symbolic link stays a link: its target is
    replaced. Raises OSError (folder missing, disk full, not permitted); the old file is then untouched.
    """
    target = path.resolve()
    beside = target.with_name(f".{target.name}.{os.getpid()}.new")
    try:
        with beside.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            beside.chmod(stat.S_IMODE(target.stat().st_mode))
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def write_text(path: Path, text: str) -> None:
    """Replace `path` by `text` in UTF-8, line ends as they stand in the text. Raises as `write_bytes`."""
    write_bytes(path, text.encode("utf-8"))
