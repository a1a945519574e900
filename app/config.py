"""What one application is told when it is made: where to keep sketches, what its links start with."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from app.limits import SOLVE_SECONDS

IN_MEMORY = "sqlite://"


@dataclass(frozen=True)
class Config:
    """`database` is an SQLAlchemy URL; `public_address` (no slash at its end) is what links start with, where given."""

    database: str
    public_address: str | None = None
    solve_seconds: float = SOLVE_SECONDS

    def __post_init__(self) -> None:
        if self.public_address is None:
            return
        parts = urlsplit(self.public_address)
        if parts.scheme not in ("http", "https") or not parts.hostname or parts.query or parts.fragment:
            raise ValueError(
                f"A public address looks like https://school.example/sketches, not “{self.public_address}”."
            )
        object.__setattr__(self, "public_address", self.public_address.rstrip("/"))

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] = os.environ) -> Config:
        """FARANDOLE_DATABASE (a URL), else FARANDOLE_DATA (a folder), else the user's data folder.

        FARANDOLE_PUBLIC_ADDRESS is what links start with.
        """
        database = environment.get("FARANDOLE_DATABASE")
        if database is None:
            folder = environment.get("FARANDOLE_DATA")
            database = database_in(Path(folder) if folder else user_data_folder())
        return cls(database, environment.get("FARANDOLE_PUBLIC_ADDRESS"))


def user_data_folder() -> Path:
    from platformdirs import user_data_path

    return user_data_path("farandole", appauthor=False)


def database_in(folder: Path) -> str:
    """The URL of the database in a folder, which is made where it is missing."""
    folder = folder.expanduser().absolute()
    folder.mkdir(parents=True, exist_ok=True)
    return f"sqlite:///{folder / 'sketches.sqlite'}"
