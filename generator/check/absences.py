"""What an absence waits for, in the words of a finding."""

from generator.model.plant import Definitions
from generator.model.record import Absence

_NOUNS = frozenset(Definitions.model_fields)


def missing_of(absence: Absence) -> tuple[str, ...]:
    """The missing fields as `tag: field`; where none is named, the quantity and the reason."""
    return tuple(_field(path) for path in absence.missing) or (f"{absence.name}: {absence.why}",)


def _field(path: str) -> str:
    """`streams/returns/drains_after_stop` becomes `returns: drains_after_stop`."""
    noun, _, rest = path.partition("/")
    if noun not in _NOUNS or not rest:
        return path
    tag, _, field = rest.partition("/")
    if noun == "plant":
        return f"plant: {rest.replace('/', '.')}"
    return f"{tag}: {field.replace('/', '.')}" if field else f"{noun}: {tag}"
