"""What must be right before the service opens its door: each finding has a code and a hint."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import text

from service.documents.signing.keyring import Keyring
from service.documents.signing.refusal import KeysRefused
from service.documents.signing.verification import examine_file
from service.records.migrations import POSTGRESQL_TRIGGERS, SQLITE_TRIGGERS, current_revision, newest_revision
from service.records.store import Store, sqlite_module

# The WAL-reset bug can corrupt a database that two connections write at once; these releases are free of it.
_SAFE = ((3, 51, 3), (3, 50, 7), (3, 44, 6))


@dataclass(frozen=True)
class Finding:
    """Something wrong, or worth knowing. `fatal` keeps the service from starting."""

    code: str
    sentence: str
    hint: str
    fatal: bool = False


def setting_findings(environment: Mapping[str, str]) -> tuple[Finding, ...]:
    """Settings of an earlier release that nothing reads any more, lest somebody relies on them."""
    if "SPINDLEBOOK_GUARD_FACTOR" not in environment:
        return ()
    return (
        Finding(
            "former-setting",
            "SPINDLEBOOK_GUARD_FACTOR is not read any more: the guard band is the workshop's decision rule.",
            "See which rule is in force under Decision rule, then take the setting away.",
        ),
    )


def sqlite_is_safe(version: tuple[int, ...]) -> bool:
    """Whether that SQLite release is free of the WAL-reset bug (3.7.0 to 3.51.2, mended also in 3.50.7 and 3.44.6)."""
    if version >= _SAFE[0] or version < (3, 7, 0):
        return True
    return any(version[:2] == mended[:2] and version >= mended for mended in _SAFE[1:])


def startup_findings(store: Store) -> tuple[Finding, ...]:
    """Every finding, the fatal ones among them."""
    findings = []
    current, newest = current_revision(store), newest_revision()
    if current != newest:
        findings.append(
            Finding(
                "schema",
                f"The database is at revision {current or 'none'}, this release needs {newest}.",
                "Run: spindlebook migrate",
                fatal=True,
            )
        )
    elif missing := sorted((SQLITE_TRIGGERS if store.is_sqlite else POSTGRESQL_TRIGGERS) - _triggers(store)):
        findings.append(
            Finding("triggers", f"Triggers are missing: {', '.join(missing)}.", "Run: spindlebook migrate", fatal=True)
        )
    if store.is_sqlite and not sqlite_is_safe(sqlite_module.sqlite_version_info):
        findings.append(
            Finding(
                "sqlite",
                f"SQLite {sqlite_module.sqlite_version} can corrupt a database under two writers.",
                "Run one process only, or install the pysqlite3 wheel for this platform.",
            )
        )
    return tuple(findings)


def key_findings(keyring: Keyring) -> tuple[Finding, ...]:
    """What is wrong with the keys that sign certificates: none is set, or they cannot be opened."""
    if not keyring.can_sign:
        sentence = "No signing key is set, so nothing can be released."
        return (Finding("no-signing-key", sentence, "Run: spindlebook keys init"),)
    try:
        examine_file(b"", keyring.trust)
    except KeysRefused as refused:
        hint = "Check the settings of the keys (README, Keys)"
        return (Finding("signing-key", refused.sentence, hint, fatal=True),)
    return ()


def _triggers(store: Store) -> set[str]:
    """Those that fire: PostgreSQL also knows triggers that are there and switched off."""
    sql = (
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        if store.is_sqlite
        else "SELECT DISTINCT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled IN ('O', 'A')"
    )
    with store.read_engine.connect() as connection:
        return set(connection.execute(text(sql)).scalars())
