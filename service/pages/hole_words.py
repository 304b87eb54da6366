"""What was measured in a photograph, in words and figures for people."""

from service.metrology.hole_image.findings import HoleEvaluation, Measured
from service.pages.overhauls.small_forms import Fact


def millimetres(measured: Measured) -> str:
    """A length with its expanded uncertainty in mm, to a tenth of a micrometre."""
    return f"{measured.value_um / 1000:.4f} ± {measured.expanded_um / 1000:.4f} mm"


def size_facts(found: HoleEvaluation) -> tuple[Fact, ...]:
    """Diameter, axes, ovality, roundness, each with its expanded uncertainty and factor."""
    lengths = (
        ("Mean diameter", found.mean_diameter),
        ("Largest diameter", found.major),
        ("Smallest diameter", found.minor),
        ("Ovality", found.ovality),
        ("Roundness deviation", found.roundness),
    )
    return tuple(Fact(label, f"{millimetres(length)} (k = {length.k:.2f})") for label, length in lengths)


def quality_facts(found: HoleEvaluation) -> tuple[Fact, ...]:
    """How good the picture was."""
    quality = found.quality
    return (
        Fact("Scale", f"{found.um_per_pixel:.4f} µm a pixel"),
        Fact("Diameter in the picture", f"{found.mean_diameter.value_px:.2f} pixels"),
        Fact("Edge found", f"{quality.coverage:.0%} round the hole, widest gap {quality.largest_gap_deg:.0f}°"),
        Fact(
            "Edge points", f"{quality.points_used} of {quality.points_tried} used, scatter {quality.scatter_px:.2f} px"
        ),
        Fact("Contrast", f"{quality.contrast:.0%} of full scale, noise {quality.noise:.1%}"),
        Fact("Blur of the edge", f"{quality.blur_px:.2f} pixels"),
    )
