"""The plan set on disk: one zip and one folder, written whole or not at all.

The zip is the plan set and is replaced in one step; the folder is its unpacked copy. A run that was cut short
leaves the old plan set or the new one, and the next run puts the folder right.
"""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from foldwright.base import atomic
from foldwright.base.finding import Finding, Verdict
from foldwright.make.manifest import NAME as MANIFEST
from foldwright.make.manifest import About, is_litter, listed, manifest
from foldwright.make.readback import check_files, read_folder
from foldwright.make.readback_rows import ReadbackReport, some_of

# ZIP cannot say an earlier date.
_DATE = (1980, 1, 1, 0, 0, 0)
_PLAIN_FILE = 0o100644 << 16
_UNIX = 3


@dataclass(frozen=True, slots=True)
class Written:
    """What became of a plan set.

    folder, archive: where it is, None if it was not written. readback: what was compared before writing, None
    if it did not come to that. findings: why it was not written.
    """

    folder: Path | None
    archive: Path | None
    readback: ReadbackReport | None
    findings: tuple[Finding, ...]


def plan_set_name(design: str, revision: str, workshop: str) -> str:
    """Name of the folder and the zip: design, revision and workshop in small letters, digits, dots and
    hyphens. A word that loses letters on the way gets four digits of its SHA-256, so that two names that
    differ in them do not meet.
    """
    return "-".join(_file_word(word) for word in (design, revision, workshop))


def _file_word(word: str) -> str:
    plain = re.sub(r"[^a-z0-9.]+", "-", word.lower()).strip("-.") or "x"
    lost = any(sign.isalnum() and not sign.isascii() for sign in word)
    return f"{plain}-{sha256(word.encode()).hexdigest()[:4]}" if lost else plain


def changes_text(about: About) -> bytes:
    """CHANGES.md of a first revision."""
    return (
        f"# Changes of {about.design}\n\n## Revision {about.revision}\n\n"
        "The first revision in this folder: there is nothing earlier to compare with. "
        "Every part is to be cut.\n"
    ).encode()


def licence_text(about: About, author: str) -> bytes:
    """LICENSE-of-the-plans.txt: the licence as the designer chose it."""
    return (
        f"Plans of {about.design}, revision {about.revision}, by {author}.\n\n"
        f"Licence of the plans, as the designer chose it: {about.licence}\n\n"
        f"Flown status: {about.flown}. The plans come without any warranty; whoever builds and flies "
        "from them answers for it and keeps to the rules of the place.\n"
    ).encode()


def complete(bundle: Mapping[str, bytes], about: About) -> dict[str, bytes]:
    """The files of a plan set with their manifest, sorted by path."""
    files = {name: bundle[name] for name in sorted(bundle) if name != MANIFEST}
    files[MANIFEST] = manifest(files, about)
    return files


def pack(files: Mapping[str, bytes], name: str) -> bytes:
    """A zip of the files below a folder of that name: sorted, with a fixed date, so same files give same
    bytes.
    """
    stream = io.BytesIO()
    with ZipFile(stream, "w") as archive:
        for path in sorted(files):
            entry = ZipInfo(f"{name}/{path}", date_time=_DATE)
            entry.compress_type = ZIP_DEFLATED
            entry.create_system = _UNIX
            entry.external_attr = _PLAIN_FILE
            archive.writestr(entry, files[path], compresslevel=6)
    return stream.getvalue()


def write_plan_set(
    bundle: Mapping[str, bytes], folder: Path, name: str, about: About, verdict: Verdict
) -> Written:
    """Write a plan set as `folder/name.zip` and `folder/name/`, if the design may be built and its files
    agree.

    bundle: every file by its path in the plan set, the manifest left out. verdict: of the design; a "no-go"
    is not written, nor is anything where its folder holds files of somebody else's. Raises OSError where
    the disk does not take it, and ValueError for a path that leads out of the folder.
    """
    if others := strangers(folder, name):
        return Written(None, None, None, (Finding("R13", "no-go", name, {"others": some_of(others)}),))
    repair(folder, name)
    if verdict == "no-go":
        why = "the design has findings that are no-go"
        return Written(None, None, None, (Finding("R11", "no-go", name, {"why": why}),))
    _refuse_paths(bundle)
    files = complete(bundle, about)
    report = check_files(files)
    if not report.holds:
        why = "its files do not agree when read back"
        return Written(None, None, report, (Finding("R11", "no-go", name, {"why": why}), *report.findings))
    folder.mkdir(parents=True, exist_ok=True)
    archive = folder / f"{name}.zip"
    atomic.write_bytes(archive, pack(files, name))
    _unpack(files, folder, name)
    return Written(folder / name, archive, report, ())


def _refuse_paths(bundle: Mapping[str, bytes]) -> None:
    for path in bundle:
        steps = path.split("/")
        if not path or "\\" in path or ":" in path or any(step in {"", ".", ".."} for step in steps):
            raise ValueError(f"{path!r} is no path inside a plan set")


def strangers(folder: Path, name: str) -> tuple[str, ...]:
    """What stands where the plan set's folder goes and is no file of a plan set, by path, sorted.

    Files of a plan set are those that the folder's own manifest lists. What file managers leave behind does
    not count.
    """
    target = folder / name
    if not target.is_dir():
        return (name,) if target.exists() or target.is_symlink() else ()
    own = {MANIFEST, *listed(target / MANIFEST)}
    there = (path.relative_to(target).as_posix() for path in target.rglob("*") if not path.is_dir())
    return tuple(sorted(path for path in there if path not in own and not is_litter(path)))


def repair(folder: Path, name: str) -> bool:
    """Make the folder what the zip holds, after a run that was cut short. True where there was anything to
    do.

    A folder without a zip, or with files that are no plan set's, is left alone: it may be somebody's own.
    """
    leftovers = _leftovers(folder, name)
    archive, target = folder / f"{name}.zip", folder / name
    if not archive.is_file() or strangers(folder, name):
        return False
    try:
        files = read_folder(archive)
    except ValueError:
        return False
    same = target.is_dir() and read_folder(target) == files
    if not same:
        _unpack(files, folder, name)
    for path in leftovers:
        if path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink(missing_ok=True)
    return not same or bool(leftovers)


def _leftovers(folder: Path, name: str) -> list[Path]:
    """Folders, and zips half written, that a run cut short left behind."""
    folders = [path for end in ("new", "old") if (path := folder / f".{name}.{end}").is_dir()]
    return folders + sorted(path for path in folder.glob(f".{name}.zip.*.new") if path.is_file())


def _unpack(files: Mapping[str, bytes], folder: Path, name: str) -> None:
    """Put the files beside the folder, then change the two over."""
    target, fresh, old = folder / name, folder / f".{name}.new", folder / f".{name}.old"
    for path in (fresh, old):
        if path.exists():
            shutil.rmtree(path)
    try:
        for path_name, data in files.items():
            path = fresh / path_name
            path.parent.mkdir(parents=True, exist_ok=True)
            atomic.write_bytes(path, data)
    except OSError:
        # a full disk is not left fuller
        shutil.rmtree(fresh, ignore_errors=True)
        raise
    if target.exists():
        Path(target).replace(old)
    Path(fresh).replace(target)
    if old.exists():
        shutil.rmtree(old)
