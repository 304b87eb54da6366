"""Photographs of an overhaul: kept without what the camera wrote, once, and only with an injector in the shop."""

import hashlib
import json
from io import BytesIO

import pytest
from PIL import Image
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.actions.course import hold, return_unrepaired
from service.actions.photographs import PHOTOGRAPH_LIMIT_BYTES, add_photograph, look_at_photographs, look_at_picture
from service.actions.shop import Actor, Forbidden, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.workshop.permitted import NotPermitted
from tests.actions.at_the_bench import form, key, newest_journal_row, receive
from tests.photographs_taken import (
    HIDDEN,
    cut_short,
    drawing,
    plain,
    polyglot,
    with_camera_data,
    with_camera_data_png,
)
from tests.records.test_picture_file import header_only
from tests.registered_fleet import PASSWORD, Fleet


def add(
    shop: Shop,
    actor: Actor,
    number: str,
    content: bytes,
    subject: str = "arrival",
    form_key: str | None = None,
    remark: str = "",
) -> int:
    """One photograph."""
    return add_photograph(
        shop, actor, number, form_key=form_key or key(), subject=subject, content=content, remark=remark
    )


def test_a_photograph_is_kept_with_its_size_its_digest_and_its_journal(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    sent = plain(size=(1000, 750))
    made = add(shop, fleet.technician, number, sent, remark=" Plugs missing ")
    (row,) = look_at_photographs(shop, fleet.office, number).rows
    assert (row.id, row.subject, row.width, row.height, row.remark) == (made, "arrival", 1000, 750, "Plugs missing")
    assert row.sent_sha256 == hashlib.sha256(sent).hexdigest()
    _, whole = look_at_picture(shop, fleet.technician, number, made, "whole")
    assert hashlib.sha256(whole).hexdigest() == row.sha256
    assert row.size == len(whole)
    sizes = {}
    for size in ("whole", "shown", "thumbnail"):
        with Image.open(BytesIO(look_at_picture(shop, fleet.office, number, made, size)[1])) as picture:
            sizes[size] = picture.size
    assert sizes == {"whole": (1000, 750), "shown": (1000, 750), "thumbnail": (320, 240)}
    journal = newest_journal_row(shop)
    assert (journal.action, journal.subject_id) == ("photograph", number)
    assert json.loads(journal.after)["sha256"] == row.sha256


@pytest.mark.parametrize("content", [with_camera_data(), with_camera_data_png()], ids=["JPEG", "PNG"])
def test_what_the_camera_wrote_beside_the_picture_is_not_kept(shop: Shop, fleet: Fleet, content: bytes) -> None:
    number = receive(shop, fleet)[0]
    made = add(shop, fleet.technician, number, content)
    for size in ("whole", "shown", "thumbnail"):
        kept = look_at_picture(shop, fleet.technician, number, made, size)[1]
        with Image.open(BytesIO(kept)) as picture:
            assert dict(picture.getexif()) == {}
            assert not {"exif", "comment", "Comment", "icc_profile"} & picture.info.keys()
        assert b"drawer" not in kept
        assert b"Invented" not in kept


def test_what_hid_behind_the_picture_is_gone(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    made = add(shop, fleet.technician, number, polyglot())
    kept = look_at_picture(shop, fleet.technician, number, made, "whole")[1]
    assert HIDDEN not in kept
    assert kept.endswith(b"\xff\xd9")


def test_a_photograph_sent_twice_by_one_form_is_kept_once_and_by_another_refused(shop: Shop, fleet: Fleet) -> None:
    number, other = receive(shop, fleet, "SN-1001", "SN-1002")
    form_key = key()
    made = add(shop, fleet.technician, number, plain(), form_key=form_key)
    assert add(shop, fleet.technician, number, plain(), form_key=form_key) == made
    with pytest.raises(Refused) as refusal:
        add(shop, fleet.manager, number, plain(), "nozzle-holes")
    assert (refusal.value.code, refusal.value.field) == ("photograph-again", "picture")
    assert "As it arrived, added by Tove Technician" in refusal.value.sentence
    with pytest.raises(Refused, match="used on another injector"):
        add(shop, fleet.technician, other, plain(), form_key=form_key)
    add(shop, fleet.technician, other, plain())
    assert len(look_at_photographs(shop, fleet.manager, number).rows) == 1


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "picture-missing"),
        (drawing(), "picture-unreadable"),
        (b"%PDF-1.7\n", "picture-unreadable"),
        (cut_short(), "picture-damaged"),
        (header_only(10_000, 6_000), "picture-too-large"),
        (header_only(100_000, 100_000), "picture-too-large"),
        (b"\xff\xd8\xff" + bytes(PHOTOGRAPH_LIMIT_BYTES), "photograph-large"),
    ],
    ids=["nothing", "vector drawing", "document", "cut short", "60 megapixels", "bomb", "15 megabytes"],
)
def test_what_is_no_photograph_is_refused_in_words_and_kept_nowhere(
    shop: Shop, fleet: Fleet, content: bytes, code: str
) -> None:
    number = receive(shop, fleet)[0]
    before = newest_journal_row(shop).id
    with pytest.raises(DomainError) as refusal:
        add(shop, fleet.technician, number, content)
    assert (refusal.value.code, refusal.value.field) == (code, "picture")
    assert look_at_photographs(shop, fleet.technician, number).rows == []
    assert newest_journal_row(shop).id == before


