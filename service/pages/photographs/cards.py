"""A photograph as a small picture with a line below it, and the way back to where it was added."""

from dataclasses import dataclass

from service.pages.rendering import minute
from service.records.tables import PhotographRow

_THUMBNAIL_PX = 320


@dataclass(frozen=True)
class PhotographCard:
    """A thumbnail with its size on the page, its words for who cannot see it, and a caption."""

    href: str
    thumbnail: str
    width: int
    height: int
    alt: str
    caption: str
    remark: str


def place_of(number: str, photograph_id: int | None) -> str:
    """The address of a photograph's own page."""
    return f"/overhauls/{number}/photographs/{photograph_id}"


def picture_of(number: str, photograph_id: int | None, size: str) -> str:
    """The address of a photograph's bytes at a size."""
    return f"{place_of(number, photograph_id)}/pictures/{size}"


def card_of(number: str, row: PhotographRow, shows: str) -> PhotographCard:
    """The card of a photograph that shows `shows`."""
    width, height = fitted(row, _THUMBNAIL_PX)
    return PhotographCard(
        href=place_of(number, row.id),
        thumbnail=picture_of(number, row.id, "thumbnail"),
        width=width,
        height=height,
        alt=alt_of(row, shows),
        caption=f"{row.person_name}, {minute(row.recorded_at)}",
        remark=row.remark,
    )


def alt_of(row: PhotographRow, shows: str) -> str:
    """What stands for the picture where it cannot be seen."""
    return f"Photograph {row.id}, {shows}" + (f": {row.remark}" if row.remark else "")


def fitted(row: PhotographRow, longest_px: int) -> tuple[int, int]:
    """Width and height of the photograph at most so long on its longer side."""
    over = max(row.width, row.height, longest_px)
    return max(1, row.width * longest_px // over), max(1, row.height * longest_px // over)
