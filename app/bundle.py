"""Scripts in one piece: the modules that one of them needs, each in a function of its own, for a page without a server.

A page that is opened from a file may not import modules from files beside it. This reads our own modules, which are
written alike, and refuses what it does not know; it is no tool for anybody else's.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

_IMPORT: Final = re.compile(r'^import(?: \{(?P<names>[^}]*)\} from)? "(?P<path>\.\.?/[^"]+)";$', re.MULTILINE)
_EXPORT: Final = re.compile(r"^export (?=(?:async )?function\*? (\w+)|class (\w+)|const (\w+) )", re.MULTILINE)
_LEFT_OVER: Final = re.compile(r"^(?:import|export)\b.*|^(?!\s*(?:\*|//|/\*)).*\bawait import\(.*", re.MULTILINE)


class Unbundled(Exception):
    """A module that cannot be put into one piece with the others; the message says where."""


@dataclass
class _Bundle:
    folder: Path
    done: dict[str, str] = field(default_factory=dict)
    on_the_way: list[str] = field(default_factory=list)

    def add(self, path: Path) -> str:
        name = path.relative_to(self.folder).as_posix()
        if name in self.on_the_way:
            raise Unbundled(f"{' → '.join([*self.on_the_way, name])}: modules that need one another")
        if name not in self.done:
            self.on_the_way.append(name)
            self.done[name] = self._function(path, name)
            self.on_the_way.pop()
        return name

    def _function(self, path: Path, name: str) -> str:
        text = path.read_text("utf-8")

        def imported(found: re.Match[str]) -> str:
            other = self.add((path.parent / found["path"]).resolve())
            if found["names"] is None:
                return ""
            names = ", ".join(each.strip().replace(" as ", ": ") for each in found["names"].split(",") if each.strip())
            return f'const {{ {names} }} = $modules["{other}"];'

        text = _IMPORT.sub(imported, text)
        exported = [next(filter(None, found.groups())) for found in _EXPORT.finditer(text)]
        text = _EXPORT.sub("", text)
        if left := _LEFT_OVER.search(text):
            raise Unbundled(f"{name}: {left[0][:80]}")
        if "</script" in text.lower() or "<!--" in text:
            raise Unbundled(f"{name} has in it what would end a script in a page")
        return f'$modules["{name}"] = (() => {{\n{text.rstrip()}\nreturn {{ {", ".join(exported)} }};\n}})();\n'


def bundle(entry: str, folder: Path) -> str:
    """A classic script that does what the module does, with all that it imports. Raises Unbundled."""
    made = _Bundle(folder.resolve())
    made.add((folder / entry).resolve())
    return '"use strict";\n(() => {\nconst $modules = {};\n' + "".join(made.done.values()) + "})();\n"
