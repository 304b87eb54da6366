"""What the evaluation of a hole image finds: values with their uncertainty, the edge, how good the picture was."""

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Contribution:
    """One line of an uncertainty budget: where it comes from, its standard uncertainty in µm."""

    source: str
    standard_um: float


@dataclass(frozen=True, slots=True)
class Measured:
    """A length in the picture: value and expanded uncertainty in µm and in pixels, k, the budget.

    The uncertainty in pixels leaves out that of the scale: it is how well the picture itself was read.
    """

    value_um: float
    expanded_um: float
    value_px: float
    expanded_px: float
    k: float
    budget: tuple[Contribution, ...]


@dataclass(frozen=True, slots=True)
class EdgeQuality:
    """How good the edge was.

    `points_used` of `points_tried` rays gave an edge point; `independent_points` of those count after their
    correlation; `coverage` is the part of the circumference with an edge, `largest_gap_deg` the widest stretch
    without. `contrast` and `noise` are parts of full scale, `blur_px` the standard deviation of the edge's
    Gaussian, `scatter_px` that of the edge points. `not_nominal` says in words which stated conditions are missed.
    """

    points_used: int
    points_tried: int
    independent_points: float
    coverage: float
    largest_gap_deg: float
    contrast: float
    noise: float
    blur_px: float
    scatter_px: float
    not_nominal: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HoleEvaluation:
    """A hole as a photograph shows it. Points in pixels (x, y); the package says how they and angles run.

    - `mean_diameter`: of the least-squares reference circle about `centre_px` (ISO 12181-1, least squares).
    - `major`, `minor`, `angle_deg` (of the major axis, 0 to 180): the ellipse of least orthogonal distances
      about `ellipse_centre_px`.
    - `ovality`: major less minor. `ovality_by_harmonic`: four times the amplitude of the second harmonic of the
      radial profile, which is the difference of diameters that it alone makes.
    - `roundness`: peak to valley about the least-squares circle (ISO 12181-1 RONt) of the profile after a Gaussian
      filter of 15 undulations per revolution (ISO 12181-2).
    """

    hole_is_dark: bool
    centre_px: Point
    mean_diameter: Measured
    ellipse_centre_px: Point
    major: Measured
    minor: Measured
    angle_deg: float
    ovality: Measured
    ovality_by_harmonic: Measured
    roundness: Measured
    edge_px: tuple[Point, ...]
    rejected_px: tuple[Point, ...]
    quality: EdgeQuality
    um_per_pixel: float
