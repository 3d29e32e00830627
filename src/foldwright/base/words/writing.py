"""Sentences of findings about writing files (F50-F59)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "F50": Message(
        "file is there already",
        "{file} is there already and is not overwritten.",
        "a name that is free",
        "an existing file",
        "Name another file, or move the old one away.",
    ),
    "F51": Message(
        "cannot write",
        "{file} cannot be written: {reason}.",
        "a folder that can be written to",
        "{reason}",
        "Name another place, or make room.",
    ),
    "F52": Message(
        "no such finding",
        "There is no finding {got} with a cure in this design.",
        "one of: {known}",
        "{got}",
        "Run check first and name the code of one of its findings.",
    ),
    "F53": Message(
        "no plan set here",
        "{file} holds no plan set: {reason}.",
        "the folder that holds manifest.json, or the zip",
        "{reason}",
        "{hint}",
    ),
    "F54": Message(
        "demo files missing",
        "The demo files are not where they belong, {file}.",
        "the file {file}",
        "nothing at that place",
        "Install the program again.",
    ),
    "F55": Message(
        "letters that cannot be drawn",
        "The typeface of sheets and card has no {letters}; {shown} is printed instead.",
        "letters of the Latin, Greek or Cyrillic alphabets",
        "{letters}",
        "Write the name in letters that the typeface has.",
    ),
}
