"""What is to be seen to at the test rigs today, in one line for a page that tells of it in passing."""

from collections.abc import Iterable
from datetime import date

from service.records.rig_standing_reads import RigStanding


def rigs_to_see_to(rigs: Iterable[RigStanding], today: date) -> str:
    """The rigs without a good check and those whose oil is past its day; '' where nothing is to be done."""
    listed = tuple(rigs)
    told = (
        ("Not checked today", [one.code for one in listed if one.good is None]),
        ("Check not good", [one.code for one in listed if one.good is False]),
        ("Oil overdue", [one.code for one in listed if one.oil_due is not None and one.oil_due < today]),
    )
    return " ".join(f"{what}: {', '.join(codes)}." for what, codes in told if codes)
