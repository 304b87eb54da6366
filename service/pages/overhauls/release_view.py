"""What the release page shows: what still blocks, what will be certified, or the certificate once it is signed."""

from dataclasses import dataclass

from service.actions.shop import Actor
from service.pages.overhauls.bench_words import rig_in_words
from service.pages.overhauls.blocker_groups import BlockerGroup, blocker_groups
from service.pages.overhauls.head import OverhaulHead
from service.pages.overhauls.proving_view import StepLine, run_lines
from service.pages.overhauls.small_forms import Fact, PageForms, SmallForm
from service.pages.rendering import FormState, Frame, minute
from service.records.certificate_reads import IssuedCertificate
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.disposition import propose, settlement_in_force
from service.workshop.limit_sheet import Part
from service.workshop.narration import item_name
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import bench_runs, proving_run
from service.workshop.release_gate import release_blockers
from service.workshop.vocabulary import Role, RunPurpose


@dataclass(frozen=True)
class PartLine:
    """What became of one part."""

    name: str
    settled: str
    note: str


@dataclass(frozen=True)
class Summary:
    """What the certificate will say, in short."""

    facts: tuple[Fact, ...]
    parts: tuple[PartLine, ...]
    steps: tuple[StepLine, ...]


@dataclass(frozen=True)
class CertificateCard:
    """The certificate that was issued."""

    number: str
    pdf_href: str
    check_href: str
    facts: tuple[Fact, ...]


@dataclass(frozen=True)
class EndedCertificate:
    """A certificate that is no longer in force, and why."""

    number: str
    pdf_href: str
    sentence: str


@dataclass(frozen=True)
class ReleasePage:
    """The whole page. `form` is the manager's, `for_manager` the words for everybody else."""

    page: Frame
    head: OverhaulHead
    unplaced: FormState
    certificate: CertificateCard | None
    ended: tuple[EndedCertificate, ...]
    withdrawal: SmallForm | None
    replacement: SmallForm | None
    blockers: tuple[BlockerGroup, ...]
    summary: Summary | None
    form: SmallForm | None
    signs_as: str
    for_manager: str


def release_page(
    frame: Frame,
    head: OverhaulHead,
    loaded: LoadedOverhaul,
    certificates: tuple[IssuedCertificate, ...],
    actor: Actor,
    forms: PageForms,
) -> ReleasePage:
    """The page of one overhaul with its certificates, newest first, for that person."""
    record = loaded.record
    issued = next((one for one in certificates if one.ended is None), None)
    blockers = () if issued else release_blockers(record)
    ready = not blockers and issued is None
    manager = actor.role is Role.MANAGER
    return ReleasePage(
        page=frame,
        head=head,
        certificate=_certificate(issued) if issued else None,
        ended=tuple(_ended(one) for one in certificates if one.ended is not None),
        withdrawal=forms.form("withdraw", f"{head.address}/release/withdrawal") if issued and manager else None,
        replacement=forms.form("replace", f"{head.address}/release/replacement") if issued and manager else None,
        blockers=blocker_groups(head.number, blockers, actor.role),
        summary=_summary(loaded) if ready else None,
        form=forms.form("sign", f"{head.address}/release") if ready and manager else None,
        signs_as=actor.name,
        for_manager="" if manager or head.over else "A manager signs the release.",
        unplaced=forms.unplaced,
    )


def _certificate(issued: IssuedCertificate) -> CertificateCard:
    return CertificateCard(
        number=issued.number,
        pdf_href=f"/certificates/{issued.number}.pdf",
        check_href=f"/certificates/{issued.token}",
        facts=(
            Fact("Issued", minute(issued.issued_at)),
            Fact("Signed by", issued.signed_by),
            Fact("SHA-256 of the file", issued.sha256),
        ),
    )


def _ended(one: IssuedCertificate) -> EndedCertificate:
    ended = one.ended
    if ended is None:
        raise ValueError(f"{one.number} is in force")
    word = f"Replaced by {ended.replaced_by}" if ended.replaced_by else "Withdrawn"
    sentence = f"{word} on {minute(ended.at)} by {ended.by}: {ended.reason}"
    return EndedCertificate(one.number, f"/certificates/{one.number}.pdf", sentence)


def _summary(loaded: LoadedOverhaul) -> Summary:
    record = loaded.record
    run = proving_run(record)
    fitted = ", ".join(f"{item_name(record.sheet, key)} ({item.batch})" for key, (_, item) in record.fitted.items())
    facts = (
        Fact("Serial number", loaded.unit.serial),
        Fact("Type", f"{loaded.injector_type.code} · {loaded.injector_type.name}"),
        Fact("Vessel", f"{loaded.vessel.name}, IMO {loaded.vessel.imo_number}"),
        Fact("Limit sheet", f"{record.sheet.title}, revision {loaded.sheet.revision}"),
        Fact("Fitted new", fitted or "nothing"),
        Fact("Adjusting discs", f"{max(0, record.discs_added)} added"),
        Fact("Gauge of the proving run", run.started.gauge.code if run else ""),
        Fact("Test rig", rig_in_words(run.started.rig) if run else ""),
        *(Fact("As-found test", f"Indicative: {one}") for one in _doubts_as_found(record)),
    )
    proposals = propose(record)
    parts = []
    for part in record.sheet.parts:
        settled = settlement_in_force(record, proposals[part.key])
        parts.append(PartLine(part.name, settled.chosen.label if settled else "", _conceded(record, part)))
    return Summary(facts, tuple(parts), run_lines(loaded.row.number, record, run) if run else ())


def _doubts_as_found(record: OverhaulRecord) -> tuple[str, ...]:
    """Why as-found tests were indicative."""
    found = (run.started.indicative for run in bench_runs(record, RunPurpose.AS_FOUND))
    return tuple(why for why in dict.fromkeys(found) if why)


def _conceded(record: OverhaulRecord, part: Part) -> str:
    decision = record.concession(part.key)
    return f"By concession: {decision.reason}" if decision is not None and decision.granted else ""