@pytest.mark.parametrize(("changes", "field"), [({"subject": "ceiling"}, "subject"), ({"remark": "x" * 501}, "remark")])
def test_a_photograph_of_nothing_that_the_sheet_lists_is_refused(
    shop: Shop, fleet: Fleet, changes: dict[str, str], field: str
) -> None:
    number = receive(shop, fleet)[0]
    with pytest.raises(DomainError) as refusal:
        add(shop, fleet.technician, number, plain(), **changes)
    assert refusal.value.field == field


def test_only_the_bench_adds_and_only_to_an_injector_in_the_shop(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    with pytest.raises(Forbidden):
        add(shop, fleet.office, number, plain())
    with pytest.raises(NotFound):
        add(shop, fleet.technician, "X-1", plain())
    hold(shop, fleet.technician, number, form(shop, number), reason="Owner in arrears.", password=PASSWORD)
    with pytest.raises(NotPermitted, match="A manager must lift the hold"):
        add(shop, fleet.technician, number, plain())
    gone = receive(shop, fleet, "A-2")[0]
    return_unrepaired(shop, fleet.manager, gone, form(shop, gone), reason="Not worth it.")
    with pytest.raises(NotPermitted, match=r"over \(returned\)"):
        add(shop, fleet.technician, gone, plain())


def test_another_fleets_photographs_are_unknown(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    made = add(shop, fleet.technician, number, plain())
    said = set()
    for actor, place in ((fleet.other_office, number), (fleet.office, "X-1")):
        with pytest.raises(NotFound) as refusal:
            look_at_picture(shop, actor, place, made, "thumbnail")
        said.add(refusal.value.sentence.replace(place, "…"))
    assert len(said) == 1
    elsewhere = receive(shop, fleet, "A-2")[0]
    with pytest.raises(NotFound):
        look_at_picture(shop, fleet.technician, elsewhere, made, "whole")


@pytest.mark.parametrize("table", ["photograph", "photograph_file"])
def test_no_photograph_is_ever_changed_or_deleted(shop: Shop, fleet: Fleet, table: str) -> None:
    add(shop, fleet.technician, receive(shop, fleet)[0], plain())
    column = "remark" if table == "photograph" else "whole"
    for statement in (f"UPDATE {table} SET {column} = {column}", f"DELETE FROM {table}"):  # noqa: S608
        with pytest.raises(DBAPIError, match="never changed"), shop.store.change() as session:
            session.execute(text(statement))
