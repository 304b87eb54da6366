"""Every table, and the naming of their constraints."""

from sqlmodel import SQLModel

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}

from service.records.tables.bench_traces import (  # noqa: E402
    BenchTracePiece,
    BenchTraceReading,
    BenchTraceRejection,
    BenchTraceRow,
)
from service.records.tables.calibrations import CalibrationAnnulment, CalibrationRow, CalibrationScan  # noqa: E402
from service.records.tables.certificates import Certificate, CertificateEnd, CertificateFile, Counter  # noqa: E402
from service.records.tables.decision_rules import DecisionRuleRow  # noqa: E402
from service.records.tables.instruments import DueFeed, GaugePin, Instrument  # noqa: E402
from service.records.tables.journal import JournalRow  # noqa: E402
from service.records.tables.overhauls import (  # noqa: E402
    Consignment,
    EntryInstrument,
    EntryRow,
    FittedBatch,
    Overhaul,
    Unit,
)
from service.records.tables.people import Person, SignIn, SignInFailure  # noqa: E402
from service.records.tables.photographs import HoleEvaluationRow, PhotographFile, PhotographRow  # noqa: E402
from service.records.tables.sheets import InjectorType, SheetRevision  # noqa: E402
from service.records.tables.test_rigs import RigCheckRow, RigGauge, RigOilFilling, TestRigRow  # noqa: E402
from service.records.tables.vessels import Engine, Operator, Vessel  # noqa: E402

__all__ = [
    "BenchTracePiece",
    "BenchTraceReading",
    "BenchTraceRejection",
    "BenchTraceRow",
    "CalibrationAnnulment",
    "CalibrationRow",
    "CalibrationScan",
    "Certificate",
    "CertificateEnd",
    "CertificateFile",
    "Consignment",
    "Counter",
    "DecisionRuleRow",
    "DueFeed",
    "Engine",
    "EntryInstrument",
    "EntryRow",
    "FittedBatch",
    "GaugePin",
    "HoleEvaluationRow",
    "InjectorType",
    "Instrument",
    "JournalRow",
    "Operator",
    "Overhaul",
    "Person",
    "PhotographFile",
    "PhotographRow",
    "RigCheckRow",
    "RigGauge",
    "RigOilFilling",
    "SheetRevision",
    "SignIn",
    "SignInFailure",
    "TestRigRow",
    "Unit",
    "Vessel",
]
