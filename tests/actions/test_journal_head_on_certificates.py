"""The journal's head on a certificate: printed, attached, kept, and found again in the chain, or missed there."""

import json

from sqlalchemy import text

from service.actions.releasing import sign_release
from service.actions.shop import Shop
from service.records.journal import journal_head
from service.records.journal_verification import verify_journal
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form
from tests.documents.printed import reader_of, words_of
from tests.journals import guards_lifted, rewrite_from, write_events
from tests.registered_fleet import PASSWORD, Fleet


def released(shop: Shop, fleet: Fleet) -> tuple[str, bytes]:
    """A certificate issued after the head that it prints; gives both."""
    number = bring_to(shop, fleet, Stage.PROVED)
    with shop.store.reading() as session:
        head = journal_head(session).hash
    sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD)
    ((content,),) = shop.store.rows("SELECT content FROM certificate_file")
    return head, bytes(content)


def test_the_head_before_the_release_is_printed_and_attached(shop: Shop, fleet: Fleet) -> None:
    head, pdf = released(shop, fleet)
    assert head in words_of(pdf)
    attached = json.loads(reader_of(pdf).attachments["certificate.json"][0])
    assert attached["certificate"]["journal_head"] == head
    write_events(shop.store, 2)
    report = verify_journal(shop.store)
    assert (report.faults, report.certificates) == ((), 1)


def test_a_journal_written_anew_or_cut_off_before_the_release_is_found_out_by_the_certificate(
    shop: Shop, fleet: Fleet
) -> None:
    released(shop, fleet)
    with guards_lifted(shop.store) as connection:
        connection.execute(text("UPDATE journal SET reason = 'nothing happened' WHERE id = 4"))
        rewrite_from(connection, 4)
    (fault,) = verify_journal(shop.store).faults
    assert fault.startswith("The head that certificate RC-2026-00001 prints is in no row")
    with guards_lifted(shop.store) as connection:
        connection.execute(text("DELETE FROM journal WHERE id > 3"))
    assert "RC-2026-00001" in verify_journal(shop.store).faults[0]
