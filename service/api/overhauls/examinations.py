"""Strip records and examinations."""

from decimal import Decimal, InvalidOperation
from typing import Annotated, Literal

from fastapi import APIRouter
from fastapi import Body as BodyParameter
from pydantic import Field
from sqlmodel import Session

from service.actions.examining import (
    Measure,
    ovality_reading,
    pin_reading,
    record_examination,
    record_strip,
    roundness_reading,
    size_reading,
    visual_finding,
    yes_no_answer,
)
from service.actions.shop import Actor, Shop
from service.api.bodies import Body, Count, FormBody, InPath, Name, Number, Text, Yes, quantity
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, TheShop
from service.api.overhauls.recorded import RecordedAnswer, answered
from service.metrology.typed_numbers import parse_decimal
from service.workshop.entries import Examined, PartFound, Stripped
from service.workshop.limit_sheet import AnyCharacteristic, SizeCharacteristic
from service.workshop.measurements import Measurement, PinTried
from service.workshop.section_profile import MOST_ROWS, check_rows, profile_from_rows
from service.workshop.vocabulary import PartState, Phase, ProfileColumns

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"], route_class=ExactRoute)

NOUGHT = Decimal("1e-9")
Unit = Annotated[
    str | None, Field(max_length=20, description="Unit of every number of this body; without it the sheet's own.")
]


class PartFoundBody(Body):
    """How one part came out."""

    part: Name
    state: PartState


class StripBody(FormBody):
    """Every part but the seals, and that the seals were discarded."""

    parts: Annotated[list[PartFoundBody], Field(max_length=200)]
    seals_discarded: Yes
    remark: Text = ""


class ExaminationBody(FormBody):
    """What all examinations share."""

    characteristic: Name
    phase: Phase = Phase.FOUND


class SizeExamination(ExaminationBody):
    """Readings with one instrument. `bench_temperature_c` was read at the bench; without it the usual one counts."""

    kind: Literal["size"]
    readings: Annotated[list[Number], Field(max_length=50)]
    unit: Unit = None
    instrument: Name
    bench_temperature_c: Number | None = None

    def measure(self, shop: Shop) -> Measure:
        """The unit is the characteristic's, known only once the limit sheet is."""

        def made(session: Session, item: AnyCharacteristic) -> Measurement:
            wanted = item.unit if isinstance(item, SizeCharacteristic) else "mm"
            readings = tuple(quantity(typed, self.unit, wanted, "readings") for typed in self.readings)
            typed_c = self.bench_temperature_c
            bench_c = None if typed_c is None else quantity(typed_c, None, "°C", "bench_temperature_c")
            return size_reading(shop, readings, self.instrument, bench_c)(session, item)

        return made


class PinTriedBody(Body):
    """One pin in one hole."""

    hole: Count
    pin: Number
    enters: Yes


class PinExamination(ExaminationBody):
    """Every pin tried in every hole."""

    kind: Literal["gauge-pins"]
    passes: Annotated[list[PinTriedBody], Field(max_length=1000)]
    unit: Unit = None
    instrument: Name

    def measure(self, shop: Shop) -> Measure:
        """The pins by their marked sizes."""
        passes = tuple(
            PinTried(hole=one.hole, pin=quantity(one.pin, self.unit, "mm", "passes"), enters=one.enters)
            for one in self.passes
        )
        return pin_reading(shop, passes, self.instrument)


class OvalityExamination(ExaminationBody):
    """Two-point diameters, one list for each section in the sheet's order."""

    kind: Literal["ovality"]
    diameters: Annotated[list[Annotated[list[Number], Field(max_length=50)]], Field(max_length=100)]
    unit: Unit = None
    instrument: Name

    def measure(self, shop: Shop) -> Measure:
        """The diameters in mm."""
        diameters = tuple(
            tuple(quantity(typed, self.unit, "mm", f"section-{place}") for typed in section)
            for place, section in enumerate(self.diameters, start=1)
        )
        return ovality_reading(shop, diameters, self.instrument)


class RoundnessExamination(ExaminationBody):
    """The profile of one section, all round: points, or a radial trace about its centre of rotation."""

    kind: Literal["roundness"]
    columns: Annotated[
        ProfileColumns,
        Field(description="`points`: x and y. `trace`: direction in degrees, anticlockwise, and whole radius."),
    ] = ProfileColumns.POINTS
    points: Annotated[
        list[Annotated[list[Number], Field(min_length=2, max_length=2)]],
        Field(description=f"One pair a row; more than {MOST_ROWS} are refused, not thinned."),
    ]
    unit: Unit = None
    instrument: Name

    def measure(self, shop: Shop) -> Measure:
        """The profile in mm; the unit is that of the lengths, a direction is in degrees."""
        check_rows(len(self.points))
        trace = self.columns is ProfileColumns.TRACE
        rows = [
            (
                parse_decimal(_or_zero(first), "points") if trace else self._length(first),
                self._length(second),
            )
            for first, second in self.points
        ]
        return roundness_reading(shop, profile_from_rows(rows, self.columns), self.instrument)

    def _length(self, typed: str) -> Decimal:
        return quantity(_or_zero(typed), self.unit, "mm", "points")


def _or_zero(typed: str) -> str:
    """The number, or nought for what a client's rounding left of it: sin 180° is 1.2E-16 on most machines."""
    try:
        return "0" if abs(Decimal(typed)) < NOUGHT else typed
    except InvalidOperation:
        return typed


class VisualExamination(ExaminationBody):
    """What was seen, at which magnification."""

    kind: Literal["visual"]
    findings: Annotated[list[Name], Field(max_length=50)]
    magnification: Number | None = None
    instrument: Name = ""
    remark: Text = ""

    def measure(self, shop: Shop) -> Measure:
        """The findings by their keys."""
        used = None if self.magnification is None else parse_decimal(self.magnification, "magnification")
        return visual_finding(shop, tuple(self.findings), used, self.instrument, self.remark)


class YesNoExamination(ExaminationBody):
    """The answer to the characteristic's question."""

    kind: Literal["yes-no"]
    answer: Yes

    def measure(self, shop: Shop) -> Measure:
        """The answer."""
        return yes_no_answer(self.answer)


AnyExamination = Annotated[
    SizeExamination | PinExamination | OvalityExamination | RoundnessExamination | VisualExamination | YesNoExamination,
    BodyParameter(discriminator="kind"),
]


@router.post("/strip-records", status_code=201, operation_id="record_strip", responses=WRITES)
def strip(number: InPath, body: StripBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Record which parts came out and how, and that all seals were discarded."""
    parts = tuple(PartFound(part=one.part, state=one.state) for one in body.parts)
    recorded = record_strip(
        shop, actor, number, body.form, parts=parts, seals_discarded=body.seals_discarded, remark=body.remark
    )
    return answered(recorded, Stripped)


@router.post("/examinations", status_code=201, operation_id="record_examination", responses=WRITES)
def examination(number: InPath, body: AnyExamination, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Record one characteristic; the verdict comes back with its reason."""
    recorded = record_examination(
        shop,
        actor,
        number,
        body.form,
        characteristic=body.characteristic,
        phase=body.phase,
        measure=body.measure(shop),
    )
    return answered(recorded, Examined)
