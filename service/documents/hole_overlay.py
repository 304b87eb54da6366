"""What was found of a hole, drawn over its photograph as SVG: edge points, ellipse, reference circle.

Each is told from the others by its shape as well as its colour: the edge as dots, points left out as crosses, the
ellipse as a full line with its axes, the circle as a dashed one. Attributes only, no styles: a strict content policy
holds.
"""

from base64 import b64encode
from html import escape

from service.metrology.hole_image.findings import HoleEvaluation, Point

_ROOM = 1.35  # half-width of the view in diameters halved, so that ground shows round the hole
_LETTERS = 25  # of the legend's size side by side: 14 pixels high on a telephone that is 350 pixels wide
_MOST_DOTS = 180  # of several hundred: more would hide the ellipse
_EDGE, _LEFT_OUT, _ELLIPSE, _CIRCLE, _HALO = "#00e5ff", "#ff5a36", "#ffd400", "#ffffff", "#000000"
_LEGEND = (
    ("dots", "edge found"),
    ("crosses", "left out: scratch or reflection"),
    ("full", "fitted ellipse and its axes"),
    ("dashed", "reference circle (least squares)"),
)


def data_uri(content: bytes, media_type: str) -> str:
    """A picture's bytes as an address that holds them, for a drawing that stands alone."""
    return f"data:{media_type};base64,{b64encode(content).decode('ascii')}"


