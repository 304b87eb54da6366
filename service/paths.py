"""Finds templates, static files, migrations and shared data in a checkout and in an installed wheel."""

from pathlib import Path

_SERVICE = Path(__file__).resolve().parent
_BUNDLED = _SERVICE / "_bundled"
ROOT = _BUNDLED if _BUNDLED.is_dir() else _SERVICE.parent

TEMPLATES = ROOT / "templates"
STATIC = ROOT / "static"
MIGRATIONS = ROOT / "migrations"
SHARED = ROOT / "shared"
