"""The words of the job as enumerations. The database stores their names, people read their labels."""

from enum import StrEnum


class Stage(StrEnum):
    """The way of one injector and its side exits, in order."""

    RECEIVED = "received"
    STRIPPED = "stripped"
    EXAMINED = "examined"
    AGREED = "agreed"
    REBUILT = "rebuilt"
    PROVED = "proved"
    RELEASED = "released"
    CONDEMNED = "condemned"
    RETURNED = "returned"

    @property
    def is_exit(self) -> bool:
        """True where the overhaul is over."""
        return self in (Stage.RELEASED, Stage.CONDEMNED, Stage.RETURNED)


WAY = (
    Stage.RECEIVED,
    Stage.STRIPPED,
    Stage.EXAMINED,
    Stage.AGREED,
    Stage.REBUILT,
    Stage.PROVED,
    Stage.RELEASED,
)


class Disposition(StrEnum):
    """What happens to a part, mildest first."""

    KEEP = "keep"
    REWORK = "rework"
    REPLACE = "replace"
    REPLACE_ASSEMBLY = "replace-assembly"
    CONDEMN = "condemn"

    @property
    def severity(self) -> int:
        """Place in the order from mild (0) to strict."""
        return _SEVERITIES[self]

    @property
    def label(self) -> str:
        """Words for people."""
        return _DISPOSITION_LABELS[self]


_SEVERITIES = {disposition: place for place, disposition in enumerate(Disposition)}
_DISPOSITION_LABELS = {
    Disposition.KEEP: "Keep",
    Disposition.REWORK: "Rework",
    Disposition.REPLACE: "Replace the part",
    Disposition.REPLACE_ASSEMBLY: "Replace the matched assembly",
    Disposition.CONDEMN: "Condemn the injector",
}


class VerdictKind(StrEnum):
    """Three verdicts and the honest absence of one."""

    CONFORMS = "conforms"
    NOT_PROVEN = "not-proven"
    DOES_NOT_CONFORM = "does-not-conform"
    NOT_MEASURED = "not-measured"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            VerdictKind.CONFORMS: "Conforms",
            VerdictKind.NOT_PROVEN: "Not proven",
            VerdictKind.DOES_NOT_CONFORM: "Does not conform",
            VerdictKind.NOT_MEASURED: "Not examined",
        }[self]


class Phase(StrEnum):
    """When a characteristic was examined."""

    FOUND = "found"
    AFTER_REWORK = "after-rework"


class RunPurpose(StrEnum):
    """Why an injector is on the test rig."""

    AS_FOUND = "as-found"
    PROVING = "proving"


class FindingOutcome(StrEnum):
    """How the sheet marks a visual finding."""

    ACCEPTABLE = "acceptable"
    REWORK = "rework"
    REJECT = "reject"


class PartState(StrEnum):
    """How a part came out of the injector when it was stripped."""

    FREE = "free"
    STUCK = "stuck"
    BROKEN = "broken"
    MISSING = "missing"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            PartState.FREE: "Came out freely",
            PartState.STUCK: "Stuck",
            PartState.BROKEN: "Broken",
            PartState.MISSING: "Missing",
        }[self]


class InstrumentKind(StrEnum):
    """What an instrument is."""

    MICROMETER = "micrometer"
    BORE_GAUGE = "bore-gauge"
    PIN_SET = "pin-set"
    MICROSCOPE = "microscope"
    SPRING_TESTER = "spring-tester"
    HEIGHT_GAUGE = "height-gauge"
    TORQUE_WRENCH = "torque-wrench"
    PRESSURE_GAUGE = "pressure-gauge"
    ROUNDNESS_INSTRUMENT = "roundness-instrument"
    MEASURING_CYLINDER = "measuring-cylinder"

    @property
    def label(self) -> str:
        """Words for people."""
        return {"pin-set": "Gauge pin set"}.get(self.value, self.value.replace("-", " ").capitalize())


class RoundnessReference(StrEnum):
    """The reference circle that a roundness deviation is taken from: ISO 12181-1, clause 3 (number from memory)."""

    MINIMUM_ZONE = "minimum-zone"
    LEAST_SQUARES = "least-squares"
    MINIMUM_CIRCUMSCRIBED = "minimum-circumscribed"
    MAXIMUM_INSCRIBED = "maximum-inscribed"

    @property
    def label(self) -> str:
        """Words for people."""
        return f"{self.value.replace('-', ' ').capitalize()}{_CIRCLES.get(self.value, ' circle')}"


_CIRCLES = {"minimum-zone": " circles"}


class ProfileColumns(StrEnum):
    """What the two numbers of each row of a measured profile are."""

    POINTS = "points"
    TRACE = "trace"

    @property
    def label(self) -> str:
        """Words for people."""
        return {"points": "x and y in mm", "trace": "Direction in degrees and radius in mm"}[self.value]


class SendReason(StrEnum):
    """Why the ship sent the injector."""

    PLANNED = "planned"
    DRIBBLING = "dribbling"
    KNOCKING = "knocking"
    SMOKE = "smoke"
    TEMPERATURE = "temperature-deviation"
    OTHER = "other"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            SendReason.PLANNED: "Planned overhaul",
            SendReason.TEMPERATURE: "Exhaust temperature deviation",
        }.get(self, self.value.capitalize())


class Fuel(StrEnum):
    """What the engine burnt."""

    RESIDUAL = "residual"
    DISTILLATE = "distillate"
    BIOFUEL_BLEND = "biofuel-blend"
    OTHER = "other"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            Fuel.RESIDUAL: "Residual fuel",
            Fuel.DISTILLATE: "Distillate fuel",
            Fuel.BIOFUEL_BLEND: "Biofuel blend",
        }.get(self, self.value.capitalize())


class Packing(StrEnum):
    """State of packing and protective plugs on arrival."""

    SOUND = "sound"
    PLUGS_MISSING = "plugs-missing"
    DAMAGED = "damaged"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            Packing.SOUND: "Packing sound, plugs in place",
            Packing.PLUGS_MISSING: "Protective plugs missing",
            Packing.DAMAGED: "Packing damaged",
        }[self]


class SheetState(StrEnum):
    """A limit sheet revision's life."""

    DRAFT = "draft"
    APPROVED = "approved"
    SUPERSEDED = "superseded"


class Role(StrEnum):
    """Who may do what."""

    TECHNICIAN = "technician"
    MANAGER = "manager"
    OFFICE = "office"

    @property
    def label(self) -> str:
        """Words for people."""
        return {Role.TECHNICIAN: "Technician", Role.MANAGER: "Manager", Role.OFFICE: "Ship's office"}[self]
