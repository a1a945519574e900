"""What can be asked of `python3 app` on the command line. Standard library only: read before anything is installed."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

PORT = 8439


@dataclass(frozen=True)
class Options:
    """What was asked on the command line."""

    host: str
    port: int
    data: Path | None
    in_memory: bool
    database: str | None
    public_address: str | None
    quiet: bool

    @property
    def needs_postgresql(self) -> bool:
        return self.database is not None and self.database.startswith("postgres")


def read_options(arguments: Sequence[str]) -> Options:
    """The options; ends the program with a sentence where they do not fit together."""
    parser = argparse.ArgumentParser(
        prog="python3 app",
        description="Serves Farandole on this machine: draw networks of capacitors, resistors and batteries.",
    )
    parser.add_argument(
        "--host",
        default="127.0.0.1",
        metavar="ADDRESS",
        help="listen at this address; 0.0.0.0 lets the local network in (left out: this machine alone)",
    )
    parser.add_argument(
        "--port", type=_port, default=PORT, help=f"{PORT} where left out; the next free one where it is taken"
    )
    keeping = parser.add_mutually_exclusive_group()
    keeping.add_argument(
        "--data", type=Path, metavar="FOLDER", help="keep stored sketches in this folder, not in the user's data folder"
    )
    keeping.add_argument(
        "--in-memory", action="store_true", help="keep nothing: stored sketches go when the server ends"
    )
    keeping.add_argument("--database", metavar="URL", help="keep stored sketches in this database (PostgreSQL)")
    parser.add_argument(
        "--public-address", metavar="URL", help="what links start with when a proxy stands in front of the server"
    )
    parser.add_argument("--quiet", action="store_true", help="do not open a browser")
    return Options(**vars(parser.parse_args(arguments)))


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"a port is a whole number up to 65535, not “{text}”")
    return int(text)