def hole_overlay_svg(
    found: HoleEvaluation, picture_href: str, width_px: int, height_px: int, title: str, *, whole_picture: bool = False
) -> str:
    """The photograph with the evaluation over it, as one SVG element.

    `picture_href` is the address of the upright photograph or a data URI; it is stretched to `width_px` by
    `height_px`, the size in pixels that the evaluation saw. The view is the hole with some ground round it, or the
    whole picture. `title` names the drawing for a screen reader; a description says the figures in words.
    """
    left, top, width, height = _view(found, width_px, height_px, whole_picture)
    letter = width / _LETTERS
    legend_height = _legend_height(letter)
    halo, line = width / 180, width / 400
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="{left:.2f} {top:.2f} {width:.2f} '
            f'{height + legend_height:.2f}"><title>{escape(title)}</title><desc>{escape(in_words(found))}</desc>',
            # The centre of the first pixel is the point (0, 0), so the picture begins half a pixel before it.
            f'<image href="{escape(picture_href)}" x="-0.5" y="-0.5" width="{width_px}" height="{height_px}" '
            'preserveAspectRatio="none"/>',
            _circle(found, _HALO, halo, ""),
            _circle(found, _CIRCLE, line, f' stroke-dasharray="{8 * line:.2f} {5 * line:.2f}"'),
            _ellipse(found, _HALO, halo),
            _ellipse(found, _ELLIPSE, line),
            _dots(found.edge_px[:: -(-len(found.edge_px) // _MOST_DOTS) or 1], line * 2.2),
            _crosses(found.rejected_px, line * 3, line),
            _legend(left, top + height, width, letter, line),
            "</svg>",
        ]
    )


def in_words(found: HoleEvaluation) -> str:
    """The figures in one sentence for people, in µm, each with its expanded uncertainty."""
    size, oval, form = found.mean_diameter, found.ovality, found.roundness
    return (
        f"Mean diameter {size.value_um:.1f} µm ± {size.expanded_um:.1f} µm, "
        f"ovality {oval.value_um:.1f} µm ± {oval.expanded_um:.1f} µm with the major axis at {found.angle_deg:.0f}°, "
        f"roundness deviation {form.value_um:.1f} µm ± {form.expanded_um:.1f} µm, from "
        f"{found.quality.points_used} edge points over {found.quality.coverage:.0%} of the circumference."
    )


def _view(found: HoleEvaluation, width_px: int, height_px: int, whole: bool) -> tuple[float, float, float, float]:
    """Left, top, width and height of the part shown, within the picture."""
    if whole:
        return -0.5, -0.5, float(width_px), float(height_px)
    x, y = found.centre_px
    reach = found.major.value_px / 2 * _ROOM
    left, top = max(-0.5, x - reach), max(-0.5, y - reach)
    return left, top, min(width_px - 0.5, x + reach) - left, min(height_px - 0.5, y + reach) - top


def _circle(found: HoleEvaluation, colour: str, line: float, dashes: str) -> str:
    x, y = found.centre_px
    return (
        f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{found.mean_diameter.value_px / 2:.3f}" fill="none" '
        f'stroke="{colour}" stroke-width="{line:.3f}"{dashes}/>'
    )


def _ellipse(found: HoleEvaluation, colour: str, line: float) -> str:
    x, y = found.ellipse_centre_px
    a, b = found.major.value_px / 2, found.minor.value_px / 2
    return (
        f'<g transform="rotate({found.angle_deg:.3f} {x:.3f} {y:.3f})" fill="none" stroke="{colour}" '
        f'stroke-width="{line:.3f}"><ellipse cx="{x:.3f}" cy="{y:.3f}" rx="{a:.3f}" ry="{b:.3f}"/>'
        f'<path d="M{x - a:.3f} {y:.3f}H{x + a:.3f}M{x:.3f} {y - b:.3f}V{y + b:.3f}"/></g>'
    )


def _dots(points: tuple[Point, ...], size: float) -> str:
    """Points as strokes of no length with round ends: one element, however many they are."""
    way = "".join(f"M{x:.2f} {y:.2f}h0" for x, y in points)
    return f'<path d="{way}" fill="none" stroke="{_EDGE}" stroke-width="{size:.3f}" stroke-linecap="round"/>'


def _crosses(points: tuple[Point, ...], arm: float, line: float) -> str:
    way = "".join(
        f"M{x - arm:.2f} {y - arm:.2f}l{2 * arm:.2f} {2 * arm:.2f}"
        f"M{x - arm:.2f} {y + arm:.2f}l{2 * arm:.2f} {-2 * arm:.2f}"
        for x, y in points
    )
    return f'<path d="{way}" fill="none" stroke="{_LEFT_OUT}" stroke-width="{line:.3f}"/>' if points else ""


def _legend_height(letter: float) -> float:
    return letter * 1.6 * (len(_LEGEND) + 0.5)


def _legend(left: float, top: float, width: float, letter: float, line: float) -> str:
    """A strip below the picture that shows each kind of mark beside its words."""
    rows = [
        f'<rect x="{left:.2f}" y="{top:.2f}" width="{width:.2f}" height="{_legend_height(letter):.2f}" fill="#26323a"/>'
    ]
    for number, (kind, words) in enumerate(_LEGEND):
        y = top + letter * 1.6 * (number + 0.75)
        rows.append(_sample(kind, left + letter, left + 4 * letter, y, line))
        rows.append(
            f'<text x="{left + 5 * letter:.2f}" y="{y + letter / 3:.2f}" font-size="{letter:.2f}" '
            f'font-family="sans-serif" fill="#ffffff">{escape(words)}</text>'
        )
    return "".join(rows)


def _sample(kind: str, start: float, end: float, y: float, line: float) -> str:
    """One kind of mark as it looks in the drawing."""
    match kind:
        case "dots":
            return _dots(tuple((start + (end - start) * step / 4, y) for step in range(5)), line * 2.2)
        case "crosses":
            return _crosses((((start + end) / 2, y),), line * 3, line)
        case "full":
            return f'<path d="M{start:.2f} {y:.2f}H{end:.2f}" stroke="{_ELLIPSE}" stroke-width="{line:.3f}"/>'
        case _:
            return (
                f'<path d="M{start:.2f} {y:.2f}H{end:.2f}" stroke="{_CIRCLE}" stroke-width="{line:.3f}" '
                f'stroke-dasharray="{8 * line:.2f} {5 * line:.2f}"/>'
            )
