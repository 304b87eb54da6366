"""The scale of a photograph as somebody gave it: a calibrated pixel pitch, or a scale bar in the picture."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.metrology.hole_image.conditions import HoleImageError
from service.metrology.hole_image.scale import Scale, calibrated_scale, scale_from_bar
from service.metrology.typed_numbers import plain

Place = tuple[Decimal, Decimal]
_OF_A_BAR = {"um_per_pixel": "length_um", "expanded_uncertainty": "length_uncertainty_um"}
"""Fields at fault where the scale came from a bar."""


@dataclass(frozen=True, kw_only=True)
class PitchScale:
    """Micrometres per pixel with the expanded uncertainty of that (coverage factor `k`), from a calibration."""

    kind: Literal["pitch"] = "pitch"
    um_per_pixel: Decimal
    expanded_uncertainty: Decimal
    k: Decimal = Decimal(2)

    def scale(self) -> Scale:
        """For the evaluation. Raises HoleImageError."""
        return calibrated_scale(float(self.um_per_pixel), float(self.expanded_uncertainty), float(self.k))

    @property
    def words(self) -> str:
        """As it is shown."""
        return f"{plain(self.um_per_pixel)} µm a pixel, U = {plain(self.expanded_uncertainty)} µm (k = {plain(self.k)})"

    def as_plain(self) -> dict[str, object]:
        """For storage: exact numbers as text."""
        return {
            "kind": self.kind,
            "um_per_pixel": plain(self.um_per_pixel),
            "expanded_uncertainty": plain(self.expanded_uncertainty),
            "k": plain(self.k),
        }


@dataclass(frozen=True, kw_only=True)
class BarScale:
    """A bar of known length (µm, expanded uncertainty with k = 2), its ends as (x, y) in pixels of the photograph."""

    kind: Literal["bar"] = "bar"
    length_um: Decimal
    length_uncertainty_um: Decimal
    start_px: Place
    end_px: Place

    def scale(self) -> Scale:
        """For the evaluation. Raises HoleImageError."""
        try:
            return scale_from_bar(
                float(self.length_um),
                (float(self.start_px[0]), float(self.start_px[1])),
                (float(self.end_px[0]), float(self.end_px[1])),
                float(self.length_uncertainty_um),
            )
        except HoleImageError as error:
            raise HoleImageError(error.code, error.sentence, _OF_A_BAR.get(error.field or "", error.field)) from error

    @property
    def words(self) -> str:
        """As it is shown."""
        (x1, y1), (x2, y2) = self.start_px, self.end_px
        return (
            f"a bar of {plain(self.length_um)} µm, U = {plain(self.length_uncertainty_um)} µm (k = 2), "
            f"from ({plain(x1)}, {plain(y1)}) to ({plain(x2)}, {plain(y2)}) pixels"
        )

    def as_plain(self) -> dict[str, object]:
        """For storage: exact numbers as text."""
        return {
            "kind": self.kind,
            "length_um": plain(self.length_um),
            "length_uncertainty_um": plain(self.length_uncertainty_um),
            "start_px": [plain(value) for value in self.start_px],
            "end_px": [plain(value) for value in self.end_px],
        }


GivenScale = PitchScale | BarScale
