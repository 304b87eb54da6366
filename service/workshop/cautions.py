"""Short cautions for the steps where they matter. They never replace the maker's instructions or licensed practice."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Caution:
    """A danger and how to keep clear of it."""

    key: str
    title: str
    text: str


_ALL = (
    Caution(
        "depressurise",
        "Pressure left in the line",
        "Depressurise pipes and the injector before you open any connection.",
    ),
    Caution(
        "spring",
        "Spring under load",
        "Relieve the spring in the fixture before you release a circlip or the nut; keep your face clear.",
    ),
    Caution(
        "solvent",
        "Solvent and compressed air",
        "Gloves and eye protection; ventilate; never point compressed air at skin.",
    ),
    Caution("grinding", "Grinding dust", "Extraction on, eye and breathing protection; clean before reassembly."),
    Caution(
        "injection",
        "Spray pierces skin",
        "Keep hands out of the spray. Oil injected under the skin is a surgical emergency: to hospital at once.",
    ),
    Caution(
        "mist",
        "Spray mist ignites",
        "Test behind the guard with extraction running; no flame, spark or hot work near the rig.",
    ),
    Caution(
        "clamp",
        "Clamp springs under load",
        "Relieve the clamp before you take a spring out; in the tester keep face and fingers clear.",
    ),
    Caution(
        "heavy",
        "Heavy part",
        "Lift with the hoist or with two people; an injector dropped is an injector scrapped.",
    ),
)
CAUTIONS = {caution.key: caution for caution in _ALL}

STRIPPING = ("depressurise", "spring", "solvent", "heavy")
REWORKING = ("grinding", "solvent")
REBUILDING = ("spring",)
ON_THE_RIG = ("injection", "mist", "depressurise")
CHECKING_THE_RIG = (*ON_THE_RIG, "clamp")


def cautions(*keys: str) -> tuple[Caution, ...]:
    """The cautions with those keys, each once, in the order given. Raises KeyError for an unknown key."""
    return tuple(CAUTIONS[key] for key in dict.fromkeys(keys))
