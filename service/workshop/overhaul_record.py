"""One overhaul as recorded, and the plain questions that the rules ask of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from service.workshop.entries import (
    BenchRunStarted,
    CertificateWithdrawn,
    ConcessionDecided,
    Condemned,
    Content,
    DiscsChanged,
    Entry,
    Examined,
    Held,
    HoldLifted,
    OfficeAnswered,
    PartFitted,
    PartReworked,
    PartSettled,
    Released,
    Reopened,
    Returned,
    Stripped,
    Torqued,
)
from service.workshop.limit_sheet import LimitSheet
from service.workshop.vocabulary import Disposition, Phase, RunPurpose

C = TypeVar("C", bound=Content)


@dataclass(frozen=True)
class OverhaulRecord:
    """The pinned limit sheet, the owner's standing order, and all entries in order.

    `standing_order` holds the dispositions that the owner lets the workshop carry out without asking.
    """

    sheet: LimitSheet
    standing_order: frozenset[Disposition]
    entries: tuple[Entry, ...]

    def all_of(self, kind: type[C]) -> Iterator[tuple[int, C]]:
        """(sequence, content) of every entry of that kind, in order."""
        for entry in self.entries:
            if isinstance(entry.content, kind):
                yield entry.seq, entry.content

    @property
    def last_seq(self) -> int:
        """Sequence of the newest entry, 0 without any."""
        return self.entries[-1].seq if self.entries else 0

    @cached_property
    def stripped(self) -> Stripped | None:
        """The newest strip record."""
        return max(self.all_of(Stripped), key=lambda pair: pair[0], default=(0, None))[1]

    @cached_property
    def examined(self) -> dict[tuple[str, Phase], tuple[int, Examined]]:
        """The examination in force by characteristic and phase, with the sequence at which it was measured.

        Judging again measures nothing: it must not pass for a measurement made after a later rework.
        """
        measured: dict[int, int] = {}
        in_force: dict[tuple[str, Phase], tuple[int, Examined]] = {}
        for seq, item in self.all_of(Examined):
            measured[seq] = seq if item.rejudged_from is None else measured.get(item.rejudged_from, item.rejudged_from)
            in_force[item.characteristic, item.phase] = measured[seq], item
        return in_force

    @property
    def examinations_in_force(self) -> tuple[tuple[int, Examined], ...]:
        """The newest examination of each characteristic and phase, each with the sequence of its own entry."""
        newest = {(item.characteristic, item.phase): (seq, item) for seq, item in self.all_of(Examined)}
        return tuple(newest.values())

    def finding(self, characteristic: str, phase: Phase = Phase.FOUND) -> Examined | None:
        """The examination in force for a characteristic."""
        found = self.examined.get((characteristic, phase))
        return found[1] if found else None

    def last_adverse_seq(self, part: str) -> int:
        """Sequence of the newest examination of the part that did not conform, 0 if there is none.

        A finding judged again to the same verdict is nothing that nobody had seen: the earlier one counts.
        """
        earlier = dict(self.all_of(Examined))
        found = (
            seq
            for seq, item in earlier.items()
            if item.part == part and not item.conforms and not _says_the_same(item, earlier)
        )
        return max(found, default=0)

    @cached_property
    def settled(self) -> dict[str, tuple[int, PartSettled]]:
        """The newest settlement by part, with its sequence."""
        return {item.part: (seq, item) for seq, item in self.all_of(PartSettled)}

    def concession(self, part: str) -> ConcessionDecided | None:
        """The manager's decision on the settlement in force, if one was made since."""
        settlement = self.settled.get(part)
        if settlement is None:
            return None
        decided = None
        for seq, item in self.all_of(ConcessionDecided):
            if item.part == part and seq > settlement[0] and item.chosen == settlement[1].chosen:
                decided = item
        return decided

    def office_answer(self, part: str, disposition: Disposition) -> OfficeAnswered | None:
        """The office's newest answer on that part and that disposition."""
        answer = None
        for _, item in self.all_of(OfficeAnswered):
            if item.part == part and item.disposition == disposition:
                answer = item
        return answer

    @cached_property
    def fitted(self) -> dict[str, tuple[int, PartFitted]]:
        """The newest fitting by part or assembly key, with its sequence."""
        return {item.item: (seq, item) for seq, item in self.all_of(PartFitted)}

    @cached_property
    def reworked(self) -> dict[str, tuple[int, PartReworked]]:
        """The newest rework by part, with its sequence."""
        return {item.part: (seq, item) for seq, item in self.all_of(PartReworked)}

    @cached_property
    def torqued(self) -> dict[str, tuple[int, Torqued]]:
        """The newest torque by point, with its sequence."""
        return {item.point: (seq, item) for seq, item in self.all_of(Torqued)}

    @cached_property
    def opened_seq(self) -> int:
        """Sequence of the last opening (discs changed, reopened, part fitted or reworked), 0 if never."""
        kinds = (DiscsChanged, Reopened, PartFitted, PartReworked)
        return max((entry.seq for entry in self.entries if isinstance(entry.content, kinds)), default=0)

    @cached_property
    def discs_added(self) -> int:
        """Adjusting discs added in this overhaul, less those taken out again."""
        return sum(len(item.added) - len(item.removed) for _, item in self.all_of(DiscsChanged))

    def newest_run(self, purpose: RunPurpose) -> tuple[int, BenchRunStarted] | None:
        """The newest bench run of that purpose, with its number."""
        runs = [(seq, run) for seq, run in self.all_of(BenchRunStarted) if run.purpose is purpose]
        return runs[-1] if runs else None

    @cached_property
    def held(self) -> Held | None:
        """The hold in force; a certificate that was taken back holds its injector."""
        hold: Held | None = None
        for entry in self.entries:
            match entry.content:
                case Held():
                    hold = entry.content
                case CertificateWithdrawn(certificate=number, reason=reason):
                    hold = Held(reason=f"Certificate {number} was withdrawn: {reason}")
                case HoldLifted():
                    hold = None
        return hold

    @cached_property
    def exit(self) -> Released | Returned | Condemned | None:
        """How the overhaul ended, if it did."""
        last: Released | Returned | Condemned | None = None
        for entry in self.entries:
            match entry.content:
                case Released() | Returned() | Condemned():
                    last = entry.content
                case CertificateWithdrawn():
                    last = None
        return last

    @property
    def last_certificate(self) -> str:
        """Number of the newest certificate of this overhaul, in force or withdrawn; "" before the first."""
        numbers = [released.certificate for _, released in self.all_of(Released)]
        return numbers[-1] if numbers else ""


def _says_the_same(item: Examined, earlier: Mapping[int, Examined]) -> bool:
    """Whether it was judged again and nothing came of it."""
    replaced = None if item.rejudged_from is None else earlier.get(item.rejudged_from)
    if replaced is None:
        return False
    before, after = replaced.outcome, item.outcome
    return (before.verdict, before.consequence) == (after.verdict, after.consequence)
